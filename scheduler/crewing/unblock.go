package crewing

import (
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// unblock looks at what really holds a late GC date, or the makespan when no date is late: the chain of drivers behind its
// last finish. Where a task of the chain waits for its crew's task before or for a full capacity, it lets the two change
// places in the list, or sends one of them to another crew. Moves along the critical chain are the only ones that can
// shorten it (the block property: Grabowski, Nowicki and Zdrzałka 1986, "A block approach for single-machine scheduling",
// European Journal of Operational Research 26; here over several crews).
func (b *breeder) unblock(from *Schedule) {
	rng := b.s.rng
	last := b.drawLast(from)
	for range 1 + rng.IntN(2) {
		b.waits = b.s.m.waitsBehind(from, last, b.waits[:0])
		if len(b.waits) == 0 {
			b.change()
			return
		}
		if w := &b.waits[rng.IntN(len(b.waits))]; w.driver == None {
			b.release(from, last)
		} else {
			b.part(w)
		}
	}
}

// wait is a task that could not begin before another one, its driver, made room. Without a driver it only stays where the
// plan in force has it.
type wait struct{ task, driver TaskIndex }

// waitsBehind lists the waits for crews and capacities on the driving chain of a task, and the issued start it may end at.
func (m *Model) waitsBehind(s *Schedule, last TaskIndex, waits []wait) []wait {
	for t := last; t != None && m.state[t] != Done; {
		driver := s.Cause[t].Driver
		switch s.Cause[t].Kind {
		case ByCapacity:
			driver = m.CapacityDriver(s, t)
			fallthrough
		case ByCrew:
			if driver != None {
				waits = append(waits, wait{t, driver})
			}
		case ByFrozen:
			if m.wishes[t].start == calendar.Never {
				waits = append(waits, wait{t, None})
			}
		}
		t = driver
	}
	return waits
}

// drawLast draws a late GC date by what it costs and gives its last task; without one the task that finishes last.
func (b *breeder) drawLast(from *Schedule) TaskIndex {
	m := b.s.m
	if date := b.drawDate(from); date != None {
		_, last, _ := m.forecast(from, date)
		return last
	}
	last := TaskIndex(None)
	for _, t := range m.order {
		if from.Placed[t] && (last == None || from.Finish[t] > from.Finish[last]) {
			last = t
		}
	}
	return last
}

// release lets all work that a task needs begin as soon as it can on the crew that it has, where only the plan in force
// holds it back: what came before it may have finished early.
func (b *breeder) release(from *Schedule, last TaskIndex) {
	m := b.s.m
	for _, t := range b.needed.of([]TaskIndex{last}) {
		if from.Placed[t] && from.Cause[t].Kind == ByFrozen && m.wishes[t].start == calendar.Never {
			b.s.w.choice[t] = int16(slices.IndexFunc(m.Options(t), func(o network.Option) bool { return o.Crew == from.Crew[t] }))
		}
	}
}

// part takes the two tasks of a wait apart.
func (b *breeder) part(w *wait) {
	if choice := &b.s.w.choice[w.driver]; *choice == inPlace { // held, it would be first whatever the list says
		*choice = None
	}
	switch b.s.rng.IntN(6) {
	case 0, 1: // the task first, with all that it needs
		before := b.keys[w.driver]
		for _, t := range b.needed.of([]TaskIndex{w.task}) {
			b.keys[t] = min(b.keys[t], before-1)
		}
	case 2, 3: // the driver right behind it
		b.keys[w.driver] = max(b.keys[w.driver], b.keys[w.task]+1)
	case 4:
		b.changeCrew(w.task)
	default:
		b.changeCrew(w.driver)
	}
}
