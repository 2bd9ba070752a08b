package forecast_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/forecast"
	"jambwright/scheduler/problem"
)

// normal is a normal distribution as its values at many equal steps of probability.
func normal(mean, deviation float64) problem.Distribution {
	const steps = 2000
	var d problem.Distribution
	for i := range steps {
		d.Values = append(d.Values, max(0, mean+deviation*math.Sqrt2*math.Erfinv(2*(float64(i)+0.5)/steps-1)))
		d.Chances = append(d.Chances, 1.0/steps)
	}
	return d
}

func upTo(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// day is a unit of the textbooks in minutes, so large that rounding to minutes does not show.
const day = 1000

// Three-point examples of textbooks. The books take a path as normal with the mean (a + 4m + b) / 6 and the variance
// ((b - a) / 6)^2 of its tasks; so do these tasks. PERT-1: B. W. Taylor, Introduction to Management Science, chapter 8, solved
// example, mean 24, variance 5, P(28) 0.9633. PERT-4: a textbook's path of 26 and variance 4.11, P(25) 0.311, P(30) 0.975. The
// path of fourteen activities is a textbook's, too, its means read there, its chances worked out from the formulas above. The
// nine-activity path is C. Hendrickson, Project Management for Construction, chapter 11, inputs from memory, so that only its
// arithmetic is checked.
func TestForecast_OfTextbookPaths(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name   string
		tasks  [][3]float64 // a, m, b
		mean   float64
		chance map[float64]float64
	}{
		{"Taylor", [][3]float64{{5, 8, 17}, {3, 5, 7}, {4, 6, 8}, {3, 4, 5}}, 24, map[float64]float64{28: 0.9633}},
		{"operations research course", [][3]float64{{1, 4, 7}, {2, 5, 14}, {3, 6, 15}}, 17, map[float64]float64{17: 0.5, 20: 0.8413, 22: 0.9522}},
		{
			"fourteen activities",
			[][3]float64{{5, 5, 7}, {5, 5, 5}, {1, 10, 17}, {4, 4, 6}, {2, 7, 10}, {6, 10, 13}, {2, 2, 3}, {7, 7, 12}},
			50.83,
			map[float64]float64{53: 0.741, 55: 0.893},
		},
		{"nine activities", [][3]float64{{3, 4, 5}, {6, 8, 10}, {10, 12, 14}, {4, 6, 8}}, 30, map[float64]float64{32: 0.952}},
	} {
		for due, chance := range row.chance {
			p := network(make([]int, len(row.tasks)), chain(len(row.tasks)), int(due*day))
			mean := 0.0
			for i, e := range row.tasks {
				expected, deviation := (e[0]+4*e[1]+e[2])/6, (e[2]-e[0])/6
				mean += expected
				spread(p, i, normal(expected*day, deviation*day), nil)
			}
			require.InDelta(t, row.mean, mean, 0.01, row.name)
			f := made(t, p, 40_000, 1)
			// Four standard deviations of the count, and the half percent by which the discrete steps cut off the tails.
			assert.InDelta(t, chance, *f.GCDates[0].Chance, 4*math.Sqrt(chance*(1-chance)/40_000)+0.005, "%s by %v", row.name, due)
		}
	}
}

// The beta form of the same estimates has the books' mean exactly, and the variance (mean - a)(b - mean) / 7 of the beta
// distribution with those shape parameters (closed form of the beta moments).
func TestForecast_PertHasTheMomentsOfItsBeta(t *testing.T) {
	t.Parallel()
	a, m, b := 5.0, 8.0, 17.0
	mean := (a + 4*m + b) / 6
	p := network([]int{0}, nil, 0)
	spread(p, 0, problem.Distribution{Pert: &problem.ThreePoint{Least: a * day, Likely: m * day, Most: b * day}}, nil)
	f := made(t, p, 40_000, 1)
	got := f.GCDates[0].ExpectedLateDays * 1440 / day // due at once, so that lateness is the length
	deviation := math.Sqrt((mean - a) * (b - mean) / 7)
	assert.InDelta(t, mean, got, 4*deviation/math.Sqrt(40_000))
}

// Where the most likely length is the least one, the beta is 1 - (1-x)^5, and where it is the most, x^5.
func TestForecast_PertOfOneSidedEstimates(t *testing.T) {
	t.Parallel()
	for _, likely := range []float64{0, 10 * day} {
		p := network([]int{0}, nil, 0)
		spread(p, 0, problem.Distribution{Pert: &problem.ThreePoint{Most: 10 * day, Likely: likely}}, nil)
		d := made(t, p, 40_000, 1).GCDates[0]
		for part, at := range map[float64]float64{0.1: after(d.P10), 0.5: after(d.P50), 0.8: after(d.P80), 0.9: after(d.P90)} {
			want := 10 * day * (1 - math.Pow(1-part, 0.2))
			if likely > 0 {
				want = 10 * day * math.Pow(part, 0.2)
			}
			assert.InDelta(t, want, at, 0.02*10*day, "P%v", part)
		}
	}
}

// A chain of triangular lengths against the convolution of their distributions minute by minute.
func TestForecast_OfAChainIsTheConvolution(t *testing.T) {
	t.Parallel()
	estimates := []problem.ThreePoint{{Least: 20, Likely: 30, Most: 90}, {Least: 0, Likely: 60, Most: 60}, {Least: 10, Likely: 10, Most: 100}, {Least: 5, Likely: 45, Most: 50}}
	sum := []float64{1} // chance of each number of minutes
	p := network(make([]int, len(estimates)), chain(len(estimates)), 170)
	for i, e := range estimates {
		sum = convolve(sum, triangularMinutes(e))
		spread(p, i, problem.Distribution{Triangular: &e}, nil)
	}
	var outcomes []outcome
	for minutes, chance := range sum {
		outcomes = append(outcomes, outcome{minutes, chance})
	}
	requireEnumerated(t, outcomes, made(t, p, 40_000, 5), 170)
}

// triangularMinutes is the chance of every whole minute, by the closed form of the distribution function.
func triangularMinutes(e problem.ThreePoint) []float64 {
	below := func(x float64) float64 {
		switch {
		case x <= e.Least:
			return 0
		case x >= e.Most:
			return 1
		case x <= e.Likely:
			return (x - e.Least) * (x - e.Least) / (e.Most - e.Least) / (e.Likely - e.Least)
		}
		return 1 - (e.Most-x)*(e.Most-x)/(e.Most-e.Least)/(e.Most-e.Likely)
	}
	chances := make([]float64, int(e.Most)+2)
	for i := range chances {
		chances[i] = below(float64(i)+0.5) - below(float64(i)-0.5)
	}
	return chances
}

func convolve(a, b []float64) []float64 {
	sum := make([]float64, len(a)+len(b)-1)
	for i := range a {
		for j := range b {
			sum[i+j] += a[i] * b[j]
		}
	}
	return sum
}

// The last of n equal uniform lengths is done by x with the chance x^n (the largest order statistic).
func TestForecast_OfParallelWorkIsTheLargestOrderStatistic(t *testing.T) {
	t.Parallel()
	for _, n := range []int{2, 10, 40} {
		p := network(make([]int, n), nil, 9*day)
		for i := range n {
			spread(p, i, problem.Distribution{Uniform: &problem.Range{Most: 10 * day}}, nil)
		}
		d := made(t, p, 20_000, 2).GCDates[0]
		chance := math.Pow(0.9, float64(n))
		assert.InDelta(t, chance, *d.Chance, 4*math.Sqrt(chance*(1-chance)/20_000))
		for part, at := range map[float64]float64{0.1: after(d.P10), 0.5: after(d.P50), 0.8: after(d.P80), 0.9: after(d.P90)} {
			assert.InDelta(t, 10*day*math.Pow(part, 1/float64(n)), at, 0.015*10*day, "P%v of %d", part, n)
		}
	}
}

// Merge bias: a student case has three tied paths of 62 days with variances 2.32, 0.66 and 0.66. One path alone holds 62 days
// every second time; all three do one time in eight. The mean of the larger of two equal independent normals lies deviation / root of
// pi above theirs (C. E. Clark 1961, "The greatest of a finite set of random variables", for equal means and no correlation).
func TestForecast_ShowsMergeBias(t *testing.T) {
	t.Parallel()
	p := network(make([]int, 3), nil, 62*day)
	for i, variance := range []float64{2.32, 0.66, 0.66} {
		spread(p, i, normal(62*day, math.Sqrt(variance)*day), nil)
	}
	assert.InDelta(t, 0.125, *made(t, p, 20_000, 3).GCDates[0].Chance, 0.012)

	p = network(make([]int, 2), nil, 0)
	for i := range 2 {
		spread(p, i, normal(62*day, 2*day), nil)
	}
	got := made(t, p, 20_000, 4).GCDates[0].ExpectedLateDays * 1440 / day
	assert.InDelta(t, 62+2/math.Sqrt(math.Pi), got, 4*1.65/math.Sqrt(20_000)+0.01)
}

// A common cause of share r correlates the scores of two normal lengths by r, so that their sum has the variance 2 (1 + r) times
// one's: no optimism by independence. A share of 1 makes them one draw.
func TestForecast_CommonCausesMoveThingsTogether(t *testing.T) {
	t.Parallel()
	for _, share := range []float64{0, 0.25, 0.6, 1} {
		p := network(make([]int, 2), chain(2), 104*day)
		for i := range 2 {
			spread(p, i, normal(50*day, 3*day), map[string]float64{"glass": share})
		}
		p.Uncertainty.Causes = []problem.CommonCause{{ID: "glass", Kind: "supplier"}}
		d := made(t, p, 20_000, 6).GCDates[0]
		deviation := 3 * math.Sqrt(2*(1+share))
		chance := upTo(4 / deviation)
		assert.InDelta(t, chance, *d.Chance, 4*math.Sqrt(chance*(1-chance)/20_000)+0.004, "share %v", share)
		assert.InDelta(t, 100+0.8416*deviation, after(d.P80)/day, 0.03*deviation, "share %v", share)
	}
	// With discrete lengths and a share of 1, both take the same value: 2 or 4 hours, never 3.
	p := network(make([]int, 2), chain(2), 180)
	for i := range 2 {
		spread(p, i, problem.Distribution{Values: []float64{120, 60}, Chances: []float64{0.5, 0.5}}, map[string]float64{"c": 1})
	}
	p.Uncertainty.Causes = []problem.CommonCause{{ID: "c"}}
	d := made(t, p, 4_000, 7).GCDates[0]
	assert.InDelta(t, 0.5, *d.Chance, 0.04)
	assert.Equal(t, []float64{120, 240, 240}, []float64{after(d.P10), after(d.P80), after(d.P90)})
}

// A uniform length in a chain with a shorter one: the fifth in which it is longest lies 0.8 of its width above the fifth in
// which it is shortest (means of a uniform number's outer fifths are 0.1 and 0.9), and the longer one comes first.
func TestForecast_RanksWhatMovesADate(t *testing.T) {
	t.Parallel()
	p := network(make([]int, 3), [][2]int{{0, 1}}, 0)
	spread(p, 0, problem.Distribution{Uniform: &problem.Range{Most: 10 * 1440}}, nil)
	spread(p, 1, problem.Distribution{Uniform: &problem.Range{Least: 1440, Most: 5 * 1440}}, nil)
	spread(p, 2, problem.Distribution{Uniform: &problem.Range{Most: 60}}, nil) // never the last, and so never named
	d := made(t, p, 8_000, 8).GCDates[0]
	require.Len(t, d.Sensitivities, 2)
	for i, width := range []float64{10, 4} {
		assert.Equal(t, forecast.Source{Quantity: forecast.Length, Spread: fmt.Sprint("of t", i), Task: name(i)}, d.Sensitivities[i].Source)
		assert.InDelta(t, 0.8*width, d.Sensitivities[i].Days, 0.3)
	}
	// Pearson's correlation is width / root of (10^2 + 4^2); Spearman's is near it.
	assert.InDelta(t, 10/math.Hypot(10, 4), d.Sensitivities[0].RankCorrelation, 0.03)
	assert.Equal(t, []forecast.Criticality{{Task: "t0", Index: 1}, {Task: "t1", Index: 1}}, d.Criticality)
}
