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

// BenchmarkReplan_OneReport300Openings is what a person waits for after one report: 300 openings of seven tasks and ten
// crews, all of it issued, one task longer than planned, to a plan that the independent checker accepts.
func BenchmarkReplan_OneReport300Openings(b *testing.B) {
	o := problemtest.Everything(7 * 300)
	o.Crews = 10
	p := problemtest.Random(1, o)
	issued, err := plan.Compute(b.Context(), p, plan.Options{Schedules: 100})
	require.NoError(b, err)
	issue(p, issued)
	var late *problem.Task
	for i := range p.Tasks {
		if task := &p.Tasks[i]; task.Status == nil && task.Pin == nil && task.IsCrewWork() {
			late = task
			break
		}
	}
	*late.LabourMinutes += 240
	b.ReportAllocs()
	changes := 0
	for b.Loop() {
		made, err := plan.Compute(b.Context(), p, plan.Options{Schedules: 12})
		require.NoError(b, err)
		require.Empty(b, check.Plan(p, made))
		changes = made.Objective.Changes
	}
	b.ReportMetric(float64(changes), "changes")
}

// BenchmarkFirm_FirstPlan plans a firm of 20 projects with 1,000 openings each with the default budget, to a plan that the
// independent checker accepts.
func BenchmarkFirm_FirstPlan(b *testing.B) {
	for name, p := range map[string]*problem.Problem{
		"firm": problemtest.Firm(1, 20, 1000), "everything": problemtest.Random(1, problemtest.Everything(85_000)),
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				made, err := plan.Compute(b.Context(), p, plan.Options{})
				require.NoError(b, err)
				require.Empty(b, check.Plan(p, made))
				b.ReportMetric(made.Objective.LatenessCost, "lateness")
			}
		})
	}
}

// BenchmarkFirm_Search shows what a longer search is worth: the lateness cost by the number of schedules.
func BenchmarkFirm_Search(b *testing.B) {
	for _, projects := range []int{1, 4, 20} {
		p := problemtest.Firm(1, projects, 1000)
		for _, schedules := range []int{4, 40, 160, 640} {
			b.Run(fmt.Sprintf("%d_tasks/%d_schedules", len(p.Tasks), schedules), func(b *testing.B) {
				for b.Loop() {
					made, err := plan.Compute(b.Context(), p, plan.Options{Schedules: schedules})
					require.NoError(b, err)
					b.ReportMetric(made.Objective.LatenessCost, "lateness")
				}
			})
		}
	}
}
