package rcpsp

// A Rule orders jobs by urgency for the serial method.
type Rule uint8

// The rules, after Kolisch ("Efficient priority rules for the resource-constrained project scheduling problem", Journal
// of Operations Management 14, 1996), who found LatestFinish among the best for the serial method.
const (
	// LatestFinish takes first the job whose tail leaves it the least time: the smallest latest finish.
	LatestFinish Rule = iota
	// LatestStart takes first the smallest latest start.
	LatestStart
	// MostSuccessors takes first the job with the most jobs after it, directly or not.
	MostSuccessors
	// GreatestRankWeight takes first the greatest sum of a job's duration and those of its direct successors.
	GreatestRankWeight
	// ShortestDuration takes first the shortest job.
	ShortestDuration
	ruleCount
)

// urgency returns one number per job; the smaller it is, the more urgent the job.
func (in *Instance) urgency(rule Rule) []int32 {
	n := in.Jobs()
	value := make([]int32, n)
	tail := in.tails()
	for job := range n {
		switch rule {
		case LatestFinish:
			value[job] = tail[0] - tail[job]
		case LatestStart:
			value[job] = tail[0] - tail[job] - in.Duration[job]
		case MostSuccessors:
			value[job] = -in.countAfter(job)
		case GreatestRankWeight:
			value[job] = -in.Duration[job]
			for _, next := range in.Successors(job) {
				value[job] -= in.Duration[next]
			}
		case ShortestDuration:
			value[job] = in.Duration[job]
		default:
			panic("rcpsp: unknown rule")
		}
	}
	return value
}

// countAfter counts all jobs reachable from a job.
func (in *Instance) countAfter(job int) int32 {
	reached := make([]bool, in.Jobs())
	reached[job] = true
	count := int32(0)
	for j := job; j < len(reached); j++ {
		if !reached[j] {
			continue
		}
		count++
		for _, next := range in.Successors(j) {
			reached[next] = true
		}
	}
	return count - 1
}

// ScheduleByRule returns the starts and the makespan of the serial method under one rule; equal urgency is decided by
// the lower job number.
func ScheduleByRule(in *Instance, rule Rule) (starts []int32, makespan int32) {
	g := newGenerator(in)
	l := newLister(in)
	list := make([]int32, in.Jobs())
	l.byUrgency(list, in.urgency(rule), forward)
	starts = make([]int32, in.Jobs())
	makespan = g.build(list, forward, starts)
	return starts, makespan
}
