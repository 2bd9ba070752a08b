package network

import (
	"math"
	"slices"

	"jambwright/scheduler/calendar"
)

// NoFloat is the float of a task to a GC date that it does not lead to.
const NoFloat calendar.WorkMinutes = math.MaxInt64

// FloatsTo measures, for every task, how much its begin may slip until this one GC date is missed, other dates and the
// project finish aside: a backward pass from the date's tasks alone. NoFloat marks tasks that do not lead to the date,
// finished and unplaced ones included. The floats go to list if it has room for one entry a task, and are returned.
// O(tasks + links + options).
func (w *Workspace) FloatsTo(g GCDateIndex, list []calendar.WorkMinutes) []calendar.WorkMinutes {
	list = resized(list, w.c.Tasks())
	d := &w.dates
	late := [...]*[]calendar.Instant{&d.LateBegin, &d.LateFinish, &d.LastFinish}
	for i := range late { // lend the pass other memory for its results
		w.lent[i] = resized(w.lent[i], w.c.Tasks())
		*late[i], w.lent[i] = w.lent[i], *late[i]
	}
	finish := d.ProjectFinish
	d.ProjectFinish = calendar.Never // bounds nothing here
	w.dateBy = resized(w.dateBy, w.c.Tasks())
	for t := range w.dateBy {
		w.dateBy[t] = calendar.Never
	}
	for _, t := range w.c.GCDates[g].Tasks {
		w.dateBy[t] = w.c.GCDates[g].Date
	}
	for _, t := range slices.Backward(w.c.Order) {
		list[t] = w.floatToDate(t)
	}
	d.ProjectFinish = finish
	for i := range late {
		*late[i], w.lent[i] = w.lent[i], *late[i]
	}
	return list
}

func (w *Workspace) floatToDate(t TaskIndex) calendar.WorkMinutes {
	d := &w.dates
	d.LateBegin[t], d.LateFinish[t], d.LastFinish[t] = calendar.Never, calendar.Never, calendar.Never
	if !d.Placed(t) || w.c.State[t] == Done {
		return NoFloat
	}
	start, finish := w.lateBounds(t, w.dateBy[t])
	if start == calendar.Never && finish == calendar.Never {
		return NoFloat
	}
	d.LateBegin[t], d.LateFinish[t], d.LastFinish[t] = w.latestPlace(t, start, finish)
	return w.ownCalendar(t).Count(d.EarlyBegin[t], d.LateBegin[t])
}
