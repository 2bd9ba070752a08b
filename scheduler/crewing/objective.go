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
	score := Score{Unsettled: s.Score.Unsettled, Unplaced: len(s.Failed), Broken: len(s.Moved), Makespan: m.makespan(s)}
	for _, t := range m.order {
		if s.Placed[t] {
			score.Flow += float64(s.Finish[t] - m.DataDate)
		}
	}
	for i := range m.GCDates {
		if at, _, ok := m.forecast(s, i); ok {
			score.LatenessCost += m.latenessCost(i, at)
		}
	}
	score.Changes = m.changes(s)
	for c := range s.crewWork {
		travel, idle := m.lost(CrewIndex(c), &s.crewWork[c])
		score.TravelMinutes += travel
		score.IdleMinutes += idle
	}
	score.Total = m.weigh(&score)
	s.Score = score
}

// weigh is the total of a score's parts.
func (m *Model) weigh(score *Score) float64 {
	return m.weights.Lateness*score.LatenessCost + m.weights.Change*float64(score.Changes) +
		m.weights.Travel*(float64(score.TravelMinutes+score.IdleMinutes)+score.Flow/problem.FlowShare) +
		m.weights.Early*float64(max(0, score.Makespan-m.DataDate))
}

// makespan is the latest finish of all work, done or planned, the data date without any.
func (m *Model) makespan(s *Schedule) calendar.Instant {
	last := m.lastDone
	for _, t := range m.order {
		if s.Placed[t] {
			last = max(last, s.Finish[t])
		}
	}
	if last == calendar.BeforeAll {
		return m.DataDate
	}
	return last
}

// lost is what a crew loses with travel and set-up, the move from home included, and standing idle, in minutes.
func (m *Model) lost(c CrewIndex, w *crewWork) (travel, idle int) {
	if w.first == None {
		return 0, 0
	}
	moves := w.moves + m.homeMove(c, w.first)
	return int(moves), int(w.to - m.crews[c].ready - w.work - moves)
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
	if at, _, ok := m.forecast(s, date); ok {
		return daysBetween(m.GCDates[date].Date, at)
	}
	return 0
}

// latenessCost is what a GC date costs when its last task finishes at some instant.
func (m *Model) latenessCost(date int, at calendar.Instant) float64 {
	return m.GCDates[date].Damages * daysBetween(m.GCDates[date].Date, at)
}

func daysBetween(date, at calendar.Instant) float64 {
	return float64(max(0, at-date)) / minutesPerDay
}

// changes counts the lines of the issued plan that no longer hold, of tasks that have not begun.
func (m *Model) changes(s *Schedule) int {
	n := 0
	for i := range m.issued {
		line := &m.issued[i]
		if t := line.task; !s.Placed[t] || !line.holds(s.Start[t], s.Crew[t]) {
			n++
		}
	}
	return n
}

// holds reports whether a start on a crew is as it was issued.
func (l *issuedLine) holds(start calendar.Instant, crew CrewIndex) bool {
	return start == l.start && (l.crew == None || crew == l.crew)
}
