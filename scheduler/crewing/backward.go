package crewing

import (
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// Justify moves the pieces of a schedule as late as they go, last finish first, each on its own crew and none beyond
// what it is needed for: the makespan, or the GC date it belongs to where that is earlier or already late. The begins it
// leaves in late are the order in which work is needed, crews and capacities considered; serial generation from that
// order is never much worse and often better than the schedule it came from (Valls, Ballestín and Quintanilla 2005,
// "Justification and RCPSP: a technique that pays", European Journal of Operational Research 165).
//
// The result is an order and not a plan: pinned and frozen work, work of no length and work narrowed by limits' calendars
// are treated roughly.
func (w *Workspace) justify(s *Schedule, late []int64) {
	w.restart()
	w.needed(s)
	for _, t := range w.backwardList(s) {
		begin := s.Begin[t]
		if s.Placed[t] && !w.reserved[t] {
			begin = w.placeLate(s, t)
		}
		late[t] = int64(begin)
	}
}

// needed fills the latest finish of each task by itself.
func (w *Workspace) needed(s *Schedule) {
	m := w.m
	if w.due == nil {
		w.due = make([]calendar.Instant, m.Tasks())
		w.keys = make([]int64, m.Tasks())
	}
	for _, t := range m.order {
		w.due[t] = s.Score.Makespan
	}
	for i := range m.GCDates {
		at, _, ok := m.forecast(s, i)
		if !ok {
			continue
		}
		at = max(at, min(m.GCDates[i].Date, s.Score.Makespan))
		for _, t := range m.GCDates[i].Tasks {
			w.due[t] = min(w.due[t], at)
		}
	}
}

// backwardList orders the tasks by falling finish, followers first.
func (w *Workspace) backwardList(s *Schedule) []TaskIndex {
	for _, t := range w.m.order {
		w.keys[t] = -int64(s.Finish[t])
	}
	return w.backward.sortBackward(w.m, w.keys)
}

// placeLate moves one piece as late as its followers, crew and capacities allow and answers where it begins.
func (w *Workspace) placeLate(s *Schedule, t TaskIndex) calendar.Instant {
	m := w.m
	o := m.optionOn(t, s.Crew[t])
	begin, finish := w.lateBounds(s, t)
	p := place{task: t, crew: s.Crew[t], begin: s.Begin[t], finish: s.Finish[t]}
	switch {
	case o.Minutes == 0:
		w.s.Begin[t] = max(p.begin, min(begin, finish))
		w.s.Finish[t] = w.s.Begin[t]
		return w.s.Begin[t]
	case o.Crew == None:
		w.lateFixed(&p, o, begin, finish)
	case o.Calendar != m.crews[o.Crew].axis:
	default:
		w.lateOnAxis(&p, o, begin, finish)
	}
	w.takeLate(&p)
	return p.begin
}

// lateBounds are the latest begin and finish that the followers, already placed, leave.
func (w *Workspace) lateBounds(s *Schedule, t TaskIndex) (begin, finish calendar.Instant) {
	m := w.m
	begin, finish = calendar.Never, max(w.due[t], s.Finish[t])
	for _, l := range m.outOf(t) {
		if !s.Placed[l.task] {
			continue
		}
		at := w.s.Begin[l.task]
		if l.relation&toFinish != 0 {
			at = w.s.Finish[l.task]
		}
		if l.lag != 0 {
			at = m.Calendars[l.axis].LatestWithAdd(at, l.lag)
		}
		switch {
		case l.relation&fromStart == 0:
			finish = min(finish, at)
		case m.state[t] != Started:
			begin = min(begin, at)
		}
	}
	return begin, finish
}

// lastEnd is the latest position at which work of some minutes may end to begin and finish in time.
func lastEnd(a *axis, minutes calendar.WorkMinutes, begin, finish calendar.Instant) calendar.WorkMinutes {
	end := a.position(finish)
	if begin < calendar.Never {
		end = min(end, a.position(begin+1)-1+minutes) // it begins on a working minute at or before begin
	}
	return end
}

func (w *Workspace) lateFixed(p *place, o *network.Option, begin, finish calendar.Instant) {
	a := w.m.axes[o.Calendar]
	for end := lastEnd(a, o.Minutes, begin, finish); ; {
		if end < o.Minutes || a.startAt(end-o.Minutes) <= p.begin {
			return // it stays where it is
		}
		from, to := a.startAt(end-o.Minutes), a.finishAt(end)
		until := w.blockedLate(p.task, from, to)
		if until == to {
			p.begin, p.finish = from, to
			return
		}
		end = a.position(until)
	}
}

func (w *Workspace) lateOnAxis(p *place, o *network.Option, begin, finish calendar.Instant) {
	m := w.m
	a := m.axes[o.Calendar]
	least := a.position(p.begin)
	end := lastEnd(a, o.Minutes, begin, finish)
	l := &w.gaps[o.Crew]
	for i := l.lastBeginning(end - o.Minutes); i >= 0; {
		g := &l.gaps[i]
		entry, _, out := w.moves(g, o.Crew, p.task)
		to := min(end, g.to-out)
		from := to - o.Minutes
		if to <= least+o.Minutes {
			return // no later than it is
		}
		if from < entry {
			i--
			continue
		}
		start, stop := a.startAt(from), a.finishAt(to)
		until := w.blockedLate(p.task, start, stop)
		if until == stop {
			p.begin, p.finish = start, stop
			return
		}
		end = a.position(until)
	}
}

// takeLate takes the place that a piece was moved to, or left at.
func (w *Workspace) takeLate(p *place) {
	m := w.m
	w.s.Begin[p.task], w.s.Finish[p.task] = p.begin, p.finish
	for _, u := range m.usesOf(p.task) {
		w.profiles[u.resource].add(p.begin, p.finish, u.units)
	}
	if p.crew == None {
		return
	}
	a := m.axes[m.crews[p.crew].axis]
	from, to := a.position(p.begin), a.position(p.finish)
	l := &w.gaps[p.crew]
	if i := l.lastBeginning(from); i >= 0 && l.gaps[i].to >= to {
		l.fill(i, p.task, m.place[p.task], from, to, m.crews[p.crew].shortest)
	}
}

// blockedLate is where the first capacity that [begin, finish) does not fit into is taken, or finish when all have room.
func (w *Workspace) blockedLate(t TaskIndex, begin, finish calendar.Instant) calendar.Instant {
	for _, u := range w.m.usesOf(t) {
		if from := w.profiles[u.resource].blockedFrom(begin, finish, u.units, w.m.resources[u.resource].capacity); from < finish {
			return from
		}
	}
	return finish
}
