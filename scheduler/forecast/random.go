package forecast

import (
	"hash/fnv"
	"math"
)

// draws is the chance of one sample. Every quantity has a number of its own that depends on the seed, the sample and the
// quantity's name and on nothing else: not on the order of samples, on the worker that makes it, or on what else the
// problem holds. So tonight's forecast and yesterday's differ by what happened, not by luck.
//
// A number is a hash of the three by the finalizer of SplitMix64 (Steele, Lea and Flood 2014, "Fast splittable pseudorandom
// number generators"), once for each of them; counting instead of stepping a generator is the idea of Salmon and others 2011,
// "Parallel random numbers: as easy as 1, 2, 3".
type draws struct{ state uint64 }

const golden = 0x9e3779b97f4a7c15 // 2^64 over the golden ratio, as in SplitMix64

func drawsOf(seed uint64, sample int) draws {
	return draws{mix(mix(seed+golden) + golden*uint64(sample+1))}
}

// grade is a number in (0, 1), every one of 2^53 alike, never 0 or 1.
func (d draws) grade(key uint64) float64 {
	return (float64(mix(mix(d.state^key)+golden)>>11) + 0.5) * 0x1p-53
}

// keyOf names a quantity: what varies, and of what.
func keyOf(what, id string) uint64 {
	h := fnv.New64a()
	h.Write([]byte(what))
	h.Write([]byte{0})
	h.Write([]byte(id))
	return mix(h.Sum64())
}

func mix(x uint64) uint64 {
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// score is the standard normal value that a grade is the probability of staying under.
func score(grade float64) float64 { return math.Sqrt2 * math.Erfinv(2*grade-1) }

// gradeOf is the probability that a standard normal value stays under a score.
func gradeOf(score float64) float64 { return 0.5 * math.Erfc(-score/math.Sqrt2) }
