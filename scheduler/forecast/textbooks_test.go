package forecast_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

// Textbook paths that are given by mean and deviation of each activity. PERT-3: an exam question of three activities, 3 ± 1, 8 ± 2
// and 6 ± 2, mean 17 and variance 9, P(20) 0.84. PERT-4: a textbook's path of 4, 10, 7 and 5 with variance 4.11 in all, P(25)
// 0.311, P(30) 0.975 (0.9758 unrounded); the book's variance is of the whole path, and any division of it gives the same sum.
func TestForecast_OfTextbookPathsByMeanAndDeviation(t *testing.T) {
	t.Parallel()
	quarter := math.Sqrt(4.11 / 4)
	for _, row := range []struct {
		name             string
		means, deviation []float64
		chance           map[float64]float64
	}{
		{"exam question", []float64{3, 8, 6}, []float64{1, 2, 2}, map[float64]float64{17: 0.5, 20: 0.8413}},
		{"path of 26", []float64{4, 10, 7, 5}, []float64{quarter, quarter, quarter, quarter}, map[float64]float64{25: 0.311, 30: 0.9758}},
	} {
		for due, chance := range row.chance {
			p := network(make([]int, len(row.means)), chain(len(row.means)), int(due*day))
			for i, mean := range row.means {
				spread(p, i, normal(mean*day, row.deviation[i]*day), nil)
			}
			f := made(t, p, 40_000, 1)
			assert.InDelta(t, chance, *f.GCDates[0].Chance, 4*math.Sqrt(chance*(1-chance)/40_000)+0.005, "%s by %v", row.name, due)
		}
	}
}

// exponential is the exponential distribution as its values at the middles of many equal steps of probability.
func exponential(mean float64) (d problem.Distribution) {
	const steps = 2000
	for i := range steps {
		d.Values = append(d.Values, -mean*math.Log(1-(float64(i)+0.5)/steps))
		d.Chances = append(d.Chances, 1.0/steps)
	}
	return d
}

// The longest of n independent exponential tasks takes, on average, the nth harmonic number times the mean of one, and is over by x
// with the chance (1 - exp(-x / mean)) to the nth (order statistics of the exponential distribution; A. Rényi, 1953). A plan
// that counts with the mean of one misses by so much: merge bias.
func TestForecast_TheLongestOfExponentialTasksFollowsHarmonicNumbers(t *testing.T) {
	t.Parallel()
	const mean, samples = 10 * day, 20_000
	harmonic := 0.0
	for n := 1; n <= 8; n++ {
		harmonic += 1 / float64(n)
		if n != 1 && n != 2 && n != 4 && n != 8 {
			continue
		}
		p := network(make([]int, n), nil, 0) // due at once, so that lateness is the length
		for i := range n {
			spread(p, i, exponential(mean), nil)
		}
		f := made(t, p, samples, 1)
		d := &f.GCDates[0]
		got := d.ExpectedLateDays * 1440
		// The deviation of the maximum is below pi / root of 6 times the mean of one; the steps cut a thousandth off the tail.
		assert.InDelta(t, harmonic*mean, got, 4*math.Pi/math.Sqrt(6)*mean/math.Sqrt(samples)+0.003*harmonic*mean, "of %d", n)
		require.NotNil(t, d.P80)
		p80 := after(d.P80)
		assert.InDelta(t, 0.8, math.Pow(1-math.Exp(-p80/mean), float64(n)), 4*math.Sqrt(0.8*0.2/samples)+0.002, "P80 of %d", n)
	}
}
