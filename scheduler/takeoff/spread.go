package takeoff

import "math"

// eightInTen is the normal quantile that leaves a tenth on either side.
const eightInTen = 1.2815515655446004

// studentQuantile is the quantile of a Student distribution that belongs to a normal quantile z, by the expansion in powers of
// 1/freedom of M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions (1964), 26.7.5; good to a hundredth from three
// degrees of freedom up.
func studentQuantile(z, freedom float64) float64 {
	z3, z5, z7 := z*z*z, z*z*z*z*z, z*z*z*z*z*z*z
	return z + (z3+z)/(4*freedom) + (5*z5+16*z3+3*z)/(96*freedom*freedom) +
		(3*z7+19*z5+17*z3-15*z)/(384*freedom*freedom*freedom)
}

// Sure is the range in which the factor itself lies with eight chances in ten.
func (l Learned) Sure() (low, high float64) { return l.within(l.FactorSpread) }

// Next is the range in which the factor of the next single task lies with eight chances in ten.
func (l Learned) Next() (low, high float64) { return l.within(l.Predictive()) }

func (l Learned) within(scale float64) (low, high float64) {
	half := float64(studentQuantile(eightInTen, l.Freedom) * scale)
	return l.Factor * math.Exp(-half), l.Factor * math.Exp(half)
}
