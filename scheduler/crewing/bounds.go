package crewing

import (
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// Bound is what no schedule can beat.
type Bound struct {
	Makespan     calendar.Instant
	Forecast     []calendar.Instant // per GC date, BeforeAll where nothing is known
	LatenessCost float64
	Total        float64

	flow float64 // sum of the early finishes
}

// BoundOf is the best of three bounds: no task finishes before its early finish in the network, the crews that alone can do
// some work need the time it takes, and GC dates that need the same crews cannot all be served first. Work that is left out of
// every plan bounds nothing.
func BoundOf(m *Model, dates *network.Dates) Bound {
	b := Bound{Makespan: m.lastDone, Forecast: make([]calendar.Instant, len(m.GCDates))}
	content, needed := newEnergy(m), newAncestry(m)
	head, tail := heads(m, dates), make([]int64, m.Tasks())
	for _, t := range m.order {
		if dates.Placed(t) {
			b.Makespan = max(b.Makespan, dates.EarlyFinish[t])
			b.flow += float64(dates.EarlyFinish[t] - m.DataDate)
		}
	}
	m.tails(tail, func(TaskIndex) bool { return true })
	b.Makespan = max(b.Makespan, content.bound(m.order, head, tail))
	if b.Makespan == calendar.BeforeAll {
		b.Makespan = m.DataDate
	}
	for i := range m.GCDates {
		b.Forecast[i] = calendar.BeforeAll
		if !isForecast(m, dates, i) {
			continue // a date that can not be forecast costs nothing
		}
		for _, t := range m.GCDates[i].Tasks {
			b.Forecast[i] = max(b.Forecast[i], dates.EarlyFinish[t])
		}
		chosen := needed.of(m.GCDates[i].Tasks)
		m.tails(tail, needed.has)
		b.Forecast[i] = max(b.Forecast[i], content.bound(chosen, head, tail))
	}
	b.joint(m, dates, content, needed, head)
	b.Total = m.weights.Lateness*b.LatenessCost + m.weights.Travel*(b.flow/problem.FlowShare) +
		m.weights.Early*float64(max(0, b.Makespan-m.DataDate))
	return b
}

// raiseMakespan takes over a better bound on the makespan, and what it makes of the total.
func (b *Bound) raiseMakespan(m *Model, at calendar.Instant) {
	b.Total += m.weights.Early * float64(max(0, at-m.DataDate)-max(0, b.Makespan-m.DataDate))
	b.Makespan = at
}

// heads are the least begins of all tasks: those of the network, which are never before the data date.
func heads(m *Model, dates *network.Dates) []calendar.Instant {
	head := make([]calendar.Instant, m.Tasks())
	for t := range TaskIndex(len(head)) {
		head[t] = m.DataDate
		if m.state[t] == Open && dates.Placed(t) {
			head[t] = max(head[t], dates.FirstStart[t])
		}
	}
	return head
}

// tails fills, for each of some tasks, the least minutes of the clock from its finish to the finish of the last one that
// waits for it: the work of the longest chain of followers, since no work takes less time than its minutes.
func (m *Model) tails(tail []int64, chosen func(TaskIndex) bool) {
	for i := len(m.order) - 1; i >= 0; i-- {
		t := m.order[i]
		tail[t] = 0
		for _, l := range m.outOf(t) {
			if l.relation&fromStart != 0 || l.lag < 0 || !chosen(l.task) {
				continue
			}
			after := tail[l.task] + int64(l.lag) // a lag takes at least its minutes, too
			if l.relation&toFinish == 0 {
				after += m.leastMinutes(l.task)
			}
			tail[t] = max(tail[t], after)
		}
	}
}

// leastMinutes is a task's length on its quickest crew.
func (m *Model) leastMinutes(t TaskIndex) int64 {
	least := endless
	for _, o := range m.Options(t) {
		least = min(least, o.Minutes)
	}
	return int64(least)
}

func isForecast(m *Model, dates *network.Dates, date int) bool {
	for _, t := range m.GCDates[date].Tasks {
		if m.state[t] == LeftOut || !dates.Placed(t) {
			return false
		}
	}
	return true
}

// Reached reports whether nothing can be better than a score: both bounds are met and nothing else costs anything.
func (b *Bound) Reached(s *Score) bool {
	return s.Unplaced == 0 && s.Broken == 0 && s.Total <= b.Total
}

// mayBeLeast reports, without a bound, whether a score might reach it: bounds know of no changes and of no travel or idle time.
func (m *Model) mayBeLeast(s *Score) bool {
	beyond := Score{Changes: s.Changes, TravelMinutes: s.TravelMinutes, IdleMinutes: s.IdleMinutes, Makespan: m.DataDate}
	return m.weigh(&beyond) <= s.Total*rounding
}

// rounding is more than the sums of a score are off by.
const rounding = 1e-9

// ancestry finds the tasks that must be finished before others are: by finish-to-start and finish-to-finish links whose
// lag is not negative.
type ancestry struct {
	m    *Model
	seen []int32 // per task: the last question in which it was met
	asks int32
	list []TaskIndex
}

func newAncestry(m *Model) *ancestry { return &ancestry{m: m, seen: make([]int32, m.Tasks())} }

// of lists the unfinished tasks among some tasks and their ancestors. The list is valid until the next question.
func (a *ancestry) of(tasks []TaskIndex) []TaskIndex {
	a.asks++
	a.list = a.list[:0]
	for _, t := range tasks {
		a.meet(t)
	}
	for next := 0; next < len(a.list); next++ {
		for _, l := range a.m.into(a.list[next]) {
			if l.relation&fromStart == 0 && l.lag >= 0 {
				a.meet(l.task)
			}
		}
	}
	return a.list
}

// has reports whether a task is in the last list.
func (a *ancestry) has(t TaskIndex) bool { return a.seen[t] == a.asks }

func (a *ancestry) meet(t TaskIndex) {
	if a.seen[t] != a.asks && (a.m.state[t] == Open || a.m.state[t] == Started) {
		a.seen[t] = a.asks
		a.list = append(a.list, t)
	}
}
