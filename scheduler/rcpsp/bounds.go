package rcpsp

import "slices"

// heads returns the earliest start of every job with unlimited resources: the forward pass of Kelley and Walker
// ("Critical-path planning and scheduling", 1959). Jobs are numbered topologically, so one sweep is enough.
func (in *Instance) heads() []int32 {
	head := make([]int32, in.Jobs())
	for job := range head {
		for _, before := range in.Predecessors(job) {
			head[job] = max(head[job], head[before]+in.Duration[before])
		}
	}
	return head
}

// tails returns, for every job, the longest chain of durations after its finish.
func (in *Instance) tails() []int32 {
	tail := make([]int32, in.Jobs())
	for job := len(tail) - 1; job >= 0; job-- {
		for _, next := range in.Successors(job) {
			tail[job] = max(tail[job], tail[next]+in.Duration[next])
		}
	}
	return tail
}

// CriticalPath returns the makespan with unlimited resources, a lower bound. O(jobs + relations).
func (in *Instance) CriticalPath() int32 {
	head := in.heads()
	return head[len(head)-1]
}

// EnergyBound returns a lower bound from work content: the jobs that cannot start before a nor leave less than b after
// them need at least their work on a resource divided by its capacity, so the makespan is a + that + b or more. All
// pairs of a head and a tail are tried for every resource. With a = b = 0 this is the plain resource bound of Stinson,
// Davis and Khumawala ("Multiple resource-constrained scheduling using branch and bound", AIIE Transactions 10, 1978).
// O(resources x jobs²).
func (in *Instance) EnergyBound() int32 {
	head, tail := in.heads(), in.tails()
	byHead := make([]int, in.Jobs())
	for job := range byHead {
		byHead[job] = job
	}
	slices.SortFunc(byHead, func(a, b int) int { return int(head[b]) - int(head[a]) })
	leastTails := slices.Clone(tail)
	slices.Sort(leastTails)
	leastTails = slices.Compact(leastTails)
	bound := int32(0)
	for k, capacity := range in.Capacity {
		if capacity == 0 {
			continue
		}
		for _, b := range leastTails {
			work := int64(0)
			for _, job := range byHead {
				if tail[job] < b {
					continue
				}
				work += int64(in.Duration[job]) * int64(in.units(int32(job))[k])
				periods := (work + int64(capacity) - 1) / int64(capacity)
				if work > 0 {
					bound = max(bound, head[job]+int32(periods)+b)
				}
			}
		}
	}
	return bound
}
