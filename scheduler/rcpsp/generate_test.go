package rcpsp

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The optimum of this instance is 43: table of optimal makespans for 30 jobs in Kolisch and Sprecher's library. The
// starts are one optimal schedule found by exhaustive branch and bound outside this project.
const publishedOptimum = 43

var optimalStarts = []int32{
	0, 4, 0, 0, 6, 31, 9, 4, 13, 6, 12, 13, 4, 15, 14, 13, 23, 10, 18, 28, 29, 29, 36, 38, 35, 21, 15, 35, 21, 41, 38, 43,
}

func TestChecker_AcceptsAKnownOptimalScheduleAndRefusesItsNeighbours(t *testing.T) {
	t.Parallel()
	in := readTestInstance(t)
	require.Empty(t, violations(in, optimalStarts, publishedOptimum))
	early := append([]int32(nil), optimalStarts...)
	early[1] = 0 // job 2 beside job 3 needs 14 of 12 units of resource 1
	assert.Contains(t, violations(in, early, publishedOptimum), "period 0: 14 units of resource 1 held, capacity 12")
	early = append([]int32(nil), optimalStarts...)
	early[23] = 37 // job 24 before job 23 has finished
	assert.Contains(t, violations(in, early, publishedOptimum), "job 24 starts at 37, before job 23 finishes at 38")
}

func TestRejustify_KeepsAKnownOptimalScheduleOptimal(t *testing.T) {
	t.Parallel()
	in := readTestInstance(t)
	p := newPopulation(newSearch(in, Options{Schedules: 10}))
	m := newMember(in.Jobs())
	copy(m.start, optimalStarts)
	m.makespan, m.way = publishedOptimum, forward
	p.keysOf(&m, backward)
	p.sort(m.order)
	for range 4 {
		p.rejustify(&m)
		assert.Equal(t, int32(publishedOptimum), m.makespan)
		assert.Empty(t, violations(in, m.start, m.makespan))
	}
}

func TestScheduleByRule_LandsBetweenOptimumAndFiftyOnAPublishedInstance(t *testing.T) {
	t.Parallel()
	in := readTestInstance(t)
	starts, makespan := ScheduleByRule(in, LatestFinish)
	assert.Empty(t, violations(in, starts, makespan))
	assert.GreaterOrEqual(t, makespan, int32(publishedOptimum))
	assert.LessOrEqual(t, makespan, int32(50), "priority rules land within some 15 % of the optimum; common experience")
}

// The example of the package comment: two jobs of 2 and 3 periods that need 2 and 1 units.
func TestScheduleByRule_WorkedExample(t *testing.T) {
	t.Parallel()
	for capacity, want := range map[int32]int32{2: 5, 3: 3} {
		in, err := NewInstance([]int32{0, 2, 3, 0}, []int32{capacity}, [][]int32{{0}, {2}, {1}, {0}}, [][]int32{{1, 2}, {3}, {3}, nil})
		require.NoError(t, err)
		_, makespan := ScheduleByRule(in, MostSuccessors)
		assert.Equal(t, want, makespan, "capacity %d", capacity)
	}
}

func TestScheduleByRule_EveryRuleGivesAFeasibleSchedule(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 12)
		for rule := range ruleCount {
			starts, makespan := ScheduleByRule(in, rule)
			assert.Empty(t, violations(in, starts, makespan), "rule %d", rule)
		}
	})
}

func TestGenerator_SchedulesAreFeasibleAndActive(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 12)
		g, l := newGenerator(in), newLister(in)
		chance := newRandom(rapid.Uint64().Draw(t, "seed"))
		n := in.Jobs()
		list, start := make([]int32, n), make([]int32, n)
		for _, way := range []direction{forward, backward} {
			l.sample(list, in.urgency(LatestFinish), way, chance)
			makespan := g.build(list, way, start)
			if way == backward {
				g.turn(start, makespan)
			}
			require.Empty(t, violations(in, start, makespan))
			for p, free := range g.free {
				require.Equal(t, g.full[p%g.lanes.words], free, "the table must be left empty")
			}
		}
	})
}

// The starts must not depend on how the units are packed: here every capacity and request is multiplied so that the
// lanes need 8, 16 and 32 bits and one or several words.
func TestGenerator_PackingDoesNotChangeTheSchedule(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 12)
		want, _ := ScheduleByRule(in, LatestFinish)
		for _, factor := range []int32{100, 1_000_000} {
			wide := *in
			wide.Capacity, wide.Request = nil, nil
			copies := rapid.IntRange(1, 4).Draw(t, "copies")
			for range copies {
				for _, units := range in.Capacity {
					wide.Capacity = append(wide.Capacity, units*factor)
				}
			}
			for job := range in.Jobs() {
				for range copies {
					for _, units := range in.units(int32(job)) {
						wide.Request = append(wide.Request, units*factor)
					}
				}
			}
			got, makespan := ScheduleByRule(&wide, LatestFinish)
			require.Equal(t, want, got)
			require.Empty(t, violations(&wide, got, makespan))
		}
	})
}

func TestRejustify_NeverLengthensAndStaysFeasible(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 15)
		p := newPopulation(newSearch(in, Options{Schedules: 10, Seed: rapid.Uint64().Draw(t, "seed")}))
		m := newMember(in.Jobs())
		p.make(&m, p.sampleList())
		require.Empty(t, violations(in, m.start, m.makespan))
		for range 4 {
			before := m.makespan
			p.rejustify(&m)
			require.LessOrEqual(t, m.makespan, before)
			require.Empty(t, violations(in, m.start, m.makespan))
		}
		require.Equal(t, int64(5), p.schedules(), "each justification is one complete generation")
	})
}

func TestStep_AllocatesNothing(t *testing.T) {
	in := readTestInstance(t)
	p := newPopulation(newSearch(in, Options{Schedules: 1000}))
	for i := range p.members {
		p.begin(&p.members[i], false)
	}
	for range 1000 { // every member has measured its work once, at the longest makespan it will have
		p.step()
	}
	assert.Zero(t, testing.AllocsPerRun(200, p.step))
}
