package ledger_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/ledger"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problemtest"
)

// BenchmarkLedger splits a night in which eight deliveries turned out to take five days longer, by size of the firm, with seven tasks an
// opening. Nothing else of that night is reported, so that most lines are work that was not begun: 157 and 391 re-plans, 63 and 110 ms
// of computing each. A re-plan costs in proportion to the tasks, their number to what happened, so that a firm of twenty projects of
// a thousand openings takes seconds for each line of its ledger; it is not among the sizes here for that.
func BenchmarkLedger(b *testing.B) {
	for _, openings := range []int{300, 1_000} {
		b.Run(fmt.Sprintf("openings=%d", openings), func(b *testing.B) {
			o := problemtest.Everything(7 * openings)
			o.Uncertain = 0
			p := problemtest.Random(1, o)
			before, err := plan.Compute(b.Context(), p, plan.Options{Schedules: 1})
			require.NoError(b, err)
			later := *p
			later.Tasks = append(later.Tasks[:0:0], p.Tasks...)
			later.DataDate = p.DataDate.Add(24 * time.Hour)
			in := ledger.Input{Earlier: p, Later: &later, EarlierPlan: before, Owner: map[string]ledger.Cause{}}
			for i := 0; i < len(later.Tasks) && len(in.Events) < 8; i += len(later.Tasks) / 64 {
				t := &later.Tasks[i]
				if t.DurationMinutes == nil || t.Status != nil || t.Waits {
					continue
				}
				t.DurationMinutes = new(*t.DurationMinutes + 5*24*60)
				at := p.DataDate.Add(time.Duration(1+len(in.Events)) * time.Hour)
				in.Events = append(in.Events, ledger.Event{Task: t.ID, At: at, Ref: "promise of " + t.ID, Cause: ledger.Supplier})
			}
			in.LaterPlan, err = plan.Compute(b.Context(), &later, plan.Options{Schedules: 1})
			require.NoError(b, err)
			b.ReportAllocs()
			replans := 0
			for b.Loop() {
				r, err := ledger.Compute(b.Context(), in)
				require.NoError(b, err)
				replans = r.Replans
			}
			b.ReportMetric(float64(replans), "replans")
		})
	}
}
