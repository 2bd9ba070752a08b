package forecast_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/forecast"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// uncertain adds to a random document what the trade is unsure of: hours, lead times, handovers, breakage, and common causes.
func uncertain(p *problem.Problem) {
	u := &problem.Uncertainty{}
	for i := range 6 {
		u.Causes = append(u.Causes, problem.CommonCause{ID: fmt.Sprint("cause ", i)})
	}
	hours := problem.Spread{ID: "hours", Factor: &problem.Distribution{LogNormal: &problem.LogNormal{Median: 1, Sigma: 0.3}}, Causes: map[string]float64{"cause 0": 0.3}}
	leads := problem.Spread{
		ID: "lead times", Factor: &problem.Distribution{Pert: &problem.ThreePoint{Least: 0.8, Likely: 1, Most: 1.8}},
		Causes: map[string]float64{"cause 1": 0.5, "cause 2": 0.2},
	}
	slips := problem.Spread{
		ID: "slips", SlipMinutes: &problem.Distribution{Triangular: &problem.ThreePoint{Least: -2880, Likely: 0, Most: 20_160}},
		Causes: map[string]float64{"cause 3": 0.6},
	}
	breakage := problem.Damage{
		ID: "breakage", Chance: 0.03, RemakeCalendar: problem.Always,
		RemakeMinutes: &problem.Distribution{Uniform: &problem.Range{Least: 10_000, Most: 20_000}},
	}
	for i := range p.Tasks {
		switch task := &p.Tasks[i]; {
		case task.IsCrewWork():
			hours.Tasks = append(hours.Tasks, task.ID)
			if i%7 == 4 {
				breakage.Tasks = append(breakage.Tasks, task.ID)
			}
		default:
			leads.Tasks = append(leads.Tasks, task.ID)
		}
		if p.Tasks[i].NotBefore != nil {
			slips.Tasks = append(slips.Tasks, p.Tasks[i].ID)
		}
	}
	for _, s := range []problem.Spread{hours, leads, slips} {
		if len(s.Tasks) > 0 {
			u.Spreads = append(u.Spreads, s)
		}
	}
	if len(breakage.Tasks) > 0 {
		u.Damages = append(u.Damages, breakage)
	}
	p.Uncertainty = u
}

// BenchmarkForecast_300Openings makes samples of a job of 300 openings of seven tasks with ten crews, on two workers. The
// budget is 1,000 samples in 10 seconds.
func BenchmarkForecast_300Openings(b *testing.B) {
	o := problemtest.Everything(7 * 300)
	o.Crews = 10
	p := problemtest.Random(1, o)
	uncertain(p)
	require.Empty(b, problem.Validate(p))
	planned, err := plan.Compute(b.Context(), p, plan.Options{Schedules: 100})
	require.NoError(b, err)
	for _, samples := range []int{250, 1_000, 2_000} {
		for _, workers := range []int{1, 2} {
			b.Run(fmt.Sprintf("%d samples/%d workers", samples, workers), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					_, err := forecast.Compute(b.Context(), p, planned, forecast.Options{Least: samples, Most: samples, Workers: workers})
					require.NoError(b, err)
				}
				b.ReportMetric(float64(samples)*float64(b.N)/b.Elapsed().Seconds(), "samples/s")
			})
		}
	}
}
