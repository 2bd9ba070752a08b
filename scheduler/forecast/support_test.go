package forecast_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/forecast"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
)

// start is the data date of the documents of these tests.
var start = time.Date(2026, 3, 2, 13, 0, 0, 0, time.UTC)

// network is a document of fixed work on the clock, so that dates are plain sums: task i has minutes[i] and waits for what
// links says. Its one GC date is all of the work done by due minutes after the data date.
func network(minutes []int, links [][2]int, due int) *problem.Problem {
	p := &problem.Problem{Version: problem.Version, Zone: "UTC", DataDate: start}
	date := problem.GCDate{ID: "all", Date: start.Add(time.Duration(due) * time.Minute)}
	for i, n := range minutes {
		p.Tasks = append(p.Tasks, problem.Task{ID: name(i), Kind: "work", DurationMinutes: new(n), Calendar: problem.Always})
		date.Tasks = append(date.Tasks, name(i))
	}
	for _, l := range links {
		p.Links = append(p.Links, problem.Link{From: name(l[0]), To: name(l[1])})
	}
	p.GCDates = []problem.GCDate{date}
	return p
}

// chain links n tasks one after the other.
func chain(n int) (links [][2]int) {
	for i := range n - 1 {
		links = append(links, [2]int{i, i + 1})
	}
	return links
}

func name(i int) string { return fmt.Sprintf("t%d", i) }

// spread gives a task minutes of its own.
func spread(p *problem.Problem, i int, d problem.Distribution, causes map[string]float64) {
	if p.Uncertainty == nil {
		p.Uncertainty = &problem.Uncertainty{}
	}
	p.Uncertainty.Spreads = append(p.Uncertainty.Spreads, problem.Spread{ID: "of " + name(i), Tasks: []string{name(i)}, Minutes: &d, Causes: causes})
}

// made plans and forecasts a document with exactly so many samples.
func made(t testing.TB, p *problem.Problem, samples int, seed uint64) *forecast.Forecast {
	t.Helper()
	require.Empty(t, problem.Validate(p))
	planned, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 200, Seed: 1})
	require.NoError(t, err)
	f, err := forecast.Compute(t.Context(), p, planned, forecast.Options{Least: samples, Most: samples, Seed: seed, Workers: 2})
	require.NoError(t, err)
	return f
}

// after is how many minutes an instant lies after the data date.
func after(t *time.Time) float64 { return t.Sub(start).Minutes() }
