package plan

import (
	"strings"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/problem"
)

// refIssued is the reference of a reason that keeps a place from the issued plan.
const refIssued = "issued"

// reason says what holds a task's start, or its resume when it has started.
func (w *writer) reason(t crewing.TaskIndex) problem.Reason {
	s := w.s
	if w.m.StateOf(t) == crewing.Done {
		return problem.Reason{Kind: problem.ReasonStatus, Until: s.Begin[t].Time()}
	}
	return reasonOf(w.m, t, s.Crew[t], s.Cause[t], s.Begin[t])
}

// reasonOf puts the cause of an unfinished task's begin on a crew into the words of the plan document.
func reasonOf(m *crewing.Model, t crewing.TaskIndex, crew crewing.CrewIndex, cause crewing.Cause, begin calendar.Instant) problem.Reason {
	if m.StateOf(t) == crewing.Started && cause.Kind == crewing.ByDataDate {
		return problem.Reason{Kind: problem.ReasonStatus, Until: begin.Time()}
	}
	// A bound on the finish lets go when the start that satisfies it is reached.
	r := problem.Reason{Until: min(cause.Until, begin).Time()}
	switch cause.Kind {
	case crewing.ByNotBefore:
		r.Kind, r.Ref = notBeforeReason(m.Problem.Tasks[t].NotBeforeCause)
	case crewing.ByLink:
		r.Kind, r.Ref = predecessorKind(m.Problem.Tasks[cause.Driver].Kind), m.ID(cause.Driver)
	case crewing.ByCrew:
		r.Kind, r.Ref = problem.ReasonCrew, m.Problem.Crews[crew].ID
	case crewing.ByCapacity:
		r.Kind, r.Ref = problem.ReasonCapacity, m.ResourceID(cause)
	case crewing.ByPin:
		r.Kind = problem.ReasonPin
	case crewing.ByFrozen:
		r.Kind, r.Ref = problem.ReasonPin, refIssued
	case crewing.ByStatus:
		r.Kind = problem.ReasonStatus
	default:
		dataDateReason(m, t, crew, begin, &r)
	}
	return r
}

// dataDateReason tells apart work that may start at once, and work that waits for its calendar or its crew's return.
func dataDateReason(m *crewing.Model, t crewing.TaskIndex, crew crewing.CrewIndex, begin calendar.Instant, r *problem.Reason) {
	switch {
	case begin == m.DataDate:
		r.Kind = problem.ReasonDataDate
	case crew != crewing.None && m.IsAway(crew, m.DataDate, begin):
		r.Kind, r.Ref, r.Until = problem.ReasonCrew, m.Problem.Crews[crew].ID, begin.Time()
	default:
		r.Kind, r.Ref, r.Until = problem.ReasonCalendar, m.CalendarID(t, crew), begin.Time()
	}
}

// notBeforeReason reads the kind of a not_before from the first word of its cause.
func notBeforeReason(cause string) (problem.ReasonKind, string) {
	word, _, _ := strings.Cut(strings.ToLower(cause), " ")
	switch strings.TrimRight(word, ":,;.") {
	case "handover":
		return problem.ReasonHandover, cause
	case "material":
		return problem.ReasonMaterial, cause
	}
	return problem.ReasonCalendar, cause
}

// predecessorKind names the kinds of predecessor that people ask for by another word.
func predecessorKind(kind string) problem.ReasonKind {
	switch kind {
	case "handover":
		return problem.ReasonHandover
	case "order", "deliver":
		return problem.ReasonMaterial
	}
	return problem.ReasonPredecessor
}
