package crewing

import (
	"cmp"
	"slices"

	"jambwright/scheduler/calendar"
)

// stayRounds bounds how often stay begins again. Nearly always two or three rounds do; after so many the issued places are
// no longer held, and work only goes back to those that are still free when its turn comes.
const stayRounds = 8

// stay makes the schedule that changes least of the plan in force. Every issued line is held from the start, exactly
// where it is, after pins, work under way beside frozen work, and frozen work. A task gives its place up when its turn
// comes and links no longer allow it, and then goes to the earliest place that the others leave free. Where a task left
// its place, all begins again without holding it, so that nothing keeps clear of a place that nobody takes.
//
// The places of a plan that was issued as a whole do not hinder each other. So if nothing has changed, every place can be
// held, and stay gives the issued plan.
//
// With underWayFirst the rest of work under way is held before the issued lines. Else it goes between them, and pinned and
// frozen places that cannot be kept are given up for good, as by Settle.
func (w *Workspace) stay(list []TaskIndex, underWayFirst bool) *Schedule {
	for _, t := range w.linesByStart() {
		w.choice[t] = inPlace
	}
	for round := 0; ; round++ {
		w.restart()
		if round < stayRounds {
			w.holdIssued(underWayFirst)
		} else {
			w.holdNone()
		}
		s := w.walk(list)
		for _, t := range w.left {
			w.choice[t] = None
		}
		switch {
		case s.Score.Unsettled > 0 && !underWayFirst:
			w.giveUpTaken()
		case len(w.left) == 0:
			return s
		}
	}
}

// inPlace is the choice of a task to stay where the plan in force has it, before others choose.
const inPlace int16 = -2

// isHolding reports whether any work is chosen to stay in its issued place.
func (w *Workspace) isHolding() bool {
	return len(w.linesByStart()) > 0 && slices.Contains(w.choice, inPlace)
}

// holdNone lets all work choose again.
func (w *Workspace) holdNone() {
	for t, choice := range w.choice {
		if choice == inPlace {
			w.choice[t] = None
		}
	}
}

// holdIssued holds the places of the work that is chosen to stay there, earliest first, as far as calendars and what is held
// already leave them free.
func (w *Workspace) holdIssued(underWayFirst bool) {
	m := w.m
	w.openRows()
	if underWayFirst {
		for t := range w.underWay() {
			p, ok := w.chooseIssued(t)
			if !ok {
				p, ok = w.choose(t)
			}
			if ok {
				w.holdLoosely(&p)
			}
		}
	}
	for _, t := range w.linesByStart() {
		if w.choice[t] != inPlace || w.reserved[t] || w.loose[t] || m.state[t] == LeftOut {
			continue
		}
		w.q = request{task: t, limit: calendar.Never, ending: calendar.BeforeAll, at: m.release[t].at, cause: m.release[t].cause}
		if p, ok := w.chooseIssued(t); ok {
			w.holdLoosely(&p)
		}
	}
}

// linesByStart lists the issued work in the order of the crews' sequences, so that each crew's work is held from first to
// last: where the way by a third site is the shorter one, work cannot be put in between later. Work under way goes where its
// rest was to go on.
func (w *Workspace) linesByStart() []TaskIndex {
	m := w.m
	if w.lines == nil {
		w.lines = make([]TaskIndex, 0, len(m.issued))
		for _, t := range m.order {
			if m.issuedOf[t] != None || m.rest[t].at != calendar.Never {
				w.lines = append(w.lines, t)
			}
		}
		slices.SortFunc(w.lines, func(a, b TaskIndex) int {
			return cmp.Or(
				cmp.Compare(m.issuedBegin(a), m.issuedBegin(b)),
				cmp.Compare(m.leastMinutes(a), m.leastMinutes(b)),
				cmp.Compare(a, b),
			)
		})
	}
	return w.lines
}

// issuedBegin is where the plan in force begins what is left of a task that it holds.
func (m *Model) issuedBegin(t TaskIndex) calendar.Instant {
	if line := m.issuedOf[t]; line != None {
		return m.issued[line].start
	}
	return m.rest[t].at
}

// issuedCrew is the crew that the plan in force has for a task that it holds, None where it names none.
func (m *Model) issuedCrew(t TaskIndex) CrewIndex {
	if line := m.issuedOf[t]; line != None {
		return m.issued[line].crew
	}
	return m.rest[t].crew
}

// holdLoosely takes a place until the task's turn.
func (w *Workspace) holdLoosely(p *place) {
	w.commit(p)
	w.loose[p.task] = true
}

// letGo gives back a place that was held loosely, and reports whether there was one.
func (w *Workspace) letGo(t TaskIndex) bool {
	if !w.loose[t] {
		return false
	}
	w.loose[t] = false
	w.withdraw(t)
	return true
}

// noteLeft remembers a task that did not return to its issued place.
func (w *Workspace) noteLeft(t TaskIndex) {
	if w.m.state[t] == Open || w.m.rest[t].at != calendar.Never {
		w.left = append(w.left, t)
	}
}

// rows keep the tasks of each crew in sequence, so that a place can be given back without looking at all tasks. They are
// kept while places are held loosely only, since generation itself has no need of them.
func (w *Workspace) openRows() {
	if w.rows == nil {
		w.rows = make([][]TaskIndex, len(w.m.crews))
	}
	for c := range w.rows {
		w.rows[c] = w.rows[c][:0]
	}
	for _, t := range w.m.order {
		if (w.reserved[t] || w.loose[t]) && w.s.Crew[t] != None {
			w.rows[w.s.Crew[t]] = append(w.rows[w.s.Crew[t]], t)
		}
	}
	for c := range w.rows {
		slices.SortFunc(w.rows[c], w.compareInSequence)
	}
	w.keepsRows = true
}

// compareInSequence orders tasks of one crew.
func (w *Workspace) compareInSequence(a, b TaskIndex) int {
	s := w.s
	return cmp.Or(cmp.Compare(s.Begin[a], s.Begin[b]), cmp.Compare(s.Finish[a], s.Finish[b]), cmp.Compare(a, b))
}

func (w *Workspace) enterRow(t TaskIndex) {
	row := &w.rows[w.s.Crew[t]]
	i, _ := slices.BinarySearchFunc(*row, t, w.compareInSequence)
	*row = slices.Insert(*row, i, t)
}

// leaveRow takes a task out of its crew's row and answers with its neighbours there.
func (w *Workspace) leaveRow(t TaskIndex) (before, after TaskIndex) {
	crew := w.s.Crew[t]
	if !w.keepsRows {
		return w.neighboursOf(t)
	}
	row := w.rows[crew]
	i, _ := slices.BinarySearchFunc(row, t, w.compareInSequence)
	before, after = neighbours(row, i)
	w.rows[crew] = slices.Delete(row, i, i+1)
	return before, after
}

// neighboursOf looks for the tasks before and after t in its crew's sequence among all tasks.
func (w *Workspace) neighboursOf(t TaskIndex) (before, after TaskIndex) {
	s, crew := w.s, w.s.Crew[t]
	before, after = None, None
	for _, other := range w.m.order {
		if other == t || s.Crew[other] != crew || !s.Placed[other] && !w.reserved[other] {
			continue
		}
		if w.compareInSequence(other, t) < 0 {
			if before == None || w.compareInSequence(before, other) < 0 {
				before = other
			}
		} else if after == None || w.compareInSequence(other, after) < 0 {
			after = other
		}
	}
	return before, after
}

// besideInRow are the tasks before and after t in its crew's sequence. Only while rows are kept.
func (w *Workspace) besideInRow(t TaskIndex) (before, after TaskIndex) {
	row := w.rows[w.s.Crew[t]]
	i, _ := slices.BinarySearchFunc(row, t, w.compareInSequence)
	return neighbours(row, i)
}

func neighbours(row []TaskIndex, i int) (before, after TaskIndex) {
	before, after = None, None
	if i > 0 {
		before = row[i-1]
	}
	if i+1 < len(row) {
		after = row[i+1]
	}
	return before, after
}
