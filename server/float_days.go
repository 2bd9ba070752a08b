package server

import (
	"context"
	"time"

	"jambwright/models"
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
	"jambwright/web"
)

// floatDays measures the float of GC dates in working days of their projects' calendars.
type floatDays struct {
	read      func(project *models.Project, year int) (problem.Calendar, error)
	calendars map[int64]*calendar.Calendar
}

func newFloatDays(ctx context.Context, db *models.DB) *floatDays {
	return &floatDays{
		calendars: map[int64]*calendar.Calendar{},
		read: func(p *models.Project, year int) (problem.Calendar, error) {
			return models.ProblemCalendar(ctx, db, p.CalendarID, year)
		},
	}
}

// between is the working time between a forecast and the date in days of the calendar's usual length, negative when late;
// 0 without a forecast.
func (w *floatDays) between(project *models.Project, forecast *time.Time, due time.Time) (float64, error) {
	if forecast == nil {
		return 0, nil
	}
	spec, err := w.read(project, due.Year())
	if err != nil {
		return 0, err
	}
	from, to := calendar.FromTime(*forecast), calendar.FromTime(due)
	compiled := w.calendars[project.ID]
	if compiled == nil || !covers(compiled, from, to) {
		const month = 31 * 24 * 60
		if compiled, err = calendar.Compile(spec, min(from, to)-month, max(from, to)+month); err != nil {
			return 0, err
		}
		w.calendars[project.ID] = compiled
	}
	return float64(compiled.Count(from, to)) / float64(usualDay(&spec)), nil
}

func covers(c *calendar.Calendar, a, b calendar.Instant) bool {
	from, to := c.Horizon()
	return from <= min(a, b) && max(a, b) <= to
}

// usualDay is the working time of the calendar's longest weekday, in minutes; 480 where it has none.
func usualDay(spec *problem.Calendar) int {
	longest := 0
	for day := range 7 {
		minutes := 0
		for _, shift := range spec.Week.Day(time.Weekday(day)) {
			minutes += shift.To - shift.From
		}
		longest = max(longest, minutes)
	}
	if longest == 0 {
		return 480
	}
	return longest
}

// effect fills in the float of a date in the plan before and in the one after.
func (w *floatDays) effect(project *models.Project, e *web.DateEffect) (err error) {
	if e.FloatBefore, err = w.between(project, e.Before, e.Date); err != nil {
		return err
	}
	e.FloatAfter, err = w.between(project, e.After, e.Date)
	return err
}
