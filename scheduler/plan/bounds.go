package plan

import (
	"jambwright/scheduler/problem"
)

func (w *writer) lowerBound() problem.LowerBound {
	return problem.LowerBound{Makespan: w.m.DataDate.Time()}
}
