package plan

import (
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/problem"
)

// gcDate is the outlook of one GC date.
func (w *writer) gcDate(date int) problem.PlannedDate {
	row := problem.PlannedDate{ID: w.m.Problem.GCDates[date].ID, DrivingChain: []string{}}
	at, last, ok := w.m.Forecast(w.s, date)
	if !ok {
		return row
	}
	forecast := at.Time()
	row.Forecast = &forecast
	row.FloatMinutes = int(calendar.FromTime(w.m.Problem.GCDates[date].Date) - at)
	row.LateDays = w.m.LateDays(w.s, date)
	row.DrivingChain = w.drivingChain(last)
	return row
}

// drivingChain lists the tasks behind a finish, first to last: each is what held the start of the next one, as a
// predecessor, as the work that its crew came from, or as what filled a capacity. It reaches back to the data date:
// finished work is not listed, unless the date was set by it.
func (w *writer) drivingChain(last crewing.TaskIndex) []string {
	chain := []string{w.m.ID(last)}
	for t := w.m.Driver(w.s, last); t != crewing.None && w.m.StateOf(t) != crewing.Done; t = w.m.Driver(w.s, t) {
		chain = append(chain, w.m.ID(t))
	}
	slices.Reverse(chain)
	return chain
}
