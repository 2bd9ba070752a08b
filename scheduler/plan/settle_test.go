package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// A start pinned without a crew, refused on the crew that it was reserved for and found again on another one, used to be
// reserved and refused for ever.
func TestCompute_EndsWhereAPinIsRefusedAndFoundAgain(t *testing.T) {
	t.Parallel()
	everything := problemtest.Everything(300)
	everything.KeepOrder = true
	for _, p := range []*problem.Problem{problemtest.Random(923, everything), problemtest.Random(760, problemtest.Harsh(40))} {
		planned, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 10, Seed: 1})
		require.NoError(t, err)
		require.Empty(t, check.Plan(p, planned))
	}
}
