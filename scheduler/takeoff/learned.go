package takeoff

import (
	"fmt"
	"math"
	"slices"
)

// Observation is what one finished task took, beside what the company's table says for its quantities and conditions.
type Observation struct {
	Actual  float64 // labour hours reported
	Planned float64 // labour hours by the company rate; the productivity of the crew not counted
}

// Prior is what is believed of a kind of work before any observation. The zero value reads as DefaultPrior.
type Prior struct {
	// Factor is what actual hours are of planned ones: 1 when the company's table is right.
	Factor float64
	// Weight is how many observations the belief in Factor is worth.
	Weight float64
	// Spread is the standard deviation, in natural logarithms, that single tasks are believed to have around the factor:
	// 0.3 means that two thirds lie between 0.74 and 1.35 times the usual.
	Spread float64
	// SpreadWeight is how many observations the belief in Spread is worth.
	SpreadWeight float64
	// Bound is the largest factor, up or down from Factor, that a single observation counts with. It keeps one task of ten
	// times the hours, or a slip in a report, from moving the rate.
	Bound float64
}

// DefaultPrior is ours to edit: the table is worth five finished tasks.
func DefaultPrior() Prior {
	return Prior{Factor: 1, Weight: 5, Spread: 0.3, SpreadWeight: 5, Bound: 3}
}

func (p Prior) withDefaults() Prior {
	d := DefaultPrior()
	fill(&p.Factor, d.Factor)
	fill(&p.Weight, d.Weight)
	fill(&p.Spread, d.Spread)
	fill(&p.SpreadWeight, d.SpreadWeight)
	fill(&p.Bound, d.Bound)
	return p
}

// Learned is what a kind of work, of the firm or of one crew, has been found to take. It stands beside the company's rate
// and never replaces it by itself.
type Learned struct {
	Count   int     // observations that counted
	Bounded int     // those of them that were cut to the prior's bound
	Mean    float64 // geometric mean of actual to planned over the observations, 1 without any
	Factor  float64 // learned: between the prior's factor and Mean, nearer to Mean the more observations there are
	Spread  float64 // learned standard deviation of the logarithm for a single task
	// FactorSpread is the standard deviation, in logarithms, of Factor itself: how sure it is. It shrinks with the
	// observations as Spread does not.
	FactorSpread float64
	// Freedom is the degrees of freedom of the spread: the next task's logarithm follows a Student distribution around that
	// of Factor with this freedom and the scale of Predictive.
	Freedom float64
}

// Learn updates a prior by observations. Logarithms of actual to planned hours are taken as normal with unknown mean and
// variance, and the prior is the conjugate one, normal and inverse gamma (A. Gelman et al., Bayesian Data Analysis, section
// 3.3), so that the result is exact and needs no iteration:
//
//	mean  = (weight x prior mean + n x observed mean) / (weight + n)
//
// The order of observations does not matter, to the last bit. The error names observations that are none: hours that are
// not above zero.
func Learn(prior Prior, observations []Observation) (Learned, error) {
	p := prior.withDefaults()
	if err := p.check(); err != nil {
		return Learned{}, err
	}
	logs, bounded, err := logRatios(p, observations)
	if err != nil {
		return Learned{}, err
	}
	n := float64(len(logs))
	mean, squares := meanAndSquares(logs)
	prior0 := math.Log(p.Factor)
	weight := p.Weight + n
	centre := (float64(p.Weight*prior0) + float64(n*mean)) / weight
	freedom := p.SpreadWeight + n
	sum := float64(p.SpreadWeight*p.Spread*p.Spread) + squares + float64(p.Weight*n/weight*(mean-prior0)*(mean-prior0))
	spread := math.Sqrt(sum / freedom)
	l := Learned{
		Count: len(logs), Bounded: bounded, Mean: 1, Factor: math.Exp(centre),
		Spread: spread, FactorSpread: spread / math.Sqrt(weight), Freedom: freedom,
	}
	if len(logs) > 0 {
		l.Mean = math.Exp(mean)
	}
	return l, nil
}

// Predictive is the scale of the logarithm of the next task's factor: the spread of single tasks and of the factor together.
func (l Learned) Predictive() float64 { return math.Hypot(l.Spread, l.FactorSpread) }

// Prior is the belief that a part of the work, such as one crew's, starts from when this was learned for the whole: the learned
// factor and spread, worth what the whole's own prior is worth.
func (l Learned) Prior(whole Prior) Prior {
	p := whole.withDefaults()
	p.Factor, p.Spread = l.Factor, l.Spread
	return p
}

func (p Prior) check() error {
	for _, v := range []float64{p.Factor, p.Weight, p.Spread, p.SpreadWeight} {
		if !isUsable(v, 1e-6) {
			return fmt.Errorf("prior %+v: factor, weight and spread must be above zero", p)
		}
	}
	if !isUsable(p.Bound, 1) {
		return fmt.Errorf("prior %+v: the bound is a factor of 1 or more", p)
	}
	return nil
}

// logRatios returns the sorted logarithms of actual to planned, cut to the bound around the prior's factor.
func logRatios(p Prior, observations []Observation) (logs []float64, bounded int, err error) {
	centre, bound := math.Log(p.Factor), math.Log(p.Bound)
	for i, o := range observations {
		if !isUsable(o.Actual, 1e-9) || !isUsable(o.Planned, 1e-9) {
			return nil, 0, fmt.Errorf("observation %d: %v hours for %v planned; both must be above zero", i+1, o.Actual, o.Planned)
		}
		ratio := math.Log(o.Actual / o.Planned)
		if cut := min(max(ratio, centre-bound), centre+bound); cut != ratio {
			ratio = cut
			bounded++
		}
		logs = append(logs, ratio)
	}
	slices.Sort(logs)
	return logs, bounded, nil
}

// meanAndSquares returns the mean and the sum of squared deviations from it, 0 and 0 without values.
func meanAndSquares(values []float64) (mean, squares float64) {
	if len(values) == 0 {
		return 0, 0
	}
	for _, v := range values {
		mean += v
	}
	mean /= float64(len(values))
	for _, v := range values {
		squares += float64((v - mean) * (v - mean))
	}
	return mean, squares
}
