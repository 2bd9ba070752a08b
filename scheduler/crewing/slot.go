package crewing

import (
	"cmp"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// find is the earliest place for the request under one option. ok is false when the horizon, or the time up to the
// request's limit, holds none.
func (w *Workspace) find(o *network.Option) (p place, ok bool) {
	switch {
	case o.Crew == None:
		p, ok = w.findFixed(o)
	case o.Minutes == 0:
		p, ok = w.findInstant(o)
	case o.Calendar == w.m.crews[o.Crew].axis:
		p, ok = w.findOnAxis(o)
	default:
		p, ok = w.findNarrow(o)
	}
	p.task, p.crew = w.q.task, o.Crew
	return p, ok
}

// findFixed places work without a crew: only calendar and capacities hold it.
func (w *Workspace) findFixed(o *network.Option) (place, bool) {
	q := &w.q
	p := place{begin: q.at, cause: q.cause}
	if o.Minutes == 0 {
		if q.ending > p.begin {
			p.begin, p.cause = q.ending, q.endCause
		}
		p.finish = p.begin
		return p, p.begin != calendar.Never
	}
	a := w.m.axes[o.Calendar]
	at := a.position(q.at)
	if end := a.positionFinishingAt(q.ending) - o.Minutes; end > at {
		at, p.cause = end, q.endCause
	}
	for {
		p.begin, p.finish = a.startAt(at), a.finishAt(at+o.Minutes)
		if p.finish == calendar.Never {
			return p, false
		}
		until, resource := w.blocked(p.begin, p.finish)
		if resource == None {
			return p, true
		}
		at = a.position(until)
		p.cause = full(resource, until)
	}
}

// findOnAxis places crew work whose working time is all of its crew's: everything but capacities is decided in positions.
func (w *Workspace) findOnAxis(o *network.Option) (place, bool) {
	q, m := &w.q, w.m
	a := m.axes[o.Calendar]
	p := place{from: a.position(q.at), cause: q.cause}
	if q.ending != calendar.BeforeAll {
		if from := a.positionFinishingAt(q.ending) - o.Minutes; from > p.from {
			p.from, p.cause = from, q.endCause
		}
	}
	lastEnd := q.lastEnd(a)
	l := &w.gaps[o.Crew]
	for i := l.firstReaching(p.from + o.Minutes); i < len(l.gaps); {
		g := &l.gaps[i]
		if max(p.from, g.from)+o.Minutes > lastEnd {
			return p, false
		}
		if g.to-g.from < o.Minutes {
			i++
			continue
		}
		entry, in, out := w.moves(g, o.Crew, q.task)
		waits := entry > p.from
		from := max(p.from, entry)
		p.to = from + o.Minutes
		if p.to+out > g.to {
			i++
			continue
		}
		p.begin, p.finish = a.startAt(from), a.finishAt(p.to)
		if p.finish == calendar.Never {
			return p, false
		}
		p.from = from
		if waits {
			p.cause = w.busy(o.Crew, g, a, entry)
		}
		if until, resource := w.blocked(p.begin, p.finish); resource != None {
			p.from = a.position(until)
			p.cause = full(resource, until)
			continue
		}
		p.gap, p.added = int32(i), w.addedMove(g, in, out)
		return p, true
	}
	return p, false
}

// findNarrow places crew work that also needs the calendars of limits: it pauses when one of them is closed, and the crew
// with it, so that start and finish are found on the work's own axis and held against the crew's gaps.
func (w *Workspace) findNarrow(o *network.Option) (place, bool) {
	q, m := &w.q, w.m
	work, a := m.axes[o.Calendar], m.axes[m.crews[o.Crew].axis]
	p := place{cause: q.cause}
	at := work.position(q.at)
	if q.ending != calendar.BeforeAll {
		if from := work.positionFinishingAt(q.ending) - o.Minutes; from > at {
			at, p.cause = from, q.endCause
		}
	}
	lastEnd := q.lastEnd(a)
	l := &w.gaps[o.Crew]
	for i := l.firstReaching(a.position(q.at)); i < len(l.gaps); {
		g := &l.gaps[i]
		if g.from+o.Minutes > lastEnd {
			return p, false
		}
		if g.to-g.from < o.Minutes {
			i++
			continue
		}
		entry, in, out := w.moves(g, o.Crew, q.task)
		from := at
		if ready := a.startAt(entry); ready == calendar.Never {
			return p, false
		} else if r := work.position(ready); r > from {
			from = r
		}
		p.begin, p.finish = work.startAt(from), work.finishAt(from+o.Minutes)
		if p.finish == calendar.Never {
			return p, false
		}
		p.from, p.to = a.position(p.begin), a.position(p.finish)
		if p.to+out > g.to {
			i++
			continue
		}
		if from > at {
			p.cause = w.busy(o.Crew, g, a, entry)
		}
		if until, resource := w.blocked(p.begin, p.finish); resource != None {
			at = work.position(until)
			p.cause = full(resource, until)
			continue
		}
		p.gap, p.added = int32(i), w.addedMove(g, in, out)
		return p, true
	}
	return p, false
}

// findInstant places crew work of no length. It may lie outside working time, so that neighbours at the same position
// are told apart by instants.
func (w *Workspace) findInstant(o *network.Option) (place, bool) {
	q, m, s := &w.q, w.m, w.s
	a := m.axes[m.crews[o.Crew].axis]
	p := place{begin: q.at, cause: q.cause}
	if q.ending > p.begin {
		p.begin, p.cause = q.ending, q.endCause
	}
	l := &w.gaps[o.Crew]
	for i := l.firstReaching(a.position(p.begin)); i < len(l.gaps) && p.begin < calendar.Never; i++ {
		g := &l.gaps[i]
		entry, in, out := w.moves(g, o.Crew, q.task)
		begin, cause := p.begin, p.cause
		if a.position(begin) < entry {
			begin = a.finishAt(entry)
		}
		if g.before != None {
			begin = max(begin, s.Finish[g.before])
			// At one instant the document's order is the order of the crew.
			if begin == s.Begin[g.before] && q.task < g.before {
				begin++
			}
		}
		if begin > p.begin {
			cause = Cause{Kind: ByCrew, Index: int32(o.Crew), Driver: g.before, Until: begin}
		}
		if begin == calendar.Never {
			return p, false
		}
		p.from = a.position(begin)
		if p.from < entry || p.from+out > g.to || g.after != None && w.comesAfter(begin, q.task, g.after) {
			continue
		}
		p.begin, p.finish, p.to, p.cause = begin, begin, p.from, cause
		p.gap, p.added = int32(i), w.addedMove(g, in, out)
		return p, true
	}
	return p, false
}

// comesAfter reports whether a task of no length at an instant follows the given task of its crew in their sequence.
func (w *Workspace) comesAfter(at calendar.Instant, t, other TaskIndex) bool {
	s := w.s
	return cmp.Or(cmp.Compare(at, s.Begin[other]), cmp.Compare(at, s.Finish[other]), cmp.Compare(t, other)) > 0
}

// lastEnd is the last position at which work may end to be of use.
func (q *request) lastEnd(a *axis) calendar.WorkMinutes {
	if q.limit == calendar.Never {
		return a.total
	}
	return a.position(q.limit)
}

// busy is the cause of a start that waits until its crew has done the task before and has made the move. Work of no length before
// it may stand in a pause, later than the instant at which the crew's working time first gets so far.
func (w *Workspace) busy(crew CrewIndex, g *gap, a *axis, entry calendar.WorkMinutes) Cause {
	until := a.finishAt(entry)
	if g.before != None {
		until = max(until, w.s.Finish[g.before])
	}
	return Cause{Kind: ByCrew, Index: int32(crew), Driver: g.before, Until: until}
}

// full is the cause of a start that waits for a shared capacity.
func full(resource int32, until calendar.Instant) Cause {
	return Cause{Kind: ByCapacity, Index: resource, Driver: None, Until: until}
}

// moves measures what a task in a gap loses on the way in and out, and the least position at which it can begin there.
func (w *Workspace) moves(g *gap, crew CrewIndex, t TaskIndex) (entry, in, out calendar.WorkMinutes) {
	place := w.m.place[t]
	if g.before != None {
		in = w.m.moveBetween(g.beforePlace, place)
		entry = g.from + in
	} else {
		entry = w.m.firstPosition(crew, t)
	}
	if g.after != None {
		out = w.m.moveBetween(place, g.afterPlace)
	}
	return entry, in, out
}

// addedMove is what the sequence of a crew gains in travel and set-up when a task goes into a gap. The move from home is
// counted apart.
func (w *Workspace) addedMove(g *gap, in, out calendar.WorkMinutes) calendar.WorkMinutes {
	added := in + out
	if g.before != None && g.after != None {
		added -= w.m.moveBetween(g.beforePlace, g.afterPlace)
	}
	return added
}

// blocked is the first capacity that [begin, finish) does not fit into, and when it may. None when all have room.
func (w *Workspace) blocked(begin, finish calendar.Instant) (calendar.Instant, int32) {
	for _, u := range w.m.usesOf(w.q.task) {
		r := u.resource
		if until := w.profiles[r].blockedUntil(begin, finish, u.units, w.m.resources[r].capacity); until > begin {
			return until, r
		}
	}
	return 0, None
}
