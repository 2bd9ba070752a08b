package crewing

import (
	"slices"

	"jambwright/scheduler/calendar"
)

// profile is what is taken of one renewable capacity over time: a step function on instants, kept as breakpoints.
// used[i] holds from times[i] until times[i+1], the last one for ever; times[0] is BeforeAll. Equal neighbours are
// merged, so that a limit in steady use stays short.
type profile struct {
	times []calendar.Instant
	used  []int32
}

func (p *profile) reset() {
	p.times = append(p.times[:0], calendar.BeforeAll)
	p.used = append(p.used[:0], 0)
}

func (p *profile) copyFrom(q *profile) {
	p.times = append(p.times[:0], q.times...)
	p.used = append(p.used[:0], q.used...)
}

// step is the index of the step that holds at t. Most questions are about the near end of the plan, so it looks at the
// last steps before it halves.
func (p *profile) step(t calendar.Instant) int {
	high := len(p.times)
	if high < 8 {
		for p.times[high-1] > t {
			high--
		}
		return high - 1
	}
	low := 0
	for low < high {
		middle := int(uint(low+high) >> 1)
		if p.times[middle] <= t {
			low = middle + 1
		} else {
			high = middle
		}
	}
	return low - 1
}

// blockedUntil is the end of the last step in [start, finish) that has less than units left of the capacity, or start
// when all of it fits. No interval that starts before the answer and finishes at or after finish can fit, so a search may
// go on from there.
func (p *profile) blockedUntil(start, finish calendar.Instant, units, capacity int32) calendar.Instant {
	if finish <= start || len(p.times) == 1 {
		return start
	}
	if last := p.times[len(p.times)-1]; start >= last { // nothing is taken behind the last breakpoint
		return start
	}
	for i := p.step(finish - 1); ; i-- {
		if p.used[i]+units > capacity && i+1 < len(p.times) {
			return p.times[i+1]
		}
		if p.times[i] <= start {
			return start
		}
	}
}

// blockedFrom is the mirror: the beginning of the first step in [start, finish) that has too little left, or finish when
// all of it fits.
func (p *profile) blockedFrom(start, finish calendar.Instant, units, capacity int32) calendar.Instant {
	if finish <= start || len(p.times) == 1 {
		return finish
	}
	for i := p.step(start); i < len(p.times) && p.times[i] < finish; i++ {
		if p.used[i]+units > capacity {
			return p.times[i]
		}
	}
	return finish
}

// add takes units over [start, finish); negative units give them back.
func (p *profile) add(start, finish calendar.Instant, units int32) {
	if finish <= start || units == 0 {
		return
	}
	i := p.cut(start)
	k := p.cut(finish)
	for j := i; j < k; j++ {
		p.used[j] += units
	}
	p.merge(k)
	p.merge(i)
}

// cut makes t a breakpoint and returns its step.
func (p *profile) cut(t calendar.Instant) int {
	i := p.step(t)
	if p.times[i] == t {
		return i
	}
	p.times = slices.Insert(p.times, i+1, t)
	p.used = slices.Insert(p.used, i+1, p.used[i])
	return i + 1
}

// merge drops the breakpoint at step i when nothing changes there.
func (p *profile) merge(i int) {
	if i > 0 && p.used[i] == p.used[i-1] {
		p.times = slices.Delete(p.times, i, i+1)
		p.used = slices.Delete(p.used, i, i+1)
	}
}
