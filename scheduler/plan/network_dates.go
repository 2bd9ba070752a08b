package plan

import (
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/problem"
)

// networkDates fills in the dates that ignore shared crews and limits.
func (w *writer) networkDates(t crewing.TaskIndex, row *problem.PlannedTask) {
	d := w.dates
	if w.m.StateOf(t) == crewing.Done || !d.Placed(t) {
		row.EarlyStart, row.EarlyFinish = row.Start, row.Finish
		row.LateStart, row.LateFinish = row.Start, row.Finish
		return
	}
	row.EarlyStart, row.EarlyFinish = d.EarlyStart(t).Time(), d.EarlyFinish[t].Time()
	// Work that started later than it should have keeps its reported start; its late dates are those of what remains.
	late := min(d.LateStart(t), d.LateBegin[t])
	row.LateStart, row.LateFinish = w.inHorizon(late).Time(), w.inHorizon(d.LateFinish[t]).Time()
	row.TotalFloatMinutes, row.FreeFloatMinutes = int(d.TotalFloat[t]), int(d.FreeFloat[t])
	row.Critical = d.Critical(t)
}

// inHorizon keeps a late date that no calendar bounds writable as a date.
func (w *writer) inHorizon(t calendar.Instant) calendar.Instant {
	return min(max(t, w.m.From), w.m.To)
}
