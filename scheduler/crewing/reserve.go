package crewing

import (
	"cmp"
	"slices"

	"jambwright/scheduler/calendar"
)

// reserve holds places before any list is walked: pins, then the rest of the work under way on crews that have frozen
// work, then frozen work. What does not fit from the start is remembered with its cause. Whether links allow a reserved
// place is seen when the task's turn comes.
func (w *Workspace) reserve() {
	pins, frozen := w.wished()
	for _, t := range pins {
		w.reserveWish(t)
	}
	if len(frozen) == 0 {
		return
	}
	for _, t := range w.underWayBeside(frozen) {
		if w.ask(t); len(w.m.into(t)) > 0 {
			continue // bound by links that are not decided yet
		}
		if p, ok := w.choose(t); ok {
			w.hold(p)
		}
	}
	for _, t := range frozen {
		w.reserveWish(t)
	}
}

// wished lists the tasks with a pinned or frozen start in the order in which they are served.
func (w *Workspace) wished() (pins, frozen []TaskIndex) {
	m := w.m
	for _, t := range m.order {
		switch {
		case m.wishes[t].start == calendar.Never:
		case m.wishes[t].isFrozen:
			frozen = append(frozen, t)
		default:
			pins = append(pins, t)
		}
	}
	slices.SortFunc(pins, compareWishes(m))
	slices.SortFunc(frozen, compareWishes(m))
	return pins, frozen
}

// underWayBeside lists started tasks on crews that have frozen work, longest under way first.
func (w *Workspace) underWayBeside(frozen []TaskIndex) []TaskIndex {
	m := w.m
	busy := make([]bool, len(m.crews))
	for _, t := range frozen {
		if crew := m.wishes[t].crew; crew != None {
			busy[crew] = true
		}
	}
	var started []TaskIndex
	for _, t := range m.order {
		if m.state[t] == Started && m.actual[t] != None && busy[m.actual[t]] {
			started = append(started, t)
		}
	}
	slices.SortFunc(started, func(a, b TaskIndex) int {
		return cmp.Or(cmp.Compare(m.actualStart[a], m.actualStart[b]), cmp.Compare(a, b))
	})
	return started
}

// reserveWish holds the wished place if calendar, crews and capacities have it.
func (w *Workspace) reserveWish(t TaskIndex) {
	m := w.m
	wish := &m.wishes[t]
	if _, lost := w.base.lost[t]; lost {
		return
	}
	w.ask(t)
	if w.q.at > wish.start {
		w.base.lost[t] = w.q.cause
		return
	}
	w.q.at = wish.start
	w.q.ending = calendar.BeforeAll // a bound on the finish is held against the place when its turn comes
	var best place
	found := false
	lost := Cause{Kind: ByFrozen, Driver: None, Until: wish.start}
	for i, o := range m.Options(t) {
		if o.Crew != wish.crew && wish.crew != None {
			continue
		}
		w.q.cause = Cause{Kind: ByCalendar, Driver: None, Index: int32(o.Calendar), Until: wish.start}
		p, ok := w.find(&o)
		if !ok || p.begin != wish.start {
			lost = p.cause
			continue
		}
		p.option = int32(i)
		if !found || p.finish < best.finish {
			best, found = p, true
		}
	}
	if !found {
		w.base.lost[t] = lost
		return
	}
	w.hold(best)
}

// hold takes a place for a task whose turn comes later.
func (w *Workspace) hold(p place) {
	w.commit(&p)
	w.reserved[p.task] = true
	w.base.places = append(w.base.places, p)
}

// cause is why a reserved task of work under way lies where it lies.
func (b *base) cause(t TaskIndex) Cause {
	for i := range b.places {
		if b.places[i].task == t {
			return b.places[i].cause
		}
	}
	return Cause{Kind: ByStatus, Driver: None}
}
