package server

import (
	"context"
	"fmt"
	"strings"
	"time"

	"jambwright/models"
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/recovery"
)

// crewHours is the working time of all crews over a span of days.
type crewHours struct {
	crews   []models.Crew // by name
	working map[int64]*calendar.Calendar
	zones   map[int64]*time.Location // of each crew's calendar, by crew
}

// readHours compiles the calendars of all active crews, absences taken out, from one instant to another.
func readHours(ctx context.Context, r models.Reader, from, to time.Time) (*crewHours, error) {
	crews, err := models.Crews(ctx, r)
	if err != nil {
		return nil, err
	}
	h := &crewHours{working: map[int64]*calendar.Calendar{}, zones: map[int64]*time.Location{}}
	longer, err := movesInForce(ctx, r)
	if err != nil {
		return nil, err
	}
	specs := map[int64]problem.Calendar{}
	compiled := map[int64]*calendar.Calendar{}
	for _, crew := range crews {
		if !crew.Active {
			continue
		}
		h.crews = append(h.crews, crew)
		id := crew.CalendarID
		if compiled[id] == nil {
			if specs[id], err = models.ProblemCalendar(ctx, r, id, from.Year()); err != nil {
				return nil, err
			}
			if compiled[id], err = calendar.Compile(specs[id], calendar.FromTime(from), calendar.FromTime(to)); err != nil {
				return nil, fmt.Errorf("hours of crew %s: %w", crew.Name, err)
			}
		}
		if h.zones[crew.ID], err = time.LoadLocation(specs[id].Zone); err != nil {
			return nil, fmt.Errorf("hours of crew %s: %w", crew.Name, err)
		}
		var away []calendar.Interval
		for _, a := range crew.Absences {
			away = append(away, calendar.Interval{Start: calendar.FromTime(a.StartsAt), Finish: calendar.FromTime(a.FinishesAt)})
		}
		working := compiled[id]
		if long, is := recovery.Lengthened(specs[id], crew.Code, problem.DateOf(from.In(h.zones[crew.ID])), longer); is {
			if working, err = calendar.Compile(long, calendar.FromTime(from), calendar.FromTime(to)); err != nil {
				return nil, fmt.Errorf("longer hours of crew %s: %w", crew.Name, err)
			}
		}
		h.working[crew.ID] = working.Without(away)
	}
	return h, nil
}

// movesInForce are the moves of all scenarios that plans are made with.
func movesInForce(ctx context.Context, r models.Reader) (moves []recovery.Move, err error) {
	scenarios, err := models.ScenariosInForce(ctx, r, nil)
	for i := range scenarios {
		moves = append(moves, scenarios[i].Moves...)
	}
	return moves, err
}

// of is the crew's working time between two instants.
func (h *crewHours) of(crewID int64, from, to time.Time) []calendar.Interval {
	c := h.working[crewID]
	if c == nil {
		return nil
	}
	begin, end := calendar.FromTime(from), calendar.FromTime(to)
	var list []calendar.Interval
	for _, w := range c.Intervals() {
		if w.Start < end && w.Finish > begin {
			list = append(list, calendar.Interval{Start: max(w.Start, begin), Finish: min(w.Finish, end)})
		}
	}
	return list
}

// off says why a crew does not work between two instants; "" when it does.
func (h *crewHours) off(crew *models.Crew, from, to time.Time) string {
	if len(h.of(crew.ID, from, to)) > 0 {
		return ""
	}
	for _, a := range crew.Absences {
		if a.StartsAt.Before(to) && a.FinishesAt.After(from) {
			switch {
			case a.Note == "":
				return "away"
			case strings.HasPrefix(strings.ToLower(a.Note), "away"):
				return a.Note
			}
			return "away: " + a.Note
		}
	}
	switch from.In(h.zones[crew.ID]).Weekday() {
	case time.Saturday, time.Sunday:
		return "weekend"
	}
	return "no work that day"
}

// worked reports whether any crew works between two instants.
func (h *crewHours) worked(from, to time.Time) bool {
	for i := range h.crews {
		if len(h.of(h.crews[i].ID, from, to)) > 0 {
			return true
		}
	}
	return false
}

// daySpan is a local date as instants, half-open.
func daySpan(d problem.Date, zone *time.Location) (from, to time.Time) {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, zone), time.Date(d.Year, d.Month, d.Day+1, 0, 0, 0, 0, zone)
}

// addDays is the date n days later.
func addDays(d problem.Date, n int) problem.Date {
	return problem.DateOf(time.Date(d.Year, d.Month, d.Day+n, 0, 0, 0, 0, time.UTC))
}

// nextWorked is the first date after d, by steps of one day in a direction, on which any crew works; the very next one when
// nobody works for weeks.
func (h *crewHours) nextWorked(d problem.Date, step int, zone *time.Location) problem.Date {
	const searched = 21
	for n := 1; n <= searched; n++ {
		next := addDays(d, n*step)
		if h.worked(daySpan(next, zone)) {
			return next
		}
	}
	return addDays(d, step)
}
