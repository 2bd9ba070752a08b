package network

import (
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// The kinds of index, each a place in one list, so that a crew's cannot be used for a task's. None is the index of nothing.
type (
	// TaskIndex is a place in Problem.Tasks.
	TaskIndex int32
	// CrewIndex is a place in Problem.Crews.
	CrewIndex int32
	// LimitIndex is a place in Problem.Limits.
	LimitIndex int32
	// GCDateIndex is a place in Problem.GCDates.
	GCDateIndex int32
	// LinkIndex is a place in Compiled.Links, not in Problem.Links.
	LinkIndex int32
	// CalendarIndex is a place in Compiled.Calendars.
	CalendarIndex int32
)

// None stands for no task, no crew, no link.
const None = -1

// AlwaysCalendar is the index of the calendar in which every minute works.
const AlwaysCalendar CalendarIndex = 0

// State is what has been reported of a task.
type State uint8

// The states.
const (
	Open    State = iota // not started
	Started              // under way: its remaining minutes are planned from a resume
	Done                 // finished: nothing to plan
)

// Relation is the type of a link. The zero value is finish to start.
type Relation uint8

// The four relations.
const (
	FinishToStart Relation = iota
	StartToStart
	FinishToFinish
	StartToFinish
)

// FromStart reports whether the relation measures from the predecessor's start, else from its finish.
func (r Relation) FromStart() bool { return r == StartToStart || r == StartToFinish }

// BoundsFinish reports whether the relation bounds the successor's finish, else its start.
func (r Relation) BoundsFinish() bool { return r == FinishToFinish || r == StartToFinish }

// Link is a relation between two tasks. The lag is counted on its own calendar.
type Link struct {
	From, To TaskIndex
	Lag      calendar.WorkMinutes
	Calendar CalendarIndex
	Relation Relation
}

// Option is one way to do a task: the crew (None for fixed work), the calendar that the work runs on, and the working
// minutes it takes there, of a started task those that remain. The calendar is the crew's less its absence, or the
// task's own, and in both cases cut to the working time of the limits that the task uses.
type Option struct {
	Crew     CrewIndex
	Calendar CalendarIndex
	Minutes  calendar.WorkMinutes
}

// Use is what a task takes of a limit from its start to its finish.
type Use struct {
	Limit LimitIndex
	Units int32
}

// GCDate is a date the general contractor holds us to.
type GCDate struct {
	Tasks   []TaskIndex // in the order of the document
	Date    calendar.Instant
	Damages float64 // a day of 24 hours
}

// Compiled is a problem document with names replaced by places, times by instants and calendars by compiled ones. The
// network passes and the crew solver read the same compiled form. It is never changed after Compile, so any number of
// goroutines may read it; the slices belong to it.
//
// Slices indexed by TaskIndex have one entry a task of the document, in its order.
type Compiled struct {
	Problem  *problem.Problem // the document it was compiled from, not to be changed meanwhile
	From, To calendar.Instant // horizon of all calendars
	DataDate calendar.Instant

	Calendars []*calendar.Calendar // by CalendarIndex: always, the document's own, then crews' and combined ones

	State []State // by task

	// Links hold what still binds: not a link into a finished task, and not one into a started task unless KeepOrder is
	// set. They are grouped by successor and inside a group in the order of the document. Loose holds the rest.
	Links []Link
	Loose []Link

	Order   []TaskIndex // all tasks, predecessors first; the same for the same document
	GCDates []GCDate    // by GCDateIndex

	KeepOrder bool        // started work obeys the links into it
	PinMisfit []TaskIndex // tasks pinned to a crew that is not eligible for them; the pinned crew is then not enforced

	release  []calendar.Instant // by task, see Release
	heldBy   []TaskIndex        // by task, see HeldBy; nil when nothing waits
	due      dueDates           // see DueBy
	options  rows[Option]
	uses     rows[Use]
	incoming []int32 // by task and one more: where its links begin in Links
	outgoing rows[LinkIndex]

	names    nameIndex
	recipes  []recipe
	reach    reach
	listedTo calendar.Instant // behind the last holiday and exception
}

// Tasks is the number of tasks.
func (c *Compiled) Tasks() int { return len(c.State) }

// Options lists the ways to do a task: its eligible crews in the order of the document, or one entry for fixed work. A
// task pinned to an eligible crew has that one only, and a started task whose crew is reported has that crew. A
// finished task has none.
func (c *Compiled) Options(t TaskIndex) []Option { return c.options.row(int32(t)) }

// Uses lists the limits that a task takes, in the order of Problem.Limits.
func (c *Compiled) Uses(t TaskIndex) []Use { return c.uses.row(int32(t)) }

// Incoming lists the binding links into a task.
func (c *Compiled) Incoming(t TaskIndex) []Link { return c.Links[c.incoming[t]:c.incoming[t+1]] }

// FirstIncoming is the index of the first link of Incoming(t); the others follow it.
func (c *Compiled) FirstIncoming(t TaskIndex) LinkIndex { return LinkIndex(c.incoming[t]) }

// Outgoing lists the binding links out of a task, as places in Links.
func (c *Compiled) Outgoing(t TaskIndex) []LinkIndex { return c.outgoing.row(int32(t)) }

// TaskOf is the place of a task, or None.
func (c *Compiled) TaskOf(id string) TaskIndex { return c.names.find(c.Problem.Tasks, id) }

// ID is a task's identifier.
func (c *Compiled) ID(t TaskIndex) string { return c.Problem.Tasks[t].ID }

// PinStart is the start a task is pinned to, BeforeAll when it has none or has started.
func (c *Compiled) PinStart(t TaskIndex) calendar.Instant {
	if pin := c.Problem.Tasks[t].Pin; pin != nil && c.State[t] == Open {
		return instantOr(pin.Start, calendar.BeforeAll)
	}
	return calendar.BeforeAll
}

// StartedAt is the actual start of a task that is Started or Done. Never ask it of an open one.
func (c *Compiled) StartedAt(t TaskIndex) calendar.Instant {
	return calendar.FromTime(c.Problem.Tasks[t].Status.Started)
}

// FinishedAt is the actual finish of a task that is Done. Never ask it of another one.
func (c *Compiled) FinishedAt(t TaskIndex) calendar.Instant {
	return calendar.FromTime(*c.Problem.Tasks[t].Status.Finished)
}

// NotBefore is a task's own earliest date, BeforeAll when it has none.
func (c *Compiled) NotBefore(t TaskIndex) calendar.Instant {
	return instantOr(c.Problem.Tasks[t].NotBefore, calendar.BeforeAll)
}

// HeldBy is the waiting task that keeps a task out of the plan, itself if it waits, or None.
func (c *Compiled) HeldBy(t TaskIndex) TaskIndex {
	if c.heldBy == nil {
		return None
	}
	return c.heldBy[t]
}

// DueBy is the earliest of a task's deadline and the GC dates that name it, Never when there is none.
func (c *Compiled) DueBy(t TaskIndex) calendar.Instant { return c.due.of(t) }

// Deadline is a task's own deadline, Never when it has none.
func (c *Compiled) Deadline(t TaskIndex) calendar.Instant {
	return instantOr(c.Problem.Tasks[t].Deadline, calendar.Never)
}

func instantOr(t *time.Time, absent calendar.Instant) calendar.Instant {
	if t == nil {
		return absent
	}
	return calendar.FromTime(*t)
}

// Release is the earliest instant for what is left of a task, links aside: the data date, its not_before or its pinned
// start, whichever comes last. For a started task it bounds the resume.
func (c *Compiled) Release(t TaskIndex) calendar.Instant { return c.release[t] }

// AddLag is the instant that lies the link's lag after an event of its predecessor. Never stays Never.
func (c *Compiled) AddLag(l *Link, event calendar.Instant) calendar.Instant {
	if l.Lag == 0 || event == calendar.Never {
		return event
	}
	if l.Calendar == AlwaysCalendar {
		return event + calendar.Instant(l.Lag)
	}
	return c.Calendars[l.Calendar].Add(event, l.Lag)
}

// TakeLag is the latest event of the predecessor whose bound by AddLag is not after the given instant: the mirror of
// AddLag. Never stays Never.
func (c *Compiled) TakeLag(l *Link, bound calendar.Instant) calendar.Instant {
	if l.Lag == 0 || bound == calendar.Never || bound == calendar.BeforeAll {
		return bound
	}
	if l.Calendar == AlwaysCalendar {
		return bound - calendar.Instant(l.Lag)
	}
	return c.Calendars[l.Calendar].LatestWithAdd(bound, l.Lag)
}

// WithOwnOptions is a copy whose options the caller may change, for a simulation of other lengths of work. All else is
// shared.
func (c *Compiled) WithOwnOptions() *Compiled {
	own := *c
	own.options.items = slices.Clone(c.options.items)
	return &own
}

// rows is a list of lists in two flat slices: row i is items[offsets[i]:offsets[i+1]].
type rows[T any] struct {
	offsets []int32
	items   []T
}

func (r *rows[T]) row(i int32) []T { return r.items[r.offsets[i]:r.offsets[i+1]] }
