package crewing

import (
	"fmt"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// StateOf tells how far a task's planning is settled before any schedule is made.
func (m *Model) StateOf(t TaskIndex) State { return m.state[t] }

// DocumentOrder lists the tasks to plan in an order that links allow, else as in the document. The slice belongs to the
// model.
func DocumentOrder(m *Model) []TaskIndex { return m.order }

// List is the order that the schedule was generated in. The slice belongs to the schedule.
func (s *Schedule) List() []TaskIndex { return s.list }

// WhyUnplanned is the rule that keeps a task out of a schedule.
func (m *Model) WhyUnplanned(s *Schedule, t TaskIndex) string {
	if why, ok := m.why[t]; ok {
		return why
	}
	if holder := m.HeldBy(t); holder == t {
		if cause := m.Problem.Tasks[t].NotBeforeCause; cause != "" {
			return "waits without a date: " + cause
		}
		return "waits without a date"
	} else if holder != None {
		return fmt.Sprintf("follows %s, which waits without a date", m.ID(holder))
	}
	for _, f := range s.Failed {
		if f.Task == t && f.Follows != None {
			return fmt.Sprintf("follows %s, which is not planned", m.ID(f.Follows))
		}
	}
	return fmt.Sprintf("no working time left for it by %s", m.To.Time().Format("2006-01-02"))
}

// Segments lists the working time of a placed task's piece, ascending. Empty for finished work and work of no length.
func (m *Model) Segments(s *Schedule, t TaskIndex) []calendar.Interval {
	if m.state[t] == Done || s.Begin[t] == s.Finish[t] {
		return nil
	}
	a := m.axes[m.optionOn(t, s.Crew[t]).Calendar]
	var segments []calendar.Interval
	for i := a.interval(s.Begin[t]); i < len(a.starts) && a.starts[i] < s.Finish[t]; i++ {
		segments = append(segments, calendar.Interval{Start: max(a.starts[i], s.Begin[t]), Finish: min(a.finishes[i], s.Finish[t])})
	}
	return segments
}

// optionOn is the option of a task on a crew, None for fixed work.
func (m *Model) optionOn(t TaskIndex, crew CrewIndex) *network.Option {
	options := m.Options(t)
	for i := range options {
		if options[i].Crew == crew {
			return &options[i]
		}
	}
	panic("crewing: task " + m.ID(t) + " was placed on a crew that it has no option for")
}

// Forecast is the latest finish of a GC date's tasks and the task that sets it; ok is false when one of them is unplanned.
func (m *Model) Forecast(s *Schedule, date int) (at calendar.Instant, last TaskIndex, ok bool) {
	return m.forecast(s, date)
}

// LateDays is the lateness of a GC date in days of 24 h, 0 when it is met or a task of it is unplanned.
func (m *Model) LateDays(s *Schedule, date int) float64 { return m.lateDays(s, date) }

// ResourceID is the limit or area that a cause by capacity names.
func (m *Model) ResourceID(c Cause) string { return m.resources[c.Index].id }

// CapacityDriver is the task whose finish freed the capacity that task t waited for: of those placed before it that held
// the capacity until then, the first in the document. None when no finish did.
func (m *Model) CapacityDriver(s *Schedule, t TaskIndex) TaskIndex {
	cause := &s.Cause[t]
	for other := range TaskIndex(m.Tasks()) {
		if !s.Placed[other] || s.Finish[other] != cause.Until || s.turn[other] >= s.turn[t] || m.state[other] == Done {
			continue
		}
		for _, u := range m.usesOf(other) {
			if u.resource == cause.Index {
				return other
			}
		}
	}
	return None
}

// IsAway reports whether a crew's absence, not its calendar, takes working time between two instants.
func (m *Model) IsAway(crew CrewIndex, from, to calendar.Instant) bool {
	for _, span := range m.Problem.Crews[crew].Away {
		if calendar.FromTime(span.From) < to && calendar.FromTime(span.To) > from {
			return true
		}
	}
	return false
}

// CalendarID names the calendar that a task's working time on a crew comes from: the crew's, or for fixed work its own.
func (m *Model) CalendarID(t TaskIndex, crew CrewIndex) string {
	if crew != None {
		return m.Problem.Crews[crew].Calendar
	}
	if name := m.Problem.Tasks[t].Calendar; name != "" {
		return name
	}
	return problem.Always
}
