package problem

import (
	"maps"
	"slices"
	"time"
)

func (v *validator) checkTasks() {
	for i := range v.p.Tasks {
		t, at := &v.p.Tasks[i], spot{"tasks", i}
		v.own(at, &v.tasks, t.ID)
		if t.Kind == "" {
			v.fault(at, "kind", "", "task %q has no kind", t.ID)
		}
		v.checkTaskPlace(at, t)
		v.checkWork(at, t)
		v.checkUses(at, t)
		v.start(at, "not_before", t.NotBefore)
		v.optionalInstant(at, "deadline", t.Deadline)
		v.checkPin(at, t)
		v.checkStatus(at, t)
		if t.IsCrewWork() {
			v.checkEligible(at, t)
		}
	}
}

func (v *validator) optionalInstant(at spot, field string, t *time.Time) {
	if t != nil {
		v.instant(at, field, *t)
	}
}

// start checks a time that work must wait for. Plans reach 20 years ahead, so that later ones are slips of the pen.
func (v *validator) start(at spot, field string, t *time.Time) {
	v.optionalInstant(at, field, t)
	if t != nil && t.Sub(v.p.DataDate) > MaxMinutes*time.Minute && !v.unreadable["data_date"] {
		v.fault(at, field, "", "%s is more than 20 years after the data date %s", t.Format(time.RFC3339), v.p.DataDate.Format(time.RFC3339))
	}
}

func (v *validator) checkTaskPlace(at spot, t *Task) {
	if t.Site != "" {
		v.known(at, "site", &v.sites, t.Site)
	} else if t.IsCrewWork() && !v.unreadable[at.field("site")] {
		v.fault(at, "site", "", "task %q is crew work and names no site", t.ID)
	}
	if t.Area == "" || !v.known(at, "area", &v.areas, t.Area) {
		return
	}
	if area := &v.p.Areas[v.areas.index[t.Area]]; t.Site != "" && area.Site != t.Site && area.Site != "" {
		v.fault(at, "area", "", "task %q is on site %q, area %q on site %q", t.ID, t.Site, area.ID, area.Site)
	}
}

// checkWork checks that the task is crew work or fixed work, and its size.
func (v *validator) checkWork(at spot, t *Task) {
	switch {
	case t.LabourMinutes != nil && t.DurationMinutes != nil:
		v.fault(at, "", "keep one: labour_minutes for crew work, duration_minutes and calendar for fixed work",
			"task %q has both labour_minutes %d and duration_minutes %d", t.ID, *t.LabourMinutes, *t.DurationMinutes)
	case t.LabourMinutes != nil:
		v.minutes(at, "labour_minutes", *t.LabourMinutes)
		if t.Calendar != "" {
			v.fault(at, "calendar", "leave it out", "task %q is crew work and runs in its crew's calendar, not in %q", t.ID, t.Calendar)
		}
	case t.DurationMinutes != nil:
		v.minutes(at, "duration_minutes", *t.DurationMinutes)
		v.checkFixedCalendar(at, t)
	case !v.unreadable[at.String()]:
		v.fault(at, "", "give labour_minutes for crew work, or duration_minutes and calendar for fixed work",
			"task %q has neither labour_minutes nor duration_minutes", t.ID)
	}
	if t.MinHeads < 0 {
		v.fault(at, "min_heads", "", "task %q needs %d heads, it must be 1 or more", t.ID, t.MinHeads)
	}
}

func (v *validator) checkFixedCalendar(at spot, t *Task) {
	switch {
	case t.Calendar != "":
		v.usable(at, "calendar", t.Calendar)
	case !v.unreadable[at.field("calendar")]:
		v.fault(at, "calendar", "name one, or \""+Always+"\"", "task %q is fixed work and has no calendar", t.ID)
	}
}

func (v *validator) checkUses(at spot, t *Task) {
	for _, id := range slices.Sorted(maps.Keys(t.Uses)) {
		field, units := "uses."+id, t.Uses[id]
		if !v.known(at, field, &v.limits, id) {
			continue
		}
		limit := &v.p.Limits[v.limits.index[id]]
		switch {
		case units < 0:
			v.fault(at, field, "", "task %q uses %d of limit %q, it must be 0 or more", t.ID, units, id)
		case units > limit.Capacity && !v.unreadable[spot{"limits", v.limits.index[id]}.field("capacity")]:
			v.fault(at, field, "", "task %q uses %d of limit %q, which holds %d", t.ID, units, id, limit.Capacity)
		}
	}
}

func (v *validator) checkPin(at spot, t *Task) {
	if t.Pin == nil {
		return
	}
	if t.Pin.Crew == "" && t.Pin.Start == nil && !v.unreadable[at.field("pin")] {
		v.fault(at, "pin", "give a crew, a start or both, or leave the pin out", "the pin of task %q holds nothing", t.ID)
	}
	v.start(at, "pin.start", t.Pin.Start)
	switch {
	case t.Pin.Crew == "":
	case t.DurationMinutes != nil:
		v.fault(at, "pin.crew", "pin its start only", "task %q is fixed work and has no crew to pin", t.ID)
	default:
		v.known(at, "pin.crew", &v.crews, t.Pin.Crew)
	}
}

func (v *validator) checkStatus(at spot, t *Task) {
	s := t.Status
	if s == nil {
		return
	}
	v.instant(at, "status.started", s.Started)
	v.optionalInstant(at, "status.finished", s.Finished)
	v.checkStatusDates(at, t)
	switch {
	case s.Finished != nil && s.RemainingMinutes != nil:
		v.fault(at, "status", "keep one of them", "task %q is finished and has %d minutes remaining", t.ID, *s.RemainingMinutes)
	case s.RemainingMinutes != nil:
		v.minutes(at, "status.remaining_minutes", *s.RemainingMinutes)
	case s.Finished == nil && !v.unreadable[at.field("status")]:
		v.fault(at, "status", "give remaining_minutes, or finished", "task %q is started and does not say what remains", t.ID)
	}
	switch {
	case s.Crew == "":
	case t.DurationMinutes != nil:
		v.fault(at, "status.crew", "leave it out", "task %q is fixed work and has no crew", t.ID)
	default:
		v.known(at, "status.crew", &v.crews, s.Crew)
	}
}

func (v *validator) checkStatusDates(at spot, t *Task) {
	s, text := t.Status, func(t time.Time) string { return t.Format(time.RFC3339) }
	dataDateKnown := !v.unreadable["data_date"]
	if s.Started.After(v.p.DataDate) && dataDateKnown {
		v.fault(at, "status.started", "what has been reported lies before the data date",
			"task %q started at %s, after the data date %s", t.ID, text(s.Started), text(v.p.DataDate))
	}
	if s.Finished == nil || v.unreadable[at.field("status")] {
		return
	}
	if s.Finished.Before(s.Started) {
		v.fault(at, "status.finished", "", "task %q finished at %s, before it started at %s", t.ID, text(*s.Finished), text(s.Started))
	}
	if s.Finished.After(v.p.DataDate) && dataDateKnown {
		v.fault(at, "status.finished", "what has been reported lies before the data date",
			"task %q finished at %s, after the data date %s", t.ID, text(*s.Finished), text(v.p.DataDate))
	}
}
