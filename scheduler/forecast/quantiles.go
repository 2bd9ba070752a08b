package forecast

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"jambwright/scheduler/problem"
)

// sampler turns a grade, the probability of staying under a value, into the value: the inverse of a distribution function.
// High grades are high values, so quantities that share a cause move the same way.
type sampler interface {
	// at takes the grade and its normal score.
	at(grade, score float64) float64
}

// samplerOf compiles a distribution that has passed validation.
func samplerOf(d *problem.Distribution) sampler {
	switch {
	case d.Triangular != nil:
		return triangular(*d.Triangular)
	case d.Pert != nil:
		return newPert(d.Pert)
	case d.Uniform != nil:
		return uniform(*d.Uniform)
	case d.LogNormal != nil:
		return logNormal(*d.LogNormal)
	}
	return newDiscrete(d.Values, d.Chances)
}

type triangular problem.ThreePoint

func (d triangular) at(grade, _ float64) float64 {
	width := d.Most - d.Least
	if width == 0 {
		return d.Least
	}
	if rising := (d.Likely - d.Least) / width; grade < rising {
		return d.Least + math.Sqrt(grade*width*(d.Likely-d.Least))
	}
	return d.Most - math.Sqrt((1-grade)*width*(d.Most-d.Likely))
}

type uniform problem.Range

func (d uniform) at(grade, _ float64) float64 { return d.Least + grade*(d.Most-d.Least) }

type logNormal problem.LogNormal

func (d logNormal) at(_, score float64) float64 { return d.Median * math.Exp(d.Sigma*score) }

// discrete holds the values ascending, each with the probability of it or a lower one.
type discrete struct{ values, upTo []float64 }

func newDiscrete(values, chances []float64) discrete {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	var d discrete
	sum := 0.0
	for _, i := range order {
		sum += chances[i]
		d.values, d.upTo = append(d.values, values[i]), append(d.upTo, sum)
	}
	return d
}

func (d discrete) at(grade, _ float64) float64 {
	i := sort.Search(len(d.upTo), func(i int) bool { return grade < d.upTo[i] })
	if i < len(d.values) {
		return d.values[i]
	}
	for i--; i > 0 && d.upTo[i] == d.upTo[i-1]; i-- { // the chances add up to a hair less than 1
	}
	return d.values[i]
}

// pert is a beta distribution as a table of its values at normal scores, between which it runs straight.
type pert struct {
	least, width float64
	table        []float64 // of [0, 1]; entry i at score (i - pertReach x pertSteps) / pertSteps
}

const (
	pertReach = 8    // scores beyond are one in 10^15
	pertSteps = 32   // entries a unit of score: the values are right to a few parts in 10^5 of the width
	pertCells = 4096 // of the numerical integration
)

func newPert(p *problem.ThreePoint) sampler {
	width := p.Most - p.Least
	if width == 0 {
		return uniform{Least: p.Least, Most: p.Most}
	}
	upTo := betaUpTo(4*(p.Likely-p.Least)/width, 4*(p.Most-p.Likely)/width)
	d := pert{least: p.Least, width: width, table: make([]float64, 2*pertReach*pertSteps+1)}
	cell := 0
	for i := range d.table {
		grade := gradeOf(float64(i)/pertSteps - pertReach)
		for cell < pertCells-1 && upTo[cell+1] < grade {
			cell++
		}
		inside := 0.0
		if upTo[cell+1] > upTo[cell] {
			inside = min(1, max(0, (grade-upTo[cell])/(upTo[cell+1]-upTo[cell])))
		}
		d.table[i] = (float64(cell) + inside) / pertCells
	}
	return d
}

// betaUpTo integrates x^a (1-x)^b by Simpson's rule: the probability of staying under each cell's edge.
func betaUpTo(a, b float64) []float64 {
	density := func(x float64) float64 { return math.Pow(x, a) * math.Pow(1-x, b) }
	upTo := make([]float64, pertCells+1)
	for i := range pertCells {
		left, right := float64(i)/pertCells, float64(i+1)/pertCells
		upTo[i+1] = upTo[i] + density(left) + 4*density((left+right)/2) + density(right)
	}
	total := upTo[pertCells]
	for i := range upTo {
		upTo[i] /= total
	}
	return upTo
}

func (d pert) at(_, score float64) float64 {
	place := min(max((score+pertReach)*pertSteps, 0), float64(len(d.table)-1))
	i := min(int(place), len(d.table)-2)
	x := d.table[i] + (place-float64(i))*(d.table[i+1]-d.table[i])
	return d.least + x*d.width
}
