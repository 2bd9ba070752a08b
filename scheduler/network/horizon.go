package network

import (
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

const (
	minutesPerYear = calendar.Instant(525_949) // 365.2425 days

	// A first horizon reaches this far beyond the outermost date of the document. Work that does not fit makes the
	// horizon double, so the figures decide only how often calendars are compiled.
	firstYearsBack  = 1
	firstYearsAhead = 3

	// Past this reach on either side of the data date there is no plan: work that does not fit is reported instead.
	longestYears = 64
)

// reach is how far a horizon extends to either side of the data date.
type reach struct{ back, ahead calendar.Instant }

func (r reach) doubled() reach {
	return reach{back: min(2*r.back, longestYears*minutesPerYear), ahead: min(2*r.ahead, longestYears*minutesPerYear)}
}

// firstReach covers every date of the document with some years to spare.
func firstReach(p *problem.Problem) reach {
	first, last := p.DataDate, p.DataDate
	see := func(t *time.Time) {
		if t == nil {
			return
		}
		if t.Before(first) {
			first = *t
		}
		if t.After(last) {
			last = *t
		}
	}
	for i := range p.Tasks {
		seeTask(&p.Tasks[i], see)
	}
	for i := range p.GCDates {
		see(&p.GCDates[i].Date)
	}
	for i := range p.Issued {
		see(&p.Issued[i].Start)
	}
	for i := range p.Crews {
		for k := range p.Crews[i].Away {
			see(&p.Crews[i].Away[k].From)
			see(&p.Crews[i].Away[k].To)
		}
	}
	origin := calendar.FromTime(p.DataDate)
	r := reach{
		back:  origin - calendar.FromTime(first) + firstYearsBack*minutesPerYear,
		ahead: calendar.FromTime(last) - origin + firstYearsAhead*minutesPerYear,
	}
	return reach{back: min(r.back, longestYears*minutesPerYear), ahead: min(r.ahead, longestYears*minutesPerYear)}
}

// lastListed is behind the last date that a calendar of the document lists for itself.
func lastListed(p *problem.Problem) calendar.Instant {
	last := calendar.BeforeAll
	see := func(d problem.Date) {
		// Two days later the date is over in every zone.
		last = max(last, calendar.FromTime(time.Date(d.Year, d.Month, d.Day+2, 0, 0, 0, 0, time.UTC)))
	}
	for i := range p.Calendars {
		for _, holiday := range p.Calendars[i].Holidays {
			see(holiday)
		}
		for k := range p.Calendars[i].Exceptions {
			see(p.Calendars[i].Exceptions[k].Date)
		}
	}
	return last
}

func seeTask(t *problem.Task, see func(*time.Time)) {
	see(t.NotBefore)
	see(t.Deadline)
	if t.Pin != nil {
		see(t.Pin.Start)
	}
	if t.Status != nil {
		see(&t.Status.Started)
		see(t.Status.Finished)
	}
}

// Extend compiles the same problem over a horizon that reaches twice as far to both sides of the data date. Indexes
// stay what they are; everything but the calendars is shared. It reports false, and gives c itself, when the horizon
// already reaches as far as any plan may (64 years): what does not fit then never will.
func (c *Compiled) Extend() (*Compiled, bool) {
	longer := c.reach.doubled()
	if longer == c.reach {
		return c, false
	}
	extended := *c
	extended.setReach(longer)
	calendars, err := compileCalendars(extended.recipes, extended.From, extended.To)
	if err != nil {
		// The same zones were loaded when c was compiled.
		panic("network: " + err.Error())
	}
	extended.Calendars = calendars
	return &extended, true
}

func (c *Compiled) setReach(r reach) {
	c.reach = r
	c.From, c.To = c.DataDate-r.back, c.DataDate+r.ahead
}
