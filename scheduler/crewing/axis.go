package crewing

import "jambwright/scheduler/calendar"

// axis is a compiled calendar with tables that turn the binary searches of calendar arithmetic into a look-up and a step
// or two. Serial generation converts between instants and positions several times a task, so this is its innermost loop
// (measured on a year of two shifts a day: 4 ns against 25 ns a conversion).
//
// Instants and positions mean the same as in package calendar. Never marks what the horizon does not hold.
type axis struct {
	from, to calendar.Instant
	total    calendar.WorkMinutes
	starts   []calendar.Instant     // one per working interval, ascending
	finishes []calendar.Instant     // one per working interval
	before   []calendar.WorkMinutes // one per working interval and one more: working minutes before it
	byTime   []int32                // per bucket of 1024 elapsed minutes: first interval that ends after the bucket begins
	byWork   []int32                // per bucket of 512 working minutes: interval that holds the bucket's first minute
}

const (
	timeBucket = 10 // 2^10 minutes, about one shift and the night after it
	workBucket = 9  // 2^9 minutes, about one shift
)

func newAxis(c *calendar.Calendar) *axis {
	intervals := c.Intervals()
	a := &axis{total: c.Total()}
	a.from, a.to = c.Horizon()
	n := len(intervals)
	a.starts = make([]calendar.Instant, n)
	a.finishes = make([]calendar.Instant, n)
	a.before = make([]calendar.WorkMinutes, n+1)
	for i, interval := range intervals {
		a.starts[i], a.finishes[i] = interval.Start, interval.Finish
		a.before[i+1] = a.before[i] + calendar.WorkMinutes(interval.Finish-interval.Start)
	}
	a.byTime = make([]int32, (a.to-a.from)>>timeBucket+1)
	for bucket, i := 0, 0; bucket < len(a.byTime); bucket++ {
		for i < n && a.finishes[i] <= a.from+calendar.Instant(bucket)<<timeBucket {
			i++
		}
		a.byTime[bucket] = int32(i)
	}
	a.byWork = make([]int32, a.total>>workBucket+1)
	for bucket, i := 0, 0; bucket < len(a.byWork); bucket++ {
		for i < n && a.before[i+1] <= calendar.WorkMinutes(bucket)<<workBucket {
			i++
		}
		a.byWork[bucket] = int32(i)
	}
	return a
}

// interval is the first working interval that ends after t, or their number when none does.
func (a *axis) interval(t calendar.Instant) int {
	if t < a.from {
		return 0
	}
	if t >= a.to {
		return len(a.starts)
	}
	i := int(a.byTime[(t-a.from)>>timeBucket])
	for i < len(a.finishes) && a.finishes[i] <= t {
		i++
	}
	return i
}

// position is the number of working minutes before t.
func (a *axis) position(t calendar.Instant) calendar.WorkMinutes {
	i := a.interval(t)
	p := a.before[i]
	if i < len(a.starts) && t > a.starts[i] {
		p += calendar.WorkMinutes(t - a.starts[i])
	}
	return p
}

// next is the start of the first working minute at or after t, Never without one.
func (a *axis) next(t calendar.Instant) calendar.Instant {
	i := a.interval(t)
	if i == len(a.starts) {
		return calendar.Never
	}
	return max(t, a.starts[i])
}

// startAt is where work that begins at position p starts: the latest instant with that position. Never when no working
// minute follows p.
func (a *axis) startAt(p calendar.WorkMinutes) calendar.Instant {
	if p >= a.total {
		return calendar.Never
	}
	i := int(a.byWork[p>>workBucket])
	for a.before[i+1] <= p {
		i++
	}
	return a.starts[i] + calendar.Instant(p-a.before[i])
}

// finishAt is where work that ends at position p finishes: the earliest instant with that position. Never when the
// horizon holds fewer working minutes.
func (a *axis) finishAt(p calendar.WorkMinutes) calendar.Instant {
	if p <= 0 {
		return a.from
	}
	if t := a.startAt(p - 1); t != calendar.Never {
		return t + 1
	}
	return calendar.Never
}

// positionFinishingAt is the least position whose finish is not before t: where work must end to satisfy a lower bound
// on its finish. More than total when the horizon ends first.
func (a *axis) positionFinishingAt(t calendar.Instant) calendar.WorkMinutes {
	return a.position(t-1) + 1
}

// add moves t by n working minutes, counting back for negative n, as calendar.Calendar.Add does.
func (a *axis) add(t calendar.Instant, n calendar.WorkMinutes) calendar.Instant {
	switch {
	case n > 0:
		return a.finishAt(a.position(t) + n)
	case n < 0:
		p := a.position(t) + n
		if p < 0 {
			return calendar.BeforeAll
		}
		return a.startAt(p)
	}
	return t
}
