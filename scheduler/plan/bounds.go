package plan

import "jambwright/scheduler/problem"

// lowerBound is what no plan can beat, and whether this one meets it.
func (w *writer) lowerBound() problem.LowerBound {
	score := &w.s.Score
	b := problem.LowerBound{
		LatenessCost: min(w.bound.LatenessCost, score.LatenessCost), Makespan: min(w.bound.Makespan, score.Makespan).Time(),
	}
	if len(w.s.Failed) > 0 {
		return b // what is left out could have made it longer
	}
	b.LatenessCostProved = w.bound.LatenessCost >= score.LatenessCost
	b.MakespanProved = w.bound.Makespan >= score.Makespan
	b.Proved = b.LatenessCostProved && b.MakespanProved
	return b
}
