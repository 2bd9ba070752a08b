package crewing

import (
	"slices"

	"jambwright/scheduler/calendar"
)

// compact looks in a finished schedule for work that waits in one crew's queue while another crew could do it sooner, and
// puts it there: in the order of begins each open task is taken out and put at the place, on any of its crews, that
// finishes first among all the other work where it now is. No task begins or finishes later than it did, so that whatever follows
// still may stand where it stands. Tasks that keep their issued place stay.
//
// The result is an order and a choice of crews, left in keys and in the workspace's choice, and not a plan: a schedule is
// generated from them. It reports whether anything moved. About the work of two schedules.
func (w *Workspace) compact(s *Schedule, keys []int64) (moved bool) {
	w.load(s)
	m := w.m
	for _, t := range w.rowsByBegin() {
		if w.isMovable(t) {
			moved = w.soonest(t) || moved
			w.choice[t] = int16(m.optionIndex(t, w.s.Crew[t]))
		}
		keys[t] = int64(w.s.Begin[t])
	}
	return moved
}

// isMovable reports whether a task is free to go elsewhere: not begun, not pinned or frozen, and not at its issued place.
func (w *Workspace) isMovable(t TaskIndex) bool {
	m := w.m
	if m.state[t] != Open || !w.s.Placed[t] || w.s.Crew[t] == None || m.wishes[t].start != calendar.Never || len(m.Options(t)) < 2 {
		return false
	}
	if line := m.issuedOf[t]; line != None && w.s.Begin[t] == m.issued[line].start && w.s.Crew[t] == m.issued[line].crew {
		return false
	}
	return w.isSpared(t)
}

// isSpared reports whether the crew can do without a task: the move between the tasks on both sides of it fits between them. It
// need not where the way by a third place is the shorter one.
func (w *Workspace) isSpared(t TaskIndex) bool {
	m, s := w.m, w.s
	before, after := w.besideInRow(t)
	if after == None {
		return true
	}
	a := m.axes[m.crews[s.Crew[t]].axis]
	if before == None {
		return a.position(s.Begin[after]) >= m.firstPosition(s.Crew[t], after)
	}
	return a.position(s.Begin[after])-a.position(s.Finish[before]) >= m.move(before, after)
}

// soonest moves one task to the place that finishes first, and reports whether it moved.
func (w *Workspace) soonest(t TaskIndex) bool {
	m := w.m
	was := place{task: t, crew: w.s.Crew[t], begin: w.s.Begin[t], finish: w.s.Finish[t]}
	w.withdraw(t)
	w.ask(t)
	w.q.limit = was.finish
	var best place
	found := false
	options := m.Options(t)
	for i := range options {
		p, ok := w.find(&options[i])
		if !ok || p.begin > was.begin || p.finish > was.finish || p.begin == was.begin && p.crew != was.crew {
			continue
		}
		if !found || p.finish < best.finish || p.finish == best.finish && p.added < best.added {
			best, found = p, true
			best.option = int32(i)
		}
	}
	if !found {
		w.takeLate(&was) // as it stood: only an order is wanted
		return false
	}
	w.commit(&best)
	return best.begin < was.begin
}

// load takes over the places of a schedule as they are. Sums for the objective are not kept.
func (w *Workspace) load(s *Schedule) {
	m := w.m
	w.restart()
	w.s.copyFrom(s)
	clear(w.reserved)
	for r := range w.profiles {
		w.profiles[r].reset()
	}
	if w.rows == nil {
		w.rows = make([][]TaskIndex, len(m.crews))
	}
	for c := range w.rows {
		w.rows[c] = w.rows[c][:0]
	}
	for _, t := range m.order {
		if !s.Placed[t] {
			continue
		}
		if crew := s.Crew[t]; crew != None {
			w.rows[crew] = append(w.rows[crew], t)
		}
		for _, u := range m.usesOf(t) {
			w.profiles[u.resource].add(s.Begin[t], s.Finish[t], u.units)
		}
	}
	for c := range w.rows {
		slices.SortFunc(w.rows[c], w.compareInSequence)
		w.gaps[c].gaps = w.gapsBetween(w.gaps[c].gaps[:0], CrewIndex(c), w.rows[c])
	}
	w.keepsRows = true
}

// gapsBetween appends the free time of a crew between tasks in sequence.
func (w *Workspace) gapsBetween(list []gap, crew CrewIndex, row []TaskIndex) []gap {
	m, s := w.m, w.s
	a := m.axes[m.crews[crew].axis]
	g := gap{from: 0, before: None}
	for _, t := range row {
		g.to, g.after, g.afterPlace = a.position(s.Begin[t]), t, m.place[t]
		if g.to-g.from >= m.crews[crew].shortest {
			list = append(list, g)
		}
		g = gap{from: a.position(s.Finish[t]), before: t, beforePlace: m.place[t]}
	}
	g.to, g.after = endless, None
	return append(list, g)
}

// rowsByBegin lists the tasks to plan by begin.
func (w *Workspace) rowsByBegin() []TaskIndex {
	list := slices.Clone(w.m.order)
	slices.SortStableFunc(list, func(a, b TaskIndex) int { return int(w.s.Begin[a] - w.s.Begin[b]) })
	return list
}

// optionIndex is the place of a crew among a task's options.
func (m *Model) optionIndex(t TaskIndex, crew CrewIndex) int {
	options := m.Options(t)
	for i := range options {
		if options[i].Crew == crew {
			return i
		}
	}
	return None
}
