package network

import (
	"slices"

	"jambwright/scheduler/calendar"
)

// backwardPass mirrors the forward pass: each task finishes at its deadline or GC date or where the links out of it let
// it, on each of its options, and the option that begins latest gives its late dates. A finish that nothing else
// bounds, an open end, is tied to the project finish. O(tasks + links + options).
func (w *Workspace) backwardPass() {
	for _, t := range slices.Backward(w.c.Order) {
		w.placeLate(t)
	}
}

// placeLate computes one task's late dates from those of its successors.
func (w *Workspace) placeLate(t TaskIndex) {
	c, d := w.c, &w.dates
	switch {
	case !d.Placed(t):
		d.LateBegin[t], d.LateFinish[t], d.LastFinish[t] = calendar.Never, calendar.Never, calendar.Never
		return
	case c.State[t] == Done:
		finished := c.FinishedAt(t)
		d.LateBegin[t], d.LateFinish[t], d.LastFinish[t] = c.StartedAt(t), finished, finished
		return
	}
	start, finish := w.lateBounds(t, c.DueBy(t))
	if finish == calendar.Never {
		finish = d.ProjectFinish
	}
	d.LateBegin[t], d.LateFinish[t], d.LastFinish[t] = w.latestPlace(t, start, finish)
}

// latestPlace tries all options of a task between bounds. What would have to begin before the horizon begins with it,
// once the horizon is as long as it may be.
func (w *Workspace) latestPlace(t TaskIndex, start, finish calendar.Instant) (begin, end, last calendar.Instant) {
	begin, end, last = calendar.BeforeAll, calendar.BeforeAll, calendar.BeforeAll
	for k, o := range w.c.Options(t) {
		s, f := w.c.Calendars[o.Calendar].LatestPiece(start, finish, w.minutesOf(t, k))
		last = max(last, f)
		if s > begin {
			begin, end = s, f
		}
	}
	if begin == calendar.BeforeAll {
		w.ranOff = true
		w.short[AlwaysCalendar] = true // no calendar is to blame for a date that lies so far back
		return w.c.From, w.c.From, w.c.From
	}
	return begin, end, last
}

// lateBounds are the latest begin and the latest finish that the given date and the links out of a task allow. The
// start of a task under way has happened and is bound no more.
func (w *Workspace) lateBounds(t TaskIndex, finishBy calendar.Instant) (start, finish calendar.Instant) {
	start, finish = calendar.Never, finishBy
	for _, index := range w.c.Outgoing(t) {
		l := &w.c.Links[index]
		bound := w.lateLinkBound(l)
		if !l.Relation.FromStart() {
			finish = min(finish, bound)
		} else if w.c.State[t] == Open {
			start = min(start, bound)
		}
	}
	return start, finish
}

// lateLinkBound is what a link allows its predecessor's start or finish at the late dates of its successor. A successor
// without dates allows everything. Negative lag alone would let a predecessor finish when all is over: a link allows no
// finish after both its successor's and the project's.
func (w *Workspace) lateLinkBound(l *Link) calendar.Instant {
	event := w.dates.LateBegin[l.To]
	if l.Relation.BoundsFinish() {
		event = w.dates.LastFinish[l.To]
	}
	bound := w.c.TakeLag(l, event)
	if l.Lag < 0 && !l.Relation.FromStart() {
		bound = min(bound, max(w.dates.ProjectFinish, w.dates.LastFinish[l.To]))
	}
	return bound
}
