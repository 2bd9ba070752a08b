package crewing

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/network"
	"jambwright/scheduler/problemtest"
)

// With all dates past, urgency is damages for the work, which is the order of Smith 1956; with all the same but the dates and
// time enough, it is the order of the dates, Jackson's rule (Jackson 1955, "Scheduling a production line to minimize maximum
// tardiness", UCLA Management Science Research Project 43).
func TestUrgent_IsTheClassicalOrdersAtBothEnds(t *testing.T) {
	late := []dateLoad{{cost: 3, work: 9, due: -1}, {cost: 8, work: 2, due: -5}, {cost: 5, work: 5, due: -2}}
	assert.Equal(t, []int{1, 2, 0}, urgent(late, sight{0.4, 0.1}))
	early := []dateLoad{{cost: 5, work: 5, due: 900}, {cost: 5, work: 5, due: 300}, {cost: 5, work: 5, due: 600}}
	assert.Equal(t, []int{1, 2, 0}, urgent(early, sight{0.4, 0.1}))
	unready := []dateLoad{{cost: 5, work: 5, due: 300, ready: 300}, {cost: 5, work: 5, due: 310}}
	assert.Equal(t, []int{1, 0}, urgent(unready, sight{0.4, 0.1}))
}

// Taken one after the other, jobs in the best of the urgent orders are nearer to the least weighted tardiness, found by trying every
// order, than in the orders of dates and of damages: on jobs made as is usual for this problem (Potts and Van Wassenhove 1985,
// "A branch and bound algorithm for the total weighted tardiness problem", Operations Research 33).
func TestUrgent_IsNearTheLeastWeightedTardiness(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	var least, found, classical float64
	for range 200 {
		jobs := make([]dateLoad, 6)
		whole := 0.0
		for i := range jobs {
			jobs[i].work, jobs[i].cost = float64(1+rng.IntN(100)), float64(1+rng.IntN(10))
			whole += jobs[i].work
		}
		tight, width := 0.2+0.2*float64(rng.IntN(5)), 0.2+0.2*float64(rng.IntN(5))
		for i := range jobs {
			jobs[i].due = whole * (1 - tight - width/2 + width*rng.Float64())
		}
		best := urgentCost(jobs)
		optimum := leastTardiness(jobs, 0, make([]bool, len(jobs)))
		require.GreaterOrEqual(t, best, optimum-1e-6)
		least, found, classical = least+optimum, found+best, classical+classicalCost(jobs)
	}
	t.Logf("least %.0f, urgent %.0f, by date or damages %.0f", least, found, classical)
	assert.Less(t, found-least, (classical-least)/2)
}

func urgentCost(jobs []dateLoad) float64 {
	best := tardiness(jobs, urgent(jobs, sights[0]))
	for _, s := range sights[1:] {
		best = min(best, tardiness(jobs, urgent(jobs, s)))
	}
	return best
}

func classicalCost(jobs []dateLoad) float64 {
	return min(tardiness(jobs, byDue(jobs)), tardiness(jobs, byCost(jobs)))
}

func tardiness(jobs []dateLoad, order []int) (sum float64) {
	clock := 0.0
	for _, i := range order {
		clock += jobs[i].work
		sum += jobs[i].cost * max(0, clock-jobs[i].due)
	}
	return sum
}

func leastTardiness(jobs []dateLoad, clock float64, taken []bool) float64 {
	least := -1.0
	for i := range jobs {
		if taken[i] {
			continue
		}
		taken[i] = true
		end := clock + jobs[i].work
		cost := jobs[i].cost*max(0, end-jobs[i].due) + leastTardiness(jobs, end, taken)
		taken[i] = false
		if least < 0 || cost < least {
			least = cost
		}
	}
	return max(0, least)
}

// On a firm with more work than its dates leave time for, four schedules with the rules for late work cost less lateness than
// a whole population without them.
func TestSearch_UrgencyIsWorthAPopulation(t *testing.T) {
	t.Parallel()
	p := problemtest.Firm(1, 2, 1000)
	compiled, err := network.Compile(p)
	require.NoError(t, err)
	var passes network.Workspace
	dates := passes.Compute(compiled)
	m := NewModel(passes.Compiled())
	few := Search(m, dates, SearchOptions{Schedules: 4})
	s := newSearch(m, dates, SearchOptions{Schedules: 100})
	s.firstRule()
	s.people.admit(s.people.newcomer(m, s.best))
	for i := range rules {
		s.w.Generate(s.ruled(&rules[i]))
		s.count()
		s.improve(s.people.newcomer(m, s.w.s))
	}
	s.breed()
	require.Positive(t, few.Schedule.Score.LatenessCost)
	assert.Less(t, few.Schedule.Score.LatenessCost, s.best.Score.LatenessCost)
}
