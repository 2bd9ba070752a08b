package pattern

import (
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/leadtime"
	"jambwright/scheduler/problem"
)

// clock does the little arithmetic on calendars that building needs: how much of a lead time has passed, and how long a
// supplier's working day is. Calendars are compiled when first asked for.
type clock struct {
	f        *Firm
	specs    map[string]*problem.Calendar
	compiled map[string]*calendar.Calendar
	zones    map[string]*time.Location
}

// The horizon of the arithmetic, around the data date: orders are not older and overdue work is not planned later.
const (
	yearsBack  = 3
	yearsAhead = 1
)

func newClock(f *Firm) clock {
	c := clock{f: f, specs: map[string]*problem.Calendar{}, compiled: map[string]*calendar.Calendar{}, zones: map[string]*time.Location{}}
	for i := range f.Calendars {
		c.specs[f.Calendars[i].ID] = &f.Calendars[i]
	}
	return c
}

// knows reports whether a calendar exists.
func (c *clock) knows(id string) bool { return id == problem.Always || c.specs[id] != nil }

// calendar compiles a calendar once. One that cannot be compiled works always; validation names its fault.
func (c *clock) calendar(id string) *calendar.Calendar {
	if cal, ok := c.compiled[id]; ok {
		return cal
	}
	from := calendar.FromTime(c.f.DataDate.AddDate(-yearsBack, 0, 0))
	to := calendar.FromTime(c.f.DataDate.AddDate(yearsAhead, 0, 0))
	cal := calendar.Always(from, to)
	if spec := c.specs[id]; spec != nil {
		if made, err := calendar.Compile(*spec, from, to); err == nil {
			cal = made
		}
	}
	c.compiled[id] = cal
	return cal
}

// dayMinutes is the working time of one lead day on a calendar.
func (c *clock) dayMinutes(id string) int { return leadtime.DayMinutes(c.specs[id]) }

// afterDataDate says when an allowance of working time runs out. A calendar that never works again within the horizon falls
// back to minutes of the clock: validation or the planner will say what is wrong with it.
//
// It is the instant by which a calendar has worked so many minutes from the data date.
func (c *clock) afterDataDate(id string, minutes int) time.Time {
	at := c.calendar(id).Add(calendar.FromTime(c.f.DataDate), calendar.WorkMinutes(minutes))
	if at >= calendar.Never {
		return c.f.DataDate.Add(time.Duration(minutes) * time.Minute)
	}
	return at.Time()
}

// day writes a date as people say it, in the zone of a calendar.
func (c *clock) day(id string, t time.Time) string {
	zone := c.f.Zone
	if spec := c.specs[id]; spec != nil {
		zone = spec.Zone
	}
	location, ok := c.zones[zone]
	if !ok {
		location = time.UTC
		if known, err := problem.LoadZone(zone); err == nil {
			location = known
		}
		c.zones[zone] = location
	}
	return t.In(location).Format("Mon 2 Jan 2006")
}
