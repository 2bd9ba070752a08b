package recovery

import "jambwright/scheduler/problem"

// weekOf is the Monday of a date's week.
func weekOf(d problem.Date) problem.Date {
	return d.AddDays(-(int(d.Weekday()) + 6) % 7)
}

// DaysOf is how many days of the calendar longer hours go on, first and last included; 0 for other moves.
func DaysOf(m Move) int {
	if m.Kind != Overtime && m.Kind != Saturdays {
		return 0
	}
	return m.From.DaysUntil(m.Until) + 1
}
