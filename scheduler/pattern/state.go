package pattern

import (
	"math"
	"time"

	"jambwright/scheduler/problem"
)

// applyState gives a task what has been reported of it. A task whose state is already known from its material keeps that.
//
// Work under way that is stopped, by a hold or because it awaits a remake, does not go on at the data date as work under way
// does: what is left of it becomes a task not yet started, and the entry remembers when it began.
func (p *projectBuilder) applyState(t *problem.Task, e *Entry, awaitsRemake bool) {
	s, ok := p.f.States[TaskKey(t.ID)]
	if !ok || t.Status != nil {
		return
	}
	s.Started, s.Finished = p.reported(t.ID, "started", s.Started), p.reported(t.ID, "finished", s.Finished)
	crew := p.crews[s.Crew]
	switch {
	case s.Finished != nil:
		t.Status = &problem.Status{Started: *s.Finished, Finished: copied(s.Finished)}
		if s.Started != nil {
			// Two reports from two phones may contradict each other; the finish is what the work behind it hangs on.
			t.Status.Started = earlier(*s.Started, *s.Finished)
		}
	case s.Started != nil && (s.Held || awaitsRemake):
		e.Began = copied(s.Started)
		if t.LabourMinutes != nil {
			labour := labourLeft(t, &s, crew)
			t.LabourMinutes = &labour
		}
	case s.Started != nil:
		remaining := remainingMinutes(t, &s, crew)
		t.Status = &problem.Status{Started: *s.Started, RemainingMinutes: &remaining}
	}
	if t.Status != nil {
		// What has been reported happened, whatever is said to be missing.
		t.Waits, t.NotBefore, t.NotBeforeCause, e.Waiting = false, nil, "", ""
		if crew != nil && t.IsCrewWork() {
			t.Status.Crew = crew.ID
		}
	}
	if s.Held && s.Finished == nil {
		p.hold(t, e, &s)
	}
}

// reported is when something that a report says has happened did happen: a clock that is ahead of ours must not stop the plan, so
// a time after the data date counts as the data date and is noted.
func (p *projectBuilder) reported(id, what string, at *time.Time) *time.Time {
	if at == nil || !at.After(p.f.DataDate) {
		return at
	}
	p.noteTask(NoteFuture, TaskKey(id), "", "%s is reported %s on %s, after the data date: it counts as the data date", id, what, p.day(*at))
	return &p.f.DataDate
}

// happened is an entered date if it has come, and nil with a note when it lies after the data date.
func (p *projectBuilder) happened(subject, what string, at *time.Time) *time.Time {
	if at == nil || !at.After(p.f.DataDate) {
		return at
	}
	p.noteOf(NoteFuture, subject, "%s is entered as %s on %s, after the data date: it counts as expected then", subject, what, p.day(*at))
	return nil
}

// hold keeps a task back until the answer that is owed.
func (p *projectBuilder) hold(t *problem.Task, e *Entry, s *State) {
	cause := "hold: " + s.HoldCause
	if s.HoldParty != "" {
		cause += " (" + s.HoldParty + " owes the answer)"
	}
	switch {
	case s.HeldUntil == nil:
		p.wait(t, e, cause)
	case s.HeldUntil.After(p.f.DataDate):
		p.holdUntil(t, *s.HeldUntil, cause+" until "+p.day(*s.HeldUntil))
	default:
		e.Late = &Late{Party: s.HoldParty, Promised: *s.HeldUntil}
		p.holdUntil(t, *p.overdue(), cause+" overdue since "+p.day(*s.HeldUntil))
		p.noteTask(NoteLate, TaskKey(t.ID), e.Opening, "the answer to the hold of %s was expected %s: %s", t.ID, p.day(*s.HeldUntil), s.HoldCause)
	}
}

// remainingMinutes is what a task under way has left, in its crew's time: as reported, else its whole hours.
func remainingMinutes(t *problem.Task, s *State, crew *problem.Crew) int {
	switch {
	case s.RemainingMinutes != nil:
		return *s.RemainingMinutes
	case t.DurationMinutes != nil:
		return *t.DurationMinutes
	case crew != nil:
		return max(1, problem.CrewMinutes(*t.LabourMinutes, crew.Heads, crew.ProductivityOf(t.Kind)))
	}
	return max(1, problem.CrewMinutes(*t.LabourMinutes, max(1, t.MinHeads), 1))
}

// labourLeft turns what a stopped task has left back into labour minutes, so that any crew can take it up.
func labourLeft(t *problem.Task, s *State, crew *problem.Crew) int {
	if s.RemainingMinutes == nil {
		return *t.LabourMinutes
	}
	pace := float64(max(1, t.MinHeads))
	if crew != nil {
		pace = float64(crew.Heads) * crew.ProductivityOf(t.Kind)
	}
	const hair = 1e-6
	return max(1, int(math.Floor(float64(*s.RemainingMinutes)*pace+hair)))
}

// pin puts a person's decision on a task that is not yet started. A pinned crew that cannot do the task is noted and left
// out.
func (p *projectBuilder) pin(t *problem.Task) {
	pin, ok := p.f.Pins[TaskKey(t.ID)]
	if !ok || t.Status != nil {
		return
	}
	if pin.Crew != "" {
		c := p.crews[pin.Crew]
		if t.LabourMinutes == nil || c == nil || !c.CanDo(t) {
			p.noteTask(NoteDropped, TaskKey(t.ID), pin.Crew, "%s is pinned to crew %s, which cannot do it: the pin of the crew is left out", t.ID, pin.Crew)
			pin.Crew = ""
		}
	}
	if pin.Crew == "" && pin.Start == nil {
		return
	}
	pin.Start = copied(pin.Start)
	t.Pin = &pin
}

// noteOutOfOrder tells which work has started while what it depends on is still not finished.
func (p *projectBuilder) noteOutOfOrder() {
	for _, l := range p.p.Links[p.firstLink:] {
		from, to := p.position(l.From), p.position(l.To)
		if from < 0 || to < 0 || l.Relation() != problem.FinishToStart {
			continue
		}
		before, after := &p.p.Tasks[from], &p.p.Tasks[to]
		if after.Status == nil || before.IsFinished() {
			continue
		}
		p.noteTask(NoteOutOfOrder, TaskKey(after.ID), p.index.Tasks[to].Opening, "%s has started, %s is not finished", after.ID, before.ID)
	}
}
