package problem

import (
	"fmt"
	"math"
)

// distribution checks the form of a distribution and that its values lie in a range. A nil one is left out.
func (c *uncertaintyChecker) distribution(at spot, field string, d *Distribution, low, high float64) {
	if d == nil {
		return
	}
	check := distributionChecker{uncertaintyChecker: c, at: at, field: field, low: low, high: high}
	check.threePoint("triangular", d.Triangular)
	check.threePoint("pert", d.Pert)
	check.uniform(d.Uniform)
	check.logNormal(d.LogNormal)
	check.discrete(d)
	if check.forms != 1 && !c.unreadable[at.field(field)] {
		c.fault(at, field, "give exactly one of triangular, pert, uniform, log_normal, and values with chances",
			"a distribution of %d forms", check.forms)
	}
}

// distributionChecker checks one distribution, the field of an entry.
type distributionChecker struct {
	*uncertaintyChecker
	at        spot
	field     string
	low, high float64
	forms     int
}

func (c *distributionChecker) refuse(name, format string, values ...any) {
	c.fault(c.at, c.field+"."+name, "", format, values...)
}

// within checks a value; what is no number is not within either.
func (c *distributionChecker) within(name string, x float64) {
	if !(x >= c.low && x <= c.high) {
		c.refuse(name, "%v must lie in %v to %v", x, c.low, c.high)
	}
}

func (c *distributionChecker) threePoint(name string, p *ThreePoint) {
	if p == nil {
		return
	}
	c.forms++
	c.within(name+".least", p.Least)
	c.within(name+".most", p.Most)
	if !(p.Least <= p.Likely && p.Likely <= p.Most) {
		c.refuse(name, "%v, %v, %v is not in the order least, likely, most", p.Least, p.Likely, p.Most)
	}
}

func (c *distributionChecker) uniform(r *Range) {
	if r == nil {
		return
	}
	c.forms++
	c.within("uniform.least", r.Least)
	c.within("uniform.most", r.Most)
	if !(r.Least <= r.Most) {
		c.refuse("uniform", "least %v is more than most %v", r.Least, r.Most)
	}
}

func (c *distributionChecker) logNormal(l *LogNormal) {
	if l == nil {
		return
	}
	c.forms++
	if !(l.Median > 0) {
		c.refuse("log_normal.median", "%v must be more than 0", l.Median)
	} else {
		c.within("log_normal.median", l.Median)
	}
	if !(l.Sigma >= 0 && l.Sigma <= MaxSigma) {
		c.refuse("log_normal.sigma", "%v must lie in 0 to %v", l.Sigma, MaxSigma)
	}
}

func (c *distributionChecker) discrete(d *Distribution) {
	if d.Values == nil && d.Chances == nil {
		return
	}
	c.forms++
	for i, x := range d.Values {
		c.within(fmt.Sprintf("values[%d]", i), x)
	}
	if c.unreadable[c.at.field(c.field)] {
		return
	}
	if len(d.Values) != len(d.Chances) || len(d.Values) == 0 {
		c.fault(c.at, c.field, "give each value its chance", "%d values and %d chances", len(d.Values), len(d.Chances))
		return
	}
	sum := 0.0
	for i, chance := range d.Chances {
		if !(chance >= 0 && chance <= 1) {
			c.refuse(fmt.Sprintf("chances[%d]", i), "%v must lie in 0 to 1", chance)
		}
		sum += chance
	}
	if math.Abs(sum-1) > sumTolerance {
		c.refuse("chances", "they add up to %.6g, not 1", sum)
	}
}
