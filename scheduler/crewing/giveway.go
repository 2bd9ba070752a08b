package crewing

import (
	"cmp"
	"slices"

	"jambwright/scheduler/calendar"
)

// mostRounds bounds the schedules that giveWay makes.
const mostRounds = 16

// giveWay begins with the schedule that changes least of the plan in force, and lets other work leave its place there as far as
// the dates need it that are later in it than in the best schedule so far: round by round, for work of such a date that waits for its
// crew or for a shared limit, about as much of the work that is held before it there gives way.
func (s *search) giveWay(stayed *Schedule) {
	list := s.asIssued()
	needed := newAncestry(s.m)
	for range mostRounds {
		if s.over() || !s.makeRoom(stayed, needed) {
			return
		}
		stayed.copyFrom(s.w.Generate(list))
		s.count()
		s.keep(s.people.newcomer(s.m, stayed))
	}
}

// makeRoom chooses the work that gives way, beside what does already, and reports whether there was more.
func (s *search) makeRoom(from *Schedule, needed *ancestry) (any bool) {
	m := s.m
	copy(s.w.choice, from.choice)
	var held []TaskIndex
	for _, t := range s.w.linesByStart() {
		if from.choice[t] == inPlace && from.Placed[t] {
			held = append(held, t)
		}
	}
	for i := range m.GCDates {
		if m.GCDates[i].Damages*(m.lateDays(from, i)-m.lateDays(s.best, i)) <= 0 {
			continue
		}
		waiting := slices.Clone(needed.of(m.GCDates[i].Tasks))
		slices.SortFunc(waiting, func(a, b TaskIndex) int { return cmp.Or(cmp.Compare(from.Begin[a], from.Begin[b]), cmp.Compare(a, b)) })
		for _, t := range waiting {
			if cause := &from.Cause[t]; from.Placed[t] && from.choice[t] != inPlace && (cause.Kind == ByCrew || cause.Kind == ByCapacity) {
				any = s.clear(from, t, held, needed) || any
			}
		}
	}
	return any
}

// clear lets work that is held between the instant at which links let a task begin and its begin leave, first come first, until it
// makes as many minutes as the task has. What the date itself needs stays.
func (s *search) clear(from *Schedule, t TaskIndex, held []TaskIndex, needed *ancestry) (any bool) {
	m, cause := s.m, &from.Cause[t]
	ready := m.readyAt(from, t)
	wanted := from.Finish[t] - from.Begin[t]
	for _, other := range held {
		if from.Begin[other] >= from.Begin[t] || wanted <= 0 {
			break
		}
		inTheWay := from.Finish[other] > ready && s.w.choice[other] == inPlace && !needed.has(other)
		if !inTheWay || cause.Kind == ByCrew && from.Crew[other] != from.Crew[t] || cause.Kind == ByCapacity && !m.usesResource(other, cause.Index) {
			continue
		}
		s.w.choice[other] = None
		wanted -= from.Finish[other] - max(ready, from.Begin[other])
		any = true
	}
	return any
}

func (m *Model) usesResource(t TaskIndex, resource int32) bool {
	return slices.ContainsFunc(m.usesOf(t), func(u use) bool { return u.resource == resource })
}

// readyAt is when the task's own dates and the links to its start let it begin.
func (m *Model) readyAt(s *Schedule, t TaskIndex) calendar.Instant {
	at := m.release[t].at
	for _, l := range m.into(t) {
		if l.relation&toFinish != 0 || !s.Placed[l.task] {
			continue
		}
		from := s.Finish[l.task]
		if l.relation&fromStart != 0 {
			from = s.Start[l.task]
		}
		if l.lag != 0 {
			from = m.axes[l.axis].add(from, l.lag)
		}
		at = max(at, from)
	}
	return at
}
