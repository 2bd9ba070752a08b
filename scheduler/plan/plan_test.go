package plan_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

func TestDefaultSchedules_ShrinksWithTheProblem(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ tasks, want int }{
		{0, 20_000}, {8, 20_000}, {500, 2048}, {1_500, 711}, {20_000, 63}, {85_000, 4},
	} {
		assert.Equal(t, row.want, plan.DefaultSchedules(row.tasks), "%d tasks", row.tasks)
	}
}

func TestCompute_ReportsProgressUpToItsBudget(t *testing.T) {
	t.Parallel()
	p := problemtest.Random(2, problemtest.Everything(40))
	last := 0
	got, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 50, Progress: func(done, total int) {
		assert.Equal(t, last+1, done)
		assert.Equal(t, 50, total)
		last = done
	}})
	require.NoError(t, err)
	assert.Equal(t, got.Run.Schedules, last)
	assert.LessOrEqual(t, last, 50)
}

func TestCompute_SaysWhatMakesAProblemUnreadable(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Tasks = []problem.Task{fixed("a", "cure", 60, "always"), fixed("b", "cure", 60, "always")}
	p.Links = []problem.Link{link("a", "b"), link("b", "a")}
	_, err := plan.Compute(t.Context(), p, plan.Options{})
	require.ErrorContains(t, err, "a -> b -> a")
}

func BenchmarkCompute(b *testing.B) {
	for name, tasks := range map[string]int{"500 tasks": 500, "300 openings": 1_500, "20000 tasks": 20_000} {
		p := problemtest.Random(7, problemtest.Everything(tasks))
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, err := plan.Compute(b.Context(), p, plan.Options{})
				require.NoError(b, err)
			}
		})
	}
}
