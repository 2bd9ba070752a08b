package crewing

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

// Every order of the rows, tried one by one.
func TestCheapest_IsTheLeastSumOfAllAssignments(t *testing.T) {
	t.Parallel()
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 4))
		n := 1 + rng.IntN(6)
		cost := make([][]float64, n)
		for i := range cost {
			for range n {
				cost[i] = append(cost[i], float64(rng.IntN(50)))
			}
		}
		best := 1e18
		var try func(row int, taken uint, sum float64)
		try = func(row int, taken uint, sum float64) {
			if row == n {
				best = min(best, sum)
				return
			}
			for k := range n {
				if taken>>k&1 == 0 {
					try(row+1, taken|1<<k, sum+cost[row][k])
				}
			}
		}
		try(0, 0, 0)
		require.InDelta(t, best, cheapest(cost), 1e-9, "seed %d: %v", seed, cost)
	}
}

// One crew, three tasks of a day each (in a calendar that always works), each due after one day at 100 a day. Alone each date
// is in time; together they end on days 1, 2 and 3, so that they are 0, 1 and 2 days late: 300, and the plan proves it.
func TestBoundOf_TakesDatesTogetherThatNeedOneCrew(t *testing.T) {
	t.Parallel()
	base := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	day, damages := minutesPerDay, 100.0
	p := &problem.Problem{
		Version: problem.Version, Zone: "UTC", DataDate: base, Sites: []problem.Site{{ID: "s"}},
		Crews: []problem.Crew{{ID: "Oak", Skills: []string{"frame"}, Heads: 1, Calendar: problem.Always}},
	}
	for i := range 3 {
		id := fmt.Sprint("frame ", i)
		p.Tasks = append(p.Tasks, problem.Task{ID: id, Kind: "frame", Site: "s", LabourMinutes: &day})
		p.GCDates = append(p.GCDates, problem.GCDate{ID: id, Tasks: []string{id}, Date: base.AddDate(0, 0, 1), DamagesPerDay: &damages})
	}
	m, dates := modelOf(t, p)
	require.InDelta(t, 300, BoundOf(m, dates).LatenessCost, 1e-9)
	require.InDelta(t, 300, Search(m, dates, SearchOptions{Schedules: 20}).Schedule.Score.LatenessCost, 1e-9)
}
