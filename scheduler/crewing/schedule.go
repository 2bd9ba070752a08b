package crewing

import "jambwright/scheduler/calendar"

// Schedule is one complete plan: where every task that could be placed lies. Slices have one entry per task index. Begin is
// where the piece begins (the resume of a started task, else its start). Crew is None for fixed work.
type Schedule struct {
	Start, Begin, Finish []calendar.Instant
	Crew                 []CrewIndex
	Placed               []bool  // done tasks count as placed
	Cause                []Cause // why it begins where it begins; Moved tells why a pin or frozen place was lost
	Moved                []Moved
	Failed               []Failure
	Score                Score

	turn     []int32    // per task: when it was placed, counted from the first place taken; causes name earlier turns only
	turns    int32      // places taken so far
	crewWork []crewWork // per crew
	list     []TaskIndex
	choice   []int16
	taste    taste
}

// Moved is a task that could not keep its pinned or frozen place, and what took it.
type Moved struct {
	Task  TaskIndex
	Cause Cause
}

// Failure is a task that found no place; Why is the rule that refused it.
type Failure struct {
	Task      TaskIndex
	Follows   TaskIndex // the unplanned task it is linked from, or None: no working time left
	NeedsTime bool      // a longer horizon may help
}

// crewWork is what has been placed on a crew so far, for the objective.
type crewWork struct {
	first, last TaskIndex // by sequence, None without work
	from, to    calendar.WorkMinutes
	work, moves calendar.WorkMinutes // minutes worked; minutes lost between tasks, the move from home not included
}

func newSchedule(m *Model) *Schedule {
	n := m.Tasks()
	s := &Schedule{
		Start: make([]calendar.Instant, n), Begin: make([]calendar.Instant, n), Finish: make([]calendar.Instant, n),
		Crew: make([]CrewIndex, n), Placed: make([]bool, n), Cause: make([]Cause, n),
		turn: make([]int32, n), crewWork: make([]crewWork, len(m.crews)),
	}
	for t := range n {
		s.Crew[t] = None
		if m.state[t] == Done {
			s.Placed[t], s.Start[t], s.Begin[t], s.Finish[t] = true, m.actualStart[t], m.actualStart[t], m.actualFinish[t]
			s.Crew[t] = m.actual[t]
			s.Cause[t] = Cause{Kind: ByStatus, Driver: None, Until: m.actualStart[t]}
		}
	}
	return s
}

// copyFrom makes s equal to another schedule of the same model, sharing no memory with it.
func (s *Schedule) copyFrom(o *Schedule) {
	copy(s.Start, o.Start)
	copy(s.Begin, o.Begin)
	copy(s.Finish, o.Finish)
	copy(s.Crew, o.Crew)
	copy(s.Placed, o.Placed)
	copy(s.Cause, o.Cause)
	copy(s.turn, o.turn)
	s.turns = o.turns
	copy(s.crewWork, o.crewWork)
	s.Moved = append(s.Moved[:0], o.Moved...)
	s.Failed = append(s.Failed[:0], o.Failed...)
	s.list = append(s.list[:0], o.list...)
	s.choice = append(s.choice[:0], o.choice...)
	s.taste = o.taste
	s.Score = o.Score
}
