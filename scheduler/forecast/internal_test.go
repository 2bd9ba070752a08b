package forecast

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
)

// The two order statistics enclose the percentile with at least 95 % confidence, and no narrower pair of its kind would: the
// chance is summed anew from the binomial coefficients.
func TestConfidenceRanks_EncloseThePercentile(t *testing.T) {
	t.Parallel()
	for _, n := range []int{20, 100, 333, 1000, 5000} {
		first, last := confidenceRanks(n, 0.8)
		under := func(r int) float64 { // chance of fewer than r samples before the percentile
			sum, term := 0.0, float64(n)*math.Log(0.2)
			for k := range r {
				if k > 0 {
					term += math.Log(float64(n-k+1)/float64(k)) + math.Log(4)
				}
				sum += math.Exp(term)
			}
			return sum
		}
		assert.LessOrEqual(t, under(first), 0.025, "n %d", n)
		assert.Greater(t, under(first+1), 0.025, "n %d", n)
		assert.GreaterOrEqual(t, under(last), 0.975, "n %d", n)
		assert.Less(t, under(last-1), 0.975, "n %d", n)
	}
	// David and Nagaraja's normal approximation, n p -/+ 1.96 root of n p (1 - p): 775.2 and 824.8 of 1,000.
	first, last := confidenceRanks(1000, 0.8)
	assert.InDelta(t, 775, first, 2)
	assert.InDelta(t, 825, last, 2)
}

// Percentiles of many more samples than are kept lie within one kept step of those of all of them, in memory that does not grow.
func TestFinishes_StayNearExactInBoundedMemory(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(1, 2))
	var f finishes
	var all []calendar.Instant
	for range 600 {
		batch := make([]calendar.Instant, batchSize)
		for i := range batch {
			batch[i] = calendar.Instant(rng.NormFloat64() * 1e6)
		}
		all = append(all, batch...)
		f.add(batch, 0)
	}
	require.Len(t, f.sorted, exactSamples)
	require.Len(t, f.inOrder, exactSamples)
	slices.Sort(all)
	for _, p := range []float64{0.1, 0.5, 0.8, 0.9, 0.99} {
		at := f.percentile(p)
		rank, _ := slices.BinarySearch(all, at)
		assert.InDelta(t, p, float64(rank)/float64(len(all)), 2.0/exactSamples*10, "P%v", p)
	}
	assert.Equal(t, len(all), f.total)
}

// While all samples are kept, percentiles are the order statistics themselves.
func TestFinishes_AreExactWhileTheyFit(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(3, 4))
	var f finishes
	var all []calendar.Instant
	for range 30 {
		batch := make([]calendar.Instant, 1+rng.IntN(100))
		for i := range batch {
			batch[i] = calendar.Instant(rng.IntN(500))
		}
		all = append(all, batch...)
		f.add(batch, 250)
		sorted := slices.Sorted(slices.Values(all))
		require.Equal(t, sorted, f.sorted)
		require.Equal(t, sorted[(8*len(all)+9)/10-1], f.percentile(0.8))
	}
	onTime := 0
	for _, at := range all {
		if at <= 250 {
			onTime++
		}
	}
	assert.Equal(t, onTime, f.onTime)
}

// Grades are even: a chi-squared test in 100 cells over samples and over quantities (99 degrees of freedom; 148 is exceeded once
// in a thousand, chi-squared tables), and neighbours do not go together.
func TestDraws_AreEven(t *testing.T) {
	t.Parallel()
	const n = 100_000
	check := func(name string, grade func(i int) float64) {
		var cells [100]float64
		before, together := 0.5, 0.0
		for i := range n {
			g := grade(i)
			require.True(t, g > 0 && g < 1)
			cells[int(g*100)]++
			together += (g - 0.5) * (before - 0.5)
			before = g
		}
		squares := 0.0
		for _, count := range cells {
			squares += (count - n/100) * (count - n/100) / (n / 100)
		}
		assert.Less(t, squares, 148.0, name)
		assert.InDelta(t, 0, together/n*12, 4/math.Sqrt(n), name)
	}
	key := keyOf("length", "D-204/frame")
	check("samples", func(i int) float64 { return drawsOf(1, i).grade(key) })
	check("seeds", func(i int) float64 { return drawsOf(uint64(i), 7).grade(key) })
	check("quantities", func(i int) float64 { return drawsOf(1, 7).grade(uint64(i)) })
}

// Forecasts that are right leave spreads as they are; too narrow ones are widened, too wide ones narrowed, within bounds, and
// little by few dates.
func TestCalibrate(t *testing.T) {
	t.Parallel()
	start := time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)
	kept := func(dates int, truth, spread float64) (list []Kept) {
		rng := rand.New(rand.NewPCG(9, uint64(dates)))
		day := 24 * time.Hour
		for d := range dates {
			came := start.Add(time.Duration(rng.NormFloat64() * truth * float64(10*day)))
			for range 5 {
				at := func(z float64) time.Time { return start.Add(time.Duration(z * spread * float64(10*day))) }
				list = append(list, Kept{Date: string(rune('a' + d)), P10: at(-1.2816), P50: at(0), P80: at(0.8416), P90: at(1.2816), Came: came, Spread: spread})
			}
		}
		return list
	}
	assert.Equal(t, Calibration{Spread: 1}, Calibrate(nil))
	right := Calibrate(kept(400, 1, 1))
	assert.InDelta(t, 1, right.Spread, 0.08)
	assert.InDelta(t, 0.8, right.ByP80, 0.06)
	assert.InDelta(t, 0.8, right.InBand, 0.06)
	assert.Equal(t, 400, right.Dates)
	assert.Equal(t, 2000, right.Forecasts)
	assert.InDelta(t, 1.4, Calibrate(kept(400, 1.4, 1)).Spread, 0.12)
	assert.InDelta(t, 1.4, Calibrate(kept(400, 1.4, 1.4)).Spread, 0.12, "forecasts that were widened already ask for the same again")
	assert.InDelta(t, MostSpread, Calibrate(kept(400, 5, 1)).Spread, 0)
	assert.InDelta(t, LeastSpread, Calibrate(kept(400, 0.1, 1)).Spread, 0)
	few := Calibrate(kept(2, 5, 1))
	assert.Less(t, few.Spread, MostSpread)
}
