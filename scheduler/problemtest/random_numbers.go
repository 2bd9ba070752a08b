package problemtest

import "math/bits"

// random draws numbers by the method splitmix64 (Steele, Lea and Flood 2014, "Fast splittable pseudorandom number
// generators"). It is written out here so that a seed gives the same document on every machine and with every release
// of the language.
type random struct{ state uint64 }

func (r *random) next() uint64 {
	r.state += 0x9e3779b97f4a7c15
	z := r.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below draws a whole number from 0 to n-1. It favours some numbers by less than n in 2^64.
func (r *random) below(n int) int {
	high, _ := bits.Mul64(r.next(), uint64(n))
	return int(high)
}

// fraction draws a number from 0 to just under 1.
func (r *random) fraction() float64 { return float64(r.next()>>11) / (1 << 53) }
