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

	release []calendar.Instant     // by task: the compiled problem's own, or a changed copy
	minutes []calendar.WorkMinutes // by place in c.options.items: a changed copy, empty while nothing is changed

	lent   [3][]calendar.Instant // FloatsTo: late dates to one GC date
	dateBy []calendar.Instant    // FloatsTo: by task, that date or Never

	update update
	copied []calendar.Instant // memory for a changed copy of the releases

	ranOff bool   // some work did not fit into the horizon
	short  []bool // by calendar: some work did not fit into it
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
		if !ok || !w.gains(longer) {
			w.backwardPass() // what could be placed gets its late dates; the rest is not Placed
			break
		}
		w.c, w.dates.c = longer, longer
		w.passes()
	}
	w.floats()
}

// gains reports whether a longer horizon can help: whether a calendar that fell short has more working time in it. Behind
// the last date that the document lists for itself a calendar repeats, and years without work mean that there is none.
func (w *Workspace) gains(longer *Compiled) bool {
	if w.c.To < w.c.listedTo {
		return true
	}
	for k, isShort := range w.short {
		if isShort && longer.Calendars[k].Total() > w.c.Calendars[k].Total() {
			return true
		}
	}
	return false
}

// fallShort notes that a task found no room, and in which calendars. A task that waits for one without dates of its own
// is not to blame.
func (w *Workspace) fallShort(t TaskIndex) {
	w.ranOff = true
	links := w.c.Incoming(t)
	for i := range links {
		if l := &links[i]; !w.dates.Placed(l.From) {
			return
		} else if w.linkBound(l) == calendar.Never {
			w.short[l.Calendar] = true
		}
	}
	for _, o := range w.c.Options(t) {
		w.short[o.Calendar] = true
	}
}

// passes runs both passes, the second one only if all work had room in the first.
func (w *Workspace) passes() {
	w.ranOff = false
	clear(w.short)
	w.forwardPass()
	if !w.ranOff {
		w.backwardPass()
	}
}

// Compiled is the compiled problem of the last Compute, with the horizon that it needed.
func (w *Workspace) Compiled() *Compiled { return w.c }

// load takes over a compiled problem and forgets all changes.
func (w *Workspace) load(c *Compiled) {
	w.c = c
	w.update.forget()
	w.dates.reset(c)
	w.release, w.minutes = c.release, w.minutes[:0]
	w.short = resized(w.short, len(c.Calendars))
}

// Unplaced lists the tasks that are not held and yet have no dates, because the working time of their calendars runs
// out, theirs or that of a task before them. Ascending; the slice is the caller's own.
func (w *Workspace) Unplaced() []TaskIndex {
	var tasks []TaskIndex
	for t := range TaskIndex(w.c.Tasks()) {
		if !w.dates.Placed(t) && w.c.HeldBy(t) == None {
			tasks = append(tasks, t)
		}
	}
	return tasks
}
