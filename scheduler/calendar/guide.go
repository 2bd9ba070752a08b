package calendar

// guide narrows the search in an ascending list of keys. It holds, for every bucket of 2^guideBits units, how many keys
// lie below the bucket's start, so that a search begins with the two ends of one bucket: an ordinary working week has
// at most a few keys there. Measured on four years of two shifts a day and random instants: 10 ns instead of 90 for
// Position, 20 instead of 147 for Add.
type guide []int32

const guideBits = 9 // 512 minutes, about one shift

// newGuide covers keys from 0 to last, both included.
func newGuide(keys int, last int64, key func(int) int64) guide {
	g := make(guide, last>>guideBits+2)
	i := 0
	for bucket := range g {
		for i < keys && key(i) < int64(bucket)<<guideBits {
			i++
		}
		g[bucket] = int32(i)
	}
	return g
}

// startedBy is the number of intervals that start at or before t.
func (c *Calendar) startedBy(t Instant) int {
	switch {
	case t < c.from:
		return 0
	case t >= c.to:
		return len(c.starts)
	}
	bucket := (t - c.from) >> guideBits
	low, high := int(c.byTime[bucket]), int(c.byTime[bucket+1])
	for low < high {
		middle := int(uint(low+high) >> 1)
		if c.starts[middle] <= t {
			low = middle + 1
		} else {
			high = middle
		}
	}
	return low
}

// filledBefore is the number of intervals that begin with fewer than p working minutes behind them, for 0 <= p <=
// total.
func (c *Calendar) filledBefore(p WorkMinutes) int {
	bucket := p >> guideBits
	low, high := int(c.byWork[bucket]), int(c.byWork[bucket+1])
	for low < high {
		middle := int(uint(low+high) >> 1)
		if c.before[middle] < p {
			low = middle + 1
		} else {
			high = middle
		}
	}
	return low
}
