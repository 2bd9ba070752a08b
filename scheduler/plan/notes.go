package plan

import (
	"fmt"
	"slices"

	"jambwright/scheduler/crewing"
	"jambwright/scheduler/problem"
)

// notes lists work out of order, pins and frozen work that had to move, and dangling tasks.
func (w *writer) notes() []string {
	notes := slices.Clone(w.m.OutOfOrder())
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
	until := cause.Until.Time().Format(noteTime)
	switch cause.Kind {
	case crewing.ByDataDate:
		return "its place lies before the data date"
	case crewing.ByNotBefore:
		return fmt.Sprintf("it may not start before %s", until)
	case crewing.ByLink:
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

// dangling lists tasks that no GC date, deadline or other task depends on in a problem that has such things: their
// delay would show nowhere.
func (w *writer) dangling() []string {
	m := w.m
	if len(m.GCDates) == 0 {
		return nil
	}
	watched := make([]bool, m.Tasks())
	for i := range m.GCDates {
		for _, t := range m.GCDates[i].Tasks {
			watched[t] = true
		}
	}
	for _, l := range slices.Concat(m.Links, m.Loose) {
		watched[l.From] = true
	}
	var notes []string
	for t := range crewing.TaskIndex(m.Tasks()) {
		if !watched[t] && m.Problem.Tasks[t].Deadline == nil && m.StateOf(t) != crewing.Done {
			notes = append(notes, fmt.Sprintf("task %s is dangling: no task follows it and no GC date holds it", m.ID(t)))
		}
	}
	return notes
}
