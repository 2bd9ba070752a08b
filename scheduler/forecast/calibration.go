package forecast

import (
	"cmp"
	"math"
	"time"
)

// Kept is one forecast of a GC date that has been done since.
type Kept struct {
	Date               string // which GC date, so that its many nights count as one
	P10, P50, P80, P90 time.Time
	Came               time.Time // when the last of its work was done
	Spread             float64   // that the forecast was made with; 0 reads as 1
}

// Calibration says what forecasts were worth. Every GC date counts once: of its kept forecasts the shares are averaged.
type Calibration struct {
	Dates     int     // GC dates that came
	Forecasts int     // kept forecasts of them
	ByP50     float64 // part that came by the P50: half, if forecasts are right
	ByP80     float64 // by the P80: four in five
	ByP90     float64
	InBand    float64 // between P10 and P90, ends included: four in five
	Spread    float64 // by how much the next forecasts' spreads are widened or narrowed
}

// The rule of Calibration.Spread. Each kept forecast gives a standardized miss: how far the finish came from the P50, over the
// standard deviation of a normal distribution with that P10 and P90, at most missLimit; times the spread that the forecast was
// made with, so that it speaks of what forecasts would be without any. Such misses have the mean square 1 where spreads are right.
// A date counts with the mean square of its forecasts; the belief that spreads are right counts as calibrationWeight dates (the
// scaled inverse chi-squared update of a variance; Gelman and others, "Bayesian Data Analysis", section 2.6). The root of the result,
// bounded by LeastSpread and MostSpread, is the factor on spreads.
const (
	calibrationWeight = 10
	missLimit         = 3
	LeastSpread       = 0.7
	MostSpread        = 1.6
	bandDeviations    = 2 * 1.2815515655446004 // standard deviations between P10 and P90 of a normal distribution
)

// Calibrate compares kept forecasts with what came. Without any, the spread is 1. The order does not matter but for rounding.
func Calibrate(kept []Kept) Calibration {
	c := Calibration{Forecasts: len(kept), Spread: 1}
	var order []string
	dates := map[string]*oneDate{}
	for i := range kept {
		k := &kept[i]
		d := dates[k.Date]
		if d == nil {
			d = &oneDate{}
			dates[k.Date], order = d, append(order, k.Date)
		}
		d.add(k)
	}
	squares := float64(calibrationWeight)
	for _, id := range order {
		d := dates[id]
		c.ByP50 += d.byP50 / d.n
		c.ByP80 += d.byP80 / d.n
		c.ByP90 += d.byP90 / d.n
		c.InBand += d.inBand / d.n
		squares += d.squares / d.n
	}
	if c.Dates = len(order); c.Dates == 0 {
		return c
	}
	n := float64(c.Dates)
	c.ByP50, c.ByP80, c.ByP90, c.InBand = c.ByP50/n, c.ByP80/n, c.ByP90/n, c.InBand/n
	c.Spread = min(max(math.Sqrt(squares/(calibrationWeight+n)), LeastSpread), MostSpread)
	return c
}

// oneDate is the sums over the kept forecasts of one GC date.
type oneDate struct{ n, byP50, byP80, byP90, inBand, squares float64 }

func (d *oneDate) add(k *Kept) {
	d.n++
	hit := func(at time.Time) float64 {
		if k.Came.After(at) {
			return 0
		}
		return 1
	}
	d.byP50 += hit(k.P50)
	d.byP80 += hit(k.P80)
	d.byP90 += hit(k.P90)
	if !k.Came.Before(k.P10) {
		d.inBand += hit(k.P90)
	}
	deviation := max(k.P90.Sub(k.P10).Minutes()/bandDeviations, leastDeviation)
	miss := min(math.Abs(k.Came.Sub(k.P50).Minutes())/deviation, missLimit) * cmp.Or(k.Spread, 1)
	d.squares += miss * miss
}

// leastDeviation keeps forecasts of the last hours, whose band is next to nothing, from counting a coffee break as a miss.
const leastDeviation = 240 // minutes
