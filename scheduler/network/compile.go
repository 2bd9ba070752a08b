package network

import (
	"errors"
	"fmt"
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// Compile turns a problem document into its compiled form. The document should have passed validation; what would make
// compiling impossible is still an error, all of it at once: a name that is not in the document, a crew task that no
// crew can do, a zone that cannot be loaded, and a ring of links as *CycleError. The document is read, not kept from
// change: do not change it while the compiled form is in use. O(tasks + links), plus crews for each distinct demand of
// tasks and days for each distinct calendar.
func Compile(p *problem.Problem) (*Compiled, error) {
	n := len(p.Tasks)
	c := &Compiled{
		Problem: p, DataDate: calendar.FromTime(p.DataDate), KeepOrder: p.KeepsOrder(),
		State: make([]State, n), release: make([]calendar.Instant, n), names: newNameIndex(p.Tasks),
	}
	b := compiler{c: c, p: p, book: newCalendarBook(p)}
	b.crewCalendars()
	b.limitCalendars()
	b.tasks()
	b.options()
	b.links()
	b.gcDates()
	c.due = newDueDates(c)
	if err := errors.Join(b.faults...); err != nil {
		return nil, err
	}
	if ring := c.sortTasks(); ring != nil {
		return nil, cycleError(p, ring)
	}
	c.loosenLinks()
	c.holdFollowers()

	c.recipes, c.listedTo = b.book.recipes, lastListed(p)
	c.setReach(firstReach(p))
	var err error
	c.Calendars, err = compileCalendars(c.recipes, c.From, c.To)
	return c, err
}

func cycleError(p *problem.Problem, ring []TaskIndex) *CycleError {
	e := &CycleError{}
	for _, t := range ring {
		e.Tasks = append(e.Tasks, p.Tasks[t].ID)
	}
	return e
}

// compiler holds what is needed while compiling only.
type compiler struct {
	c      *Compiled
	p      *problem.Problem
	book   *calendarBook
	faults []error

	ofCrew  []CalendarIndex // by crew: its calendar less its absence
	ofLimit []CalendarIndex // by limit: AlwaysCalendar when it has none
}

func (b *compiler) calendar(id, kind, who string) CalendarIndex {
	index, err := b.book.named(id, kind+" "+who)
	if err != nil {
		b.faults = append(b.faults, err)
	}
	return index
}

func (b *compiler) crewCalendars() {
	b.ofCrew = make([]CalendarIndex, len(b.p.Crews))
	for i := range b.p.Crews {
		crew := &b.p.Crews[i]
		if base := b.calendar(crew.Calendar, "crew", crew.ID); base != None {
			b.ofCrew[i] = b.book.without(base, crew.Away)
		}
	}
}

func (b *compiler) limitCalendars() {
	b.ofLimit = make([]CalendarIndex, len(b.p.Limits))
	for i := range b.p.Limits {
		if limit := &b.p.Limits[i]; limit.Calendar != "" {
			b.ofLimit[i] = b.calendar(limit.Calendar, "limit", limit.ID)
		}
	}
}

// tasks fills everything that a task says of itself alone.
func (b *compiler) tasks() {
	limits := make(map[string]LimitIndex, len(b.p.Limits))
	for i := range b.p.Limits {
		limits[b.p.Limits[i].ID] = LimitIndex(i)
	}
	b.c.uses.offsets = make([]int32, 1, len(b.p.Tasks)+1)
	for i := range b.p.Tasks {
		task := &b.p.Tasks[i]
		b.dates(TaskIndex(i), task)
		b.uses(task, limits)
	}
}

func (b *compiler) dates(t TaskIndex, task *problem.Task) {
	c := b.c
	switch {
	case task.IsFinished():
		c.State[t] = Done
	case task.IsStarted():
		c.State[t] = Started
	}
	c.release[t] = max(c.DataDate, c.NotBefore(t), c.PinStart(t))
}

func (b *compiler) uses(task *problem.Task, limits map[string]LimitIndex) {
	u := &b.c.uses
	first := len(u.items)
	for id, units := range task.Uses {
		limit, ok := limits[id]
		if !ok {
			b.faults = append(b.faults, fmt.Errorf("task %s: limit %q is not in the document", task.ID, id))
			continue
		}
		if units > 0 { // none is no use, and does not bind the task to the limit's calendar
			u.items = append(u.items, Use{Limit: limit, Units: int32(units)})
		}
	}
	slices.SortFunc(u.items[first:], func(a, b Use) int { return int(a.Limit - b.Limit) }) // maps have no order
	u.offsets = append(u.offsets, int32(len(u.items)))
}

func (b *compiler) gcDates() {
	b.c.GCDates = make([]GCDate, len(b.p.GCDates))
	for i := range b.p.GCDates {
		date := &b.p.GCDates[i]
		compiled := GCDate{Date: calendar.FromTime(date.Date), Damages: date.Damages()}
		for _, id := range date.Tasks {
			if t := b.task(id, "gc date "+date.ID); t != None {
				compiled.Tasks = append(compiled.Tasks, t)
			}
		}
		b.c.GCDates[i] = compiled
	}
}

// task is the place of a task; who names the one that asks, in the error.
func (b *compiler) task(id, who string) TaskIndex {
	t := b.c.TaskOf(id)
	if t == None {
		b.faults = append(b.faults, fmt.Errorf("%s: task %q is not in the document", who, id))
	}
	return t
}
