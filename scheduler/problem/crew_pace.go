package problem

import (
	"math/big"
	"math/bits"
	"strconv"
)

// CrewPace answers CrewMinutes again and again for one crew and kind of work, without allocating.
type CrewPace struct {
	heads                  int
	productivity           float64
	numerator, denominator uint64 // minutes are ceil(labour x numerator / denominator); denominator 0: too long for 64 bits
}

// NewCrewPace prepares CrewMinutes for heads and productivity.
func NewCrewPace(heads int, productivity float64) CrewPace {
	pace := CrewPace{heads: heads, productivity: productivity}
	factor, ok := new(big.Rat).SetString(strconv.FormatFloat(productivity, 'g', -1, 64))
	if !ok || factor.Sign() <= 0 {
		return pace // CrewMinutes says what is wrong
	}
	factor.Mul(factor, new(big.Rat).SetInt64(int64(heads)))
	if factor.Num().IsUint64() && factor.Denom().IsUint64() {
		pace.numerator, pace.denominator = factor.Denom().Uint64(), factor.Num().Uint64()
	}
	return pace
}

// Minutes is CrewMinutes of the labour.
func (c CrewPace) Minutes(labour int) int {
	high, low := bits.Mul64(uint64(labour), c.numerator)
	if c.denominator == 0 || high >= c.denominator {
		return CrewMinutes(labour, c.heads, c.productivity)
	}
	whole, rest := bits.Div64(high, low, c.denominator)
	if rest > 0 {
		whole++
	}
	return int(whole)
}
