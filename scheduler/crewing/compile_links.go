package crewing

import (
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// links lays the binding links out in rows per task, forward and backward. Links from done work become plain bounds.
func (b *modelBuilder) links() {
	m := b.m
	n := m.Tasks()
	m.inFrom, m.outFrom = make([]int32, n+1), make([]int32, n+1)
	m.release, m.ending = make([]bound, n), make([]bound, n)
	for t := range TaskIndex(n) {
		m.release[t], m.ending[t] = m.releaseOf(t), bound{at: calendar.BeforeAll}
		for _, l := range m.Incoming(t) {
			if m.state[l.From] == Done {
				m.tighten(&l)
				continue
			}
			m.in = append(m.in, rowOf(&l, l.From))
			m.outFrom[l.From+1]++
		}
		m.inFrom[t+1] = int32(len(m.in))
	}
	for t := range n {
		m.outFrom[t+1] += m.outFrom[t]
	}
	m.out = make([]link, len(m.in))
	next := slices.Clone(m.outFrom)
	for t := range TaskIndex(n) {
		for _, l := range m.into(t) {
			from := l.task
			l.task = t
			m.out[next[from]] = l
			next[from]++
		}
	}
}

func rowOf(l *network.Link, other TaskIndex) link {
	row := link{task: other, axis: l.Calendar, lag: l.Lag}
	if l.Relation.FromStart() {
		row.relation |= fromStart
	}
	if l.Relation.BoundsFinish() {
		row.relation |= toFinish
	}
	return row
}

// releaseOf is the bound on a task's begin that no schedule changes: the data date or its not_before.
func (m *Model) releaseOf(t TaskIndex) bound {
	if own := m.Problem.Tasks[t].NotBefore; own != nil {
		return m.boundAt(calendar.FromTime(*own))
	}
	return m.boundAt(m.DataDate)
}

// boundAt is the bound that a not_before sets, or the data date behind it.
func (m *Model) boundAt(notBefore calendar.Instant) bound {
	if notBefore > m.DataDate {
		return bound{at: notBefore, cause: Cause{Kind: ByNotBefore, Driver: None, Until: notBefore}}
	}
	return bound{at: m.DataDate, cause: Cause{Kind: ByDataDate, Driver: None, Until: m.DataDate}}
}

// tighten folds a link from done work into the bounds of the task it leads to.
func (m *Model) tighten(l *network.Link) {
	if l.Relation.BoundsFinish() {
		m.tightenTo(&m.ending[l.To], l)
	} else {
		m.tightenTo(&m.release[l.To], l)
	}
}

func (m *Model) tightenTo(b *bound, l *network.Link) {
	from := m.actualFinish[l.From]
	if l.Relation.FromStart() {
		from = m.actualStart[l.From]
	}
	if at := m.AddLag(l, from); at > b.at {
		*b = bound{at: at, cause: Cause{Kind: ByLink, Driver: l.From, Until: at}}
	}
}
