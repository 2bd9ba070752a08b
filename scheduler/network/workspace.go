package network

import "jambwright/scheduler/calendar"

// Workspace owns the memory of the passes. It grows to the largest network it has seen, and computing again allocates
// nothing. It is for one goroutine at a time. The zero value is ready.
//
// A workspace holds its own copy of what a person may change to try something out: releases and minutes of work. After
// SetRelease or SetMinutes, Update brings the dates up to date at the cost of what the change reaches.
type Workspace struct {
	c     *Compiled
	dates Dates

	release  []calendar.Instant     // by task: the compiled problem's own, or a changed copy
	minutes  []calendar.WorkMinutes // by place in c.options.items: a changed copy, empty while nothing is changed
	finishBy []calendar.Instant     // by task: its deadline or GC date, Never when it has none

	lent   [3][]calendar.Instant // FloatsTo: late dates to one GC date
	dateBy []calendar.Instant    // FloatsTo: by task, that date or Never

	update update
	copied []calendar.Instant // memory for a changed copy of the releases

	ranOff bool // some work did not fit into the horizon
}

// Compute runs the passes on a compiled problem. When work does not fit into the horizon it extends the horizon and
// runs them anew, so it may end with a longer compiled problem than it was given; Compiled tells, and giving that one
// next time saves the trouble. Dates are valid until the next use of the workspace. O(tasks + links + options).
func (w *Workspace) Compute(c *Compiled) *Dates {
	w.load(c)
	w.run()
	return &w.dates
}

func (w *Workspace) run() {
	w.passes()
	for w.ranOff {
		longer, ok := w.c.Extend()
		if !ok {
			w.backwardPass() // what could be placed gets its late dates; the rest is not Placed
			break
		}
		w.c, w.dates.c = longer, longer
		w.passes()
	}
	w.floats()
}

// passes runs both passes, the second one only if all work had room in the first.
func (w *Workspace) passes() {
	w.ranOff = false
	w.forwardPass()
	if !w.ranOff {
		w.backwardPass()
	}
}

// Compiled is the compiled problem of the last Compute, with the horizon that it needed.
func (w *Workspace) Compiled() *Compiled { return w.c }

// load takes over a compiled problem and forgets all changes.
func (w *Workspace) load(c *Compiled) {
	n := c.Tasks()
	w.c = c
	w.update.forget()
	w.dates.reset(c)
	w.release, w.minutes = c.release, w.minutes[:0]
	w.finishBy = resized(w.finishBy, n)
	for t := range TaskIndex(n) {
		w.finishBy[t] = c.Deadline(t)
	}
	for i := range c.GCDates {
		for _, t := range c.GCDates[i].Tasks {
			w.finishBy[t] = min(w.finishBy[t], c.GCDates[i].Date)
		}
	}
}

// Unplaced lists the tasks that are not held and yet have no dates, because the working time of their calendars runs
// out, theirs or that of a task before them. Ascending; the slice is the caller's own.
func (w *Workspace) Unplaced() []TaskIndex {
	var tasks []TaskIndex
	for t := range TaskIndex(w.c.Tasks()) {
		if !w.dates.Placed(t) && w.c.HeldBy[t] == None {
			tasks = append(tasks, t)
		}
	}
	return tasks
}
