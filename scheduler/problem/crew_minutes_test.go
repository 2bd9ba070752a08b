package problem_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/problem"
)

func TestCrewMinutes_RoundsUpTheDecimalThatWasWritten(t *testing.T) {
	t.Parallel()
	// Worked by hand: labour / (heads x productivity), rounded up.
	for _, row := range []struct {
		labour, heads int
		productivity  float64
		want          int
	}{
		{0, 3, 0.7, 0},
		{1, 60, 1, 1},
		{480, 2, 1, 240},
		{481, 2, 1, 241},
		{120, 2, 0.8, 75},  // 120 / 1.6
		{66, 3, 1.1, 20},   // 66 / 3.3; in binary floating point 20.000000000000004
		{63, 1, 0.9, 70},   // 63 / 0.9
		{100, 3, 0.3, 112}, // 111.1
		{7, 1, 0.07, 100},
	} {
		assert.Equal(t, row.want, problem.CrewMinutes(row.labour, row.heads, row.productivity), "%+v", row)
	}
}

func TestCrewMinutes_EqualsExactFractions(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		labour := rapid.IntRange(0, problem.MaxMinutes).Draw(t, "labour")
		heads := rapid.IntRange(1, 12).Draw(t, "heads")
		hundredths := rapid.IntRange(1, 300).Draw(t, "hundredths")
		productivity, err := strconv.ParseFloat(strconv.Itoa(hundredths)+"e-2", 64)
		assert.NoError(t, err)

		exact := big.NewRat(int64(labour)*100, int64(heads)*int64(hundredths))
		got := big.NewRat(int64(problem.CrewMinutes(labour, heads, productivity)), 1)

		assert.GreaterOrEqual(t, got.Cmp(exact), 0, "too short")
		assert.Negative(t, new(big.Rat).Sub(got, big.NewRat(1, 1)).Cmp(exact), "too long")
	})
}

func TestCrewPace_IsCrewMinutes(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 11))
	for _, productivity := range []float64{1, 0.8, 1.25, 0.01, 100, 1.0 / 3, 0.7333333333333333, 0.1 + 0.2, math.Pi} {
		for heads := range 7 {
			pace := problem.NewCrewPace(heads+1, productivity)
			for range 200 {
				labour := int(rng.Uint64() >> (40 + rng.Uint64()%24))
				require.Equal(t, problem.CrewMinutes(labour, heads+1, productivity), pace.Minutes(labour), "%d on %d at %v", labour, heads+1, productivity)
			}
		}
	}
}
