package network

import "jambwright/scheduler/calendar"

// floats fills total and free float from the dates of both passes. O(tasks + links).
func (w *Workspace) floats() {
	for t := range TaskIndex(w.c.Tasks()) {
		w.measureFloat(t)
	}
}

func (w *Workspace) measureFloat(t TaskIndex) {
	d := &w.dates
	d.TotalFloat[t], d.FreeFloat[t] = 0, 0
	if d.Placed(t) && w.c.State[t] != Done {
		own := w.ownCalendar(t)
		d.TotalFloat[t] = own.Count(d.EarlyBegin[t], d.LateBegin[t])
		d.FreeFloat[t] = w.freeFloat(t, own)
	}
}

// freeFloat is the smallest slack of the links out of a task, all dates early. No finish may slip past the project
// finish: that bounds open ends, and links with negative lag.
func (w *Workspace) freeFloat(t TaskIndex, own *calendar.Calendar) calendar.WorkMinutes {
	d := &w.dates
	start, finish := calendar.Never, calendar.Never // latest that moves no successor
	for _, index := range w.c.Outgoing(t) {
		l := &w.c.Links[index]
		if !d.Placed(l.To) {
			continue
		}
		event := d.EarlyBegin[l.To]
		if l.Relation.BoundsFinish() {
			event = d.EarlyFinish[l.To]
		}
		switch bound := w.c.TakeLag(l, event); {
		case !l.Relation.FromStart():
			finish = min(finish, bound)
		case w.c.State[t] == Open:
			start = min(start, bound)
		}
	}
	finish = min(finish, d.ProjectFinish) // an open end, or negative lag
	float := own.Count(d.EarlyFinish[t], finish)
	if start != calendar.Never {
		float = min(float, own.Count(d.FirstStart[t], start))
	}
	return float
}

// ownCalendar is the calendar that counts a task's floats: that of the option of its early dates.
func (w *Workspace) ownCalendar(t TaskIndex) *calendar.Calendar {
	return w.c.Calendars[w.c.Options(t)[w.dates.Choice[t]].Calendar]
}
