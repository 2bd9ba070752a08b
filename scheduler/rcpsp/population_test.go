package rcpsp

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawPopulation(t *rapid.T, in *Instance) *population {
	p := newPopulation(newSearch(in, Options{Schedules: 500, Seed: rapid.Uint64().Draw(t, "seed")}))
	for i := range p.members {
		p.begin(&p.members[i], i == 0)
	}
	return p
}

func TestStep_MembersStayFeasibleAndNeverGetLonger(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 12)
		p := drawPopulation(t, in)
		before := makespans(p)
		for range 30 {
			p.step()
		}
		for i, m := range p.members {
			require.Empty(t, violations(in, m.start, m.makespan))
			require.LessOrEqual(t, m.makespan, before[i])
		}
		require.Equal(t, slices.Min(append(makespans(p), p.makespan)), p.makespan, "the best is never lost")
		require.Empty(t, violations(in, p.best, p.makespan))
	})
}

func makespans(p *population) []int32 {
	var list []int32
	for _, m := range p.members {
		list = append(list, m.makespan)
	}
	return list
}

// The work within a window is counted here period by period.
func TestWorkWithin_CountsThePeriodsOfBothDirections(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 8)
		p := drawPopulation(t, in)
		m := &p.members[0]
		p.measure(m)
		from := rapid.Int32Range(0, m.makespan).Draw(t, "from")
		to := rapid.Int32Range(from, m.makespan).Draw(t, "to")
		want := map[direction]int64{}
		for job, start := range m.start {
			for period := start; period < start+in.Duration[job]; period++ {
				if from <= period && period < to {
					want[forward] += p.load[job]
				}
				if back := m.makespan - 1 - period; from <= back && back < to {
					want[backward] += p.load[job]
				}
			}
		}
		for _, way := range []direction{forward, backward} {
			require.Equal(t, want[way], m.workWithin(from, to, way), "direction %d", way)
		}
	})
}

func TestSort_OrdersByKeyThenNumber(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 12)
		p := newPopulation(newSearch(in, Options{Schedules: 1}))
		most := int32(len(p.count) - 3)
		want := make([]int32, in.Jobs())
		for job := range p.key {
			p.key[job] = rapid.Int32Range(0, most).Draw(t, "key")
			want[job] = int32(job)
		}
		slices.SortStableFunc(want, func(a, b int32) int { return int(p.key[a] - p.key[b]) })
		got := make([]int32, in.Jobs())
		p.sort(got)
		require.Equal(t, want, got)
	})
}

// byOrder must agree with the plain rule: at each place the first job of the order whose relations are satisfied.
func TestByOrder_TakesTheFirstEligibleJob(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 80)
		l := newLister(in)
		order := make([]int32, in.Jobs())
		for job := range order {
			order[job] = int32(job)
		}
		order = rapid.Permutation(order).Draw(t, "order")
		for _, way := range []direction{forward, backward} {
			list := make([]int32, in.Jobs())
			l.byOrder(list, order, way)
			require.Equal(t, plainOrder(in, order, way), list)
		}
	})
}

func plainOrder(in *Instance, order []int32, way direction) []int32 {
	placed := make([]bool, in.Jobs())
	var list []int32
	for len(list) < in.Jobs() {
		for _, job := range order {
			before := in.Predecessors(int(job))
			if way == backward {
				before = in.Successors(int(job))
			}
			if !placed[job] && allPlaced(placed, before) {
				placed[job] = true
				list = append(list, job)
				break
			}
		}
	}
	return list
}

// Two jobs of 3 and 4 periods that cannot run together: every schedule has makespan 7. With a bound that cannot be met,
// as in a project whose optimum is not proved, the population must end, to start anew, and not stand still.
func TestEvolve_EndsWhenAllMembersAreEqual(t *testing.T) {
	t.Parallel()
	in, err := NewInstance([]int32{0, 3, 4, 0}, []int32{1}, [][]int32{{0}, {1}, {1}, {0}}, [][]int32{{1, 2}, {3}, {3}, nil})
	require.NoError(t, err)
	s := newSearch(in, Options{Schedules: 100_000, Expected: 100})
	s.bound = 6
	p := newPopulation(s)
	p.evolve(0)
	assert.Empty(t, s.stopped, "the population ended of itself")
	assert.Equal(t, int32(7), s.makespan)
	assert.Less(t, s.schedules(), int64(100_000))
}

func TestNewPopulation_GrowsWithTheEffortExpected(t *testing.T) {
	t.Parallel()
	in := readTestInstance(t)
	size := func(o Options) int { return len(newPopulation(newSearch(in, o)).members) }
	assert.Equal(t, leastSize, size(Options{Schedules: 10}))
	assert.Equal(t, 30, size(Options{Schedules: 1000}), "2.6 x (1000/30)^0.7 = 30.27")
	assert.Equal(t, size(Options{Schedules: 5000}), size(Options{Schedules: 9000, Expected: 5000}))
	assert.Equal(t, size(Options{Schedules: defaultExpected}), size(Options{Stop: neverStop}))
	assert.Less(t, size(Options{Schedules: 1000}), size(Options{Schedules: 50_000}))
}
