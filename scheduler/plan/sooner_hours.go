package plan

import (
	"slices"
	"time"

	"jambwright/scheduler/crewing"
	"jambwright/scheduler/problem"
)

// mostDays bounds how many days off are tried.
const mostDays = 3

// hours finds what longer working hours alone would do for the task's start: between what lets go last and the start there
// may lie days off and absences of the crew.
func (r *rung) hours() error {
	from, to := min(r.at.cause.Until, r.at.begin).Time(), r.at.begin.Time()
	if !from.Before(to) {
		return nil
	}
	days := 0
	for _, day := range datesBetween(from, to) {
		p, names := r.working(day, from, to)
		if len(names) == 0 {
			continue
		}
		could, err := r.sooner(p)
		if err != nil {
			return err
		}
		if could != nil {
			r.ladder.Hours = append(r.ladder.Hours, Hours{Day: &day, Calendars: names, Could: *could})
			break
		}
		if days++; days == mostDays {
			break
		}
	}
	p, away := r.present(from, to)
	if len(away) == 0 {
		return nil
	}
	could, err := r.sooner(p)
	if could != nil {
		r.ladder.Hours = append(r.ladder.Hours, Hours{Away: away, Could: *could})
	}
	return err
}

// sooner is the start of the task in a changed problem if it is an earlier one.
func (r *rung) sooner(p *problem.Problem) (*time.Time, error) {
	_, around, err := r.holding(p)
	if err != nil {
		return nil, err
	}
	begin, _, _, ok := around.Earliest(r.t, r.crew, &r.given)
	if !ok || begin >= r.at.begin {
		return nil, nil
	}
	could := begin.Time()
	return &could, nil
}

// datesBetween lists every date that any zone shows between two instants.
func datesBetween(from, to time.Time) (dates []problem.Date) {
	const widest = 15 * time.Hour // no zone is further from UTC
	for at := from.Add(-widest); at.Before(to.Add(widest + 24*time.Hour)); at = at.AddDate(0, 0, 1) {
		dates = append(dates, problem.DateOf(at))
	}
	return dates
}

// working is the problem with a day off worked in those of the task's calendars in which it is one, and lies between two
// instants.
func (r *rung) working(day problem.Date, from, to time.Time) (*problem.Problem, []string) {
	changed := *r.p
	changed.Calendars = slices.Clone(r.p.Calendars)
	var names []string
	for i := range changed.Calendars {
		c := &changed.Calendars[i]
		if !r.counts(c.ID) || len(c.ShiftsOn(day)) > 0 || !within(c, day, from, to) {
			continue
		}
		shifts := shiftsBefore(c, day)
		if len(shifts) == 0 {
			continue
		}
		c.Exceptions = slices.DeleteFunc(slices.Clone(c.Exceptions), func(e problem.Exception) bool { return e.Date == day })
		c.Exceptions = append(c.Exceptions, problem.Exception{Date: day, Shifts: shifts})
		names = append(names, c.ID)
	}
	return &changed, names
}

// counts reports whether the task works in a calendar: its crew's or its own, or that of a limit it uses.
func (r *rung) counts(id string) bool {
	if r.m.CalendarID(r.t, r.crew) == id {
		return true
	}
	uses := r.p.Tasks[r.t].Uses
	return slices.ContainsFunc(r.p.Limits, func(l problem.Limit) bool { return l.Calendar == id && uses[l.ID] > 0 })
}

// present is the problem without the absences of the task's crew that meet the time between two instants.
func (r *rung) present(from, to time.Time) (*problem.Problem, []problem.Span) {
	if r.crew == crewing.None {
		return nil, nil
	}
	changed := *r.p
	changed.Crews = slices.Clone(r.p.Crews)
	crew := &changed.Crews[r.crew]
	var met []problem.Span
	crew.Away = slices.DeleteFunc(slices.Clone(crew.Away), func(s problem.Span) bool {
		meets := s.From.Before(to) && s.To.After(from)
		if meets {
			met = append(met, s)
		}
		return meets
	})
	return &changed, met
}

// within reports whether a date in a calendar's zone meets the time between two instants.
func within(c *problem.Calendar, day problem.Date, from, to time.Time) bool {
	zone, err := problem.LoadZone(c.Zone)
	if err != nil {
		return false
	}
	start := time.Date(day.Year, day.Month, day.Day, 0, 0, 0, 0, zone)
	return start.Before(to) && start.AddDate(0, 0, 1).After(from)
}

// shiftsBefore are the shifts of the last working day before a date, within a month.
func shiftsBefore(c *problem.Calendar, day problem.Date) []problem.Shift {
	for back := 1; back <= 31; back++ {
		if shifts := c.ShiftsOn(day.AddDays(-back)); len(shifts) > 0 {
			return shifts
		}
	}
	return nil
}
