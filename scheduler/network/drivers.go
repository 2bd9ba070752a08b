package network

import (
	"slices"

	"jambwright/scheduler/calendar"
)

// DrivingLinks appends to list the links that hold a task's early begin where it is, ties included, in the order of the
// document, and returns it. A link drives when its bound reaches the early begin or only non-working time lies between.
// Bounds before the data date drive nothing. Open tasks and, where the order is kept, started ones have driving links.
// O(links into the task).
func (w *Workspace) DrivingLinks(list []LinkIndex, t TaskIndex) []LinkIndex {
	if !w.dates.Placed(t) || w.c.State[t] == Done {
		return list
	}
	links := w.c.Incoming(t)
	for i := range links {
		if bound := w.linkBound(&links[i]); bound >= w.c.DataDate && w.drives(t, bound, links[i].Relation.BoundsFinish()) {
			list = append(list, w.c.FirstIncoming(t)+LinkIndex(i))
		}
	}
	return list
}

// ReleaseDrives reports whether the task's release (data date, not_before or pinned start) holds its early begin where
// it is, alone or together with links.
func (w *Workspace) ReleaseDrives(t TaskIndex) bool {
	return w.dates.Placed(t) && w.c.State[t] != Done && w.drives(t, w.release[t], false)
}

// drives reports whether a bound on a task's begin or finish allows nothing earlier than its early dates.
func (w *Workspace) drives(t TaskIndex, bound calendar.Instant, onFinish bool) bool {
	begin, minutes := w.dates.EarlyBegin[t], w.minutesOf(t, int(w.dates.Choice[t]))
	own := w.ownCalendar(t)
	switch {
	case minutes == 0:
		return bound == begin
	case onFinish:
		return own.Position(bound-1)+1-minutes == own.Position(begin)
	}
	return own.Position(bound) == own.Position(begin)
}

// DrivingChain is a chain of tasks that ends with t, each driven by the one before it, from the task that nothing
// drives. Among ties the link that comes first in the document is followed. The slice is the caller's own.
func (w *Workspace) DrivingChain(t TaskIndex) []TaskIndex {
	var chain []TaskIndex
	var links []LinkIndex
	for {
		chain = append(chain, t)
		links = w.DrivingLinks(links[:0], t)
		if len(links) == 0 {
			slices.Reverse(chain)
			return chain
		}
		t = w.c.Links[links[0]].From
	}
}

// OnLongestPath marks the tasks from which driving links lead to a task that finishes with the project, ties included:
// the longest path, which need not be the tasks of the least float. One entry a task, in a slice of the caller's own.
// O(tasks + links).
func (w *Workspace) OnLongestPath() []bool {
	on := make([]bool, w.c.Tasks())
	var links []LinkIndex
	for _, t := range slices.Backward(w.c.Order) {
		on[t] = on[t] || w.dates.EarlyFinish[t] == w.dates.ProjectFinish
		if !on[t] {
			continue
		}
		links = w.DrivingLinks(links[:0], t)
		for _, l := range links {
			on[w.c.Links[l].From] = true
		}
	}
	return on
}

// LongestPath is one driving chain to the project finish: that of the task that comes last in Order among those that
// finish last, so that it ends with the last milestone and not with the work before it.
func (w *Workspace) LongestPath() []TaskIndex {
	for _, t := range slices.Backward(w.c.Order) {
		if w.dates.EarlyFinish[t] == w.dates.ProjectFinish {
			return w.DrivingChain(t)
		}
	}
	return nil
}
