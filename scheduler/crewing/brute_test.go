package crewing

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

// bruteMinutes is the length of the day on which the problems of this file happen, longestDay that of the longest one there is.
const (
	bruteMinutes = 22
	longestDay   = 64
)

// workRow is a calendar: which minutes of the day work.
type workRow [longestDay]bool

// noneFits is the total when no choice of starts keeps the rules.
const noneFits = 1e18

// bruteForce finds the least total of a small problem by trying every crew and every start minute of every task. It knows
// nothing of lists, gaps or axes: working time is a row of minutes, and every rule is checked minute by minute.
type bruteForce struct {
	p      *problem.Problem
	works  map[string]workRow // by calendar
	start  []int
	finish []int
	crew   []int
	best   float64
	byTask map[string]int
}

// smallProblem has a few tasks of a few minutes on one day, with pauses, shared limits, a crowded area and travel. All
// work at the same time, or else each crew and the limit have a calendar of their own.
func smallProblem(seed uint64, sameTime bool) (*problem.Problem, map[string]workRow) {
	return dayProblem(seed, bruteMinutes, 4, sameTime)
}

// dayProblem is such a problem on a day of some minutes.
func dayProblem(seed uint64, day, tasks int, sameTime bool) (*problem.Problem, map[string]workRow) {
	rng := rand.New(rand.NewPCG(seed, 9))
	base := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	p := &problem.Problem{Version: problem.Version, Zone: "UTC", DataDate: base}
	works := map[string]workRow{}
	for _, id := range []string{"one", "two", "dock"} {
		var row workRow
		c := problem.Calendar{ID: id, Zone: "UTC", Exceptions: []problem.Exception{{Date: problem.DateOf(base)}}}
		for at := rng.IntN(2); at < day; {
			end := min(day, at+3+rng.IntN(8))
			c.Exceptions[0].Shifts = append(c.Exceptions[0].Shifts, problem.Shift{From: at, To: end})
			for m := at; m < end; m++ {
				row[m] = true
			}
			at = end + 1 + rng.IntN(3)
		}
		p.Calendars, works[id] = append(p.Calendars, c), row
	}
	one := 1
	p.Sites = []problem.Site{{ID: "s"}, {ID: "t"}}
	p.Travel = []problem.Travel{{From: "s", To: "t", Minutes: rng.IntN(3)}}
	p.Areas = []problem.Area{{ID: "a", Site: "s", MaxCrews: &one, SetupMinutes: rng.IntN(2)}}
	p.Limits = []problem.Limit{{ID: "hoist", Capacity: 1}}
	if rng.IntN(2) == 0 && !sameTime {
		p.Limits[0].Calendar = "dock"
	}
	p.Crews = []problem.Crew{
		{ID: "x", Skills: []string{"k", "l"}, Heads: 1, Calendar: "one", HomeSite: "s"},
		{ID: "y", Skills: []string{"k"}, Heads: 1 + rng.IntN(2), Calendar: "two"},
	}
	if sameTime {
		p.Crews[1].Calendar = "one"
	}
	for i := range tasks {
		labour := 1 + rng.IntN(4)
		task := problem.Task{ID: fmt.Sprint(i), Kind: []string{"k", "k", "l"}[rng.IntN(3)], Site: "s", LabourMinutes: &labour}
		switch rng.IntN(4) {
		case 0:
			task.Site = "t"
		case 1:
			task.Area = "a"
		}
		if rng.IntN(3) == 0 {
			task.Uses = map[string]int{"hoist": 1}
		}
		p.Tasks = append(p.Tasks, task)
		if i > 0 && rng.IntN(2) == 0 {
			types := []problem.LinkType{problem.FinishToStart, problem.FinishToStart, problem.StartToStart, problem.FinishToFinish, problem.StartToFinish}
			p.Links = append(p.Links, problem.Link{
				From: fmt.Sprint(rng.IntN(i)), To: task.ID, Type: types[rng.IntN(len(types))], LagMinutes: rng.IntN(4) - 1,
			})
		}
	}
	for g := range 2 {
		damages := float64(1 + rng.IntN(3))
		p.GCDates = append(p.GCDates, problem.GCDate{
			ID: fmt.Sprint("g", g), Tasks: []string{fmt.Sprint(2*g + rng.IntN(2))}, DamagesPerDay: &damages,
			Date: base.Add(time.Duration(rng.IntN(8)) * time.Minute),
		})
	}
	p.Weights = &problem.Weights{Lateness: minutesPerDay, Early: 0.25} // a minute late costs its damages
	return p, works
}

func (b *bruteForce) solve() float64 {
	n := len(b.p.Tasks)
	b.start, b.finish, b.crew = make([]int, n), make([]int, n), make([]int, n)
	b.byTask = make(map[string]int, n)
	for i := range b.p.Tasks {
		b.byTask[b.p.Tasks[i].ID] = i
	}
	b.best = noneFits
	b.place(0)
	return b.best
}

func (b *bruteForce) place(t int) {
	if t == len(b.p.Tasks) {
		if b.crewsCan() && b.capacitiesHold() {
			b.best = min(b.best, b.total())
		}
		return
	}
	task := &b.p.Tasks[t]
	for c := range b.p.Crews {
		if !b.p.Crews[c].CanDo(task) {
			continue
		}
		for start := range bruteMinutes {
			finish, ok := b.work(task, c, start)
			if !ok {
				continue
			}
			b.start[t], b.finish[t], b.crew[t] = start, finish, c
			if b.linksHold(t) {
				b.place(t + 1)
			}
		}
	}
}

// work is the finish of a task that starts at a working minute of the crew and of the limit it uses.
func (b *bruteForce) work(task *problem.Task, c, start int) (int, bool) {
	axis := b.works[b.p.Crews[c].Calendar]
	if task.Uses["hoist"] > 0 && b.p.Limits[0].Calendar != "" {
		for m := range axis {
			axis[m] = axis[m] && b.works["dock"][m]
		}
	}
	if !axis[start] {
		return 0, false
	}
	left := b.p.Crews[c].MinutesFor(task)
	for m := start; m < longestDay; m++ {
		if axis[m] {
			if left--; left == 0 {
				return m + 1, true
			}
		}
	}
	return 0, false
}

func (b *bruteForce) linksHold(t int) bool {
	for _, l := range b.p.Links {
		if b.byTask[l.To] != t {
			continue
		}
		from, to := b.byTask[l.From], b.start[t]
		anchor := b.finish[from]
		if l.Type == problem.StartToStart || l.Type == problem.StartToFinish {
			anchor = b.start[from]
		}
		if l.Type == problem.FinishToFinish || l.Type == problem.StartToFinish {
			to = b.finish[t]
		}
		if to < anchor+l.LagMinutes {
			return false
		}
	}
	return true
}

// crewsCan checks that no crew is on two tasks at once and that its moves fit into its working time.
func (b *bruteForce) crewsCan() bool {
	for c := range b.p.Crews {
		before := -1
		for m := range bruteMinutes {
			for t := range b.p.Tasks {
				if b.crew[t] != c || b.start[t] != m {
					continue
				}
				from, need := 0, 0
				if before >= 0 {
					from, need = b.finish[before], b.moveMinutes(&b.p.Tasks[before], &b.p.Tasks[t])
				} else if home := b.p.Crews[c].HomeSite; home != "" {
					need = b.travelMinutes(home, b.p.Tasks[t].Site)
				}
				if from > m || b.count(b.works[b.p.Crews[c].Calendar], from, m) < need {
					return false
				}
				before = t
			}
		}
	}
	return true
}

func (b *bruteForce) moveMinutes(from, to *problem.Task) int {
	switch {
	case from.Site != to.Site:
		return b.travelMinutes(from.Site, to.Site)
	case to.Area != "" && from.Area != to.Area:
		return b.p.Areas[0].SetupMinutes
	}
	return 0
}

func (b *bruteForce) travelMinutes(from, to string) int {
	if from == to {
		return 0
	}
	return b.p.Travel[0].Minutes
}

func (b *bruteForce) count(works workRow, from, to int) (n int) {
	for m := from; m < to; m++ {
		if works[m] {
			n++
		}
	}
	return n
}

func (b *bruteForce) capacitiesHold() bool {
	for m := range bruteMinutes {
		hoist, area := 0, 0
		for t := range b.p.Tasks {
			if b.start[t] <= m && m < b.finish[t] {
				hoist += b.p.Tasks[t].Uses["hoist"]
				if b.p.Tasks[t].Area == "a" {
					area++
				}
			}
		}
		if hoist > 1 || area > 1 {
			return false
		}
	}
	return true
}

func (b *bruteForce) total() float64 {
	makespan, cost := 0, 0.0
	for t := range b.p.Tasks {
		makespan = max(makespan, b.finish[t])
	}
	for _, d := range b.p.GCDates {
		late := b.finish[b.byTask[d.Tasks[0]]] - int(d.Date.Sub(b.p.DataDate).Minutes())
		cost += d.Damages() * float64(max(0, late))
	}
	return cost + 0.25*float64(makespan)
}

// Generation starts every piece as soon as it can. Where crews and limits do not work at the same time it can pay to start later, so
// as not to hold one of them over a pause in which others could use it: then the others have their turn first.
func TestSearch_FindsTheBestOfAllCrewsAndMinutes(t *testing.T) {
	t.Parallel()
	for seed := range uint64(50) {
		sameTime := seed%2 == 0
		p, works := smallProblem(seed, sameTime)
		b := bruteForce{p: p, works: works}
		best := b.solve()
		m, dates := modelOf(t, p)
		found := Search(m, dates, SearchOptions{Schedules: 2000, Seed: seed})
		if best == noneFits {
			require.NotZero(t, found.Schedule.Score.Unplaced, "seed %d: not everything fits into the day", seed)
			continue
		}
		require.Zero(t, found.Schedule.Score.Unplaced, "seed %d", seed)
		got := found.Schedule.Score.Total
		require.GreaterOrEqual(t, got, best-1e-6, "seed %d: better than the best there is", seed)
		require.LessOrEqual(t, found.Bound.Total, best+1e-6, "seed %d", seed)
		require.InDelta(t, best, got, 1e-6, "seed %d", seed)
	}
}
