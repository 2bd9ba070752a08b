package takeoff

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Critical values of Student's t at 0.90, NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.2 (numbers from
// memory of the table).
func TestStudentQuantile_IsThatOfTheTable(t *testing.T) {
	t.Parallel()
	for freedom, want := range map[float64]float64{3: 1.638, 5: 1.476, 10: 1.372, 30: 1.310, 100: 1.290} {
		assert.InDelta(t, want, studentQuantile(eightInTen, freedom), 0.01, "%v degrees of freedom", freedom)
	}
}

// The same by brute force: the share of a Student density between the two ends, summed by Simpson's rule, is eight in ten.
func TestLearned_NextHoldsEightInTen(t *testing.T) {
	t.Parallel()
	l := learn(t, Prior{}, Observation{3, 2}, Observation{5, 4}, Observation{2, 2})
	low, high := l.Next()
	from, to := math.Log(low/l.Factor)/l.Predictive(), math.Log(high/l.Factor)/l.Predictive()
	density := func(x float64) float64 { return math.Pow(1+x*x/l.Freedom, -(l.Freedom+1)/2) }
	assert.InDelta(t, 0.8, simpson(density, from, to)/simpson(density, -400, 400), 0.002)
	sureLow, sureHigh := l.Sure()
	assert.Greater(t, sureLow, low)
	assert.Less(t, sureHigh, high)
}

func simpson(f func(float64) float64, a, b float64) float64 {
	const n = 200_000
	h := (b - a) / n
	sum := f(a) + f(b)
	for i := 1; i < n; i++ {
		sum += f(a+float64(i)*h) * float64(2+2*(i%2))
	}
	return sum * h / 3
}
