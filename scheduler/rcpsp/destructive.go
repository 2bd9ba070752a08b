package rcpsp

import "slices"

// Sizes up to which destructive improvement is tried; its energy test costs O(jobs³ x resources) a trial.
const (
	destructiveJobs    = 200
	destructivePeriods = 4000
)

// trial tests whether a schedule may end by a given time, by narrowing the times at which each job may start. It is the
// destructive improvement of Klein and Scholl ("Computing lower bounds by destructive improvement: an application to
// resource-constrained project scheduling", European Journal of Operational Research 112, 1999): assume a makespan,
// refute it, and the bound rises by one.
type trial struct {
	in    *Instance
	head  []int32
	tail  []int32
	early []int32 // earliest start of each job under the assumed makespan
	late  []int32 // latest start
	// held[k][t] is what must be held of resource k in period t whatever the starts.
	held [][]int32
	// exclusive lists pairs of jobs without a relation that ask together for more than a capacity.
	exclusive [][2]int32
	// scratch of overfull: ends of intervals, and jobs by latest start
	begins, ends   []int32
	byLate, active []int32
	energy         []int64
}

func newTrial(in *Instance) *trial {
	n := in.Jobs()
	t := &trial{
		in: in, head: in.heads(), tail: in.tails(),
		early: make([]int32, n), late: make([]int32, n),
		held: make([][]int32, len(in.Capacity)), energy: make([]int64, len(in.Capacity)),
	}
	for a := range n {
		if in.Duration[a] > 0 {
			t.byLate = append(t.byLate, int32(a))
		}
		for b := a + 1; b < n; b++ {
			if in.Duration[a] > 0 && in.Duration[b] > 0 && in.exceeds(a, b) {
				t.exclusive = append(t.exclusive, [2]int32{int32(a), int32(b)})
			}
		}
	}
	return t
}

// exceeds reports whether two jobs cannot run at the same time.
func (in *Instance) exceeds(a, b int) bool {
	for k, units := range in.units(int32(a)) {
		if units+in.units(int32(b))[k] > in.Capacity[k] {
			return true
		}
	}
	return false
}

// raise lifts a lower bound by refuting makespans below that of a known schedule, halving the gap at each trial, and
// stops early when asked. A refuted makespan refutes all shorter ones.
func raise(in *Instance, bound, known int32, stop func() bool) int32 {
	if in.Jobs() > destructiveJobs || known > destructivePeriods {
		return bound
	}
	t := newTrial(in)
	for open := known - 1; bound <= open && !stop(); { // no makespan above open needs to be tried
		middle := bound + (open-bound)/2
		if t.refutes(middle) {
			bound = middle + 1
		} else {
			open = middle - 1
		}
	}
	return bound
}

// refutes reports whether it is certain that no schedule ends by the given time.
func (t *trial) refutes(makespan int32) bool {
	for job, d := range t.in.Duration {
		t.early[job] = t.head[job]
		t.late[job] = makespan - t.tail[job] - d
	}
	for {
		before := t.slack()
		if before < 0 || !t.relate() || !t.separate() || !t.holdRoom(makespan) {
			return true
		}
		if t.slack() == before {
			return t.overfull()
		}
	}
}

// slack is the sum of all windows, or -1 when a job has no start left.
func (t *trial) slack() int64 {
	sum := int64(0)
	for job, early := range t.early {
		if early > t.late[job] {
			return -1
		}
		sum += int64(t.late[job] - early)
	}
	return sum
}

// relate carries the windows along the relations; false means that some job has no start left.
func (t *trial) relate() bool {
	for job, d := range t.in.Duration {
		for _, next := range t.in.Successors(job) {
			t.early[next] = max(t.early[next], t.early[job]+d)
		}
	}
	for job := len(t.late) - 1; job >= 0; job-- {
		for _, next := range t.in.Successors(job) {
			t.late[job] = min(t.late[job], t.late[next]-t.in.Duration[job])
		}
	}
	return t.slack() >= 0
}

// separate orders pairs of jobs that exclude each other when only one order is left.
func (t *trial) separate() bool {
	for _, pair := range t.exclusive {
		a, b := pair[0], pair[1]
		aFirst := t.early[a]+t.in.Duration[a] <= t.late[b]
		bFirst := t.early[b]+t.in.Duration[b] <= t.late[a]
		switch {
		case !aFirst && !bFirst:
			return false
		case !bFirst:
			t.before(a, b)
		case !aFirst:
			t.before(b, a)
		}
	}
	return t.slack() >= 0
}

func (t *trial) before(a, b int32) {
	t.early[b] = max(t.early[b], t.early[a]+t.in.Duration[a])
	t.late[a] = min(t.late[a], t.late[b]-t.in.Duration[a])
}

// holdRoom narrows the windows by the core times: a job whose latest start lies before its earliest finish runs in
// between whatever its start, and the others must find room beside it.
func (t *trial) holdRoom(makespan int32) bool {
	for k := range t.held {
		t.held[k] = slices.Grow(t.held[k][:0], int(makespan))[:makespan]
		clear(t.held[k])
	}
	for job := range t.early {
		t.hold(int32(job), 1)
	}
	for k, capacity := range t.in.Capacity {
		if len(t.held[k]) > 0 && slices.Max(t.held[k]) > capacity {
			return false
		}
	}
	for job := range t.early {
		j := int32(job)
		if t.in.Duration[job] == 0 {
			continue
		}
		t.hold(j, -1)
		t.narrow(j)
		if t.early[job] > t.late[job] {
			return false
		}
		t.hold(j, 1)
	}
	return true
}

// hold adds the core time of a job to what is held, or with sign -1 takes it away.
func (t *trial) hold(job, sign int32) {
	from, to := t.late[job], t.early[job]+t.in.Duration[job]
	for k, units := range t.in.units(job) {
		for p := from; units > 0 && p < to; p++ {
			t.held[k][p] += sign * units
		}
	}
}

// narrow moves the ends of a job's window past the periods without room. The job's own core must not be held.
func (t *trial) narrow(job int32) {
	d := t.in.Duration[job]
	for p := t.early[job]; p < t.early[job]+d && t.early[job] <= t.late[job]; p++ {
		if !t.hasRoom(job, p) {
			t.early[job] = p + 1
		}
	}
	for p := t.late[job] + d - 1; p >= t.late[job] && t.early[job] <= t.late[job]; p-- {
		if !t.hasRoom(job, p) {
			t.late[job] = p - d
		}
	}
}

func (t *trial) hasRoom(job, period int32) bool {
	for k, units := range t.in.units(job) {
		if units > 0 && t.held[k][period]+units > t.in.Capacity[k] {
			return false
		}
	}
	return true
}

// overfull reports an interval in which the jobs must do more work than a resource offers: the energy test of Erschler,
// Lopez and Thuriot ("Raisonnement temporel sous contraintes de ressource et problemes d'ordonnancement", Revue
// d'Intelligence Artificielle 5, 1991). Only intervals from an earliest start to a latest finish are tried.
func (t *trial) overfull() bool {
	t.begins, t.ends = t.begins[:0], t.ends[:0]
	for job, d := range t.in.Duration {
		if d > 0 {
			t.begins = append(t.begins, t.early[job])
			t.ends = append(t.ends, t.late[job]+d)
		}
	}
	slices.Sort(t.begins)
	slices.Sort(t.ends)
	t.begins, t.ends = slices.Compact(t.begins), slices.Compact(t.ends)
	slices.SortFunc(t.byLate, func(a, b int32) int { return int(t.late[a]) - int(t.late[b]) })
	for _, begin := range t.begins {
		t.active = t.active[:0]
		for _, job := range t.byLate {
			if t.early[job]+t.in.Duration[job] > begin {
				t.active = append(t.active, job)
			}
		}
		for _, end := range t.ends {
			if begin < end && t.needsMore(begin, end) {
				return true
			}
		}
	}
	return false
}

// needsMore sums the least work every job has inside an interval, over all its starts. active holds the jobs that may
// have any, by latest start; those that can start at the end or later have none.
func (t *trial) needsMore(begin, end int32) bool {
	clear(t.energy)
	for _, job := range t.active {
		late, d := t.late[job], t.in.Duration[job]
		if late >= end {
			break
		}
		inside := int64(min(end-begin, d, t.early[job]+d-begin, end-late))
		for k, units := range t.in.units(job) {
			t.energy[k] += inside * int64(units)
		}
	}
	for k, capacity := range t.in.Capacity {
		if t.energy[k] > int64(capacity)*int64(end-begin) {
			return true
		}
	}
	return false
}
