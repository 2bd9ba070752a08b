package plan_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

func TestCompute_PlansOfRandomProblemsPassTheIndependentChecker(t *testing.T) {
	t.Parallel()
	for _, tasks := range []int{8, 30, 60} {
		for seed := range uint64(40) {
			t.Run(fmt.Sprintf("tasks %d seed %d", tasks, seed), func(t *testing.T) {
				t.Parallel()
				p := problemtest.Random(seed, problemtest.Everything(tasks))
				if seed%2 == 1 {
					p.OutOfOrder = problem.KeepOrder
				}
				got, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 20, Seed: seed})
				require.NoError(t, err)
				require.Len(t, p.Tasks, len(got.Tasks)+len(got.Unplanned))
				violations := check.Plan(p, got)
				require.Empty(t, violations[:min(5, len(violations))])
			})
		}
	}
}
