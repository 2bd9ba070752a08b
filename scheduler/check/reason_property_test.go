package check

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// A reason is true when the work could not begin a working minute sooner with all other work where it is. Work that is
// held at a pinned or issued start by a person's decision is left out.
func TestPlan_WorkWithAReasonCouldNotBeginSooner(t *testing.T) {
	t.Parallel()
	for seed := range uint64(15) {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			t.Parallel()
			p := problemtest.Random(seed, problemtest.Everything(60))
			result, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 20, Seed: seed})
			require.NoError(t, err)
			c := &checker{p: p, plan: result}
			c.judge()
			require.Empty(t, c.violations)
			for i := range p.Tasks {
				w := &c.work[i]
				if !c.live(i) || p.Tasks[i].IsStarted() || w.length == 0 || w.planned.Reason.Kind == problem.ReasonPin {
					continue
				}
				sooner, ok := w.axis.earlier(w.begin, 1)
				require.True(t, ok)
				assert.NotEmpty(t, c.barrier(i, w.crew, sooner), "task %s begins at %s for %+v, but could at %s",
					p.Tasks[i].ID, c.text(w.begin), w.planned.Reason, c.text(sooner))
			}
		})
	}
}
