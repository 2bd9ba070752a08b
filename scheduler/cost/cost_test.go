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
	"jambwright/scheduler/recovery"
)

func at(hour, minute int) time.Time { return time.Date(2026, 6, 1, hour, minute, 0, 0, time.UTC) }

// Alder has two heads at 60 an hour, 30 a head. One task is done with more hours than planned, one done without any told, one
// under way, one still to do, one that nothing can be planned of.
func small() (*problem.Problem, *problem.Plan, map[string]map[string]int) {
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
	return p, made, map[string]map[string]int{"done": {"Alder": 180}, "under way": {"": 90}}
}

func TestOf_AddsWhatWasPlannedSpentAndIsToCome(t *testing.T) {
	t.Parallel()
	p, made, reported := small()
	sums, err := cost.Of(cost.Input{Problem: p, Plan: made, Reported: reported}, func(string) []string { return []string{"all"} })
	require.NoError(t, err)
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

// Birch, at 50 a head and hour, began what Alder, at 30, goes on with: each is paid for its own hours.
func TestOf_HoursCostWhatTheCrewCostsThatReportedThem(t *testing.T) {
	t.Parallel()
	p, made, _ := small()
	reported := map[string]map[string]int{"under way": {"Birch": 60, "Alder": 30}, "done": {"Birch": 120}}
	sums, err := cost.Of(cost.Input{Problem: p, Plan: made, Reported: reported}, func(id string) []string { return []string{id} })
	require.NoError(t, err)
	assert.InDelta(t, 1.5, sums["under way"].SpentHours, 1e-9)
	assert.InDelta(t, 50+15, sums["under way"].Spent, 1e-9)
	assert.InDelta(t, 2*50, sums["done"].Spent, 1e-9)
	assert.Zero(t, sums["done"].WithoutHours)
}

// Work that a broken pane stopped with an hour left stands in the problem with that hour alone, yet was planned with two.
func TestOf_StoppedWorkKeepsThePlannedHoursAndHasTheRestToCome(t *testing.T) {
	t.Parallel()
	p, made, reported := small()
	left := 60
	for i := range p.Tasks {
		if id := p.Tasks[i].ID; id == "under way" || id == "left out" {
			p.Tasks[i].LabourMinutes = &left
		}
	}
	in := cost.Input{Problem: p, Plan: made, Reported: reported, Begun: map[string]int{"under way": 120, "left out": 120}}
	sums, err := cost.Of(in, func(id string) []string { return []string{id} })
	require.NoError(t, err)
	assert.InDelta(t, 2, sums["under way"].PlannedHours, 1e-9)
	assert.InDelta(t, 1, sums["under way"].ToComeHours, 1e-9, "as the plan has it")
	assert.InDelta(t, 2, sums["left out"].PlannedHours, 1e-9)
	assert.InDelta(t, 1, sums["left out"].ToComeHours, 1e-9)
	assert.InDelta(t, 2, sums["to do"].PlannedHours, 1e-9)
}

func TestBehind_ReachesBackAlongLinks(t *testing.T) {
	t.Parallel()
	p, made, reported := small()
	behind := cost.Behind(p)
	assert.Equal(t, map[string]bool{"to do": true, "done": true, "order": true}, behind["one"])
	assert.Empty(t, behind["none"])
	sums, err := cost.Of(cost.Input{Problem: p, Plan: made, Reported: reported}, func(task string) (names []string) {
		for date, tasks := range behind {
			if tasks[task] {
				names = append(names, date)
			}
		}
		return names
	})
	require.NoError(t, err)
	require.Len(t, sums, 1)
	assert.Equal(t, 2, sums["one"].Tasks)
}

// The crew comes from its yard to the mill in half an hour, waits there for the glass, sets up on level 2 in a quarter of an
// hour, and comes back in three quarters.
func TestLosses_BelongToTheTaskThatTheCrewGoesToOrWaitsFor(t *testing.T) {
	t.Parallel()
	minutes := func(n int) *int { return &n }
	alder := "Alder"
	work := func(id, site, area string) problem.Task {
		return problem.Task{ID: id, Site: site, Area: area, LabourMinutes: minutes(60)}
	}
	p := &problem.Problem{
		DataDate: at(7, 0), Sites: []problem.Site{{ID: "yard"}, {ID: "mill"}},
		Travel: []problem.Travel{{From: "yard", To: "mill", Minutes: 30}, {From: "mill", To: "yard", Minutes: 45}},
		Areas:  []problem.Area{{ID: "L1", Site: "mill", SetupMinutes: 10}, {ID: "L2", Site: "mill", SetupMinutes: 15}},
		Crews: []problem.Crew{{
			ID: alder, Heads: 2, Calendar: problem.Always, HomeSite: "yard", CostPerHour: 60, Away: []problem.Span{{From: at(8, 0), To: at(8, 20)}},
		}},
		Tasks: []problem.Task{work("glaze", "mill", "L1"), work("hang", "mill", "L2"), work("again", "mill", "L2"), work("home", "yard", "")},
	}
	placed := func(id string, from, to time.Time) problem.PlannedTask {
		return problem.PlannedTask{ID: id, Crew: &alder, Start: from, Finish: to, Segments: [][2]time.Time{{from, to}}}
	}
	made := &problem.Plan{Tasks: []problem.PlannedTask{
		placed("hang", at(10, 15), at(10, 45)), placed("glaze", at(9, 0), at(9, 30)), placed("again", at(10, 45), at(11, 15)), placed("home", at(12, 0), at(12, 30)),
	}}
	losses, err := cost.Losses(p, made)
	require.NoError(t, err)
	assert.Equal(t, map[string]cost.Loss{
		"glaze": {TravelMinutes: 30, IdleMinutes: 70}, // two hours, less the way, less 20 minutes away
		"hang":  {TravelMinutes: 15, IdleMinutes: 30},
		"again": {},
		"home":  {TravelMinutes: 45},
	}, losses)
	sums, err := cost.Of(cost.Input{Problem: p, Plan: made}, func(string) []string { return []string{""} })
	require.NoError(t, err)
	// Travel of two heads at 30: 90 minutes of the crew are three hours, of 100 idle ones a cost beside the forecast.
	assert.InDelta(t, 3, sums[""].TravelHours, 1e-9)
	assert.InDelta(t, 90, sums[""].Travel, 1e-9)
	assert.InDelta(t, 100, sums[""].Idle, 1e-9)
	assert.InDelta(t, 4+3, sums[""].ForecastHours(), 1e-9, "four tasks of half an hour for two, and the ways")
}

// Groups that share no task and leave none out add up to the whole, and the whole to what the plan states.
func TestOf_PartsAddUpToTheWhole(t *testing.T) {
	t.Parallel()
	for seed := range uint64(12) {
		o := problemtest.Everything(80)
		if seed%3 == 2 {
			o = problemtest.Harsh(80)
		}
		p := problemtest.Random(seed, o)
		moves := []recovery.Move{{
			Kind: recovery.Overtime, Crew: p.Crews[0].ID, From: problem.DateOf(p.DataDate), Until: problem.DateOf(p.DataDate).AddDays(13),
			Minutes: 60, Loss: 0.15, Premium: 1.5,
		}}
		p = recovery.Apply(p, moves)
		made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 4})
		require.NoError(t, err)
		in := cost.Input{Problem: p, Plan: made, Reported: map[string]map[string]int{}, Moves: moves}
		for i := range p.Tasks {
			if i%3 == 0 {
				in.Reported[p.Tasks[i].ID] = map[string]int{"": 9 * i, p.Crews[0].ID: 8 * i}
			}
		}
		all, err := cost.Of(in, func(string) []string { return []string{""} })
		require.NoError(t, err)
		whole := all[""]
		parts, err := cost.Of(in, func(id string) []string { return []string{id[len(id)-1:]} })
		require.NoError(t, err)
		var sum cost.Sum
		for _, part := range parts {
			sum.Tasks += part.Tasks
			sum.Spent += part.Spent
			sum.ToCome += part.ToCome
			sum.Travel += part.Travel
			sum.Extra += part.Extra
			sum.PlannedHours += part.PlannedHours
			sum.TravelMinutes += part.TravelMinutes
			sum.IdleMinutes += part.IdleMinutes
			sum.OvertimeHours += part.OvertimeHours
		}
		assert.Equal(t, whole.Tasks, sum.Tasks)
		assert.InDelta(t, whole.Forecast(), sum.Forecast(), 1e-6)
		assert.InDelta(t, whole.PlannedHours, sum.PlannedHours, 1e-6)
		assert.Equal(t, made.Objective.TravelMinutes, sum.TravelMinutes, "seed %d", seed)
		assert.Equal(t, made.Objective.IdleMinutes, sum.IdleMinutes, "seed %d", seed)
		bill := recovery.Price(recovery.WithoutLongerHours(p), moves, made)
		assert.InDelta(t, bill.Extra, sum.Extra, 1e-6)
		assert.InDelta(t, bill.OvertimeHours*float64(p.Crews[0].Heads), sum.OvertimeHours, 1e-6)
	}
}
