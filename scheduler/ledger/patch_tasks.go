package ledger

import (
	"maps"
	"time"

	"jambwright/scheduler/problem"
)

func (f *finder) newTask(t *track) {
	var started *time.Time
	if t.later.Status != nil {
		started = &t.later.Status.Started
	}
	cause := GCChange
	if owner := f.in.Owner[t.id]; owner != "" && owner != OwnWork {
		cause = owner
	}
	f.add(NewWork, t.id, cause, func(s *state) { s.present[t.id] = true; s.setWhole(t) }, started)
}

func (f *finder) goneTask(t *track) {
	f.add(GoneWork, t.id, GCChange, func(s *state) { delete(s.present, t.id) }).eases = true
}

// task finds the patches of a task that both problems have and that was not finished before the window.
func (f *finder) task(t *track) {
	a, b := t.earlier, t.later
	milestone := isMilestone(a) && isMilestone(b)
	switch {
	case milestone:
		f.handover(t)
	case !sameBound(a, b):
		f.hold(t)
	}
	if !samePin(a.Pin, b.Pin) && b.Status == nil {
		f.add(Decisions, t.id, Replanning, func(s *state) { s.task(t).Pin = b.Pin })
	}
	if !sameScope(a, b) {
		f.scope(t)
	}
	if !milestone {
		f.length(t)
	}
}

// isMilestone reports whether a task is a date of others: fixed work without length.
func isMilestone(t *problem.Task) bool { return t.DurationMinutes != nil && *t.DurationMinutes == 0 }

// handover finds a moved date. With hindsight it is the day on which it came.
func (f *finder) handover(t *track) {
	a, b := t.earlier, t.later
	date, finished := b.NotBefore, (*time.Time)(nil)
	if b.IsFinished() {
		date, finished = b.Status.Finished, b.Status.Finished
	}
	if a.Waits == b.Waits && sameTime(a.NotBefore, date) {
		return
	}
	f.add(Handover, t.id, f.owner(b), func(s *state) {
		task := s.task(t)
		task.NotBefore, task.NotBeforeCause, task.Waits = date, b.NotBeforeCause, b.Waits
	}, a.NotBefore, finished).eases = eases(a, date, b.Waits)
}

// hold finds a bound on a start that came, moved or went.
func (f *finder) hold(t *track) {
	a, b := t.earlier, t.later
	var begun, due *time.Time
	if b.Status != nil {
		begun = &b.Status.Started
	}
	if t.planned != nil {
		due = &t.planned.Start
	}
	f.add(Hold, t.id, f.owner(b), func(s *state) {
		task := s.task(t)
		task.NotBefore, task.NotBeforeCause, task.Waits = b.NotBefore, b.NotBeforeCause, b.Waits
		if a.IsStarted() && b.Status == nil { // what is left of it waits
			s.stopped[t.id] = true
			task.LabourMinutes, task.DurationMinutes = b.LabourMinutes, b.DurationMinutes
		}
	}, begun, due).eases = eases(a, b.NotBefore, b.Waits)
}

// eases reports whether a bound on a task lets it go on sooner than it stood in the earlier problem.
func eases(a *problem.Task, bound *time.Time, waits bool) bool {
	switch {
	case waits:
		return false
	case a.Waits:
		return true
	}
	return a.NotBefore != nil && (bound == nil || bound.Before(*a.NotBefore))
}

// scope finds other hours, hands, places and limits of work. The length of work that was begun is a matter of pace.
func (f *finder) scope(t *track) {
	b := t.later
	var due *time.Time
	if t.planned != nil {
		due = &t.planned.Start
	}
	f.add(Scope, t.id, Unknown, func(s *state) {
		task := s.task(t)
		task.Kind, task.Site, task.Area, task.MinHeads = b.Kind, b.Site, b.Area, b.MinHeads
		task.Uses, task.Deadline = b.Uses, b.Deadline
		if b.IsCrewWork() && b.Status == nil {
			task.LabourMinutes, task.DurationMinutes, task.Calendar = b.LabourMinutes, nil, ""
		}
	}, due)
}

// length finds work that takes longer or shorter than the earlier plan counted on: begun work by what it took, work not begun by
// what it is to take.
func (f *finder) length(t *track) {
	a, b := t.earlier, t.later
	if a.IsCrewWork() != b.IsCrewWork() {
		f.add(Scope, t.id, Unknown, func(s *state) { s.setWhole(t) })
		return
	}
	kind := Lead
	if b.IsCrewWork() {
		kind = Pace
	}
	var due, done *time.Time
	if t.planned != nil {
		due = &t.planned.Finish
	}
	if b.IsFinished() {
		done = b.Status.Finished
	}
	switch {
	case t.began && t.isInstant() && !a.IsStarted():
		return
	case t.began && t.crew == nil && b.IsCrewWork():
		return // nobody is named whose time it took
	case t.began && t.total == 0 && b.IsCrewWork():
		return // outside the crew's hours
	case t.began:
		if t.total == t.plannedMinutes() && a.Calendar == b.Calendar {
			return
		}
	case b.IsCrewWork() || a.IsStarted():
		return // a matter of scope, or a hold has stopped it
	case *a.DurationMinutes == *b.DurationMinutes && a.Calendar == b.Calendar:
		return
	}
	shorter := !t.began && *b.DurationMinutes < *a.DurationMinutes || t.began && t.total < t.plannedMinutes()
	f.add(kind, t.id, f.owner(b), func(s *state) { s.setLength(t) }, due, done).eases = shorter || a.Calendar != b.Calendar
}

func sameBound(a, b *problem.Task) bool {
	return a.Waits == b.Waits && sameTime(a.NotBefore, b.NotBefore)
}

func sameScope(a, b *problem.Task) bool {
	labour := b.Status != nil || a.IsStarted() || sameMinutes(a.LabourMinutes, b.LabourMinutes)
	return labour && a.Kind == b.Kind && a.Site == b.Site && a.Area == b.Area && a.HeadsNeeded() == b.HeadsNeeded() &&
		maps.Equal(a.Uses, b.Uses) && sameTime(a.Deadline, b.Deadline)
}

func samePin(a, b *problem.Pin) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Crew == b.Crew && sameTime(a.Start, b.Start)
}

func sameTime(a, b *time.Time) bool {
	if a == nil || b == nil {
		return a == b
	}
	return a.Equal(*b)
}

func sameMinutes(a, b *int) bool {
	if a == nil || b == nil {
		return a == b
	}
	return *a == *b
}
