package takeoff

import (
	"fmt"
	"math"
)

// Learning says that a kind of task takes less time each time the like of it is done. It follows the unit model (J. R.
// Crawford, 1944, year from memory): the nth unit takes a x n^b hours with b = log2(rate), so that each doubling of n
// multiplies the unit's hours by the rate. Not to be mixed with the cumulative average model (T. P. Wright, 1936), in which
// a x n^b is the mean of the first n units; both are here, and the planner uses the first.
type Learning struct {
	Kind Kind
	Rate float64 // 0.8 to 1 in building work; 1 means no learning
	// Standard is the unit at which the company's rate is right; earlier ones take longer, later ones less. 0 reads as 1.
	Standard int
	// Floor is the least share of the rate that learning can reach. 0 reads as no floor.
	Floor float64
}

func (l Learning) check() error {
	if !isUsable(l.Rate, 0.5) || l.Rate > 1 || l.Standard < 0 || !isUsable(l.Floor, 0) || l.Floor > 1 {
		return fmt.Errorf("learning of %s: rate %v, standard unit %d, floor %v; the rate goes from 0.5 to 1, the floor from 0 to 1", l.Kind, l.Rate, l.Standard, l.Floor)
	}
	return nil
}

// factor is what the hours of the nth unit are multiplied with.
func (l Learning) factor(n int) float64 {
	standard := max(l.Standard, 1)
	return max(l.Floor, UnitHours(1, l.Rate, n)/UnitHours(1, l.Rate, standard))
}

// UnitHours is the time of unit n when the first takes a hours: a x n^log2(rate).
func UnitHours(a, rate float64, n int) float64 {
	return a * math.Pow(float64(max(n, 1)), math.Log2(rate))
}

// UnitTotal is the time of the first n units in the unit model.
func UnitTotal(a, rate float64, n int) float64 {
	total := 0.0
	for i := 1; i <= n; i++ {
		total += UnitHours(a, rate, i)
	}
	return total
}

// CumulativeAverageTotal is the time of the first n units in the cumulative average model, n x a x n^log2(rate).
func CumulativeAverageTotal(a, rate float64, n int) float64 {
	return float64(n) * UnitHours(a, rate, n)
}
