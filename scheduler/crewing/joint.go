package crewing

import (
	"cmp"
	"math"
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// mostJoint is how many GC dates are taken together; of more, those that cost most a day.
const mostJoint = 48

// claim is the work of one team that one GC date is answerable for.
type claim struct {
	date    int
	minutes calendar.WorkMinutes
	head    calendar.Instant
	tail    int64 // least minutes from the end of this work to the date's own finish
}

// joint bounds the lateness of all GC dates together, where each by itself would have the crews that others need too. It looks at
// one team of crews after another. Every task that only this team can do is charged to one of the dates that wait for it. In
// any plan these shares end in some order, and by the end of the k-th the team has worked that share and the k-1 least
// others, from the least begin of any on. Which share ends in which place is not known; the cheapest assignment of places
// (Kuhn 1955, "The Hungarian method for the assignment problem", Naval Research Logistics Quarterly 2) costs no more than any plan.
// Dates without a share keep their own bound.
func (b *Bound) joint(m *Model, dates *network.Dates, e *energy, needed *ancestry, head []calendar.Instant) {
	sum := 0.0
	for i := range m.GCDates {
		sum += m.latenessCost(i, b.Forecast[i])
	}
	b.LatenessCost = sum
	shares := newShares(m, dates, e, needed, head)
	for _, team := range heaviest(shares.loads) {
		claims := shares.claims(m, team.team)
		if len(claims) < 2 {
			continue
		}
		together := sum
		cost := make([][]float64, len(claims))
		for i := range claims {
			together -= m.latenessCost(claims[i].date, b.Forecast[claims[i].date])
			cost[i] = b.placesOf(m, e, team.team, claims, i)
		}
		b.LatenessCost = max(b.LatenessCost, together+cheapest(cost))
	}
}

// datesByDay lists the GC dates, earliest first.
func (m *Model) datesByDay() []int {
	list := make([]int, len(m.GCDates))
	for i := range list {
		list[i] = i
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(m.GCDates[a].Date, m.GCDates[b].Date) })
	return list
}

// shares is the work that each GC date is charged with: what it needs and no earlier date does.
type shares struct {
	e     *energy
	head  []calendar.Instant
	tasks [][]TaskIndex // per GC date
	tails [][]int64     // per GC date, beside tasks
	loads []load        // of all of them together, by set of crews
}

func newShares(m *Model, dates *network.Dates, e *energy, needed *ancestry, head []calendar.Instant) *shares {
	s := &shares{e: e, head: head, tasks: make([][]TaskIndex, len(m.GCDates)), tails: make([][]int64, len(m.GCDates))}
	charged := make([]bool, m.Tasks())
	tail := make([]int64, m.Tasks())
	loads := make([]load, len(e.teams))
	for i := range loads {
		loads[i] = load{team: e.teams[i], head: calendar.Never}
	}
	for _, date := range m.datesByDay() {
		if !isForecast(m, dates, date) {
			continue
		}
		list := needed.of(m.GCDates[date].Tasks)
		m.tails(tail, needed.has)
		for _, t := range list {
			if charged[t] || e.of[t] == None {
				continue
			}
			charged[t] = true
			s.tasks[date] = append(s.tasks[date], t)
			s.tails[date] = append(s.tails[date], tail[t])
			l := &loads[e.of[t]]
			l.minutes += e.least[t]
			l.head = min(l.head, head[t])
			l.tasks = append(l.tasks, t)
		}
	}
	s.loads = slices.DeleteFunc(loads, func(l load) bool { return l.minutes == 0 })
	return s
}

// claims are the shares of one team, of the dates that cost most a day if there are many.
func (s *shares) claims(m *Model, set team) []claim {
	var list []claim
	for date := range s.tasks {
		c := claim{date: date, head: calendar.Never, tail: math.MaxInt64}
		for i, t := range s.tasks[date] {
			if s.e.teams[s.e.of[t]].within(set) {
				c.minutes += s.e.least[t]
				c.head = min(c.head, s.head[t])
				c.tail = min(c.tail, s.tails[date][i])
			}
		}
		if c.minutes > 0 && m.GCDates[date].Damages > 0 {
			list = append(list, c)
		}
	}
	slices.SortStableFunc(list, func(a, b claim) int { return -cmp.Compare(m.GCDates[a.date].Damages, m.GCDates[b.date].Damages) })
	return list[:min(mostJoint, len(list))]
}

// placesOf is what one share's date costs at least if its share is the first, second and so on to end.
func (b *Bound) placesOf(m *Model, e *energy, set team, claims []claim, which int) []float64 {
	own := &claims[which]
	work := load{team: set, minutes: own.minutes, head: calendar.Never}
	var others []calendar.WorkMinutes
	for i := range claims {
		work.head = min(work.head, claims[i].head)
		if i != which {
			others = append(others, claims[i].minutes)
		}
	}
	slices.Sort(others)
	costs := make([]float64, len(claims))
	for place := range costs {
		if place > 0 {
			work.minutes += others[place-1]
		}
		at := b.Forecast[own.date]
		if done := e.finish(&work); done > calendar.BeforeAll {
			at = max(at, done+calendar.Instant(own.tail))
		}
		costs[place] = m.latenessCost(own.date, at)
	}
	return costs
}

// cheapest is the least sum of one cost from each row and column of a square table: rows join one by one, each by the
// cheapest chain of exchanges, with potentials for rows and columns that keep all reduced costs at 0 or more. O(n^3).
func cheapest(cost [][]float64) float64 {
	n := len(cost)
	rowPotential, columnPotential := make([]float64, n+1), make([]float64, n+1)
	rowOf, before := make([]int, n+1), make([]int, n+1) // by column, 1-based; 0 is none
	for row := 1; row <= n; row++ {
		rowOf[0] = row
		least, used := slices.Repeat([]float64{math.Inf(1)}, n+1), make([]bool, n+1)
		column := 0
		for rowOf[column] != 0 {
			used[column] = true
			next, delta := 0, math.Inf(1)
			for k := 1; k <= n; k++ {
				if used[k] {
					continue
				}
				if reduced := cost[rowOf[column]-1][k-1] - rowPotential[rowOf[column]] - columnPotential[k]; reduced < least[k] {
					least[k], before[k] = reduced, column
				}
				if least[k] < delta {
					delta, next = least[k], k
				}
			}
			for k := range used {
				if used[k] {
					rowPotential[rowOf[k]] += delta
					columnPotential[k] -= delta
				} else {
					least[k] -= delta
				}
			}
			column = next
		}
		for column != 0 {
			rowOf[column] = rowOf[before[column]]
			column = before[column]
		}
	}
	sum := 0.0
	for k := 1; k <= n; k++ {
		sum += cost[rowOf[k]-1][k-1]
	}
	return sum
}
