package crewing

import (
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// taste is how serial generation chooses among crews when a task is free to. The first value of each is to take no notice.
type taste struct {
	demand uint8 // spare crews in demand: index of demandTolls
	move   uint8 // spare travel and set-up: index of moveTolls
	keep   bool  // leave a task at its issued place, even if it could start sooner, as long as that place is free
	crews  bool  // with keep: a task that is forced onto a crew, too
	ahead  bool  // followers may stand in the list before what they follow, see GenerateAhead
}

const (
	tollShift = 10
	tollUnit  = 1 << tollShift
)

// demandTolls say what a minute of the busiest crew's work counts beyond itself, in units of 1/tollUnit: at tollUnit a crew
// that is wanted nowhere else may finish a whole task's length later and is still preferred.
var demandTolls = [...]int64{0, tollUnit / 8, tollUnit / 2, tollUnit, 2 * tollUnit}

// moveTolls say what a minute of added travel counts beyond the delay that it causes.
var moveTolls = [...]int64{0, 1, 4, 16, 64, 256}

// setTaste takes effect from the next schedule on.
func (w *Workspace) setTaste(t taste) {
	w.taste = t
	for c := range w.toll {
		w.toll[c] = w.demand[c] * demandTolls[t.demand] >> tollShift
	}
	w.moveToll = moveTolls[t.move]
}

// demandOf measures how much of each crew's time is spoken for when every task is shared out so as to keep the busiest
// crews as idle as possible: 0 for a crew without work, tollUnit for the busiest. Crews that can do scarce work come out
// near the top, those that only do what anybody does at the bottom.
func demandOf(m *Model) []int64 {
	n := len(m.crews)
	pace, load, share := make([]float64, n), make([]float64, n), make([]float64, n)
	for c := range pace {
		pace[c] = availability(m, CrewIndex(c))
	}
	for range demandRounds {
		clear(share)
		for _, t := range m.order {
			shareOut(m.Options(t), load, share)
		}
		for c := range load {
			load[c] += (share[c]/pace[c] - load[c]) / 2
		}
	}
	most := slices.Max(append(load, 0))
	demand := make([]int64, n)
	for c := range demand {
		if most > 0 {
			demand[c] = int64(load[c] / most * tollUnit)
		}
	}
	return demand
}

const demandRounds = 12

// shareOut divides a task among its crews, the less to each the more it has already.
func shareOut(options []network.Option, work, share []float64) {
	sum := 0.0
	for i := range options {
		if options[i].Crew != None {
			sum += 1 / (1 + work[options[i].Crew])
		}
	}
	for i := range options {
		if c := options[i].Crew; c != None {
			share[c] += float64(options[i].Minutes) / (1 + work[c]) / sum
		}
	}
}

// availability is the part of the first year from the data date that a crew works.
func availability(m *Model, c CrewIndex) float64 {
	a := m.axes[m.crews[c].axis]
	const year = calendar.Instant(365 * minutesPerDay)
	end := min(m.To, m.DataDate+year)
	return max(1, float64(a.position(end)-a.position(m.DataDate))) / float64(year)
}
