package crewing

import "jambwright/scheduler/network"

// aheadTasks is the most tasks of a problem in which followers may go ahead. In larger ones too many lists come to nothing.
const aheadTasks = 64

// firmLinks are the links whose follower can never begin before what it follows, in rows like those of the model.
type firmLinks struct {
	inFrom  []int32 // inFrom[t+1]-inFrom[t] of them lead to task t
	outFrom []int32
	out     []link
}

// isLoose reports whether a link lets the follower begin before what it follows.
func (l *link) isLoose() bool { return l.relation&toFinish != 0 || l.lag < 0 }

// separate finds the firm links of a small problem that has others, too.
func (m *Model) separate() {
	if len(m.order) > aheadTasks {
		return
	}
	n := m.Tasks()
	firm := &firmLinks{inFrom: make([]int32, n+1), outFrom: make([]int32, n+1)}
	for t := range TaskIndex(n) {
		for _, l := range m.outOf(t) {
			if !l.isLoose() {
				firm.out = append(firm.out, l)
				firm.inFrom[l.task+1]++
			}
		}
		firm.outFrom[t+1] = int32(len(firm.out))
	}
	for t := range n {
		firm.inFrom[t+1] += firm.inFrom[t]
	}
	if len(firm.out) < len(m.out) {
		m.firm = firm
	}
}

// GenerateAhead makes the schedule of a list in which followers by loose links may stand before what they follow: they are placed as
// if that were over as soon as links alone let it be, and hold the place against it. So what is followed waits for a crew
// or a limit that its follower takes first, which no list in the order of the links can say: there it takes the first place it finds.
// Work that is chosen to stay in its issued place goes there in its turn if that is free: nothing is held for it from the start, as
// Generate does. It reports false, and leaves half a schedule, once something finds no place, is placed too late for a follower, or
// would itself wait for what has yet to have its turn.
func (w *Workspace) GenerateAhead(list []TaskIndex, dates *network.Dates) bool {
	w.restart()
	w.early, w.isBroken = dates, false
	w.walk(list)
	w.early = nil
	return !w.isBroken
}

// isInTime reports whether a task that just had its turn found a place, leaves its followers the places that they have, and itself
// waits for no task yet to have its turn.
func (w *Workspace) isInTime(t TaskIndex) bool {
	m, s := w.m, w.s
	if c := &s.Cause[t]; !s.Placed[t] || c.Kind == ByLink && c.Driver != None && !s.Placed[c.Driver] {
		return false
	}
	for _, l := range m.outOf(t) {
		if !s.Placed[l.task] {
			continue
		}
		at := s.Finish[t]
		if l.relation&fromStart != 0 {
			at = s.Start[t]
		}
		if l.lag != 0 {
			at = m.axes[l.axis].add(at, l.lag)
		}
		if l.relation&toFinish == 0 && at > s.Begin[l.task] || l.relation&toFinish != 0 && at > s.Finish[l.task] {
			return false
		}
	}
	return true
}
