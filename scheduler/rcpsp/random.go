package rcpsp

import (
	"math/bits"
	"math/rand/v2"
)

// random is a seeded source of numbers; the same seed gives the same numbers everywhere.
type random struct {
	source rand.PCG
}

func newRandom(seed uint64) *random {
	return &random{source: *rand.NewPCG(seed, 0x9e3779b97f4a7c15)}
}

// below returns a number in [0, n) by the multiplication of Lemire ("Fast random integer generation in an interval",
// ACM Transactions on Modeling and Computer Simulation 29, 2019). The remaining bias, n/2^64, is left in.
func (r *random) below(n int64) int64 {
	high, _ := bits.Mul64(r.source.Uint64(), uint64(n))
	return int64(high)
}

// fraction returns a number in [0, 1).
func (r *random) fraction() float64 {
	return float64(r.source.Uint64()>>11) / (1 << 53)
}
