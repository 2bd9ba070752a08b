package leadtime

import (
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// Days counts working days of a supplier's calendar from order to arrival on site. Least <= Likely <= Most.
type Days struct {
	Least, Likely, Most int
}

// Spread is the working days that a late delivery is given: those between likely and most, at least the allowance.
func (d Days) Spread(allowance int) int { return max(allowance, d.Most-d.Likely) }

// Terms are what a supplier and the calendars say of one delivery.
type Terms struct {
	Days       Days
	DayMinutes int                // working minutes of one lead day, see DayMinutes
	Supplier   *calendar.Calendar // lead days count in it
	Buyer      *calendar.Calendar // orders are placed in it; nil: at any time
	// Allowance is the least number of the supplier's working days that a late delivery gets.
	Allowance int
}

// Span is an instant for each of the three leads.
type Span struct {
	Least, Likely, Most calendar.Instant
}

// OrderBy gives the order-by dates of a need for each of the three leads: a longer lead asks for the earlier order, so Most
// is the first of them. One that lies before the calendars' horizon is calendar.BeforeAll. O(log intervals).
func (t *Terms) OrderBy(need calendar.Instant) Span {
	return t.each(func(n calendar.WorkMinutes) calendar.Instant {
		latest := t.Supplier.LatestWithAdd(need, n)
		if t.Buyer == nil || latest <= calendar.BeforeAll {
			return latest
		}
		return t.Buyer.Previous(latest)
	})
}

// Arrival gives when an order placed at an instant arrives, for each of the three leads; calendar.Never when the horizon ends
// before. O(log intervals).
func (t *Terms) Arrival(ordered calendar.Instant) Span {
	return t.each(func(n calendar.WorkMinutes) calendar.Instant { return t.Supplier.Add(ordered, n) })
}

func (t *Terms) each(at func(calendar.WorkMinutes) calendar.Instant) Span {
	minutes := func(days int) calendar.WorkMinutes { return calendar.WorkMinutes(days * t.DayMinutes) }
	return Span{Least: at(minutes(t.Days.Least)), Likely: at(minutes(t.Days.Likely)), Most: at(minutes(t.Days.Most))}
}

// DayMinutes is the working time of one lead day: a day of the clock without a calendar, else the mean of the days of the
// week that work, rounded.
func DayMinutes(spec *problem.Calendar) int {
	const clockDay = 24 * 60
	if spec == nil {
		return clockDay
	}
	minutes, days := 0, 0
	for d := time.Sunday; d <= time.Saturday; d++ {
		shifts := spec.Week.Day(d)
		for _, s := range shifts {
			minutes += s.To - s.From
		}
		if len(shifts) > 0 {
			days++
		}
	}
	if days == 0 {
		return clockDay
	}
	return (minutes + days/2) / days
}
