package recovery

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// activity is one activity of a network to be shortened.
type activity struct {
	name   string
	days   int
	most   int     // days that can be cut
	slope  float64 // cost of each
	direct float64 // cost at its normal duration
	after  []string
}

// duration of a network with some days cut from each activity; activities come after what they follow.
func duration(network []activity, cut choice) (longest int) {
	finish := map[string]int{}
	for i, a := range network {
		start := 0
		for _, before := range a.after {
			start = max(start, finish[before])
		}
		finish[a.name] = start + a.days - cut[i]
		longest = max(longest, finish[a.name])
	}
	return longest
}

// curve climbs a network and returns the direct cost found for each duration.
func curve(network []activity) (normal int, direct map[int]float64) {
	normal = duration(network, make(choice, len(network)))
	tops := make([]int, len(network))
	for i, a := range network {
		tops[i] = a.most
	}
	c := climber{tops: tops, together: 3, budget: 1_000_000, value: func(of []choice) []value {
		values := make([]value, len(of))
		for n, cut := range of {
			for i, a := range network {
				values[n].cost += a.direct + a.slope*float64(cut[i])
			}
			values[n].won = int64(normal - duration(network, cut))
		}
		return values
	}}
	direct = map[int]float64{}
	for _, s := range c.climb() {
		direct[normal-int(s.value.won)] = s.value.cost
	}
	return normal, direct
}

// E. Elbeltagi, university notes on construction management: six activities, A beside all others. Published: normal 140
// days at a direct cost of 48,300, first step D by 10 days to 130 days at 48,900. The further least costs were enumerated in
// full from the published slopes.
func TestClimb_SixActivitiesOfCourseNotes(t *testing.T) {
	t.Parallel()
	normal, direct := curve([]activity{
		{"A", 120, 20, 100, 48_300, nil}, // the published sum of direct costs
		{"B", 20, 5, 200, 0, nil},
		{"C", 40, 10, 600, 0, []string{"B"}},
		{"D", 30, 10, 60, 0, []string{"C"}},
		{"F", 60, 15, 300, 0, []string{"B"}},
		{"E", 50, 10, 120, 0, []string{"D", "F"}},
	})
	assert.Equal(t, 140, normal)
	for days, want := range map[int]float64{
		140: 48_300, 135: 48_600, 130: 48_900, 125: 49_500, 120: 50_100, 115: 51_600, 110: 56_600, 105: 61_600,
	} {
		assert.InDelta(t, want, direct[days], 1e-6, "%d days", days)
	}
}

// An operations-research course's example with indirect cost by length. Published: normal 13 days, direct 713, total 1,113.
// The totals of the shorter ones were enumerated in full from the published costs.
func TestClimb_IndirectCostByLength(t *testing.T) {
	t.Parallel()
	normal, direct := curve([]activity{
		{"A", 4, 1, 30, 713, nil}, // the published sum
		{"B", 6, 2, 50, 0, nil},
		{"C", 2, 1, 22, 0, nil},
		{"D", 5, 2, 50, 0, []string{"A"}},
		{"E", 2, 0, 0, 0, []string{"C"}},
		{"F", 7, 2, 30, 0, []string{"A"}},
		{"G", 4, 2, 70, 0, []string{"B", "D", "E"}},
	})
	assert.Equal(t, 13, normal)
	indirect := map[int]float64{13: 400, 12: 250, 11: 175, 10: 100, 9: 75, 8: 50}
	for days, want := range map[int]float64{13: 1113, 12: 993, 11: 968, 10: 943, 9: 1018, 8: 1093} {
		require.Contains(t, direct, days)
		assert.InDelta(t, want, direct[days]+indirect[days], 1e-6, "%d days", days)
	}
}

// The same course with a fixed indirect cost of 2,800 a week. Published: normal 26 weeks by way of A, D, F, event times E2
// 8, E4 14, E5 16. Enumerated in full: the least total is 132,200 at 19 weeks, 139,400 at 18.
func TestClimb_FixedIndirectCost(t *testing.T) {
	t.Parallel()
	normal, direct := curve([]activity{
		{"A", 8, 2, 2_500, 15_000, nil},
		{"B", 10, 3, 10_000. / 3, 20_000, nil},
		{"C", 5, 1, 6_000, 8_000, []string{"A"}},
		{"D", 6, 2, 2_000, 11_000, []string{"A"}},
		{"E", 8, 3, 2_000, 9_000, []string{"A"}},
		{"F", 12, 4, 250, 3_000, []string{"C", "B", "D"}}, // by the dummy from event 4 to event 3
		{"G", 5, 1, 3_000, 5_000, []string{"E"}},
	})
	assert.Equal(t, 26, normal)
	assert.InDelta(t, 71_000, direct[26], 1e-6)
	total := func(weeks int) float64 {
		require.Contains(t, direct, weeks)
		return direct[weeks] + 2_800*float64(weeks)
	}
	assert.InDelta(t, 132_200, total(19), 1e-6)
	assert.InDelta(t, 139_400, total(18), 1e-6)
	for weeks := range direct {
		assert.GreaterOrEqual(t, total(weeks), 132_200-1e-6, "%d weeks", weeks)
	}
}

// An operations-management lecture: two paths A-B-D and A-C-D. Published: normal 10 days; enumerated in full: 9 days cost
// 28, 8 cost 30, 7 cost 33, 6 cost 37, 5 cost 42, and nothing is shorter.
func TestClimb_TwoPaths(t *testing.T) {
	t.Parallel()
	normal, direct := curve([]activity{
		{"A", 2, 1, 4, 6, nil},
		{"B", 5, 3, 3, 9, []string{"A"}},
		{"C", 4, 1, 2, 6, []string{"A"}},
		{"D", 3, 2, 2, 5, []string{"B", "C"}},
	})
	assert.Equal(t, 10, normal)
	assert.Equal(t, map[int]float64{10: 26, 9: 28, 8: 30, 7: 33, 6: 37, 5: 42}, direct)
}

func TestClimb_NeverValuesMoreThanItsBudget(t *testing.T) {
	t.Parallel()
	for budget := 1; budget < 40; budget++ {
		valued := 0
		c := climber{tops: []int{2, 2, 2}, together: 2, budget: budget, value: func(of []choice) []value {
			valued += len(of)
			values := make([]value, len(of))
			for i, levels := range of {
				for lever, level := range levels {
					values[i].won += int64(level * (lever + 1))
					values[i].cost += float64(level)
				}
			}
			return values
		}}
		steps := c.climb()
		require.LessOrEqual(t, valued, budget)
		for i := 1; i < len(steps); i++ {
			require.Greater(t, steps[i].value.won, steps[i-1].value.won)
		}
	}
}
