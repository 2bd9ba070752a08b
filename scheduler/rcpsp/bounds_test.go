package rcpsp

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestBounds_NeverExceedTheOptimum(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 6)
		optimum := bruteForce(in)
		require.LessOrEqual(t, in.CriticalPath(), optimum)
		require.LessOrEqual(t, in.EnergyBound(), optimum)
		require.LessOrEqual(t, raise(in, 0, optimum+3, neverStop), optimum)
	})
}

// Three jobs of 4 periods and 2 units on a resource of 3 units: no two fit together, 24 units of work in 3 a period
// need 8 periods. A job of 5 periods before them and one of 1 after them lift the bound to 14.
func TestEnergyBound_CountsWhatMustComeBeforeAndAfter(t *testing.T) {
	t.Parallel()
	request := [][]int32{{0}, {0}, {2}, {2}, {2}, {0}, {0}}
	in, err := NewInstance([]int32{0, 5, 4, 4, 4, 1, 0}, []int32{3}, request, [][]int32{{1}, {2, 3, 4}, {5}, {5}, {5}, {6}, nil})
	require.NoError(t, err)
	assert.Equal(t, int32(10), in.CriticalPath())
	assert.Equal(t, int32(14), in.EnergyBound())
}

func neverStop() bool { return false }

// The example above with two of the three jobs: critical path 10, work 16 in 3 a period. They exclude each other, so one
// waits for the other: 5 + 4 + 4 + 1.
func TestRaise_OrdersJobsThatExcludeEachOther(t *testing.T) {
	t.Parallel()
	request := [][]int32{{0}, {0}, {2}, {2}, {0}, {0}}
	in, err := NewInstance([]int32{0, 5, 4, 4, 1, 0}, []int32{3}, request, [][]int32{{1}, {2, 3}, {4}, {4}, {5}, nil})
	require.NoError(t, err)
	assert.Equal(t, int32(12), in.EnergyBound())
	assert.Equal(t, int32(14), raise(in, 12, 20, neverStop))
	assert.Equal(t, int32(13), raise(in, 12, 13, neverStop), "not beyond a known schedule")
	assert.Equal(t, int32(12), raise(in, 12, 20, func() bool { return true }), "not when asked to stop")
}

// The published optimum of the instance is 43, the critical path 38.
func TestRaise_StaysBelowThePublishedOptimum(t *testing.T) {
	t.Parallel()
	bound := raise(readTestInstance(t), 38, 60, neverStop)
	assert.GreaterOrEqual(t, bound, int32(38))
	assert.LessOrEqual(t, bound, int32(publishedOptimum))
}
