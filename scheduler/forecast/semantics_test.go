package forecast_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/forecast"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// crewed is work of one crew of two around the clock, each task after the one before.
func crewed(labour ...int) *problem.Problem {
	p := network(nil, chain(len(labour)), 0)
	p.Sites = []problem.Site{{ID: "mill"}}
	p.Crews = []problem.Crew{{ID: "ash", Skills: []string{"glaze"}, Heads: 2, Calendar: problem.Always}}
	for i, n := range labour {
		p.Tasks = append(p.Tasks, problem.Task{ID: name(i), Kind: "glaze", Site: "mill", LabourMinutes: new(n)})
		p.GCDates[0].Tasks = append(p.GCDates[0].Tasks, name(i))
	}
	return p
}

func one(value float64) *problem.Distribution {
	return &problem.Distribution{Values: []float64{value}, Chances: []float64{1}}
}

// Worked by hand: glazing takes 100 labour minutes on two heads, 50 minutes. Broken, it is followed by a remake of 600 minutes and
// by rework of half its labour, 25 minutes, and the second task waits for that: 50 + 600 + 25 + 20 = 695 minutes in place of 70.
func TestForecast_OfBreakage(t *testing.T) {
	t.Parallel()
	p := crewed(100, 40)
	p.GCDates[0].Date = start.Add(70 * time.Minute)
	p.Uncertainty = &problem.Uncertainty{Damages: []problem.Damage{{
		ID: "breakage", Tasks: []string{"t0"}, Chance: 0.25, RemakeMinutes: one(600), RemakeCalendar: problem.Always, Rework: new(0.5),
	}}}
	d := made(t, p, 10_000, 1).GCDates[0]
	assert.InDelta(t, 0.75, *d.Chance, 0.02)
	assert.Equal(t, []float64{70, 70, 695, 695}, []float64{after(d.P10), after(d.P50), after(d.P80), after(d.P90)})
	assert.InDelta(t, 70, after(d.Plan), 0, "the plan knows of no damage")
	assert.InDelta(t, 0.25*625/1440, d.ExpectedLateDays, 0.01)
}

// A damage of the date's own task, and of fixed work, which is over when its remake is.
func TestForecast_ADateWaitsForTheReworkOfItsTask(t *testing.T) {
	t.Parallel()
	p := network([]int{60}, nil, 60)
	p.Uncertainty = &problem.Uncertainty{Damages: []problem.Damage{{ID: "d", Kinds: []string{"work"}, Chance: 1, RemakeMinutes: one(30), RemakeCalendar: problem.Always}}}
	assert.InDelta(t, 90, after(made(t, p, 100, 1).GCDates[0].P50), 0)
}

// Worked by hand: 100 labour minutes times 1.3 are 130, on two heads 65; a pace of 0.9 makes 117 labour minutes, 59 minutes
// rounded up.
func TestForecast_FactorsAndPaces(t *testing.T) {
	t.Parallel()
	p := crewed(100)
	p.Uncertainty = &problem.Uncertainty{Spreads: []problem.Spread{{ID: "hours", Kinds: []string{"glaze"}, Factor: one(1.3)}}}
	assert.InDelta(t, 65, after(made(t, p, 100, 1).GCDates[0].P50), 0)
	p.Uncertainty.Spreads = append(p.Uncertainty.Spreads, problem.Spread{ID: "pace", Crews: []string{"ash"}, Factor: one(0.9)})
	assert.InDelta(t, 59, after(made(t, p, 100, 1).GCDates[0].P50), 0)
}

// Started work takes the same part of its remaining minutes: 150 of 100 labour minutes make 30 of 20 remaining ones.
func TestForecast_StartedWorkVariesWhatRemains(t *testing.T) {
	t.Parallel()
	p := crewed(100)
	p.Tasks[0].Status = &problem.Status{Started: start.Add(-time.Hour), RemainingMinutes: new(20), Crew: "ash"}
	p.Uncertainty = &problem.Uncertainty{Spreads: []problem.Spread{{ID: "hours", Tasks: []string{"t0"}, Minutes: one(150)}}}
	assert.InDelta(t, 30, after(made(t, p, 100, 1).GCDates[0].P50), 0)
}

// A slip moves not_before by the clock, never before the data date.
func TestForecast_SlipsMoveNotBefore(t *testing.T) {
	t.Parallel()
	for slip, want := range map[float64]float64{0: 160, 45: 205, -45: 115, -1000: 60} {
		p := network([]int{60}, nil, 0)
		p.Tasks[0].NotBefore = new(start.Add(100 * time.Minute))
		p.Uncertainty = &problem.Uncertainty{Spreads: []problem.Spread{{ID: "walls", Tasks: []string{"t0"}, SlipMinutes: one(slip)}}}
		assert.InDelta(t, want, after(made(t, p, 100, 1).GCDates[0].P50), 0, "slip %v", slip)
	}
}

// What a sample draws for a task does not depend on the other tasks: lengths that have nothing to do with a date leave its
// forecast as it is, to the minute.
func TestForecast_DrawsDoNotDependOnOtherWork(t *testing.T) {
	t.Parallel()
	alone := network([]int{0}, nil, 400)
	spread(alone, 0, problem.Distribution{Uniform: &problem.Range{Most: 1000}}, nil)
	beside := network([]int{0, 0}, nil, 400)
	beside.GCDates[0].Tasks = beside.GCDates[0].Tasks[:1]
	spread(beside, 1, problem.Distribution{Uniform: &problem.Range{Most: 9000}}, nil)
	spread(beside, 0, problem.Distribution{Uniform: &problem.Range{Most: 1000}}, nil)
	assert.Equal(t, made(t, alone, 500, 9).GCDates[0].P80, made(t, beside, 500, 9).GCDates[0].P80)
}

// The number of workers shows nowhere, in documents with every feature and much that cannot be kept.
func TestForecast_IsTheSameOnAnyNumberOfWorkers(t *testing.T) {
	t.Parallel()
	for seed := range uint64(6) {
		o := problemtest.Everything(80)
		if seed%2 == 1 {
			o = problemtest.Harsh(80)
		}
		p := problemtest.Random(seed, o)
		if seed < 2 { // the others vary what the generator draws
			uncertain(p)
		}
		require.Empty(t, problem.Validate(p))
		planned, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 30})
		require.NoError(t, err)
		var first *forecast.Forecast
		for _, workers := range []int{1, 2, 3} {
			f, err := forecast.Compute(t.Context(), p, planned, forecast.Options{Least: 250, Most: 250, Seed: 3, Workers: workers})
			require.NoError(t, err)
			if first == nil {
				first = f
			}
			require.Equal(t, first, f, "seed %d, %d workers", seed, workers)
		}
	}
}

// Without anything uncertain the forecast of any problem is its plan, unplanned dates included.
func TestForecast_OfACertainProblemIsItsPlan(t *testing.T) {
	t.Parallel()
	for seed := range uint64(10) {
		o := problemtest.Everything(60)
		o.Uncertain = 0
		p := problemtest.Random(seed, o)
		planned, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 30})
		require.NoError(t, err)
		f, err := forecast.Compute(t.Context(), p, planned, forecast.Options{})
		require.NoError(t, err)
		for i := range f.GCDates {
			require.Equal(t, planned.GCDates[i].Forecast, f.GCDates[i].P80)
			require.InDelta(t, planned.GCDates[i].LateDays, f.GCDates[i].ExpectedLateDays, 1e-9)
		}
	}
}

// Documents that are uncertain by nothing (spreads of one value, damages that never happen) are forecast near their plan by the
// samples themselves, which place work in the plan's order.
func TestForecast_SamplesOfNoSpreadKeepTheDatesOfThePlan(t *testing.T) {
	t.Parallel()
	better, worse := 0, 0
	for seed := range uint64(20) {
		p := problemtest.Random(seed, problemtest.Plain(60))
		planned, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 200})
		require.NoError(t, err)
		p.Uncertainty = &problem.Uncertainty{Spreads: []problem.Spread{{ID: "none", Kinds: []string{p.Tasks[0].Kind}, Factor: one(1)}}}
		f, err := forecast.Compute(t.Context(), p, planned, forecast.Options{Least: 100, Most: 100})
		require.NoError(t, err)
		switch moved := f.GCDates[0].P50.Sub(*f.GCDates[0].Plan); {
		case moved < 0:
			better++
		case moved > 0:
			worse++
		}
	}
	assert.LessOrEqual(t, worse, 2)
	assert.LessOrEqual(t, better, 4)
}

func TestForecast_StopsWhenThe80sAreSettledAndSaysWhenTheyAreNot(t *testing.T) {
	t.Parallel()
	p := network([]int{0}, nil, 0)
	spread(p, 0, problem.Distribution{Uniform: &problem.Range{Most: 20 * 1440}}, nil) // P80 needs some thousand samples
	planned, err := plan.Compute(t.Context(), p, plan.Options{})
	require.NoError(t, err)
	for _, row := range []struct {
		most    int
		stopped forecast.StoppedBy
	}{{300, forecast.AllSamples}, {20_000, forecast.Settled}} {
		told := 0
		f, err := forecast.Compute(t.Context(), p, planned, forecast.Options{Least: 100, Most: row.most, Progress: func(done, most int) { told = done }})
		require.NoError(t, err)
		d := f.GCDates[0]
		assert.Equal(t, row.stopped, f.StoppedBy)
		assert.Equal(t, row.stopped == forecast.Settled, d.Settled)
		assert.Equal(t, d.Settled, d.P80WorkingMinutes <= 720, "half a day around the clock")
		assert.Equal(t, f.Samples, told)
		assert.LessOrEqual(t, f.Samples, row.most)
		assert.Equal(t, !d.Settled, len(f.Notes) == 1, "%q", f.Notes)
	}
}

func TestForecast_EndsWithItsContext(t *testing.T) {
	t.Parallel()
	p := network([]int{0}, nil, 0)
	spread(p, 0, problem.Distribution{Uniform: &problem.Range{Most: 900}}, nil)
	planned, err := plan.Compute(t.Context(), p, plan.Options{})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	_, err = forecast.Compute(ctx, p, planned, forecast.Options{Workers: 2, Progress: func(done, _ int) {
		if done == 300 {
			cancel()
		}
	}})
	require.ErrorIs(t, err, context.Canceled)
}
