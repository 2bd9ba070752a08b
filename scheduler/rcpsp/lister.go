package rcpsp

import (
	"math/bits"
	"slices"
)

// A lister makes lists in which no job comes before one that delays it. It owns the scratch memory of that work.
type lister struct {
	in       *Instance
	waiting  []int32  // per job: relations not yet satisfied
	eligible []int32  // jobs whose relations are all satisfied
	rank     []int32  // per job: its place in the order of byOrder
	finish   []int32  // per job started by sampleBusy: when it ends
	running  []int32  // jobs started by sampleBusy and not ended
	fitting  []int32  // eligible jobs whose units are idle
	idle     []int32  // per resource: the units no running job holds
	ready    []uint64 // one bit per rank: the job may come next
}

func newLister(in *Instance) *lister {
	n := in.Jobs()
	return &lister{
		in:       in,
		waiting:  make([]int32, n),
		eligible: make([]int32, 0, n),
		rank:     make([]int32, n),
		finish:   make([]int32, n),
		running:  make([]int32, 0, n),
		fitting:  make([]int32, 0, n),
		idle:     make([]int32, len(in.Capacity)),
		ready:    make([]uint64, (n+63)/64),
	}
}

// relations returns the rows that delay a job and the rows it delays, for a direction.
func (l *lister) relations(way direction) (before, after *rows) {
	if way == backward {
		return &l.in.successors, &l.in.predecessors
	}
	return &l.in.predecessors, &l.in.successors
}

// open starts a list: it fills waiting and the jobs that may come first.
func (l *lister) open(before *rows) {
	l.eligible = l.eligible[:0]
	for job := range l.waiting {
		l.waiting[job] = before.first[job+1] - before.first[job]
		if l.waiting[job] == 0 {
			l.eligible = append(l.eligible, int32(job))
		}
	}
}

// take removes an eligible job and admits the jobs that waited for it alone.
func (l *lister) take(position int, after *rows) int32 {
	job := l.eligible[position]
	last := len(l.eligible) - 1
	l.eligible[position] = l.eligible[last]
	l.eligible = l.eligible[:last]
	for _, next := range after.of(job) {
		l.waiting[next]--
		if l.waiting[next] == 0 {
			l.eligible = append(l.eligible, next)
		}
	}
	return job
}

// byUrgency fills the list with the most urgent eligible job at each place; ties go to the lower number. O(jobs x
// eligible jobs).
func (l *lister) byUrgency(list, urgency []int32, way direction) {
	before, after := l.relations(way)
	l.open(before)
	for i := range list {
		best := 0
		for p, job := range l.eligible {
			top := l.eligible[best]
			if urgency[job] < urgency[top] || urgency[job] == urgency[top] && job < top {
				best = p
			}
		}
		list[i] = l.take(best, after)
	}
}

// sample fills the list by regret-based biased random sampling (Drexl, "Scheduling of project networks by job
// assignment", Management Science 37, 1991, with exponent 1): a job's chance grows with the distance of its urgency
// from the least urgent of the eligible jobs.
func (l *lister) sample(list, urgency []int32, way direction, chance *random) {
	before, after := l.relations(way)
	l.open(before)
	for i := range list {
		list[i] = l.take(draw(l.eligible, urgency, chance), after)
	}
}

// draw returns the place of a job drawn by its regret.
func draw(jobs, urgency []int32, chance *random) int {
	if len(jobs) == 1 {
		return 0
	}
	worst := urgency[jobs[0]]
	for _, job := range jobs[1:] {
		worst = max(worst, urgency[job])
	}
	total := int64(0)
	for _, job := range jobs {
		total += int64(worst-urgency[job]) + 1
	}
	left := chance.below(total)
	for p, job := range jobs {
		left -= int64(worst-urgency[job]) + 1
		if left < 0 {
			return p
		}
	}
	panic("rcpsp: the drawn number exceeds the sum of the weights")
}

// sampleBusy fills the list in the order in which the parallel method starts jobs (Kolisch, "Serial and parallel
// resource-constrained project scheduling methods revisited", European Journal of Operational Research 90, 1996): it goes
// through time and starts jobs, drawn as by sample, as long as an eligible one finds its units idle. Serial generation of
// the list gives the very schedule of the parallel method, for at every earlier time the jobs before it in the list
// leave a job too few units.
func (l *lister) sampleBusy(list, urgency []int32, way direction, chance *random) {
	before, after := l.relations(way)
	l.open(before)
	l.running = l.running[:0]
	copy(l.idle, l.in.Capacity)
	now := int32(0)
	for i := 0; i < len(list); {
		l.fitting = l.fitting[:0]
		for _, job := range l.eligible {
			if l.fits(job) {
				l.fitting = append(l.fitting, job)
			}
		}
		if len(l.fitting) == 0 {
			now = l.advance(after)
			continue
		}
		job := l.fitting[draw(l.fitting, urgency, chance)]
		list[i] = job
		i++
		l.start(job, now)
	}
}

// held returns the units a job holds while it runs; a job without duration holds none.
func (l *lister) held(job int32) []int32 {
	if l.in.Duration[job] == 0 {
		return nil
	}
	return l.in.units(job)
}

// fits reports whether the units of a job are idle.
func (l *lister) fits(job int32) bool {
	for k, units := range l.held(job) {
		if units > l.idle[k] {
			return false
		}
	}
	return true
}

// start moves an eligible job to the running ones.
func (l *lister) start(job, now int32) {
	at := slices.Index(l.eligible, job)
	l.eligible = slices.Delete(l.eligible, at, at+1)
	l.running = append(l.running, job)
	l.finish[job] = now + l.in.Duration[job]
	for k, units := range l.held(job) {
		l.idle[k] -= units
	}
}

// advance ends the running jobs with the least finish, admits the jobs that waited for them alone and returns that time.
func (l *lister) advance(after *rows) int32 {
	now := l.finish[l.running[0]]
	for _, job := range l.running[1:] {
		now = min(now, l.finish[job])
	}
	still := l.running[:0]
	for _, job := range l.running {
		if l.finish[job] > now {
			still = append(still, job)
			continue
		}
		for k, units := range l.held(job) {
			l.idle[k] += units
		}
		for _, next := range after.of(job) {
			l.waiting[next]--
			if l.waiting[next] == 0 {
				l.eligible = append(l.eligible, next)
			}
		}
	}
	l.running = still
	return now
}

// byOrder fills the list with the eligible job that comes first in order at each place: order itself, if no job in it
// comes before one that delays it. Finding the next job is a scan for the lowest bit. O(jobs + relations) for up to a few
// hundred jobs; a job that becomes eligible late sets the scan back to it.
func (l *lister) byOrder(list, order []int32, way direction) {
	before, after := l.relations(way)
	clear(l.ready)
	for r, job := range order {
		l.rank[job] = int32(r)
		l.waiting[job] = before.first[job+1] - before.first[job]
		if l.waiting[job] == 0 {
			l.ready[r>>6] |= 1 << (r & 63)
		}
	}
	word := 0
	for i := range list {
		for l.ready[word] == 0 {
			word++
		}
		job := order[word<<6+bits.TrailingZeros64(l.ready[word])]
		l.ready[word] &= l.ready[word] - 1
		list[i] = job
		for _, next := range after.item[after.first[job]:after.first[job+1]] {
			l.waiting[next]--
			if l.waiting[next] > 0 {
				continue
			}
			r := int(l.rank[next])
			l.ready[r>>6] |= 1 << (r & 63)
			word = min(word, r>>6)
		}
	}
}
