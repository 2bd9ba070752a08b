package check_test

import (
	"fmt"
	"go/parser"
	"go/token"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

func TestPackage_SharesNoCodeWithThePlanner(t *testing.T) {
	t.Parallel()
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	for _, e := range entries {
		if !strings.HasSuffix(e.Name(), ".go") || strings.HasSuffix(e.Name(), "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), e.Name(), nil, parser.ImportsOnly)
		require.NoError(t, err)
		for _, spec := range file.Imports {
			path := strings.Trim(spec.Path.Value, `"`)
			assert.True(t, path == "jambwright/scheduler/problem" || !strings.Contains(path, "jambwright") && !strings.Contains(path, "."),
				"%s imports %s", e.Name(), path)
		}
	}
}

// plannedRandomly gives random problems with their plans.
func plannedRandomly(t *testing.T, tasks, seeds int, visit func(t *testing.T, p *problem.Problem, plan *problem.Plan)) {
	t.Helper()
	for seed := range uint64(seeds) {
		t.Run(fmt.Sprintf("%d tasks, seed %d", tasks, seed), func(t *testing.T) {
			t.Parallel()
			o := problemtest.Everything(tasks)
			o.KeepOrder, o.Weights = seed%2 == 1, seed%3 == 0
			if seed == 1 {
				o.Crews, o.Finished = 0, 0 // fixed work only
			}
			p := problemtest.Random(seed, o)
			result, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 12, Seed: seed})
			require.NoError(t, err)
			visit(t, p, result)
		})
	}
}

func TestPlan_AcceptsThePlannersPlansOfRandomProblems(t *testing.T) {
	t.Parallel()
	for _, tasks := range []int{1, 5, 25, 150} {
		plannedRandomly(t, tasks, 12, func(t *testing.T, p *problem.Problem, plan *problem.Plan) {
			for _, v := range check.Plan(p, plan) {
				t.Error(v)
			}
		})
	}
}

// Every start has a reason that lets go when it starts, so that no work can be moved by a minute unnoticed.
func TestPlan_NoticesAnyMoveByAMinute(t *testing.T) {
	t.Parallel()
	plannedRandomly(t, 25, 8, func(t *testing.T, p *problem.Problem, plan *problem.Plan) {
		for i := range plan.Tasks {
			planned := plan.Tasks[i]
			if len(planned.Segments) == 0 {
				continue
			}
			for _, by := range []time.Duration{-time.Minute, time.Minute} {
				plan.Tasks[i] = movedBy(planned, by)
				assert.NotEmpty(t, check.Plan(p, plan), "task %s moved by %v", planned.ID, by)
			}
			plan.Tasks[i] = planned
		}
	})
}

func movedBy(t problem.PlannedTask, by time.Duration) problem.PlannedTask {
	if t.Resume != nil {
		t.Resume = new(t.Resume.Add(by))
	} else {
		t.Start = t.Start.Add(by)
	}
	t.Finish = t.Finish.Add(by)
	segments := make([][2]time.Time, len(t.Segments))
	for i, s := range t.Segments {
		segments[i] = [2]time.Time{s[0].Add(by), s[1].Add(by)}
	}
	t.Segments = segments
	return t
}

func TestPlan_NoticesWorkThatIsTakenOutOrCutShort(t *testing.T) {
	t.Parallel()
	plannedRandomly(t, 25, 8, func(t *testing.T, p *problem.Problem, plan *problem.Plan) {
		all := plan.Tasks
		for i := range all {
			plan.Tasks = append(append([]problem.PlannedTask(nil), all[:i]...), all[i+1:]...)
			assert.Contains(t, rules(check.Plan(p, plan)), "listed "+all[i].ID)
		}
		plan.Tasks = all
		for i := range all {
			if n := len(all[i].Segments); n > 0 {
				planned := all[i]
				all[i].Finish = planned.Finish.Add(-time.Minute)
				assert.Contains(t, rules(check.Plan(p, plan)), "duration "+planned.ID)
				all[i] = planned
			}
		}
	})
}

// The most of each limit that the plan has in use at one instant is found by trying every start; with one unit less
// the plan must fail, with just that many it must hold.
func TestPlan_FindsTheMostThatIsInUse(t *testing.T) {
	t.Parallel()
	plannedRandomly(t, 60, 6, func(t *testing.T, p *problem.Problem, plan *problem.Plan) {
		for i := range p.Limits {
			limit, capacity := &p.Limits[i], p.Limits[i].Capacity
			most, largest := inUse(p, plan, limit.ID)
			limit.Capacity = most
			assert.Empty(t, check.Plan(p, plan))
			if limit.Capacity = most - 1; limit.Capacity >= largest {
				assert.Contains(t, fmt.Sprint(rules(check.Plan(p, plan))), "capacity")
			}
			limit.Capacity = capacity
		}
	})
}

// inUse is the most units of a limit in use at one instant, and the most that one task asks for, planned or not.
func inUse(p *problem.Problem, plan *problem.Plan, limit string) (most, largest int) {
	type hold struct {
		from, to time.Time
		units    int
	}
	var holds []hold
	units := map[string]int{}
	finished := map[string]bool{}
	for _, t := range p.Tasks {
		units[t.ID], finished[t.ID] = t.Uses[limit], t.IsFinished()
		largest = max(largest, t.Uses[limit])
	}
	for _, t := range plan.Tasks {
		from := t.Start
		if t.Resume != nil {
			from = *t.Resume
		}
		if !finished[t.ID] {
			holds = append(holds, hold{from, t.Finish, units[t.ID]})
		}
	}
	for _, at := range holds {
		sum := 0
		for _, h := range holds {
			if !h.from.After(at.from) && at.from.Before(h.to) {
				sum += h.units
			}
		}
		most = max(most, sum)
	}
	return max(most, largest), largest
}

func BenchmarkPlan_20000Tasks(b *testing.B) {
	p := problemtest.Random(1, problemtest.Everything(20_000))
	result, err := plan.Compute(b.Context(), p, plan.Options{Schedules: 1})
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		check.Plan(p, result)
	}
}
