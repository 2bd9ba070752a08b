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
