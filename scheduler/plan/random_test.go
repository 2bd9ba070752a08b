package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/plan"
	"jambwright/scheduler/problemtest"
)

func TestCompute_PlansRandomProblems(t *testing.T) {
	t.Parallel()
	for seed := range uint64(100) {
		p := problemtest.Random(seed, problemtest.Everything(60))
		got, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 20, Seed: seed})
		require.NoError(t, err)
		require.Len(t, p.Tasks, len(got.Tasks)+len(got.Unplanned))
	}
}
