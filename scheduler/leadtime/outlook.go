package leadtime

import "jambwright/scheduler/calendar"

// Rule says where the expected arrival of material comes from.
type Rule string

// The rules.
const (
	Arrived       Rule = "arrived"        // it is here
	Promised      Rule = "promised"       // the supplier's promise, still to come, replaces what is computed
	MissedPromise Rule = "missed_promise" // the promise has passed: the spread, from the data date
	Computed      Rule = "computed"       // the likely lead from the order
	Overdue       Rule = "overdue"        // the likely lead is used up: the spread, from the data date
	ToOrder       Rule = "to_order"       // not ordered: the likely lead from when the order can be placed
)

// Late reports whether a rule is that of a supplier who did not keep his time.
func (r Rule) Late() bool { return r == MissedPromise || r == Overdue }

// Facts are what is known of a delivery. Nothing in them lies after the data date but the promise.
type Facts struct {
	Ordered  *calendar.Instant
	Promised *calendar.Instant
	Received *calendar.Instant
}

// Left says by which rule material that was ordered arrives, and after how many minutes from the data date: minutes of the clock
// for Promised, so that a promise is met to the minute whatever the supplier's calendar says, else of the supplier's calendar.
func (t *Terms) Left(ordered calendar.Instant, promised *calendar.Instant, dataDate calendar.Instant) (Rule, int) {
	spread := t.Days.Spread(t.Allowance) * t.DayMinutes
	if promised != nil {
		if *promised > dataDate {
			return Promised, int(*promised - dataDate)
		}
		return MissedPromise, spread
	}
	left := t.Days.Likely*t.DayMinutes - max(0, int(t.Supplier.Count(ordered, dataDate)))
	if left <= 0 {
		return Overdue, spread
	}
	return Computed, left
}

// Outlook is when a delivery is expected.
type Outlook struct {
	Rule     Rule
	Expected calendar.Instant // at the site's gate
	// Latest is the arrival by the longest lead where the expected one is computed; else the same as Expected.
	Latest calendar.Instant
}

// Outlook tells when a delivery is expected at the data date. What is not ordered is taken to be ordered at placed, or at the
// data date if that is later; a promise without an order holds as well.
func (t *Terms) Outlook(f Facts, dataDate, placed calendar.Instant) Outlook {
	switch {
	case f.Received != nil:
		return Outlook{Arrived, *f.Received, *f.Received}
	case f.Ordered == nil:
		span := t.Arrival(max(placed, dataDate))
		if f.Promised != nil && *f.Promised > span.Likely {
			return Outlook{Promised, *f.Promised, max(*f.Promised, span.Most)}
		}
		return Outlook{ToOrder, span.Likely, span.Most}
	}
	rule, left := t.Left(*f.Ordered, f.Promised, dataDate)
	switch rule {
	case Promised:
		return Outlook{rule, *f.Promised, *f.Promised}
	case Computed:
		longest := left + (t.Days.Most-t.Days.Likely)*t.DayMinutes
		return Outlook{rule, t.after(dataDate, left), t.after(dataDate, longest)}
	}
	at := t.after(dataDate, left)
	return Outlook{rule, at, at}
}

func (t *Terms) after(at calendar.Instant, minutes int) calendar.Instant {
	return t.Supplier.Add(at, calendar.WorkMinutes(minutes))
}
