package rcpsp

import "math/bits"

// A lister makes lists in which no job comes before one that delays it. It owns the scratch memory of that work.
type lister struct {
	in       *Instance
	waiting  []int32  // per job: relations not yet satisfied
	eligible []int32  // jobs whose relations are all satisfied
	rank     []int32  // per job: its place in the order of byOrder
	ready    []uint64 // one bit per rank: the job may come next
}

func newLister(in *Instance) *lister {
	n := in.Jobs()
	return &lister{in: in, waiting: make([]int32, n), eligible: make([]int32, 0, n), rank: make([]int32, n), ready: make([]uint64, (n+63)/64)}
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
		list[i] = l.take(l.draw(urgency, chance), after)
	}
}

func (l *lister) draw(urgency []int32, chance *random) int {
	if len(l.eligible) == 1 {
		return 0
	}
	worst := urgency[l.eligible[0]]
	for _, job := range l.eligible[1:] {
		worst = max(worst, urgency[job])
	}
	total := int64(0)
	for _, job := range l.eligible {
		total += int64(worst-urgency[job]) + 1
	}
	left := chance.below(total)
	for p, job := range l.eligible {
		left -= int64(worst-urgency[job]) + 1
		if left < 0 {
			return p
		}
	}
	panic("rcpsp: the drawn number exceeds the sum of the weights")
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
