package network

import "jambwright/scheduler/calendar"

// Dates are the results of the passes, one entry a task. They belong to the Workspace that made them and are valid
// until its next use. Dates of a task that is not Placed are Never, its floats 0.
//
// Begin is where what is left of a task begins: its start while it is open, its resume once it has started. Starts of
// started and finished tasks are reported, not computed; ask EarlyStart and LateStart for them.
type Dates struct {
	c *Compiled

	EarlyBegin  []calendar.Instant // begin on the option that finishes earliest
	EarlyFinish []calendar.Instant // earliest finish over the options; the first listed wins a tie
	FirstStart  []calendar.Instant // earliest start over the options: what links from the start measure from
	LateBegin   []calendar.Instant // latest begin over the options; the first listed wins a tie
	LateFinish  []calendar.Instant // finish that goes with it
	LastFinish  []calendar.Instant // latest finish over the options: what links to the finish must meet

	// Choice is the option of the early dates, as a place in Options(t). Its calendar counts the floats.
	Choice []int32

	// TotalFloat is what a task's begin may slip without any deadline, GC date or the project finish being missed. It
	// is negative where that cannot be met. FreeFloat is what it may slip without moving the early dates of another
	// task; at an open end it is measured to the project finish. Both are 0 for finished work.
	TotalFloat []calendar.WorkMinutes
	FreeFloat  []calendar.WorkMinutes

	// ProjectFinish is the latest early finish of all placed tasks; the data date when there are none.
	ProjectFinish calendar.Instant
}

// Placed reports whether a task has dates: it is not held, and it fits into the working time there is.
func (d *Dates) Placed(t TaskIndex) bool { return d.EarlyFinish[t] != calendar.Never }

// EarlyStart is the actual start of started and finished work, else the early begin.
func (d *Dates) EarlyStart(t TaskIndex) calendar.Instant {
	if d.c.State[t] == Started {
		return d.c.StartedAt(t)
	}
	return d.EarlyBegin[t]
}

// LateStart is the actual start of started and finished work, else the late begin.
func (d *Dates) LateStart(t TaskIndex) calendar.Instant {
	if d.c.State[t] == Started {
		return d.c.StartedAt(t)
	}
	return d.LateBegin[t]
}

// Critical reports whether a task has no float left: a total float of zero or less, the threshold of the literature.
// Finished and unplaced tasks are never critical. With several crews to choose from, or several calendars, there need
// be no critical task at all; OnLongestPath asks the other question.
func (d *Dates) Critical(t TaskIndex) bool { return d.NearCritical(t, 0) }

// NearCritical reports whether a task that is still to be finished has at most the given total float.
func (d *Dates) NearCritical(t TaskIndex, within calendar.WorkMinutes) bool {
	return d.Placed(t) && d.c.State[t] != Done && d.TotalFloat[t] <= within
}

// GCDateFloat is the network's own float of a GC date in minutes of the clock, negative when it is missed. It reports
// false when a task of the date has no dates.
func (d *Dates) GCDateFloat(g GCDateIndex) (calendar.ElapsedMinutes, bool) {
	date := &d.c.GCDates[g]
	forecast := calendar.BeforeAll
	for _, t := range date.Tasks {
		forecast = max(forecast, d.EarlyFinish[t])
	}
	if forecast == calendar.Never || len(date.Tasks) == 0 {
		return 0, false
	}
	return date.Date.Since(forecast), true
}

func (d *Dates) reset(c *Compiled) {
	n := c.Tasks()
	d.c = c
	for _, instants := range []*[]calendar.Instant{
		&d.EarlyBegin, &d.EarlyFinish, &d.FirstStart, &d.LateBegin, &d.LateFinish, &d.LastFinish,
	} {
		*instants = resized(*instants, n)
	}
	d.Choice = resized(d.Choice, n)
	d.TotalFloat, d.FreeFloat = resized(d.TotalFloat, n), resized(d.FreeFloat, n)
}

// resized gives a slice of n entries with the old memory if it is large enough. What is in it is not cleared.
func resized[T any](slice []T, n int) []T {
	if cap(slice) < n {
		return make([]T, n)
	}
	return slice[:n]
}
