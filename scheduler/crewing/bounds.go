package crewing

import (
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// Bound is what no schedule can beat.
type Bound struct {
	Makespan     calendar.Instant
	Forecast     []calendar.Instant // per GC date, BeforeAll where nothing is known
	LatenessCost float64
}

// BoundOf is the bound of the network alone: no task finishes before its early finish.
func BoundOf(m *Model, dates *network.Dates) Bound {
	b := Bound{Makespan: m.lastDone, Forecast: make([]calendar.Instant, len(m.GCDates))}
	for _, t := range m.order {
		if dates.Placed(t) {
			b.Makespan = max(b.Makespan, dates.EarlyFinish[t])
		}
	}
	if b.Makespan == calendar.BeforeAll {
		b.Makespan = m.DataDate
	}
	for i := range m.GCDates {
		b.Forecast[i] = calendar.BeforeAll
		for _, t := range m.GCDates[i].Tasks {
			if m.state[t] == LeftOut || !dates.Placed(t) {
				b.Forecast[i] = calendar.BeforeAll // a date that can not be forecast costs nothing
				break
			}
			b.Forecast[i] = max(b.Forecast[i], dates.EarlyFinish[t])
		}
	}
	b.sumLateness(m)
	return b
}

func (b *Bound) sumLateness(m *Model) {
	b.LatenessCost = 0
	for i := range m.GCDates {
		if late := b.Forecast[i] - m.GCDates[i].Date; late > 0 {
			b.LatenessCost += m.GCDates[i].Damages * float64(late) / minutesPerDay
		}
	}
}

// Reached reports whether nothing can be better than a score: both bounds are met and nothing else costs anything.
func (b *Bound) Reached(m *Model, s *Score) bool {
	return s.Unplaced == 0 && s.Broken == 0 && s.LatenessCost <= b.LatenessCost && s.Makespan <= b.Makespan &&
		s.Changes == 0 && s.TravelMinutes+s.IdleMinutes == 0
}
