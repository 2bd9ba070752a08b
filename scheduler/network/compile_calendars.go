package network

import (
	"fmt"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// recipe tells how a compiled calendar is made, so that it can be made again over a longer horizon. It names earlier
// recipes only.
type recipe struct {
	spec  *problem.Calendar   // compiled from the document, else
	base  CalendarIndex       // this one
	away  []calendar.Interval // less these times
	other CalendarIndex       // and only while this one works; AlwaysCalendar when nothing cuts it
}

// compileCalendars follows the recipes. The first is the calendar that always works.
func compileCalendars(recipes []recipe, from, to calendar.Instant) ([]*calendar.Calendar, error) {
	calendars := make([]*calendar.Calendar, len(recipes))
	calendars[AlwaysCalendar] = calendar.Always(from, to)
	for i := 1; i < len(recipes); i++ {
		r := &recipes[i]
		switch {
		case r.spec != nil:
			compiled, err := calendar.Compile(*r.spec, from, to)
			if err != nil {
				return nil, err
			}
			calendars[i] = compiled
		case r.away != nil:
			calendars[i] = calendars[r.base].Without(r.away)
		default:
			calendars[i] = calendars[r.base].Intersect(calendars[r.other])
		}
	}
	return calendars, nil
}

// calendarBook hands out calendar indexes and remembers recipes, so that equal combinations are compiled once.
type calendarBook struct {
	recipes []recipe
	byID    map[string]CalendarIndex
	both    map[[2]CalendarIndex]CalendarIndex
}

func newCalendarBook(p *problem.Problem) *calendarBook {
	b := &calendarBook{
		recipes: []recipe{{}},
		byID:    map[string]CalendarIndex{problem.Always: AlwaysCalendar},
		both:    make(map[[2]CalendarIndex]CalendarIndex),
	}
	for i := range p.Calendars {
		b.byID[p.Calendars[i].ID] = b.add(recipe{spec: &p.Calendars[i]})
	}
	return b
}

func (b *calendarBook) add(r recipe) CalendarIndex {
	b.recipes = append(b.recipes, r)
	return CalendarIndex(len(b.recipes) - 1)
}

// named is the calendar of an identifier; who names its user in the error.
func (b *calendarBook) named(id, who string) (CalendarIndex, error) {
	index, ok := b.byID[id]
	if !ok {
		return None, fmt.Errorf("%s: calendar %q is not in the document", who, id)
	}
	return index, nil
}

// without is a calendar less a crew's absence.
func (b *calendarBook) without(base CalendarIndex, away []problem.Span) CalendarIndex {
	if len(away) == 0 {
		return base
	}
	intervals := make([]calendar.Interval, len(away))
	for i, span := range away {
		intervals[i] = calendar.Interval{Start: calendar.FromTime(span.From), Finish: calendar.FromTime(span.To)}
	}
	return b.add(recipe{base: base, away: intervals})
}

// intersect is the calendar that works while both do.
func (b *calendarBook) intersect(one, other CalendarIndex) CalendarIndex {
	switch {
	case one == other || other == AlwaysCalendar:
		return one
	case one == AlwaysCalendar:
		return other
	}
	key := [2]CalendarIndex{one, other}
	index, ok := b.both[key]
	if !ok {
		index = b.add(recipe{base: one, other: other})
		b.both[key] = index
	}
	return index
}
