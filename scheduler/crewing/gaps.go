package crewing

import (
	"slices"

	"jambwright/scheduler/calendar"
)

// gap is free time of one crew on its own compressed working-time axis, between two pieces of work in a row. Travel and
// set-up on both sides have to fit into it as well. Ends are positions; before and after name the neighbouring tasks
// (none at the first and the last gap) and their places, kept here so that a look into a gap stays in one cache line.
type gap struct {
	from, to                calendar.WorkMinutes
	before, after           TaskIndex
	beforePlace, afterPlace int32
}

// gapList is the free time of one crew, ascending. Gaps too short for any task of the crew are left out: a crew booked
// solid has one gap, its open end, whatever the number of its tasks.
type gapList struct {
	gaps []gap
}

// endless is the far end of a crew's last gap. Work must still end within the crew's horizon.
const endless = calendar.WorkMinutes(1) << 60

// firstReaching is the index of the first gap that reaches at least to position p.
func (l *gapList) firstReaching(p calendar.WorkMinutes) int {
	low, high := 0, len(l.gaps)-1 // the last gap reaches any position
	for low < high {
		middle := int(uint(low+high) >> 1)
		if l.gaps[middle].to < p {
			low = middle + 1
		} else {
			high = middle
		}
	}
	return low
}

// fill puts a task at [from, to) into gap i. What is left on either side stays a gap if it has at least shortest minutes.
func (l *gapList) fill(i int, task TaskIndex, place int32, from, to, shortest calendar.WorkMinutes) {
	g := l.gaps[i]
	left := gap{from: g.from, to: from, before: g.before, after: task, beforePlace: g.beforePlace, afterPlace: place}
	right := gap{from: to, to: g.to, before: task, after: g.after, beforePlace: place, afterPlace: g.afterPlace}
	keepLeft, keepRight := left.to-left.from >= shortest, right.to-right.from >= shortest
	switch {
	case keepLeft && keepRight:
		l.gaps[i] = left
		l.gaps = slices.Insert(l.gaps, i+1, right)
	case keepLeft:
		l.gaps[i] = left
	case keepRight:
		l.gaps[i] = right
	default:
		l.gaps = slices.Delete(l.gaps, i, i+1)
	}
}

// empty takes a task out again: the gaps beside it become one, merged, if that has at least shortest minutes.
func (l *gapList) empty(task TaskIndex, merged gap, shortest calendar.WorkMinutes) {
	i := l.firstReaching(merged.from)
	for i < len(l.gaps) && l.gaps[i].from <= merged.to && l.gaps[i].after != task && l.gaps[i].before != task {
		i++
	}
	last := i
	for last < len(l.gaps) && (l.gaps[last].after == task || l.gaps[last].before == task) {
		last++
	}
	if last == i { // both sides were too short to be listed
		i = l.lastBeginning(merged.from) + 1
		last = i
	}
	if merged.to-merged.from < shortest {
		l.gaps = slices.Delete(l.gaps, i, last)
		return
	}
	l.gaps = slices.Replace(l.gaps, i, last, merged)
}

// lastBeginning is the index of the last gap that begins at or before position p, -1 without one.
func (l *gapList) lastBeginning(p calendar.WorkMinutes) int {
	low, high := 0, len(l.gaps)
	for low < high {
		middle := int(uint(low+high) >> 1)
		if l.gaps[middle].from <= p {
			low = middle + 1
		} else {
			high = middle
		}
	}
	return low - 1
}
