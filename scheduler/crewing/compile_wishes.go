package crewing

import (
	"cmp"

	"jambwright/scheduler/calendar"
)

// wishes reads pins and the frozen window. A pin rules out the frozen place of its task. A pinned crew needs no wish:
// the compiled problem lists no other option.
func (b *modelBuilder) wishes() {
	m := b.m
	n := m.Tasks()
	m.wishes = make([]wish, n)
	b.issuedLines()
	line := m.issuedOf
	for t := range TaskIndex(n) {
		m.wishes[t] = wish{crew: None, start: calendar.Never}
		if m.state[t] != Open {
			continue
		}
		switch pin := b.p.Tasks[t].Pin; {
		case pin != nil && pin.Start != nil:
			m.wishes[t].start = calendar.FromTime(*pin.Start)
		case pin != nil || line[t] == None || b.p.FrozenUntil == nil:
		case m.issued[line[t]].start < calendar.FromTime(*b.p.FrozenUntil):
			issued := &m.issued[line[t]]
			m.wishes[t] = wish{crew: issued.crew, start: issued.start, isFrozen: true}
		}
	}
}

// issuedLines keeps the lines of the plan in force whose tasks have not begun, since only those can change, and where the
// rest of the work under way was to go on.
func (b *modelBuilder) issuedLines() {
	m := b.m
	m.issuedOf, m.rest = make([]int32, m.Tasks()), make([]rest, m.Tasks())
	for t := range m.issuedOf {
		m.issuedOf[t], m.rest[t] = None, rest{at: calendar.Never, crew: None}
	}
	for i := range b.p.Issued {
		t := m.TaskOf(b.p.Issued[i].Task)
		if m.state[t] == Started {
			m.rest[t] = rest{at: m.DataDate, crew: b.issuedCrew(i)}
			if resume := b.p.Issued[i].Resume; resume != nil {
				m.rest[t].at = max(m.DataDate, calendar.FromTime(*resume))
			}
		}
		if b.p.Tasks[t].Status != nil {
			continue
		}
		issued := issuedLine{task: t, crew: b.issuedCrew(i), start: calendar.FromTime(b.p.Issued[i].Start)}
		m.issuedOf[t] = int32(len(m.issued))
		m.issued = append(m.issued, issued)
	}
}

// issuedCrew is the crew that a line of the plan in force names, None without one.
func (b *modelBuilder) issuedCrew(line int) CrewIndex {
	if id := b.p.Issued[line].Crew; id != "" {
		return b.crews[id]
	}
	return None
}

// compareWishes orders wished places by start, then by the document.
func compareWishes(m *Model) func(a, b TaskIndex) int {
	return func(a, b TaskIndex) int {
		return cmp.Or(cmp.Compare(m.wishes[a].start, m.wishes[b].start), cmp.Compare(a, b))
	}
}
