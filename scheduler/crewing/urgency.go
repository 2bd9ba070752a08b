package crewing

import (
	"cmp"
	"math"
	"slices"
)

// dateLoad is what the order of GC dates is reckoned from, in minutes of the clock from the data date.
type dateLoad struct {
	cost  float64 // damages a day
	work  float64 // time that all crews together take for the work it needs
	ready float64 // when its work could begin, crews aside: the mean over its work
	due   float64
}

// loads measures the crew work that each GC date needs.
func (r *ranker) loads(needed *ancestry) []dateLoad {
	m := r.m
	pace := 0.0
	for c := range m.crews {
		pace += availability(m, CrewIndex(c))
	}
	loads := make([]dateLoad, len(m.GCDates))
	for i := range loads {
		l := &loads[i]
		l.cost, l.due = m.GCDates[i].Damages, float64(m.GCDates[i].Date-m.DataDate)
		minutes, begins := 0.0, 0.0
		for _, t := range needed.of(m.GCDates[i].Tasks) {
			if m.Options(t)[0].Crew == None {
				continue
			}
			work := float64(m.leastMinutes(t))
			minutes += work
			begins += work * float64(r.dates.EarlyBegin[t]-m.DataDate)
		}
		if minutes > 0 {
			l.work, l.ready = minutes/pace, begins/minutes
		}
	}
	return loads
}

// sight is how far ahead urgency looks, as a share of the time that all work takes: short sight lets a date wait until it
// presses, long sight looks at damages and work alone.
type sight struct{ due, ready float64 }

// sights of the urgency rules, in their order.
var sights = [...]sight{{0.4, 0.1}, {0.15, 0.1}, {0.4, 1}}

// byDue orders GC dates by date.
func byDue(loads []dateLoad) []int {
	return sorted(loads, func(a, b *dateLoad) int { return cmp.Compare(a.due, b.due) })
}

// byCost orders GC dates by damages for each minute of work that they need: the weighted shortest processing time of Smith
// 1956, "Various optimizers for single-stage production", Naval Research Logistics Quarterly 3, with a date's whole work for a job.
func byCost(loads []dateLoad) []int {
	return sorted(loads, func(a, b *dateLoad) int { return cmp.Compare(b.cost*(1+a.work), a.cost*(1+b.work)) })
}

func sorted(loads []dateLoad, compare func(a, b *dateLoad) int) []int {
	order := make([]int, len(loads))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return compare(&loads[a], &loads[b]) })
	return order
}

// urgent orders the GC dates as if all crews worked on one after the other: the next is always the one with the greatest
// apparent tardiness cost, damages for the work it takes, the less the more time it has left (Vepsalainen and Morton 1987,
// "Priority rules for job shops with weighted tardiness costs", Management Science 33), and the less the longer its work is
// not ready. Where more work is late than not, neither the order of dates nor that of damages comes near. O(dates^2).
func urgent(loads []dateLoad, s sight) []int {
	order, whole := make([]int, 0, len(loads)), 1.0
	for i := range loads {
		whole += loads[i].work
	}
	taken := make([]bool, len(loads))
	clock := 0.0
	for range loads {
		next, most := -1, math.Inf(-1)
		for i := range loads {
			if taken[i] {
				continue
			}
			l := &loads[i]
			urgency := math.Log(l.cost+leastCost) - math.Log(l.work+1) - // the logarithm, which keeps the order and never underflows
				max(0, l.due-clock-l.work)/(s.due*whole) - max(0, l.ready-clock)/(s.ready*whole)
			if next < 0 || urgency > most {
				next, most = i, urgency
			}
		}
		taken[next] = true
		order = append(order, next)
		clock += loads[next].work
	}
	return order
}

// leastCost stands for the damages of a date without any.
const leastCost = 1e-9
