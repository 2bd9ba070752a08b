package network

import "jambwright/scheduler/calendar"

// forwardPass fills the early dates in topological order (Kelley and Walker 1959): each task begins at its release or
// where the links into it let it, on each of its options, and the option that finishes earliest gives its dates.
// O(tasks + links + options).
func (w *Workspace) forwardPass() {
	for _, t := range w.c.Order {
		w.placeEarly(t)
	}
	w.dates.ProjectFinish = w.latestFinish()
}

// latestFinish is the latest early finish of what has dates.
func (w *Workspace) latestFinish() calendar.Instant {
	latest := calendar.BeforeAll
	for _, finish := range w.dates.EarlyFinish {
		if finish != calendar.Never {
			latest = max(latest, finish)
		}
	}
	if latest == calendar.BeforeAll {
		return w.c.DataDate
	}
	return latest
}

// placeEarly computes one task's early dates from those of its predecessors.
func (w *Workspace) placeEarly(t TaskIndex) {
	c, d := w.c, &w.dates
	d.Choice[t] = 0
	switch {
	case c.State[t] == Done:
		started := c.StartedAt(t)
		d.EarlyBegin[t], d.EarlyFinish[t], d.FirstStart[t] = started, c.FinishedAt(t), started
		return
	case c.HeldBy(t) != None:
		d.EarlyBegin[t], d.EarlyFinish[t], d.FirstStart[t] = calendar.Never, calendar.Never, calendar.Never
		return
	}
	start, finish := w.earlyBounds(t)
	begin, end, first := calendar.Never, calendar.Never, calendar.Never
	for k, o := range c.Options(t) {
		s, f := c.Calendars[o.Calendar].EarliestPiece(start, finish, w.minutesOf(t, k))
		if f == calendar.Never {
			continue // this crew's calendar runs out
		}
		first = min(first, s)
		if f < end {
			begin, end = s, f
			d.Choice[t] = int32(k)
		}
	}
	if end != calendar.Never && c.State[t] == Started {
		first = c.StartedAt(t)
	}
	d.EarlyBegin[t], d.EarlyFinish[t], d.FirstStart[t] = begin, end, first
	if end == calendar.Never {
		w.fallShort(t)
	}
}

// earlyBounds are the earliest begin and the earliest finish that release and links allow.
func (w *Workspace) earlyBounds(t TaskIndex) (start, finish calendar.Instant) {
	start, finish = w.release[t], calendar.BeforeAll
	links := w.c.Incoming(t)
	for i := range links {
		l := &links[i]
		bound := w.linkBound(l)
		if l.Relation.BoundsFinish() {
			finish = max(finish, bound)
		} else {
			start = max(start, bound)
		}
	}
	return start, finish
}

// linkBound is what a link demands of its successor's start or finish at the early dates of its predecessor.
func (w *Workspace) linkBound(l *Link) calendar.Instant {
	if l.Relation.FromStart() {
		return w.c.AddLag(l, w.dates.FirstStart[l.From])
	}
	return w.c.AddLag(l, w.dates.EarlyFinish[l.From])
}

// minutesOf is the working minutes of a task on its k-th option, as changed by SetMinutes.
func (w *Workspace) minutesOf(t TaskIndex, k int) calendar.WorkMinutes {
	place := int(w.c.options.offsets[t]) + k
	if len(w.minutes) > 0 {
		return w.minutes[place]
	}
	return w.c.options.items[place].Minutes
}
