package crewing

import (
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// Score is how good a schedule is. Schedules compare by Unsettled, then Unplaced, then Broken, then Total, then Flow.
type Score struct {
	Unsettled int // reserved places taken back half-way: what was placed before kept clear of them for nothing
	Unplaced  int // tasks that found no place
	Broken    int // pinned and frozen places that were lost

	LatenessCost  float64
	Changes       int
	TravelMinutes int
	IdleMinutes   int
	Makespan      calendar.Instant
	Total         float64

	Flow float64 // sum of the finishes of unfinished work, in minutes from the data date
}

// Better reports whether a is better than b; equal scores are not.
func (a *Score) Better(b *Score) bool {
	switch {
	case a.Unsettled != b.Unsettled:
		return a.Unsettled < b.Unsettled
	case a.Unplaced != b.Unplaced:
		return a.Unplaced < b.Unplaced
	case a.Broken != b.Broken:
		return a.Broken < b.Broken
	case a.Total != b.Total:
		return a.Total < b.Total
	}
	return a.Flow < b.Flow
}

// evaluate scores a complete schedule. The total is
//
//	lateness x cost + change x changes + travel x (travel + idle minutes + flow / 20) + early x makespan
//
// with the problem's weights, makespan and flow in minutes from the data date. Idle time counts from the data
// date to each crew's last finish: counted from its first begin only, it rewards a crew that stands without work for weeks while
// another one has a queue. Flow stands beside it, since the makespan does not mind a queue as long as the last work is in time, and
// idle time does not mind who waits. A task that waits a day longer costs as much as a crew that is idle for 72 minutes. O(tasks + crews + tasks of GC dates).
func (m *Model) evaluate(s *Schedule) {
	score := Score{Unsettled: s.Score.Unsettled, Unplaced: len(s.Failed), Broken: len(s.Moved), Makespan: calendar.BeforeAll}
	for _, t := range m.order {
		if s.Placed[t] {
			score.Makespan = max(score.Makespan, s.Finish[t])
			score.Flow += float64(s.Finish[t] - m.DataDate)
		}
	}
	if m.lastDone > score.Makespan {
		score.Makespan = m.lastDone
	}
	if score.Makespan == calendar.BeforeAll {
		score.Makespan = m.DataDate
	}
	for i := range m.GCDates {
		score.LatenessCost += m.GCDates[i].Damages * m.lateDays(s, i)
	}
	score.Changes = m.changes(s)
	for c := range s.crewWork {
		w := &s.crewWork[c]
		if w.first == None {
			continue
		}
		moves := w.moves + m.homeMove(CrewIndex(c), w.first)
		score.TravelMinutes += int(moves)
		score.IdleMinutes += int(w.to - m.crews[c].ready - w.work - moves)
	}
	score.Total = m.weights.Lateness*score.LatenessCost + m.weights.Change*float64(score.Changes) +
		m.weights.Travel*(float64(score.TravelMinutes+score.IdleMinutes)+score.Flow/problem.FlowShare) +
		m.weights.Early*float64(max(0, score.Makespan-m.DataDate))
	s.Score = score
}

// forecast is the latest finish of a GC date's tasks; ok is false when one of them is not planned.
func (m *Model) forecast(s *Schedule, date int) (at calendar.Instant, last TaskIndex, ok bool) {
	at, last = calendar.BeforeAll, None
	for _, t := range m.GCDates[date].Tasks {
		if !s.Placed[t] {
			return 0, None, false
		}
		if s.Finish[t] > at {
			at, last = s.Finish[t], t
		}
	}
	return at, last, last != None
}

// lateDays is lateness in days of 24 h, 0 when in time or not planned whole.
func (m *Model) lateDays(s *Schedule, date int) float64 {
	at, _, ok := m.forecast(s, date)
	if !ok || at <= m.GCDates[date].Date {
		return 0
	}
	return float64(at-m.GCDates[date].Date) / minutesPerDay
}

// changes counts the lines of the issued plan that no longer hold, of tasks that have not begun.
func (m *Model) changes(s *Schedule) int {
	n := 0
	for i := range m.issued {
		line := &m.issued[i]
		t := line.task
		if !s.Placed[t] || s.Start[t] != line.start || line.crew != None && s.Crew[t] != line.crew {
			n++
		}
	}
	return n
}
