package crewing

import (
	"fmt"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// minutesPerDay is a day of the clock.
const minutesPerDay = 24 * 60

// NewModel adds to a compiled problem what crews and shared capacities need. O(tasks + options + links + working
// intervals of the calendars).
func NewModel(c *network.Compiled) *Model {
	n := c.Tasks()
	m := &Model{
		Compiled: c, weights: c.Problem.EffectiveWeights(), lastDone: calendar.BeforeAll,
		state: make([]State, n), actual: make([]CrewIndex, n), why: make(map[TaskIndex]string),
		actualStart: make([]calendar.Instant, n), actualFinish: make([]calendar.Instant, n),
	}
	b := modelBuilder{m: m, p: c.Problem, crews: make(map[string]CrewIndex, len(c.Problem.Crews))}
	for i := range b.p.Crews {
		b.crews[b.p.Crews[i].ID] = CrewIndex(i)
	}
	b.axes()
	b.places()
	b.crewData()
	b.resources()
	b.statuses()
	b.positions()
	b.refuse()
	b.links()
	b.wishes()
	b.order()
	m.separate()
	return m
}

// modelBuilder holds what is needed while a model is made.
type modelBuilder struct {
	m     *Model
	p     *problem.Problem
	crews map[string]CrewIndex
}

// axes gives each compiled calendar its fast form. Calendars that nothing here counts on are skipped.
func (b *modelBuilder) axes() {
	m := b.m
	m.axes = make([]*axis, len(m.Calendars))
	need := func(i network.CalendarIndex) {
		if m.axes[i] == nil {
			m.axes[i] = newAxis(m.Calendars[i])
		}
	}
	need(network.AlwaysCalendar)
	for t := range TaskIndex(m.Tasks()) {
		for _, o := range m.Options(t) {
			need(o.Calendar)
		}
	}
	for i := range m.Links {
		need(m.Links[i].Calendar)
	}
}

// places numbers sites and areas from 1 and lays out travel and set-up.
func (b *modelBuilder) places() {
	p, m := b.p, b.m
	sites := map[string]int32{"": noSite}
	for i := range p.Sites {
		sites[p.Sites[i].ID] = int32(i + 1)
	}
	m.sites = len(p.Sites) + 1
	m.travel = make([]calendar.WorkMinutes, m.sites*m.sites)
	for _, back := range []bool{true, false} { // a direction that is listed itself overrules the way back of the other
		for _, t := range p.Travel {
			from, to := int(sites[t.From]), int(sites[t.To])
			if back {
				from, to = to, from
			}
			m.travel[from*m.sites+to] = calendar.WorkMinutes(t.Minutes)
		}
	}
	areas := map[string]int32{"": 0}
	m.setup = make([]calendar.WorkMinutes, len(p.Areas)+1)
	for i := range p.Areas {
		areas[p.Areas[i].ID] = int32(i + 1)
		m.setup[i+1] = calendar.WorkMinutes(p.Areas[i].SetupMinutes)
	}
	m.place = make([]int32, len(p.Tasks))
	known := make(map[spot]int32)
	for t := range p.Tasks {
		at := spot{site: sites[p.Tasks[t].Site], area: areas[p.Tasks[t].Area]}
		place, ok := known[at]
		if !ok {
			place = int32(len(m.places))
			m.places = append(m.places, at)
			known[at] = place
		}
		m.place[t] = place
	}
	m.crews = make([]crewData, len(p.Crews))
	for i := range p.Crews {
		m.crews[i] = crewData{axis: None, home: sites[p.Crews[i].HomeSite], last: None, shortest: endless}
	}
}

// crewData finds each crew's own axis and the shortest task it may do.
func (b *modelBuilder) crewData() {
	m := b.m
	for t := range TaskIndex(m.Tasks()) {
		narrowed := b.usesLimitCalendar(t)
		for _, o := range m.Options(t) {
			if o.Crew == None {
				continue
			}
			crew := &m.crews[o.Crew]
			crew.shortest = min(crew.shortest, o.Minutes)
			if !narrowed {
				crew.axis = o.Calendar
			}
		}
	}
	for i := range m.crews {
		if m.crews[i].axis == None {
			m.crews[i].axis = network.CalendarIndex(len(m.axes))
			m.axes = append(m.axes, newAxis(b.crewCalendar(&b.p.Crews[i])))
		}
	}
}

func (b *modelBuilder) usesLimitCalendar(t TaskIndex) bool {
	for _, u := range b.m.Uses(t) {
		if name := b.p.Limits[u.Limit].Calendar; name != "" && name != problem.Always {
			return true
		}
	}
	return false
}

// crewCalendar compiles the calendar of a crew that has no work on it alone.
func (b *modelBuilder) crewCalendar(crew *problem.Crew) *calendar.Calendar {
	work := calendar.Always(b.m.From, b.m.To)
	for i := range b.p.Calendars {
		if b.p.Calendars[i].ID == crew.Calendar {
			compiled, err := calendar.Compile(b.p.Calendars[i], b.m.From, b.m.To)
			if err != nil {
				panic("crewing: " + err.Error()) // the same zone was loaded when the problem was compiled
			}
			work = compiled
		}
	}
	away := make([]calendar.Interval, len(crew.Away))
	for i, span := range crew.Away {
		away[i] = calendar.Interval{Start: calendar.FromTime(span.From), Finish: calendar.FromTime(span.To)}
	}
	return work.Without(away)
}

// resources lists limits, then the areas that hold a number of crews.
func (b *modelBuilder) resources() {
	p, m := b.p, b.m
	for i := range p.Limits {
		m.resources = append(m.resources, resource{capacity: int32(p.Limits[i].Capacity), id: p.Limits[i].ID})
	}
	areaResource := make(map[int32]int32)
	for i := range p.Areas {
		if p.Areas[i].MaxCrews != nil {
			areaResource[int32(i+1)] = int32(len(m.resources))
			m.resources = append(m.resources, resource{capacity: int32(*p.Areas[i].MaxCrews), id: p.Areas[i].ID, isArea: true})
		}
	}
	m.usesFrom = make([]int32, len(p.Tasks)+1)
	for t := range TaskIndex(len(p.Tasks)) {
		for _, u := range m.Uses(t) {
			if u.Units > 0 {
				m.uses = append(m.uses, use{resource: int32(u.Limit), units: u.Units})
			}
		}
		if r, ok := areaResource[m.places[m.place[t]].area]; ok && p.Tasks[t].IsCrewWork() {
			m.uses = append(m.uses, use{resource: r, units: 1})
		}
		m.usesFrom[t+1] = int32(len(m.uses))
	}
}

// statuses reads what has been reported, and finds where each crew finished last.
func (b *modelBuilder) statuses() {
	m := b.m
	for t := range TaskIndex(m.Tasks()) {
		m.actual[t] = None
		b.report(t)
		switch {
		case m.HeldBy(t) != None:
			m.state[t] = LeftOut
		case m.State[t] == network.Started:
			m.state[t] = Started
		case m.State[t] == network.Done:
			m.state[t] = Done
			m.lastDone = max(m.lastDone, m.actualFinish[t])
			b.rememberLast(t)
		}
	}
}

func (b *modelBuilder) report(t TaskIndex) {
	s := b.p.Tasks[t].Status
	if s == nil {
		return
	}
	if s.Crew != "" {
		b.m.actual[t] = b.crews[s.Crew]
	}
	b.m.actualStart[t] = calendar.FromTime(s.Started)
	if s.Finished != nil {
		b.m.actualFinish[t] = calendar.FromTime(*s.Finished)
	}
}

func (b *modelBuilder) rememberLast(t TaskIndex) {
	m := b.m
	if m.actual[t] == None {
		return
	}
	crew := &m.crews[m.actual[t]]
	if crew.last == None || m.actualFinish[t] >= m.actualFinish[crew.last] {
		crew.last = t
	}
}

// positions places the data date and the last finish on each crew's axis.
func (b *modelBuilder) positions() {
	m := b.m
	for i := range m.crews {
		crew := &m.crews[i]
		crew.ready = m.axes[crew.axis].position(m.DataDate)
		if crew.last != None {
			crew.lastEnd = m.axes[crew.axis].position(m.actualFinish[crew.last])
		}
	}
}

// refuse leaves out tasks that no schedule can hold because they ask more of a capacity than there is, and what follows
// them.
func (b *modelBuilder) refuse() {
	m := b.m
	for _, t := range m.Order {
		for _, l := range m.Incoming(t) {
			if _, refused := m.why[l.From]; refused && m.state[t] != LeftOut {
				m.state[t] = LeftOut
				m.why[t] = fmt.Sprintf("follows %s, which is not planned", m.ID(l.From))
			}
		}
		if options := m.Options(t); len(options) == 0 || options[0].Minutes == 0 {
			continue // done, or it holds nothing
		}
		for _, u := range m.usesOf(t) {
			if r := &m.resources[u.resource]; u.units > r.capacity && m.state[t] != LeftOut {
				m.state[t] = LeftOut
				m.why[t] = fmt.Sprintf("needs %d of %s, which holds %d", u.units, r.id, r.capacity)
			}
		}
	}
}

// order sorts the tasks to plan so that every link points forward, else as in the document.
func (b *modelBuilder) order() {
	keys := make([]int64, b.m.Tasks())
	for t := range keys {
		keys[t] = int64(t)
	}
	var s sorter
	b.m.order = s.sort(b.m, keys)
}
