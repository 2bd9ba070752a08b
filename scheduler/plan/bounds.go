package plan

import (
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/problem"
)

// networkDates fills in the dates that ignore shared crews.
func (w *writer) networkDates(t crewing.TaskIndex, row *problem.PlannedTask) {
	row.EarlyStart, row.EarlyFinish = row.Start, row.Finish
	row.LateStart, row.LateFinish = row.Start, row.Finish
}

func (w *writer) lowerBound() problem.LowerBound {
	return problem.LowerBound{Makespan: w.m.DataDate.Time()}
}
