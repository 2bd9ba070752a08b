package rcpsp

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestSolve_FindsThePublishedOptimum(t *testing.T) {
	t.Parallel()
	in := readTestInstance(t)
	result, err := Solve(in, Options{Schedules: 5000, Seed: 1})
	require.NoError(t, err)
	assert.Equal(t, int32(publishedOptimum), result.Makespan)
	assert.Equal(t, int32(38), result.CriticalPath)
	assert.Empty(t, violations(in, result.Starts, result.Makespan))
}

func TestSolve_FindsTheOptimumOfSmallProjects(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		in := drawInstance(t, 7)
		result, err := Solve(in, Options{Schedules: 2000, Seed: rapid.Uint64().Draw(t, "seed")})
		require.NoError(t, err)
		require.Empty(t, violations(in, result.Starts, result.Makespan))
		require.Equal(t, bruteForce(in), result.Makespan)
		require.LessOrEqual(t, result.LowerBound, result.Makespan)
		require.Equal(t, result.LowerBound == result.Makespan, result.Proved)
	})
}

func TestSolve_SameSeedGivesTheSameResult(t *testing.T) {
	t.Parallel()
	in := readTestInstance(t)
	for seed := range uint64(3) {
		first, err := Solve(in, Options{Schedules: 700, Seed: seed})
		require.NoError(t, err)
		second, err := Solve(in, Options{Schedules: 700, Seed: seed})
		require.NoError(t, err)
		assert.Equal(t, first, second)
	}
}

func TestSolve_HoldsTheScheduleLimit(t *testing.T) {
	t.Parallel()
	in := readTestInstance(t)
	for _, limit := range []int64{1, 2, 3, 10, 333} {
		result, err := Solve(in, Options{Schedules: limit})
		require.NoError(t, err)
		assert.LessOrEqual(t, result.Schedules, limit)
		assert.Empty(t, violations(in, result.Starts, result.Makespan))
	}
}

func TestSolve_StopsWhenAskedWithASchedule(t *testing.T) {
	t.Parallel()
	in := readTestInstance(t)
	result, err := Solve(in, Options{Stop: func() bool { return true }})
	require.NoError(t, err)
	assert.Equal(t, StoppedAsked, result.Stopped)
	assert.Empty(t, violations(in, result.Starts, result.Makespan))
}

func TestSolve_RefusesASearchWithoutEnd(t *testing.T) {
	t.Parallel()
	_, err := Solve(readTestInstance(t), Options{})
	assert.ErrorIs(t, err, ErrNoLimit)
}

func TestSolve_ReportsEachBetterSchedule(t *testing.T) {
	t.Parallel()
	in := readTestInstance(t)
	var seen []Progress
	result, err := Solve(in, Options{Schedules: 2000, Progress: func(p Progress) { seen = append(seen, p) }})
	require.NoError(t, err)
	require.NotEmpty(t, seen)
	assert.Equal(t, result.Makespan, seen[len(seen)-1].Makespan)
	for i := 1; i < len(seen); i++ {
		assert.Less(t, seen[i].Makespan, seen[i-1].Makespan)
		assert.Greater(t, seen[i].Schedules, seen[i-1].Schedules)
	}
}
