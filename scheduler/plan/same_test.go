package plan_test

import (
	"bytes"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

func written(t *testing.T, p *problem.Problem, seed uint64) []byte {
	t.Helper()
	got, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 120, Seed: seed})
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, problem.WritePlan(&out, got, p.Zone))
	return out.Bytes()
}

// Not parallel: it changes the number of processors for the whole program.
func TestCompute_GivesTheSameBytesOnOneAndTwoProcessors(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	for seed := range uint64(4) {
		p := problemtest.Random(seed, problemtest.Everything(120))
		one := written(t, p, seed)
		runtime.GOMAXPROCS(2)
		require.Equal(t, string(one), string(written(t, p, seed)))
		runtime.GOMAXPROCS(1)
		require.Equal(t, string(one), string(written(t, problemtest.Random(seed, problemtest.Everything(120)), seed)))
	}
}

func TestCompute_DoesNotChangeItsProblem(t *testing.T) {
	t.Parallel()
	text := func(p *problem.Problem) string {
		var out bytes.Buffer
		require.NoError(t, problem.Write(&out, p))
		return out.String()
	}
	p := problemtest.Random(5, problemtest.Everything(80))
	before := text(p)
	written(t, p, 1)
	require.Equal(t, before, text(p))
}

// A bound that nobody asks for is not worked out, and the search ends where it would have ended with it: problems of a few tasks end
// proved, larger ones by their budget. What stands in its place is a bound all the same.
func TestCompute_WithoutABoundIsTheSamePlan(t *testing.T) {
	t.Parallel()
	ends, left := map[string]int{}, 0
	for name, options := range map[string]func(int) problemtest.Options{
		"everything": problemtest.Everything, "harsh": problemtest.Harsh, "plain": problemtest.Plain, "tiny": problemtest.Tiny,
	} {
		for seed := range uint64(24) {
			p := problemtest.Random(seed, options(1+int(seed)*2))
			if seed%3 == 0 {
				p.Weights = &problem.Weights{Lateness: 1, Early: float64(seed % 2)} // ways and changes cost nothing
			}
			o := plan.Options{Schedules: 3 + int(seed%4)*200, Seed: seed}
			with, err := plan.Compute(t.Context(), p, o)
			require.NoError(t, err)
			o.NoBound = true
			without, err := plan.Compute(t.Context(), p, o)
			require.NoError(t, err)
			require.Empty(t, check.Plan(p, without), "%s, seed %d", name, seed)
			require.LessOrEqual(t, without.LowerBound.LatenessCost, with.LowerBound.LatenessCost, "%s, seed %d", name, seed)
			require.False(t, without.LowerBound.Makespan.After(with.LowerBound.Makespan), "%s, seed %d", name, seed)
			ends[with.Run.StoppedBy]++
			if without.LowerBound.Makespan.Before(with.LowerBound.Makespan) {
				left++
			}
			without.LowerBound = with.LowerBound
			require.Equal(t, with, without, "%s, seed %d", name, seed)
		}
	}
	require.Positive(t, ends["proved"])
	require.Positive(t, ends["budget"])
	require.Positive(t, left, "bounds that were left out")
}

func TestCompute_PlansWhateverTheOrderOfTheLists(t *testing.T) {
	t.Parallel()
	for seed := range uint64(12) {
		p := problemtest.Random(seed, problemtest.Everything(50))
		inOrder, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 40})
		require.NoError(t, err)
		rng := rand.New(rand.NewPCG(seed, 1))
		rng.Shuffle(len(p.Tasks), func(i, k int) { p.Tasks[i], p.Tasks[k] = p.Tasks[k], p.Tasks[i] })
		rng.Shuffle(len(p.Links), func(i, k int) { p.Links[i], p.Links[k] = p.Links[k], p.Links[i] })
		rng.Shuffle(len(p.Limits), func(i, k int) { p.Limits[i], p.Limits[k] = p.Limits[k], p.Limits[i] })
		rng.Shuffle(len(p.Areas), func(i, k int) { p.Areas[i], p.Areas[k] = p.Areas[k], p.Areas[i] })
		rng.Shuffle(len(p.GCDates), func(i, k int) { p.GCDates[i], p.GCDates[k] = p.GCDates[k], p.GCDates[i] })
		rng.Shuffle(len(p.Issued), func(i, k int) { p.Issued[i], p.Issued[k] = p.Issued[k], p.Issued[i] })
		shuffled, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 40})
		require.NoError(t, err)
		require.Empty(t, check.Plan(p, shuffled))
		require.Len(t, shuffled.Tasks, len(inOrder.Tasks), "the same work is planned")
	}
}
