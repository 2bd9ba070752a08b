package network

import (
	"errors"
	"fmt"
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// demand is what decides which crews may do a task and on which calendars. Openings repeat, so tasks share few demands,
// and each is answered once.
type demand struct {
	kind, site string
	heads      int
	limits     CalendarIndex // the limits' common calendar
}

// candidate is a crew that meets a demand.
type candidate struct {
	crew         CrewIndex
	calendar     CalendarIndex
	productivity float64
}

func (b *compiler) options() {
	o := &b.c.options
	o.offsets = make([]int32, 1, len(b.p.Tasks)+1)
	o.items = make([]Option, 0, len(b.p.Tasks))
	met := make(map[demand][]candidate)
	for i := range b.p.Tasks {
		task := &b.p.Tasks[i]
		if !task.IsFinished() {
			if err := b.optionsOf(TaskIndex(i), task, met); err != nil {
				b.faults = append(b.faults, fmt.Errorf("task %s: %w", task.ID, err))
			}
		}
		o.offsets = append(o.offsets, int32(len(o.items)))
	}
	o.items = slices.Clone(o.items) // without the room it grew by
}

func (b *compiler) optionsOf(t TaskIndex, task *problem.Task, met map[demand][]candidate) error {
	limits := b.limitsOf(t)
	if !task.IsCrewWork() {
		return b.fixedOption(task, limits)
	}
	if task.IsStarted() && task.Status.Crew != "" {
		return b.startedOption(task, limits)
	}
	d := demand{kind: task.Kind, site: task.Site, heads: task.HeadsNeeded(), limits: limits}
	candidates, ok := met[d]
	if !ok {
		candidates = b.candidates(task, limits)
		met[d] = candidates
	}
	if len(candidates) == 0 {
		return fmt.Errorf("no crew does %q with %d heads on site %q", task.Kind, task.HeadsNeeded(), task.Site)
	}
	pinned := b.pinnedCrew(t, task, candidates)
	for _, candidate := range candidates {
		if pinned == None || candidate.crew == pinned {
			b.addOption(candidate.crew, candidate.calendar, b.minutesOn(task, candidate))
		}
	}
	return nil
}

// limitsOf is the calendar in which all limits that a task uses can be used.
func (b *compiler) limitsOf(t TaskIndex) CalendarIndex {
	limits := AlwaysCalendar
	for _, use := range b.c.Uses(t) {
		limits = b.book.intersect(limits, b.ofLimit[use.Limit])
	}
	return limits
}

func (b *compiler) fixedOption(task *problem.Task, limits CalendarIndex) error {
	own, err := b.book.named(task.Calendar, "fixed work")
	switch {
	case err != nil:
		return err
	case task.DurationMinutes == nil:
		return errors.New("neither labour_minutes nor duration_minutes is given")
	}
	minutes := *task.DurationMinutes
	if task.IsStarted() {
		minutes = remaining(task)
	}
	b.addOption(None, b.book.intersect(own, limits), calendar.WorkMinutes(minutes))
	return nil
}

// startedOption keeps a started task with the crew that started it, whatever the crew's skills.
func (b *compiler) startedOption(task *problem.Task, limits CalendarIndex) error {
	for i := range b.p.Crews {
		if b.p.Crews[i].ID == task.Status.Crew {
			b.addOption(CrewIndex(i), b.book.intersect(b.ofCrew[i], limits), calendar.WorkMinutes(remaining(task)))
			return nil
		}
	}
	return fmt.Errorf("crew %q of its status is not in the document", task.Status.Crew)
}

func (b *compiler) candidates(task *problem.Task, limits CalendarIndex) []candidate {
	var candidates []candidate
	for i := range b.p.Crews {
		if crew := &b.p.Crews[i]; crew.CanDo(task) {
			candidates = append(candidates, candidate{
				crew: CrewIndex(i), calendar: b.book.intersect(b.ofCrew[i], limits), productivity: crew.ProductivityOf(task.Kind),
			})
		}
	}
	return candidates
}

// pinnedCrew is the crew of a task's pin if it is among the candidates. Otherwise the pin is noted as a misfit.
func (b *compiler) pinnedCrew(t TaskIndex, task *problem.Task, candidates []candidate) CrewIndex {
	if task.Pin == nil || task.Pin.Crew == "" {
		return None
	}
	for _, candidate := range candidates {
		if b.p.Crews[candidate.crew].ID == task.Pin.Crew {
			return candidate.crew
		}
	}
	b.c.PinMisfit = append(b.c.PinMisfit, t)
	return None
}

func (b *compiler) minutesOn(task *problem.Task, candidate candidate) calendar.WorkMinutes {
	if task.IsStarted() {
		return calendar.WorkMinutes(remaining(task))
	}
	heads := b.p.Crews[candidate.crew].Heads
	return calendar.WorkMinutes(problem.CrewMinutes(*task.LabourMinutes, heads, candidate.productivity))
}

func (b *compiler) addOption(crew CrewIndex, index CalendarIndex, minutes calendar.WorkMinutes) {
	b.c.options.items = append(b.c.options.items, Option{Crew: crew, Calendar: index, Minutes: minutes})
}

// remaining is what a started task has left; nothing stated is nothing left.
func remaining(task *problem.Task) int {
	if task.Status.RemainingMinutes == nil {
		return 0
	}
	return *task.Status.RemainingMinutes
}
