package ledger

import (
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// clock counts working minutes inside the window, on calendars as the later problem knows them: work is looked back on.
// Calendars that only the earlier problem has are known too.
type clock struct {
	from, to calendar.Instant
	specs    map[string]*problem.Calendar
	crews    map[string]*problem.Crew
	named    map[string]*calendar.Calendar
	ofCrew   map[string]*calendar.Calendar
}

// lookBack is how long before the earlier data date work may be reported to have begun that the earlier plan did not
// know of, in minutes; what lies before is not counted.
const lookBack = 60 * 24 * 60

func newClock(earlier, later *problem.Problem) *clock {
	c := &clock{
		from:  calendar.FromTime(earlier.DataDate) - lookBack,
		to:    calendar.FromTime(later.DataDate) + 1,
		specs: map[string]*problem.Calendar{}, crews: map[string]*problem.Crew{},
		named: map[string]*calendar.Calendar{}, ofCrew: map[string]*calendar.Calendar{},
	}
	c.named[problem.Always] = calendar.Always(c.from, c.to)
	for _, p := range []*problem.Problem{earlier, later} {
		for i := range p.Calendars {
			c.specs[p.Calendars[i].ID] = &p.Calendars[i]
		}
		for i := range p.Crews {
			c.crews[p.Crews[i].ID] = &p.Crews[i]
		}
	}
	return c
}

// calendar is a named calendar of either problem.
func (c *clock) calendar(id string) (*calendar.Calendar, error) {
	if compiled := c.named[id]; compiled != nil {
		return compiled, nil
	}
	compiled, err := calendar.Compile(*c.specs[id], c.from, c.to)
	if err != nil {
		return nil, err
	}
	c.named[id] = compiled
	return compiled, nil
}

// crewCalendar is when a crew works.
func (c *clock) crewCalendar(crew *problem.Crew) (*calendar.Calendar, error) {
	if compiled := c.ofCrew[crew.ID]; compiled != nil {
		return compiled, nil
	}
	base, err := c.calendar(crew.Calendar)
	if err != nil {
		return nil, err
	}
	away := make([]calendar.Interval, 0, len(crew.Away))
	for _, span := range crew.Away {
		away = append(away, calendar.Interval{Start: calendar.FromTime(span.From), Finish: calendar.FromTime(span.To)})
	}
	c.ofCrew[crew.ID] = base.Without(away)
	return c.ofCrew[crew.ID], nil
}
