package crewing

import (
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// Generate makes the schedule of a list by serial generation. The result is the workspace's own, valid until its next use.
// Work that is chosen to stay in its issued place is held there from the start; what could not return is not chosen to any longer.
func (w *Workspace) Generate(list []TaskIndex) *Schedule {
	w.restart()
	if !w.isHolding() {
		return w.walk(list)
	}
	w.holdIssued(false)
	s := w.walk(list)
	for _, t := range w.left {
		s.choice[t] = None
	}
	return s
}

// walk gives the tasks of a list their places, beside those that are held already.
func (w *Workspace) walk(list []TaskIndex) *Schedule {
	w.s.list = append(w.s.list[:0], list...)
	w.s.choice = append(w.s.choice[:0], w.choice...)
	w.s.taste = w.taste
	for _, t := range list {
		w.place(t)
		if w.early != nil && !w.isInTime(t) {
			w.isBroken = true
			return w.s
		}
	}
	w.m.evaluate(w.s)
	return w.s
}

// Settle makes the schedule of a list and gives up the reserved places that its links do not allow, until none is left
// that they do not allow. From then on the workspace no longer reserves them. Every round gives up one place or more, so
// there are at most as many rounds as reserved places.
func (w *Workspace) Settle(list []TaskIndex) *Schedule {
	for {
		s := w.Generate(list)
		if s.Score.Unsettled == 0 {
			return s
		}
		w.giveUpTaken()
	}
}

// giveUpTaken reserves no longer what the schedule just made had to take back.
func (w *Workspace) giveUpTaken() {
	s := w.s
	// A place that was taken back may have been found again, with another crew, and then it did not move. It is given up
	// all the same: reserved, it would be refused again.
	for _, moved := range [...][]Moved{w.taken, s.Moved} {
		for _, lost := range moved {
			w.base.lost[lost.Task] = lost.Cause
		}
	}
	for _, f := range s.Failed {
		if w.m.wishes[f.Task].start != calendar.Never {
			w.base.lost[f.Task] = Cause{Kind: ByLink, Driver: f.Follows}
		}
	}
	w.rebase()
}

// giveUpHopeless gives up the frozen places that links alone rule out, whatever the schedule, so that nothing has to make
// room for them.
func (w *Workspace) giveUpHopeless(dates *network.Dates) {
	m := w.m
	gaveUp := false
	for t := range TaskIndex(m.Tasks()) {
		if wish := &m.wishes[t]; wish.isFrozen && dates.Placed(t) && dates.FirstStart[t] > wish.start {
			w.base.lost[t] = m.release[t].cause
			gaveUp = true
		}
	}
	if gaveUp {
		w.rebase()
	}
}

// place gives one task its place. All tasks that it is linked from have had their turn.
func (w *Workspace) place(t TaskIndex) {
	if follows := w.ask(t); follows != None {
		w.fail(t, follows)
		return
	}
	if w.absent != nil && w.absent[t] {
		w.pass(t)
		return
	}
	if w.reserved[t] && w.q.at <= w.s.Begin[t] && w.q.ending <= w.s.Finish[t] {
		w.keepReserved(t)
		return
	}
	held := place{begin: w.s.Begin[t], crew: w.s.Crew[t]} // read before letGo takes the crew away
	wasHeld := w.letGo(t)
	wish := &w.m.wishes[t]
	hasWish := wish.start != calendar.Never
	var lost Cause
	if hasWish {
		lost = w.loseWish(t, wish)
	}
	p, ok := w.chooseWished(t, wish)
	if !ok && (w.choice[t] == inPlace || w.taste.keep && (w.choice[t] < 0 || w.taste.crews)) {
		p, ok = w.chooseIssued(t)
	}
	if !ok {
		p, ok = w.choose(t)
	}
	if !ok {
		if wasHeld {
			w.noteLeft(t)
		}
		w.fail(t, None)
		return
	}
	if hasWish && (p.begin != wish.start || wish.crew != None && p.crew != wish.crew) {
		w.s.Moved = append(w.s.Moved, Moved{Task: t, Cause: lost})
	}
	if wasHeld && (p.begin != held.begin || p.crew != held.crew) {
		w.noteLeft(t)
	}
	if p.cause.Kind == ByCrew && p.cause.Driver != None && w.loose[p.cause.Driver] {
		p.cause.Driver = None // it has yet to have its turn: drivers are followed back in turns
	}
	w.commit(&p)
	w.mark(t)
}

// pass gives an absent task the instant by which its links let it be over.
func (w *Workspace) pass(t TaskIndex) {
	s, q := w.s, &w.q
	at, cause := q.at, q.cause
	if q.ending > at {
		at, cause = q.ending, q.endCause
	}
	s.Begin[t], s.Finish[t], s.Crew[t], s.Cause[t] = at, at, None, cause
	s.turn[t] = s.turns
	s.turns++
	w.mark(t)
}

// mark closes a task's turn.
func (w *Workspace) mark(t TaskIndex) {
	s := w.s
	s.Placed[t] = true
	s.Start[t] = s.Begin[t]
	if w.m.state[t] == Started {
		s.Start[t] = w.m.actualStart[t]
	}
}

func (w *Workspace) fail(t, follows TaskIndex) {
	if w.reserved[t] {
		w.takeBack(t, Cause{Kind: ByLink, Driver: follows})
	}
	if w.letGo(t) {
		w.noteLeft(t)
	}
	w.s.Failed = append(w.s.Failed, Failure{Task: t, Follows: follows, NeedsTime: follows == None})
}

// ask fills the request: the bounds that links and the task's own dates put on it. It answers with a task that it is
// linked from and that has no place, else None.
func (w *Workspace) ask(t TaskIndex) TaskIndex {
	m, s, q := w.m, w.s, &w.q
	q.task, q.limit = t, calendar.Never
	q.at, q.cause = m.release[t].at, m.release[t].cause
	q.ending, q.endCause = m.ending[t].at, m.ending[t].cause
	for i := m.inFrom[t]; i < m.inFrom[t+1]; i++ {
		l := &m.in[i]
		from := l.task
		at := s.Finish[from]
		if l.relation&fromStart != 0 {
			at = s.Start[from]
		}
		if !s.Placed[from] {
			if w.early == nil || !l.isLoose() {
				return from
			}
			at = w.early.EarlyFinish[from]
			if l.relation&fromStart != 0 {
				at = w.early.FirstStart[from]
			}
		}
		if l.lag != 0 {
			at = m.axes[l.axis].add(at, l.lag)
		}
		if l.relation&toFinish == 0 {
			if at > q.at {
				q.at, q.cause = at, Cause{Kind: ByLink, Driver: from, Until: at}
			}
		} else if at > q.ending {
			q.ending, q.endCause = at, Cause{Kind: ByLink, Driver: from, Until: at}
		}
	}
	return None
}

// keepReserved confirms a place that was held for the task.
func (w *Workspace) keepReserved(t TaskIndex) {
	if wish := &w.m.wishes[t]; wish.start != calendar.Never {
		w.s.Cause[t] = wishCause(wish)
	} else {
		w.s.Cause[t] = w.base.cause(t)
	}
	w.mark(t)
}

// loseWish asks for the nearest place after a pinned or frozen one that can not be kept, and answers with what took it.
func (w *Workspace) loseWish(t TaskIndex, wish *wish) Cause {
	q := &w.q
	cause, known := w.base.lost[t]
	switch {
	case q.at > wish.start:
		cause = q.cause
	case !known: // a bound on its finish
		cause = q.endCause
	}
	if w.reserved[t] {
		w.takeBack(t, cause)
	}
	if wish.start > q.at {
		q.at, q.cause = wish.start, wishCause(wish)
	}
	return cause
}

// takeBack withdraws a reserved place half-way through a schedule.
func (w *Workspace) takeBack(t TaskIndex, cause Cause) {
	w.withdraw(t)
	w.s.Score.Unsettled++
	w.taken = append(w.taken, Moved{Task: t, Cause: cause})
}

func wishCause(wish *wish) Cause {
	if wish.isFrozen {
		return Cause{Kind: ByFrozen, Driver: None, Until: wish.start}
	}
	return Cause{Kind: ByPin, Driver: None, Until: wish.start}
}

// chooseWished takes a wished place that was given up after all, when this schedule leaves it free.
func (w *Workspace) chooseWished(t TaskIndex, wish *wish) (place, bool) {
	if w.q.at > wish.start || wish.start == calendar.Never {
		return place{}, false
	}
	options := w.m.Options(t)
	for i := range options {
		if wish.crew != None && options[i].Crew != wish.crew {
			continue
		}
		if p, ok := w.find(&options[i]); ok && p.begin == wish.start {
			p.option = int32(i)
			return p, true
		}
	}
	return place{}, false
}

// chooseIssued takes the task's issued place if nothing keeps it from there. The reason of its start is then the issued
// plan, unless the task could not start sooner on that crew anyway.
func (w *Workspace) chooseIssued(t TaskIndex) (place, bool) {
	m, q := w.m, &w.q
	if m.rest[t].at != calendar.Never {
		return w.chooseRest(t)
	}
	if m.issuedOf[t] == None {
		return place{}, false
	}
	line := &m.issued[m.issuedOf[t]]
	if q.at > line.start {
		return place{}, false
	}
	asked := *q
	options := m.Options(t)
	for i := range options {
		if line.crew != None && options[i].Crew != line.crew {
			continue
		}
		p, ok := w.find(&options[i])
		if ok && p.begin < line.start {
			q.at, q.cause = line.start, Cause{Kind: ByFrozen, Driver: None, Until: line.start}
			p, ok = w.find(&options[i])
		}
		if ok && p.begin == line.start {
			p.option = int32(i)
			return p, true
		}
		*q = asked
	}
	return place{}, false
}

// chooseRest lets the rest of work under way go on where the plan in force has it, if nothing keeps it from there.
func (w *Workspace) chooseRest(t TaskIndex) (place, bool) {
	m, q := w.m, &w.q
	asked := *q
	rest := &m.rest[t]
	if rest.at > q.at {
		q.at, q.cause = rest.at, Cause{Kind: ByFrozen, Driver: None, Until: rest.at}
	}
	i := max(0, m.OptionOn(t, rest.crew))
	o := &m.Options(t)[i]
	p, ok := w.find(o)
	if ok && (o.Minutes == 0 || p.begin == m.axes[o.Calendar].next(rest.at)) {
		p.option = int32(i)
		return p, true
	}
	*q = asked
	return place{}, false
}

// choose finds the option that finishes first, give or take the tolls on crews in demand and on travel; ties go to the
// one that adds least travel, then to the first listed.
func (w *Workspace) choose(t TaskIndex) (best place, ok bool) {
	options := w.m.Options(t)
	if forced := w.choice[t]; forced >= 0 && int(forced) < len(options) {
		best, ok = w.find(&options[forced])
		best.option = int32(forced)
		return best, ok
	}
	least := calendar.Never
	for i := range options {
		p, found := w.find(&options[i])
		if !found {
			continue
		}
		cost := p.finish
		if o := &options[i]; o.Crew != None {
			cost += calendar.Instant(int64(o.Minutes)*w.toll[o.Crew]>>tollShift + int64(p.added)*w.moveToll)
		}
		if !ok || cost < least || cost == least && p.added < best.added {
			best, least, ok = p, cost, true
			w.q.limit = cost
			best.option = int32(i)
		}
	}
	return best, ok
}
