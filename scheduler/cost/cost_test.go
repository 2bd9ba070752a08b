package cost_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/cost"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

func at(hour, minute int) time.Time { return time.Date(2026, 6, 1, hour, minute, 0, 0, time.UTC) }

// Alder has two heads at 60 an hour, 30 a head. One task is done with more hours than planned, one done without any told, one
// under way, one still to do, one that nothing can be planned of.
func small() (*problem.Problem, *problem.Plan, map[string]int) {
	minutes := func(n int) *int { return &n }
	alder, finished := "Alder", at(8, 0)
	work := func(id string) problem.Task {
		return problem.Task{ID: id, Kind: "frame", LabourMinutes: minutes(120)}
	}
	p := &problem.Problem{
		Crews: []problem.Crew{{ID: "Alder", Heads: 2, CostPerHour: 60}, {ID: "Birch", Heads: 2, CostPerHour: 100}},
		Tasks: []problem.Task{work("done"), work("silent"), work("under way"), work("to do"), work("left out"), {ID: "order", DurationMinutes: minutes(60)}},
		Links: []problem.Link{{From: "done", To: "to do"}, {From: "order", To: "to do"}},
		GCDates: []problem.GCDate{
			{ID: "one", Tasks: []string{"to do"}},
			{ID: "none", Tasks: nil},
		},
	}
	for i := range 2 {
		p.Tasks[i].Status = &problem.Status{Started: at(7, 0), Finished: &finished, Crew: "Alder"}
	}
	placed := func(id string, segments ...[2]time.Time) problem.PlannedTask {
		return problem.PlannedTask{ID: id, Crew: &alder, Segments: segments}
	}
	made := &problem.Plan{Tasks: []problem.PlannedTask{
		placed("done"), placed("silent"), placed("under way", [2]time.Time{at(9, 0), at(9, 30)}), placed("to do", [2]time.Time{at(9, 30), at(10, 30)}),
	}}
	return p, made, map[string]int{"done": 180, "under way": 90}
}

func TestOf_AddsWhatWasPlannedSpentAndIsToCome(t *testing.T) {
	t.Parallel()
	p, made, reported := small()
	sums := cost.Of(p, made, reported, func(string) []string { return []string{"all"} })
	all := sums["all"]
	require.NotNil(t, all)
	assert.Equal(t, 5, all.Tasks)
	assert.Equal(t, 2, all.Done)
	assert.Equal(t, 1, all.WithoutHours)
	assert.InDelta(t, 10, all.PlannedHours, 1e-9)
	assert.InDelta(t, 3+2+1.5, all.SpentHours, 1e-9)
	// Half an hour and an hour of two heads, and the two planned hours of what is left out.
	assert.InDelta(t, 1+2+2, all.ToComeHours, 1e-9)
	assert.InDelta(t, 11.5, all.ForecastHours(), 1e-9)
	assert.InDelta(t, 6.5*30, all.Spent, 1e-9)
	assert.InDelta(t, 3*30+2*40, all.ToCome, 1e-9, "what is left out costs the average of all heads, 160 over 4")
	assert.InDelta(t, all.Spent+all.ToCome, all.Forecast(), 1e-9)
}

func TestBehind_ReachesBackAlongLinks(t *testing.T) {
	t.Parallel()
	p, made, reported := small()
	behind := cost.Behind(p)
	assert.Equal(t, map[string]bool{"to do": true, "done": true, "order": true}, behind["one"])
	assert.Empty(t, behind["none"])
	sums := cost.Of(p, made, reported, func(task string) (names []string) {
		for date, tasks := range behind {
			if tasks[task] {
				names = append(names, date)
			}
		}
		return names
	})
	require.Len(t, sums, 1)
	assert.Equal(t, 2, sums["one"].Tasks)
}

// Groups that share no task and leave none out add up to the whole.
func TestOf_PartsAddUpToTheWhole(t *testing.T) {
	t.Parallel()
	for seed := range uint64(8) {
		p := problemtest.Random(seed, problemtest.Everything(80))
		made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 4})
		require.NoError(t, err)
		reported := map[string]int{}
		for i := range p.Tasks {
			if i%3 == 0 {
				reported[p.Tasks[i].ID] = 17 * i
			}
		}
		whole := cost.Of(p, made, reported, func(string) []string { return []string{""} })[""]
		var sum cost.Sum
		for _, part := range cost.Of(p, made, reported, func(id string) []string { return []string{id[len(id)-1:]} }) {
			sum.Tasks += part.Tasks
			sum.Spent += part.Spent
			sum.ToCome += part.ToCome
			sum.PlannedHours += part.PlannedHours
		}
		assert.Equal(t, whole.Tasks, sum.Tasks)
		assert.InDelta(t, whole.Forecast(), sum.Forecast(), 1e-6)
		assert.InDelta(t, whole.PlannedHours, sum.PlannedHours, 1e-6)
	}
}
