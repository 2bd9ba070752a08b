package plan

import (
	"fmt"
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/problem"
)

// notes lists work out of order, pins and frozen work that had to move, and dangling tasks.
func (w *writer) notes() []string {
	notes := w.outOfOrder()
	moved := slices.Clone(w.s.Moved)
	slices.SortFunc(moved, func(a, b crewing.Moved) int { return int(a.Task - b.Task) })
	for _, lost := range moved {
		notes = append(notes, problem.MovedNote(w.m.ID(lost.Task), w.whyMoved(lost)))
	}
	return append(notes, w.dangling()...)
}

const noteTime = "2006-01-02 15:04 MST"

// whyMoved says in words what took a pinned or frozen place.
func (w *writer) whyMoved(lost crewing.Moved) string {
	m, cause := w.m, lost.Cause
	until := w.local(cause.Until).Format(noteTime)
	switch cause.Kind {
	case crewing.ByDataDate:
		return "its place lies before the data date"
	case crewing.ByNotBefore:
		return fmt.Sprintf("it may not start before %s", until)
	case crewing.ByLink:
		if cause.Driver == crewing.None {
			return "what it is linked to leaves it no place there"
		}
		return fmt.Sprintf("%s holds it until %s", m.ID(cause.Driver), until)
	case crewing.ByCrew:
		return fmt.Sprintf("crew %s is not free until %s", m.Problem.Crews[cause.Index].ID, until)
	case crewing.ByCapacity:
		return fmt.Sprintf("%s is full until %s", m.ResourceID(cause), until)
	case crewing.ByCalendar:
		return "its place is not working time"
	}
	return "its crew can not take it there"
}

// local is an instant in the zone of the document, which people read.
func (w *writer) local(t calendar.Instant) time.Time {
	zone, err := problem.LoadZone(w.m.Problem.Zone)
	if err != nil {
		return t.Time()
	}
	return t.Time().In(zone)
}

// outOfOrder says which reported work did not wait for a link, and what is done about it.
func (w *writer) outOfOrder() []string {
	m := w.m
	var notes []string
	for _, l := range m.OutOfOrder() {
		treatment := "it runs on"
		switch {
		case m.StateOf(l.To) == crewing.Done:
			treatment = "it is done"
		case m.KeepOrder:
			treatment = "the rest of it waits"
		}
		notes = append(notes, fmt.Sprintf("task %s began out of order, before its link from %s allowed it: %s", m.ID(l.To), m.ID(l.From), treatment))
	}
	return notes
}

// dangling says which tasks hang in the air: their delay would show nowhere, or nothing bounds one of their ends.
func (w *writer) dangling() []string {
	var notes []string
	for _, d := range w.m.DanglingTasks() {
		id := w.m.ID(d.Task)
		if d.NoSuccessor {
			notes = append(notes, fmt.Sprintf("task %s is dangling: no task follows it, no GC date or deadline holds it", id))
		}
		if d.OpenStart {
			notes = append(notes, fmt.Sprintf("task %s is dangling: its links bound its finish but not its start", id))
		}
		if d.OpenFinish {
			notes = append(notes, fmt.Sprintf("task %s is dangling: what follows it waits for its start but not for its finish", id))
		}
	}
	return notes
}
