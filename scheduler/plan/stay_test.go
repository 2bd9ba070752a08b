package plan_test

import (
	"fmt"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// inForce calls visit with random problems whose issued lines are a plan that the planner made of them.
func inForce(t *testing.T, visit func(t *testing.T, p *problem.Problem, issued *problem.Plan)) {
	t.Helper()
	kinds := map[string]problemtest.Options{
		"8 tasks": problemtest.Everything(8), "30 tasks": problemtest.Everything(30), "60 tasks": problemtest.Everything(60),
		"300 tasks": problemtest.Everything(300), "harsh": problemtest.Harsh(40),
	}
	seeds := uint64(12)
	if testing.Short() {
		seeds = 4
	}
	for name, options := range kinds {
		for seed := range seeds {
			t.Run(fmt.Sprintf("%s seed %d", name, seed), func(t *testing.T) {
				t.Parallel()
				o := options
				o.KeepOrder = seed%2 == 1
				p := problemtest.Random(50_000+seed, o)
				made := computed(t, p, 10)
				issue(p, made)
				visit(t, p, made)
			})
		}
	}
}

// computed is a plan that the independent checker accepts, made twice to see that it is the same.
func computed(t *testing.T, p *problem.Problem, schedules int) *problem.Plan {
	t.Helper()
	require.Empty(t, problem.Validate(p))
	made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: schedules, Seed: 7})
	require.NoError(t, err)
	require.Empty(t, check.Plan(p, made))
	again, err := plan.Compute(t.Context(), p, plan.Options{Schedules: schedules, Seed: 7})
	require.NoError(t, err)
	require.Equal(t, made, again)
	return made
}

// broken counts the pinned and frozen places that a plan says it had to give up.
func broken(made *problem.Plan) int {
	n := 0
	for _, note := range made.Notes {
		if strings.Contains(note, " moved: ") {
			n++
		}
	}
	return n
}

// requireNotWorse compares as the search does: tasks planned, locked places kept, then the total.
func requireNotWorse(t *testing.T, made, than *problem.Plan) {
	t.Helper()
	switch {
	case len(made.Unplanned) != len(than.Unplanned):
		require.Less(t, len(made.Unplanned), len(than.Unplanned))
	case broken(made) != broken(than):
		require.Less(t, broken(made), broken(than))
	default:
		require.LessOrEqual(t, made.Objective.Total, than.Objective.Total)
	}
}

func TestCompute_AnIssuedPlanStaysWhenNothingHappened(t *testing.T) {
	t.Parallel()
	inForce(t, func(t *testing.T, p *problem.Problem, issued *problem.Plan) {
		stayed := computed(t, p, 1)
		if stayed.Objective.Changes > 0 {
			// A pin that had no place in the issued plan has one now, and comes before other work's issued places.
			require.Less(t, broken(stayed), broken(issued))
		} else {
			unchanged := issued.Objective.Total - p.EffectiveWeights().Change*float64(issued.Objective.Changes)
			require.LessOrEqual(t, stayed.Objective.Total, unchanged+1e-6)
		}
		if stayed.Objective.Changes == 0 && broken(stayed) == broken(issued) {
			for i := range issued.Tasks { // the rest of work under way, too, goes on where it was to go on
				require.Equal(t, issued.Tasks[i].Resume, stayed.Tasks[i].Resume, "task %s", issued.Tasks[i].ID)
			}
		}
		requireNotWorse(t, computed(t, p, 10), stayed)
	})
}

func TestCompute_OneReportCostsNoMoreThanTheRepairOfTheIssuedPlan(t *testing.T) {
	t.Parallel()
	for name, happens := range map[string]func(*problem.Task, *problem.PlannedTask) bool{
		"a task takes longer": func(task *problem.Task, _ *problem.PlannedTask) bool {
			minutes := task.LabourMinutes
			if !task.IsCrewWork() {
				minutes = task.DurationMinutes
			}
			*minutes += 90
			return true
		},
		"a task must wait": func(task *problem.Task, was *problem.PlannedTask) bool {
			later := was.Start.Add(26 * time.Hour)
			if task.NotBefore != nil && task.NotBefore.After(later) {
				return false
			}
			task.NotBefore = &later
			return true
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var lines, changed atomic.Int64
			t.Cleanup(func() {
				t.Logf("the repair changed %d of %d lines", changed.Load(), lines.Load())
				require.Less(t, 5*changed.Load(), lines.Load(), "most of the plan in force stays")
			})
			inForce(t, func(t *testing.T, p *problem.Problem, issued *problem.Plan) {
				for i := len(p.Tasks) / 3; i < len(p.Tasks); i++ {
					task := &p.Tasks[i]
					was := rowOrNil(issued, task.ID)
					if task.Status == nil && task.Pin == nil && was != nil && len(was.Segments) > 0 && happens(task, was) {
						break
					}
				}
				stayed, searched := computed(t, p, 1), computed(t, p, 12)
				lines.Add(int64(len(p.Issued)))
				changed.Add(int64(stayed.Objective.Changes))
				requireNotWorse(t, searched, stayed)
			})
		})
	}
}

// rowOrNil is the planned task with an id, nil when it is not planned.
func rowOrNil(made *problem.Plan, id string) *problem.PlannedTask {
	for i := range made.Tasks {
		if made.Tasks[i].ID == id {
			return &made.Tasks[i]
		}
	}
	return nil
}
