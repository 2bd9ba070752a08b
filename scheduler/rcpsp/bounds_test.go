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
