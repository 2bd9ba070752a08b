package recovery

import (
	"time"

	"jambwright/scheduler/problem"
)

// dayTime is a date as an instant of its own, for reckoning with whole days.
func dayTime(d problem.Date) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
}

func before(a, b problem.Date) bool { return dayTime(a).Before(dayTime(b)) }

func addDays(d problem.Date, n int) problem.Date { return problem.DateOf(dayTime(d).AddDate(0, 0, n)) }

// weekOf is the Monday of a date's week.
func weekOf(d problem.Date) problem.Date {
	return addDays(d, -(int(dayTime(d).Weekday())+6)%7)
}

// DaysOf is how many days of the calendar longer hours go on, first and last included; 0 for other moves.
func DaysOf(m Move) int {
	if m.Kind != Overtime && m.Kind != Saturdays {
		return 0
	}
	return int(dayTime(m.Until).Sub(dayTime(m.From))/(24*time.Hour)) + 1
}
