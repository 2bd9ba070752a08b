package problemtest

import (
	"fmt"
	"time"

	"jambwright/scheduler/problem"
)

const (
	dayCalendar   = "days"
	longCalendar  = "long days"
	nightCalendar = "nights"
	dockCalendar  = "dock hours"
)

func shifts(texts ...string) (list []problem.Shift) {
	for _, text := range texts {
		shift, err := problem.ParseShift(text)
		if err != nil {
			panic(fmt.Sprintf("problemtest: %v", err))
		}
		list = append(list, shift)
	}
	return list
}

// calendars makes day, long-day and night patterns. The night shift spans midnight and the hour at which clocks
// change; the dock is open on every day shift, so that a day crew can use it.
func (g *generator) calendars() {
	if !g.Shifts {
		return
	}
	split, full := shifts("07:00-12:00", "12:30-15:30"), shifts("06:30-17:00")
	night, open := shifts("00:00-03:15", "22:00-24:00"), shifts("06:00-18:00")
	weeks := []problem.Calendar{
		{ID: dayCalendar, Week: problem.Week{Mon: split, Tue: split, Wed: split, Thu: split, Fri: split}},
		{ID: longCalendar, Week: problem.Week{Mon: full, Tue: full, Wed: full, Thu: full, Sat: shifts("06:30-10:00")}},
		{ID: nightCalendar, Week: problem.Week{Sun: night, Mon: night, Tue: night, Wed: night, Thu: night, Fri: night, Sat: night}},
		{ID: dockCalendar, Week: problem.Week{Mon: open, Tue: open, Wed: open, Thu: open, Fri: open, Sat: shifts("06:00-12:00")}},
	}
	for _, c := range weeks {
		c.Zone = g.p.Zone
		if g.chance(0.2) {
			c.Zone = pick(g, zones)
		}
		if c.ID == dockCalendar {
			c.Zone = g.p.Zone
		}
		g.exceptDays(&c)
		g.p.Calendars = append(g.p.Calendars, c)
	}
}

// exceptDays adds holidays and exceptions near the data date, some of them on the same day.
func (g *generator) exceptDays(c *problem.Calendar) {
	first := g.p.DataDate.In(g.zone)
	taken := map[problem.Date]bool{}
	for range g.between(0, 4) {
		date := problem.DateOf(first.AddDate(0, 0, g.between(-3, 40)))
		if g.chance(0.6) {
			c.Holidays = append(c.Holidays, date)
		}
		if g.chance(0.6) && !taken[date] {
			taken[date] = true
			exception := problem.Exception{Date: date, Shifts: []problem.Shift{}}
			if g.chance(0.5) {
				exception.Shifts = shifts(pick(g, []string{"08:00-12:00", "00:00-24:00", "01:30-02:30", "18:00-24:00"}))
			}
			c.Exceptions = append(c.Exceptions, exception)
		}
	}
}

var crewKinds = []string{"survey", "frame", "glaze", "hang", "punch"}

func (g *generator) crews() {
	for i := range g.Crews {
		c := problem.Crew{ID: fmt.Sprintf("crew %d", i+1), Heads: g.between(1, 4), Calendar: problem.Always}
		if g.Shifts {
			c.Calendar = pick(g, []string{dayCalendar, dayCalendar, longCalendar, nightCalendar, problem.Always})
		}
		for _, kind := range crewKinds {
			if g.chance(0.5) {
				c.Skills = append(c.Skills, kind)
			}
		}
		if len(c.Skills) == 0 {
			c.Skills = []string{pick(g, crewKinds)}
		}
		if g.chance(g.Paces) {
			c.Productivity = map[string]float64{}
			for _, kind := range c.Skills {
				c.Productivity[kind] = pick(g, []float64{0.6, 0.7, 0.8, 0.9, 1.1, 1.2, 1.25, 1.3})
			}
		}
		if g.chance(g.Restricted) {
			c.Sites = []string{pick(g, g.p.Sites).ID}
		}
		if g.Travel && g.chance(0.5) {
			c.HomeSite = pick(g, g.p.Sites).ID
		}
		if g.chance(0.5) {
			c.CostPerHour = float64(g.between(40, 90))
		}
		if g.chance(g.Away) {
			c.Away = g.away()
		}
		g.p.Crews = append(g.p.Crews, c)
	}
}

// away draws spans that may overlap one another, the data date, and shifts at any minute.
func (g *generator) away() (spans []problem.Span) {
	for range g.between(1, 3) {
		from := g.after(g.between(-2*day, 20*day))
		spans = append(spans, problem.Span{From: from, To: from.Add(time.Duration(g.between(1, 3*day)) * time.Minute)})
	}
	return spans
}
