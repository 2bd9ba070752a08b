package plan

import (
	"time"

	"jambwright/scheduler/crewing"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// writer turns a schedule into a plan document.
type writer struct {
	m     *crewing.Model
	s     *crewing.Schedule
	dates *network.Dates
	bound crewing.Bound
}

func (w *writer) plan() *problem.Plan {
	plan := &problem.Plan{
		Version: problem.Version, Tasks: []problem.PlannedTask{}, Unplanned: []problem.Unplanned{}, GCDates: []problem.PlannedDate{},
	}
	for t := range crewing.TaskIndex(w.m.Tasks()) {
		if w.s.Placed[t] {
			plan.Tasks = append(plan.Tasks, w.task(t))
			continue
		}
		plan.Unplanned = append(plan.Unplanned, problem.Unplanned{Task: w.m.ID(t), Why: w.m.WhyUnplanned(w.s, t)})
	}
	for i := range w.m.GCDates {
		plan.GCDates = append(plan.GCDates, w.gcDate(i))
	}
	plan.Objective = w.objective()
	plan.LowerBound = w.lowerBound()
	plan.Notes = w.notes()
	return plan
}

func (w *writer) task(t crewing.TaskIndex) problem.PlannedTask {
	s := w.s
	row := problem.PlannedTask{
		ID: w.m.ID(t), Start: s.Start[t].Time(), Finish: s.Finish[t].Time(), Segments: [][2]time.Time{}, Reason: w.reason(t),
	}
	if crew := s.Crew[t]; crew != crewing.None {
		id := w.m.Problem.Crews[crew].ID
		row.Crew = &id
	}
	if w.m.StateOf(t) == crewing.Started {
		resume := s.Begin[t].Time()
		row.Resume = &resume
	}
	for _, segment := range w.m.Segments(s, t) {
		row.Segments = append(row.Segments, [2]time.Time{segment.Start.Time(), segment.Finish.Time()})
	}
	w.networkDates(t, &row)
	return row
}

func (w *writer) objective() problem.Objective {
	score := &w.s.Score
	return problem.Objective{
		LatenessCost: score.LatenessCost, Changes: score.Changes, TravelMinutes: score.TravelMinutes, IdleMinutes: score.IdleMinutes,
		Makespan: score.Makespan.Time(), Total: score.Total,
	}
}
