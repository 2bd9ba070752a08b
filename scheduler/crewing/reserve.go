package crewing

import (
	"cmp"
	"iter"
	"slices"

	"jambwright/scheduler/calendar"
)

// reserve holds places before any list is walked: pins, then the rest of the work under way if there is a frozen window,
// then frozen work. What does not fit from the start is remembered with its cause. Whether links allow a reserved
// place is seen when the task's turn comes.
func (w *Workspace) reserve() {
	for _, t := range w.pins {
		w.reserveWish(t)
	}
	if until := w.m.Problem.FrozenUntil; until != nil && calendar.FromTime(*until) > w.m.DataDate {
		for t := range w.underWay() {
			p, ok := w.chooseIssued(t)
			if !ok {
				p, ok = w.choose(t)
			}
			if ok {
				w.hold(p)
			}
		}
	}
	for _, t := range w.frozen {
		w.reserveWish(t)
	}
}

// wished lists the tasks with a pinned or frozen start in the order in which they are served.
func wished(m *Model) (pins, frozen []TaskIndex) {
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

// startedAlone lists the started tasks that no other work holds, longest under way first.
func startedAlone(m *Model) []TaskIndex {
	var started []TaskIndex
	for _, t := range m.order {
		if m.state[t] == Started && len(m.into(t)) == 0 {
			started = append(started, t)
		}
	}
	slices.SortFunc(started, func(a, b TaskIndex) int {
		return cmp.Or(cmp.Compare(m.actualStart[a], m.actualStart[b]), cmp.Compare(a, b))
	})
	return started
}

// underWay yields the started tasks that no other work holds, longest under way first, each with the request for its place
// filled. With a frozen window they go first on all crews, whether a crew has frozen work or not: open work that a plan puts
// before them would have to make room as soon as the window reached it.
func (w *Workspace) underWay() iter.Seq[TaskIndex] {
	return func(yield func(TaskIndex) bool) {
		for _, t := range w.started {
			if w.reserved[t] {
				continue // held already
			}
			if w.ask(t); !yield(t) {
				return
			}
		}
	}
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
