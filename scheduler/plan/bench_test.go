package plan_test

import (
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
