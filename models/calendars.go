package models

import (
	"context"
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// Holidays made by a rule are listed from a year before the data date to some years after, as far as anyone plans.
const (
	holidayYearsBack  = 1
	holidayYearsAhead = 5
)

// problem is the calendar as the planner reads it, with the holidays of the years around a year. The relations Shifts,
// Holidays and Exceptions must be loaded.
func (c *Calendar) problem(year int) problem.Calendar {
	out := problem.Calendar{ID: c.Code, Zone: c.Zone}
	shifts := slices.SortedFunc(slices.Values(c.Shifts), func(a, b CalendarShift) int { return a.FromMinute - b.FromMinute })
	for _, s := range shifts {
		day := weekday(&out.Week, s.Weekday)
		*day = append(*day, problem.Shift{From: s.FromMinute, To: s.ToMinute})
	}
	first, last := year-holidayYearsBack, year+holidayYearsAhead
	switch c.HolidayRule {
	case USFederalHolidays:
		out.Holidays = calendar.FederalHolidays(first, last)
	case BuildingTrades:
		out.Holidays = calendar.BuildingTradesHolidays(first, last, calendar.AsDated)
	case NoHolidayRule:
	}
	for _, h := range c.Holidays {
		for day := h.FirstDay; !h.LastDay.Before(day); day = day.AddDays(1) {
			out.Holidays = append(out.Holidays, day.Date)
		}
	}
	slices.SortFunc(out.Holidays, problem.Date.Compare)
	out.Holidays = slices.Compact(out.Holidays)
	for _, e := range c.Exceptions {
		exception := problem.Exception{Date: e.Day.Date, Shifts: []problem.Shift{}}
		for _, s := range e.Shifts {
			exception.Shifts = append(exception.Shifts, problem.Shift{From: s.FromMinute, To: s.ToMinute})
		}
		slices.SortFunc(exception.Shifts, func(a, b problem.Shift) int { return a.From - b.From })
		out.Exceptions = append(out.Exceptions, exception)
	}
	slices.SortFunc(out.Exceptions, func(a, b problem.Exception) int { return a.Date.Compare(b.Date) })
	return out
}

func weekday(w *problem.Week, d time.Weekday) *[]problem.Shift {
	return [...]*[]problem.Shift{&w.Sun, &w.Mon, &w.Tue, &w.Wed, &w.Thu, &w.Fri, &w.Sat}[d]
}

// ProblemCalendar is a stored calendar as the planner reads it around a year.
func ProblemCalendar(ctx context.Context, r Reader, id int64, year int) (problem.Calendar, error) {
	var c Calendar
	err := r.in(ctx).Preload("Shifts").Preload("Holidays").Preload("Exceptions.Shifts").Take(&c, id).Error
	if err != nil {
		return problem.Calendar{}, wrap(err, "read calendar %d", id)
	}
	return c.problem(year), nil
}

// CreateCalendar adds a calendar with its shifts, holidays and exceptions.
func CreateCalendar(ctx context.Context, tx *Tx, c *Calendar, actor Actor) error {
	if err := tx.in(ctx).Create(c).Error; err != nil {
		return wrap(err, "add calendar %s", c.Code)
	}
	return record(ctx, tx, actor, "create", subject{kind: "calendar", id: c.ID}, map[string]any{"code": c.Code, "name": c.Name})
}

// firstShift is the local minute at which work begins on a date, holidays aside: the start of the exception's or the
// weekday's first shift, 0 where there is none.
func (c *Calendar) firstShift(d Date) int {
	first := -1
	note := func(from int) {
		if first < 0 || from < first {
			first = from
		}
	}
	for _, e := range c.Exceptions {
		if e.Day == d {
			for _, s := range e.Shifts {
				note(s.FromMinute)
			}
			return max(0, first)
		}
	}
	for _, s := range c.Shifts {
		if s.Weekday == d.Weekday() {
			note(s.FromMinute)
		}
	}
	return max(0, first)
}
