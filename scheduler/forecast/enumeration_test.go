package forecast_test

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/forecast"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
)

// outcome is a finish, in minutes after the data date, with its chance.
type outcome struct {
	finish int
	chance float64
}

// enumerate goes through every combination of the values of discrete distributions. finish works out one of them.
func enumerate(of []problem.Distribution, finish func(values []float64) int) []outcome {
	var outcomes []outcome
	values := make([]float64, len(of))
	var step func(i int, chance float64)
	step = func(i int, chance float64) {
		if i == len(of) {
			outcomes = append(outcomes, outcome{finish(values), chance})
			return
		}
		for k := range of[i].Values {
			values[i] = of[i].Values[k]
			step(i+1, chance*of[i].Chances[k])
		}
	}
	step(0, 1)
	slices.SortFunc(outcomes, func(a, b outcome) int { return cmp.Compare(a.finish, b.finish) })
	return outcomes
}

// requireEnumerated compares a forecast with its outcomes. What is counted in n samples may miss its chance by five standard
// deviations; a percentile must be one that the chances allow within that.
func requireEnumerated(t *testing.T, outcomes []outcome, f *forecast.Forecast, due int) {
	t.Helper()
	d, n := &f.GCDates[0], float64(f.Samples)
	upTo := func(at float64) float64 {
		sum := 0.0
		for _, o := range outcomes {
			if float64(o.finish) <= at {
				sum += o.chance
			}
		}
		return sum
	}
	slack := func(p float64) float64 { return 5*math.Sqrt(p*(1-p)/n) + 1e-9 }
	met := upTo(float64(due))
	require.InDelta(t, met, *d.Chance, slack(met))
	late, square := 0.0, 0.0
	for _, o := range outcomes {
		l := float64(max(0, o.finish-due)) / 1440
		late += l * o.chance
		square += l * l * o.chance
	}
	require.InDelta(t, late, d.ExpectedLateDays, 5*math.Sqrt(max(0, square-late*late)/n)+1e-9)
	for _, row := range []struct {
		part float64
		at   float64
	}{{0.1, after(d.P10)}, {0.5, after(d.P50)}, {0.8, after(d.P80)}, {0.9, after(d.P90)}} {
		require.GreaterOrEqual(t, upTo(row.at), row.part-slack(row.part), "P%v at %v", row.part, row.at)
		require.LessOrEqual(t, upTo(row.at-1), row.part+slack(row.part), "P%v at %v", row.part, row.at)
	}
}

// Random networks of fixed work with two or three lengths a task, against the longest path of every combination.
func TestForecast_OfFixedWorkIsTheEnumerationOfItsOutcomes(t *testing.T) {
	t.Parallel()
	for seed := range uint64(12) {
		rng := rand.New(rand.NewPCG(seed, 1))
		n := 3 + rng.IntN(5)
		var links [][2]int
		var of []problem.Distribution
		for i := range n {
			for before := range i {
				if rng.IntN(3) == 0 {
					links = append(links, [2]int{before, i})
				}
			}
			of = append(of, randomValues(rng))
		}
		finish := func(values []float64) int {
			ends, last := make([]int, n), 0
			for i := range n {
				for _, l := range links {
					if l[1] == i {
						ends[i] = max(ends[i], ends[l[0]])
					}
				}
				ends[i] += int(values[i])
				last = max(last, ends[i])
			}
			return last
		}
		outcomes := enumerate(of, finish)
		due := outcomes[rng.IntN(len(outcomes))].finish
		p := network(make([]int, n), links, due)
		for i := range of {
			spread(p, i, of[i], nil)
		}
		requireEnumerated(t, outcomes, made(t, p, 20_000, seed), due)
	}
}

func randomValues(rng *rand.Rand) problem.Distribution {
	if rng.IntN(2) == 0 {
		return problem.Distribution{Values: []float64{float64(60 * rng.IntN(9)), float64(60 * rng.IntN(20))}, Chances: []float64{0.3, 0.7}}
	}
	return problem.Distribution{
		Values: []float64{float64(rng.IntN(900)), float64(rng.IntN(900)), float64(rng.IntN(900))}, Chances: []float64{0.2, 0.5, 0.3},
	}
}

// Openings that two crews share: samples come out better than crews that hold on to the plan whatever happens, and no better
// than a plan made for each combination in full knowledge of it. Both are worked out for every combination.
func TestForecast_CrewsEverySampleAnew(t *testing.T) {
	t.Parallel()
	p := network(nil, nil, 720)
	p.Sites = []problem.Site{{ID: "mill"}}
	p.Crews = []problem.Crew{
		{ID: "ash", Skills: []string{"frame", "glaze"}, Heads: 1, Calendar: problem.Always},
		{ID: "birch", Skills: []string{"frame"}, Heads: 1, Calendar: problem.Always},
	}
	var of []problem.Distribution
	for i, labour := range []int{240, 240, 240, 240} {
		kind := "frame"
		if i%2 == 1 {
			kind = "glaze"
			p.Links = append(p.Links, problem.Link{From: name(i - 1), To: name(i)})
		}
		p.Tasks = append(p.Tasks, problem.Task{ID: name(i), Kind: kind, Site: "mill", LabourMinutes: new(labour)})
		p.GCDates[0].Tasks = append(p.GCDates[0].Tasks, name(i))
		d := problem.Distribution{Values: []float64{120, 240, 600}, Chances: []float64{0.3, 0.5, 0.2}}
		of = append(of, d)
		spread(p, i, d, nil)
	}
	planned := func(values []float64) int {
		fixed := *p
		fixed.Uncertainty, fixed.Tasks = nil, slices.Clone(p.Tasks)
		for i := range fixed.Tasks {
			fixed.Tasks[i].LabourMinutes = new(int(values[i]))
		}
		made, err := plan.Compute(t.Context(), &fixed, plan.Options{Schedules: 100})
		require.NoError(t, err)
		return int(after(made.GCDates[0].Forecast))
	}
	first, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 200, Seed: 1})
	require.NoError(t, err)
	f := made(t, p, 4_000, 3)
	least, most := meanLate(enumerate(of, planned), 720), meanLate(enumerate(of, asPlanned(p, first)), 720)
	require.Less(t, least, most, "a document for which it does not matter tells nothing")
	require.Greater(t, f.GCDates[0].ExpectedLateDays, 0.95*least)
	require.Less(t, f.GCDates[0].ExpectedLateDays, most)
}

func meanLate(outcomes []outcome, due int) (days float64) {
	for _, o := range outcomes {
		days += float64(max(0, o.finish-due)) * o.chance / 1440
	}
	return days
}

// asPlanned works out the finish of lengths when every crew does its tasks in the order of a plan, whatever happens. Tasks are
// numbered so that links point forward, and the plan's order does, too.
func asPlanned(p *problem.Problem, made *problem.Plan) func(values []float64) int {
	rows := slices.Clone(made.Tasks)
	slices.SortStableFunc(rows, func(a, b problem.PlannedTask) int { return a.Start.Compare(b.Start) })
	return func(values []float64) int {
		free, ends, last := map[string]int{}, map[string]int{}, 0
		for _, row := range rows {
			begin := free[*row.Crew]
			for _, l := range p.Links {
				if l.To == row.ID {
					begin = max(begin, ends[l.From])
				}
			}
			i := slices.IndexFunc(p.Tasks, func(t problem.Task) bool { return t.ID == row.ID })
			end := begin + int(values[i])
			free[*row.Crew], ends[row.ID] = end, end
			last = max(last, end)
		}
		return last
	}
}
