// Package calendar turns working patterns into compiled calendars and does time arithmetic on them.
//
// Words. An Instant is a whole minute on the one time axis that everything in the planning core shares: minutes since
// 1970-01-01T00:00Z. ElapsedMinutes are minutes by the clock on the wall; WorkMinutes are minutes in which a named
// calendar works. The three are different types, so that a lag by the clock cannot be added to working time by mistake.
//
// Conventions. Intervals are half-open, [start, finish): the minute that begins at finish is not in it. A compiled
// Calendar covers a horizon [from, to) and holds the working intervals in it, sorted, disjoint and merged where they
// touch, so that a shift over midnight, given as one to 24:00 and one from 00:00, is one interval. Outside its horizon
// a calendar does not work: arithmetic that runs off the horizon answers Never or BeforeAll and never a guess.
//
// Position is the key idea: the number of working minutes between the start of the horizon and an instant. It maps the
// time axis, gaps squeezed out, onto a compressed axis on which adding work is plain addition:
//
//	Mon 07:00-15:30          Tue 07:00-15:30
//	|#################|......|#################|      time axis
//	0               510     510              1020     Position
//
// Positions inside a gap are all equal, so the way back has two answers, and both matter. FirstAt(510) is Monday 15:30,
// where a task that ends with the shift ends; LastAt(510) is Tuesday 07:00, where the next task starts. Example: 510
// minutes from Monday 07:00 finish on Monday 15:30, 511 minutes on Tuesday 07:01.
//
// Daylight saving. A shift is a span of the local clock and its two ends are converted one by one. An end that the
// clock skips (02:30 on the spring day) counts as the instant of the change; an end that the clock shows twice (01:30
// on the autumn day) counts as the first of the two. So a shift of 02:00-10:00 in New York is seven hours long on the
// spring day, a shift of 00:00-08:00 seven hours on the spring day and nine on the autumn day, and shifts that meet on
// the wall clock meet on the time axis.
//
// Cost. Compiling is linear in the days of the horizon. Each question is a binary search in the working intervals, cut
// short by a table to the few that a span of about half a day can hold. A calendar takes 24 bytes an interval and 8
// bytes for each half day of its horizon. It is never changed, so any number of goroutines may read it.
//
// What this package does not do: it does not read documents, and it does not judge them. Overlapping shifts are merged
// here and refused by validation elsewhere.
package calendar

import (
	"cmp"
	"slices"
	"time"
)

// Instant is a point of time in whole minutes since 1970-01-01T00:00Z.
type Instant int64

// WorkMinutes counts minutes in which some calendar works.
type WorkMinutes int64

// ElapsedMinutes counts minutes by the clock, working or not.
type ElapsedMinutes int64

// Never is later than every instant of every horizon: the answer to "when" if the work does not fit into the horizon.
// BeforeAll is its mirror. Both leave room to add and subtract durations without overflow.
const (
	Never     Instant = 1 << 60
	BeforeAll Instant = -1 << 60
)

// FromTime is the instant of t; seconds are dropped, towards the past.
func FromTime(t time.Time) Instant {
	seconds := t.Unix()
	minutes := seconds / 60
	if seconds%60 < 0 {
		minutes--
	}
	return Instant(minutes)
}

// Time is the instant as a time in UTC.
func (t Instant) Time() time.Time { return time.Unix(int64(t)*60, 0).UTC() }

// Plus moves an instant by minutes of the clock.
func (t Instant) Plus(n ElapsedMinutes) Instant { return t + Instant(n) }

// Since is the clock time from an earlier instant to this one, negative if u is later.
func (t Instant) Since(u Instant) ElapsedMinutes { return ElapsedMinutes(t - u) }

// Interval is the half-open span [Start, Finish).
type Interval struct{ Start, Finish Instant }

// Calendar is a compiled calendar: the working intervals of a horizon with running totals. It is immutable and safe for
// concurrent reads. Make one with Compile, Always or FromIntervals; the zero value never works and has an empty
// horizon.
type Calendar struct {
	from, to Instant
	starts   []Instant     // one per interval, ascending
	finishes []Instant     // one per interval; finishes[i] < starts[i+1]
	before   []WorkMinutes // one per interval: working minutes in [from, starts[i])
	total    WorkMinutes
	byTime   guide // narrows a search in starts, by elapsed minutes since from
	byWork   guide // narrows a search in before, by working minutes
}

// Always is the calendar in which every minute of the horizon works.
func Always(from, to Instant) *Calendar {
	return FromIntervals([]Interval{{from, to}}, from, to)
}

// FromIntervals compiles intervals given in any order; they may overlap, and empty ones are dropped. What lies outside
// the horizon is cut off. The slice is not kept. A horizon with to before from is empty.
func FromIntervals(intervals []Interval, from, to Instant) *Calendar {
	to = max(from, to)
	sorted := slices.Clone(intervals)
	slices.SortFunc(sorted, func(a, b Interval) int { return cmp.Compare(a.Start, b.Start) })
	b := builder{from: from, to: to}
	for _, interval := range sorted {
		b.add(interval)
	}
	return b.calendar()
}

// Horizon is the span [from, to) that the calendar covers.
func (c *Calendar) Horizon() (from, to Instant) { return c.from, c.to }

// Total is the number of working minutes in the horizon.
func (c *Calendar) Total() WorkMinutes { return c.total }

// Intervals lists the working intervals, ascending, disjoint and never touching. The slice is the caller's own.
func (c *Calendar) Intervals() []Interval {
	intervals := make([]Interval, len(c.starts))
	for i := range c.starts {
		intervals[i] = c.interval(i)
	}
	return intervals
}

func (c *Calendar) interval(i int) Interval { return Interval{c.starts[i], c.finishes[i]} }

// builder collects intervals in ascending order of their starts, clips them to the horizon and merges what touches.
type builder struct {
	from, to  Instant
	intervals []Interval
}

func (b *builder) add(interval Interval) {
	interval.Start, interval.Finish = max(interval.Start, b.from), min(interval.Finish, b.to)
	if interval.Start >= interval.Finish {
		return
	}
	if n := len(b.intervals); n > 0 && interval.Start <= b.intervals[n-1].Finish {
		b.intervals[n-1].Finish = max(b.intervals[n-1].Finish, interval.Finish)
		return
	}
	b.intervals = append(b.intervals, interval)
}

func (b *builder) calendar() *Calendar {
	n := len(b.intervals)
	c := &Calendar{
		from: b.from, to: b.to,
		starts: make([]Instant, n), finishes: make([]Instant, n), before: make([]WorkMinutes, n),
	}
	for i, interval := range b.intervals {
		c.starts[i], c.finishes[i], c.before[i] = interval.Start, interval.Finish, c.total
		c.total += WorkMinutes(interval.Finish - interval.Start)
	}
	c.byTime = newGuide(n, int64(c.to-c.from), func(i int) int64 { return int64(c.starts[i] - c.from) })
	c.byWork = newGuide(n, int64(c.total), func(i int) int64 { return int64(c.before[i]) })
	return c
}
