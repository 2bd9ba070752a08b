package recovery

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// Supply is what is known of a release's time under way beyond the problem.
type Supply struct {
	Lead         string // id of its task
	Calendar     string // of the supplier
	LeastMinutes int    // least lead time, in working minutes of that calendar
	DayMinutes   int    // of one lead day
}

// Lever is something to pull at with the moves of growing reach that it allows, of which one is done.
type Lever struct {
	Name   string
	Slack  int // minutes that what it is about could slip before the date moves; 0 on the driving chain
	Levels []Move
}

// NotOffered is a move that nobody needs to try, and why.
type NotOffered struct {
	Move Move   `json:"move"`
	Why  string `json:"why"` // in words, without names of tasks; "" where Holds says it
	// Holds is the task that holds the date whatever the move does: even with every crew free for each task, the date would
	// be won less than Least.
	Holds string `json:"holds,omitempty"`
}

// near is how many minutes of slack still count as near the driving chain: a week.
const near = 7 * 24 * 60

// Candidates lists what could be pulled at for a GC date, nearest to its driving chain first, and what cannot. The plan is one of
// the problem with a forecast of the date. Cost O(tasks log tasks + links).
func Candidates(p *problem.Problem, plan *problem.Plan, date *problem.PlannedDate, supplies []Supply, s Settings) ([]Lever, []NotOffered) {
	c := candidates{p: p, settings: s, tasks: slacks(p, plan, date), forecast: *date.Forecast, supplies: map[string]*Supply{}}
	for i := range supplies {
		c.supplies[supplies[i].Lead] = &supplies[i]
	}
	for i := range p.Crews {
		c.crew(&p.Crews[i])
	}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		now := c.tasks[t.ID]
		if now == nil || now.done || now.slack > near {
			continue
		}
		switch t.Kind {
		case kindLead:
			c.lead(t, now)
		case kindHandover:
			c.handover(t, now)
		case kindOrder:
			c.order(t, now)
		}
	}
	slices.SortStableFunc(c.levers, func(a, b Lever) int {
		return cmp.Or(cmp.Compare(sign(a.Slack), sign(b.Slack)), cmp.Compare(rank(a.Levels[0].Kind), rank(b.Levels[0].Kind)),
			cmp.Compare(a.Slack, b.Slack), cmp.Compare(a.Name, b.Name))
	})
	return c.levers, c.not
}

// rank is the order in which kinds are tried: what asks least of our own people first.
func rank(k Kind) int {
	return slices.Index([]Kind{Expedite, EarlierHandover, OtherBasis, Overtime, Saturdays, SecondCrew}, k)
}

func sign(n int) int { return cmp.Compare(n, 0) }

type candidates struct {
	p        *problem.Problem
	settings Settings
	tasks    map[string]*placed
	supplies map[string]*Supply
	forecast time.Time
	levers   []Lever
	not      []NotOffered
}

func (c *candidates) offer(slack int, moves ...Move) {
	if len(moves) > 0 {
		c.levers = append(c.levers, Lever{Name: moves[0].Lever(), Slack: slack, Levels: moves})
	}
}

func (c *candidates) refuse(m Move, format string, values ...any) {
	c.not = append(c.not, NotOffered{Move: m, Why: fmt.Sprintf(format, values...)})
}

// crew offers longer hours, Saturdays and a second crew for a crew with work near the driving chain, from the day of its
// first such work on.
func (c *candidates) crew(crew *problem.Crew) {
	slack, first, last := far, int64(0), int64(0)
	for _, t := range c.tasks {
		if t.crew != crew.ID || t.done || t.slack > near {
			continue
		}
		if slack == far || t.begin < first {
			first = t.begin
		}
		slack, last = min(slack, t.slack), max(last, t.finish)
	}
	if slack == far {
		return
	}
	zone := zoneOf(c.p, crew.Calendar)
	tomorrow := problem.DateOf(c.p.DataDate.In(zone)).AddDays(1)
	from, until := problem.DateOf(at(first).In(zone)), problem.DateOf(at(last).In(zone))
	if from.Before(tomorrow) {
		from = tomorrow
	}
	if !until.Before(from) {
		c.hours(crew, slack, from, until)
		c.saturdays(crew, slack, from, until)
	}
	c.second(crew, slack, from, until)
}

// hours offers an hour and two a day for two weeks, and two for four, as long as the crew's week stays within what the loss
// was measured for and the loss leaves something of them.
func (c *candidates) hours(crew *problem.Crew, slack int, from, until problem.Date) {
	if _, _, long := HoursOf(crew.Calendar); long {
		c.refuse(Move{Kind: Overtime, Crew: crew.ID}, "the crew works longer hours already")
		return
	}
	var moves []Move
	for _, level := range []struct{ minutes, weeks int }{{60, 2}, {120, 2}, {120, 4}} {
		m := Move{
			Kind: Overtime, Crew: crew.ID, From: from, Until: earlierOf(from.AddDays(7*level.weeks-1), until), Minutes: level.minutes,
			Loss: c.settings.Loss, Premium: c.settings.OvertimePremium,
		}
		if n := len(moves); n > 0 && moves[n-1].Minutes == m.Minutes && moves[n-1].Until == m.Until {
			continue // the crew's work near the chain ends before
		}
		if c.gains(crew, m) {
			moves = append(moves, m)
		}
	}
	c.offer(slack, moves...)
}

// saturdays offers two and four Saturdays.
func (c *candidates) saturdays(crew *problem.Crew, slack int, from, until problem.Date) {
	if _, _, long := HoursOf(crew.Calendar); long {
		return // said of its hours
	}
	first := from.AddDays(int(time.Saturday - from.Weekday()))
	var moves []Move
	for _, weeks := range []int{2, 4} {
		m := Move{
			Kind: Saturdays, Crew: crew.ID, From: first, Until: first.AddDays(7 * (weeks - 1)),
			Loss: c.settings.Loss, Premium: c.settings.SaturdayPremium,
		}
		for until.Before(m.Until) && !m.Until.Before(m.From) {
			m.Until = m.Until.AddDays(-7)
		}
		if m.Until.Before(m.From) || len(moves) > 0 && moves[len(moves)-1].Until == m.Until {
			continue
		}
		if c.gains(crew, m) {
			moves = append(moves, m)
		}
	}
	c.offer(slack, moves...)
}

// gains reports whether longer hours leave more productive time than the ordinary ones; it refuses the move otherwise.
func (c *candidates) gains(crew *problem.Crew, m Move) bool {
	ordinary, productive := 0, 0
	weeks := map[problem.Date]int{}
	for _, d := range longDaysOf(c.p, crew, []Move{m}) {
		ordinary += d.ordinary
		productive += minutesOf(d.planned())
		weeks[weekOf(d.date)] += minutesOf(d.paid)
	}
	for _, minutes := range weeks {
		if minutes > LongestWeek {
			c.refuse(m, "its week would be longer than %d hours, beyond which no loss of productivity is published", LongestWeek/60)
			return false
		}
	}
	if productive <= ordinary {
		c.refuse(m, "the loss of productivity in long weeks eats the hours that are added")
		return false
	}
	return true
}

// second offers a crew like this one, from the first day on which one can be had and there is work for it.
func (c *candidates) second(crew *problem.Crew, slack int, from, until problem.Date) {
	m := Move{
		Kind: SecondCrew, Crew: crew.ID, NewCrew: c.freeName(crew.ID), From: from, Premium: c.settings.HirePremium,
		AtLeastDays: c.settings.HireAtLeastDays, Price: c.settings.HirePrice,
	}
	soonest := problem.DateOf(c.p.DataDate.In(zoneOf(c.p, crew.Calendar))).AddDays(c.settings.HireDays)
	if m.From.Before(soonest) {
		m.From = soonest
	}
	if until.Before(m.From) {
		c.refuse(m, "a second crew can begin in %d days, when the work near the driving chain is done", c.settings.HireDays)
		return
	}
	c.offer(slack, m)
}

// freeName is an id for a second crew that no crew has: "Alder 2".
func (c *candidates) freeName(crew string) string {
	for n := 2; ; n++ {
		if name := crew + " " + strconv.Itoa(n); crewAt(c.p.Crews, name) < 0 {
			return name
		}
	}
}

// lead offers the least lead time of a release, or the day by which it brings one under way.
func (c *candidates) lead(t *problem.Task, now *placed) {
	supply := c.supplies[t.ID]
	if supply == nil || supply.DayMinutes <= 0 {
		return
	}
	m := Move{Kind: Expedite, Task: t.ID}
	if !t.IsStarted() {
		saved := *t.DurationMinutes - supply.LeastMinutes
		if saved <= 0 {
			c.refuse(m, "it is planned with its least lead time already")
			return
		}
		m.Minutes, m.Price = supply.LeastMinutes, c.settings.ExpeditePricePerDay*float64(ceilDiv(saved, supply.DayMinutes))
		c.offer(now.slack, m)
		return
	}
	by, err := c.leastArrival(t.Status.Started, supply)
	if err != nil {
		c.refuse(m, "the supplier's calendar cannot be read: %v", err)
		return
	}
	comes := at(now.finish)
	if !by.After(c.p.DataDate) || !by.Before(comes) {
		c.refuse(m, "it was ordered too long ago to come sooner than it is promised")
		return
	}
	m.By, m.Price = by, c.settings.ExpeditePricePerDay*float64(ceilDiv(int(comes.Sub(by)/time.Minute), 24*60))
	c.offer(now.slack, m)
}

// leastArrival is when material that was ordered at an instant comes at the earliest.
func (c *candidates) leastArrival(ordered time.Time, s *Supply) (time.Time, error) {
	spec := calendarOf(c.p, s.Calendar)
	if spec == nil {
		return ordered.Add(time.Duration(s.LeastMinutes) * time.Minute), nil
	}
	const spare = 366 * 24 * 60 // beyond any least lead time with its weekends
	from := calendar.FromTime(ordered)
	compiled, err := calendar.Compile(*spec, from, from+calendar.Instant(2*s.LeastMinutes+spare))
	if err != nil {
		return time.Time{}, err
	}
	return compiled.Add(from, calendar.WorkMinutes(s.LeastMinutes)).Time(), nil
}

func ceilDiv(a, b int) int { return (a + b - 1) / b }

// handover offers to ask for an area three days sooner, and a week.
func (c *candidates) handover(t *problem.Task, now *placed) {
	if t.NotBefore == nil {
		return
	}
	var moves []Move
	for _, days := range []int{3, 7} {
		by := t.NotBefore.In(zoneOfProblem(c.p)).AddDate(0, 0, -days).UTC()
		if by.After(c.p.DataDate) {
			moves = append(moves, Move{Kind: EarlierHandover, Task: t.ID, By: by})
		}
	}
	if len(moves) == 0 {
		c.refuse(Move{Kind: EarlierHandover, Task: t.ID, By: c.p.DataDate}, "it is expected within three days already")
		return
	}
	c.offer(now.slack, moves...)
}

// order offers a less certain basis for an order that still waits for its sizes.
func (c *candidates) order(t *problem.Task, now *placed) {
	if t.IsStarted() {
		return
	}
	waits := map[string]bool{} // kinds of the work that it waits for
	for i := range c.p.Links {
		if l := &c.p.Links[i]; l.To == t.ID {
			if from := c.tasks[l.From]; from != nil && !from.done {
				waits[from.kind] = true
			}
		}
	}
	switch {
	case waits[kindFrame]:
		c.offer(now.slack, Move{Kind: OtherBasis, Task: t.ID, Basis: BasisSurvey})
	case waits[kindSurvey]:
		c.offer(now.slack, Move{Kind: OtherBasis, Task: t.ID, Basis: BasisDrawings})
	}
}

func earlierOf(a, b problem.Date) problem.Date {
	if b.Before(a) {
		return b
	}
	return a
}
