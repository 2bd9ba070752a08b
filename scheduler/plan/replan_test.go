package plan_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// issue makes a plan the one in force.
func issue(p *problem.Problem, made *problem.Plan) {
	p.Issued = nil
	for _, task := range made.Tasks {
		line := problem.Issued{Task: task.ID, Start: task.Start, Resume: task.Resume}
		if task.Crew != nil {
			line.Crew = *task.Crew
		}
		p.Issued = append(p.Issued, line)
	}
}

// passDays moves the data date on, and reports all work as planned, but for one task under way that takes longer.
func passDays(p *problem.Problem, made *problem.Plan, days int, longer int) (underWay int) {
	p.DataDate = p.DataDate.AddDate(0, 0, days)
	index := map[string]int{}
	for i := range p.Tasks {
		index[p.Tasks[i].ID] = i
	}
	for _, task := range made.Tasks {
		if !task.Start.Before(p.DataDate) {
			continue
		}
		status := &problem.Status{Started: task.Start}
		if task.Crew != nil {
			status.Crew = *task.Crew
		}
		p.Tasks[index[task.ID]].Status = status
		if finish := task.Finish; !finish.After(p.DataDate) {
			status.Finished = &finish
			continue
		}
		left := 0
		for _, segment := range task.Segments {
			from := segment[0]
			if from.Before(p.DataDate) {
				from = p.DataDate
			}
			left += max(0, int(segment[1].Sub(from)/time.Minute))
		}
		if underWay == 0 {
			left += longer
		}
		underWay++
		status.RemainingMinutes = &left
	}
	return underWay
}

func job(seed uint64) *problem.Problem {
	o := problemtest.Everything(150)
	o.Pins, o.Issued, o.Finished, o.Waits, o.Frozen = 0, 0, 0, 0, false
	return problemtest.Random(seed, o)
}

func TestCompute_PlanningAgainChangesNothingWhenNothingHappened(t *testing.T) {
	t.Parallel()
	for seed := range uint64(6) {
		p := job(seed)
		first, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 400})
		require.NoError(t, err)
		issue(p, first)
		again, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 1})
		require.NoError(t, err)
		require.Empty(t, check.Plan(p, again))
		require.Zero(t, again.Objective.Changes, "seed %d", seed)
		require.InDelta(t, first.Objective.Total, again.Objective.Total, 1e-6, "seed %d", seed)
	}
}

func TestCompute_ALongerTaskMovesOnlyWhatItHolds(t *testing.T) {
	t.Parallel()
	kept, lines := 0, 0
	for seed := range uint64(6) {
		p := job(seed)
		first, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 400})
		require.NoError(t, err)
		issue(p, first)
		if passDays(p, first, 5, 45) == 0 {
			continue
		}
		require.Empty(t, problem.Validate(p))
		again, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 60})
		require.NoError(t, err)
		require.Empty(t, check.Plan(p, again))
		open := 0
		for i := range p.Tasks {
			if p.Tasks[i].Status == nil {
				open++
			}
		}
		lines += open
		kept += open - again.Objective.Changes
	}
	t.Logf("%d of %d open lines of the issued plans kept", kept, lines)
	require.Greater(t, 2*kept, lines, "most of the plan in force stays")
}
