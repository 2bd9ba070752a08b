package crewing

import (
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// Workspace makes schedules of one model, one at a time. It owns all scratch memory: once it has made a schedule or two,
// making another allocates nothing. Not for concurrent use; make one a goroutine.
type Workspace struct {
	m *Model
	s *Schedule // the schedule being made

	gaps     []gapList   // per crew
	profiles []profile   // per resource
	reserved []bool      // per task: its place is held before its turn comes
	base     base        // what every schedule starts from
	pins     []TaskIndex // with a wished start, in the order in which they are served
	frozen   []TaskIndex // likewise
	started  []TaskIndex // under way and held by no other work, longest under way first
	taken    []Moved     // reserved places taken back while this schedule was made, and why

	loose     []bool        // per task: its issued place is held until its turn, see stay and Generate
	left      []TaskIndex   // did not return to a place that was held loosely
	lines     []TaskIndex   // issued work by start
	rows      [][]TaskIndex // per crew: its tasks in sequence, while keepsRows
	keepsRows bool

	early    *network.Dates // while followers may go ahead: when the tasks yet to have their turn are over at the earliest
	isBroken bool           // something was placed too late for what went ahead of it

	choice []int16 // per task: the option it must take, None for the one that finishes first, or inPlace
	absent []bool  // per task: it has nothing to do, see Trial; nil without any
	q      request

	taste    taste
	demand   []int64 // per crew: how much of its time is spoken for, tollUnit for the busiest
	toll     []int64 // per crew: what a minute of its work costs beyond its own length, in units of 1/tollUnit
	moveToll int64   // what a minute of added travel costs

	due      []calendar.Instant // per task: the latest finish that justify aims at
	keys     []int64            // per task: scratch of sorters
	backward sorter
}

// base is the state before the first task of a list is placed: pinned, frozen and under-way work holds its place.
type base struct {
	gaps     []gapList
	profiles []profile
	crewWork []crewWork
	places   []place             // of reserved tasks
	lost     map[TaskIndex]Cause // wishes given up, and what took their place
}

// place is where a task could go.
type place struct {
	task          TaskIndex
	option        int32 // offset among the task's options
	crew          CrewIndex
	begin, finish calendar.Instant
	from, to      calendar.WorkMinutes // on the crew's axis
	gap           int32
	added         calendar.WorkMinutes // travel and set-up that it adds to the crew's sequence
	cause         Cause
}

// request is what a task asks for when its turn comes.
type request struct {
	task     TaskIndex
	at       calendar.Instant // least start
	cause    Cause            // of at
	ending   calendar.Instant // least finish, BeforeAll for none
	endCause Cause
	limit    calendar.Instant // a later finish is of no use, Never for none
}

// NewWorkspace makes a workspace and reserves the places of pinned, under-way and frozen work.
func NewWorkspace(m *Model) *Workspace {
	w := &Workspace{
		m: m, s: newSchedule(m),
		gaps: make([]gapList, len(m.crews)), profiles: make([]profile, len(m.resources)),
		reserved: make([]bool, m.Tasks()), loose: make([]bool, m.Tasks()), choice: make([]int16, m.Tasks()),
		demand: demandOf(m), toll: make([]int64, len(m.crews)),
	}
	for t := range w.choice {
		w.choice[t] = None
	}
	w.base.lost = make(map[TaskIndex]Cause)
	w.base.gaps, w.base.profiles = make([]gapList, len(m.crews)), make([]profile, len(m.resources))
	w.pins, w.frozen = wished(m)
	w.started = startedAlone(m)
	w.rebase()
	return w
}

// rebase makes the state that every schedule starts from: the reserved places and nothing else.
func (w *Workspace) rebase() {
	for c := range w.gaps {
		// The first move is measured in firstPosition, so the first gap has no neighbour and begins with the horizon.
		w.gaps[c].gaps = append(w.gaps[c].gaps[:0], gap{from: 0, to: endless, before: None, after: None})
		w.s.crewWork[c] = crewWork{first: None, last: None}
	}
	for r := range w.profiles {
		w.profiles[r].reset()
	}
	clear(w.reserved)
	w.s.turns = 0
	w.base.places = w.base.places[:0]
	w.reserve()

	b := &w.base
	for c := range w.gaps {
		b.gaps[c].gaps = append(b.gaps[c].gaps[:0], w.gaps[c].gaps...)
	}
	for r := range w.profiles {
		b.profiles[r].copyFrom(&w.profiles[r])
	}
	b.crewWork = append(b.crewWork[:0], w.s.crewWork...)
}

// restart goes back to the base.
func (w *Workspace) restart() {
	b := &w.base
	for c := range w.gaps {
		w.gaps[c].gaps = append(w.gaps[c].gaps[:0], b.gaps[c].gaps...)
	}
	for r := range w.profiles {
		w.profiles[r].copyFrom(&b.profiles[r])
	}
	copy(w.s.crewWork, b.crewWork)
	w.s.turns = int32(len(b.places))
	for _, t := range w.m.order {
		w.s.Placed[t], w.s.Crew[t] = false, None
		w.reserved[t], w.loose[t] = false, false
	}
	w.left, w.keepsRows = w.left[:0], false
	for i := range b.places {
		p := &b.places[i]
		w.reserved[p.task] = true
		w.s.turn[p.task] = int32(i)
		w.s.Begin[p.task], w.s.Finish[p.task], w.s.Crew[p.task] = p.begin, p.finish, p.crew
	}
	w.s.Moved, w.s.Failed, w.s.Score = w.s.Moved[:0], w.s.Failed[:0], Score{}
	w.taken = w.taken[:0]
}

// commit takes a place: the crew's time, the capacities, and the marks in the schedule.
func (w *Workspace) commit(p *place) {
	m, s, t := w.m, w.s, p.task
	s.Begin[t], s.Finish[t], s.Crew[t], s.Cause[t] = p.begin, p.finish, p.crew, p.cause
	s.turn[t] = s.turns
	s.turns++
	if p.crew != None {
		l := &w.gaps[p.crew]
		g := l.gaps[p.gap]
		w.joinSequence(p, g.before, g.after)
		l.fill(int(p.gap), t, m.place[t], p.from, p.to, m.crews[p.crew].shortest)
		if w.keepsRows {
			w.enterRow(t)
		}
	}
	for _, u := range m.usesOf(t) {
		w.profiles[u.resource].add(p.begin, p.finish, u.units)
	}
}

// joinSequence keeps the crew's sums for the objective.
func (w *Workspace) joinSequence(p *place, before, after TaskIndex) {
	work := &w.s.crewWork[p.crew]
	work.work += w.m.Options(p.task)[p.option].Minutes
	work.moves += p.added
	if before == None {
		work.first, work.from = p.task, p.from
	}
	if after == None {
		work.last, work.to = p.task, p.to
	}
}

// withdraw gives a place back: the capacities, and the crew's time, whose gaps on both sides become one.
func (w *Workspace) withdraw(t TaskIndex) {
	m, s := w.m, w.s
	for _, u := range m.usesOf(t) {
		w.profiles[u.resource].add(s.Begin[t], s.Finish[t], -u.units)
	}
	if crew := s.Crew[t]; crew != None {
		before, after := w.leaveRow(t)
		w.leaveSequence(t, before, after)
		a := m.axes[m.crews[crew].axis]
		merged := gap{from: 0, to: endless, before: before, after: after}
		if before != None {
			merged.from, merged.beforePlace = a.position(s.Finish[before]), m.place[before]
		}
		if after != None {
			merged.to, merged.afterPlace = a.position(s.Begin[after]), m.place[after]
		}
		w.gaps[crew].empty(t, merged, m.crews[crew].shortest)
	}
	w.reserved[t] = false
	s.Crew[t] = None
}

// leaveSequence is the reverse of joinSequence.
func (w *Workspace) leaveSequence(t, before, after TaskIndex) {
	m, s := w.m, w.s
	crew := s.Crew[t]
	a := m.axes[m.crews[crew].axis]
	work := &s.crewWork[crew]
	work.work -= m.optionOn(t, crew).Minutes
	switch {
	case before == None && after == None:
		*work = crewWork{first: None, last: None}
	case before == None:
		work.moves -= m.move(t, after)
		work.first, work.from = after, a.position(s.Begin[after])
	case after == None:
		work.moves -= m.move(before, t)
		work.last, work.to = before, a.position(s.Finish[before])
	default:
		work.moves += m.move(before, after) - m.move(before, t) - m.move(t, after)
	}
}
