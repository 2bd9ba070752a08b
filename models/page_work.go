package models

import (
	"context"
	"slices"
	"time"

	"gorm.io/gorm"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// TaskState is where a task stands.
type TaskState string

// The states.
const (
	StateClear    TaskState = "clear"     // may start
	StateWaiting  TaskState = "waiting"   // something is missing
	StateUnderWay TaskState = "under_way" // started
	StateHeld     TaskState = "held"      // stopped by a stated cause
	StateDone     TaskState = "done"
)

// Work is a task with where it stands and what a plan says of it.
type Work struct {
	Task      Task      // with project, opening, area, crew
	Plan      *PlanTask // with crew; nil when the plan leaves the task out or there is none
	Unplanned string    // why the plan leaves it out; "" when it does not
	State     TaskState
	Missing   []Missing // what has to come before it and has not; ordered by when the plan expects it
	Pin       *Pin
}

// Missing is something that a task waits for: an unfinished task before it, a handover, a delivery.
type Missing struct {
	Task     Task       // with opening, area, handover, release and its supplier
	Expected *time.Time // finish in the same plan; nil when unplanned
}

// WorkQuery says which crew work to list. A zero field asks for everything.
type WorkQuery struct {
	PlanID     *int64  // nil: of each project the plan in force
	ProjectIDs []int64 // nil: all open projects
	CrewIDs    []int64
	From, To   time.Time // work between From and To, half-open; both zero: at any time
}

// CrewWork lists planned crew work in the order of crew, start and task: for the Tomorrow page one day, for the Crews page three
// weeks. It takes a fixed number of queries.
func CrewWork(ctx context.Context, r Reader, q WorkQuery) ([]Work, error) {
	which, err := choosePlan(ctx, r, q.PlanID)
	if err != nil {
		return nil, err
	}
	var rows []PlanTask
	if err := q.planTasks(r.in(ctx), which).Find(&rows).Error; err != nil {
		return nil, wrap(err, "list the work of crews")
	}
	rows = slices.DeleteFunc(rows, func(p PlanTask) bool { return !p.worksWithin(q.From, q.To) })
	ids := make([]int64, 0, len(rows))
	byTask := make(map[int64]*PlanTask, len(rows))
	for i := range rows {
		ids = append(ids, rows[i].TaskID)
		byTask[rows[i].TaskID] = &rows[i]
	}
	return workOf(ctx, r, ids, byTask, which)
}

// planTasks selects the plan's rows that may lie in the query's span.
func (q WorkQuery) planTasks(g *gorm.DB, which planChoice) *gorm.DB {
	g = inOpenProjects(which.of(g.Preload("Crew"), "plan_tasks")).Joins("JOIN crews ON crews.id = plan_tasks.crew_id")
	if q.ProjectIDs != nil {
		g = g.Where("tasks.project_id IN ?", q.ProjectIDs)
	}
	if q.CrewIDs != nil {
		g = g.Where("plan_tasks.crew_id IN ?", q.CrewIDs)
	}
	if !q.To.IsZero() {
		g = g.Where("plan_tasks.start_at < ? AND plan_tasks.finish_at >= ?", Instant(q.To), Instant(q.From))
	}
	return g.Order("crews.name, plan_tasks.crew_id, plan_tasks.start_at, plan_tasks.task_id")
}

// worksWithin reports whether a row has working time in a span; without one every row counts. Work that was over when the
// plan was made has no segments left and counts by its dates.
func (p *PlanTask) worksWithin(from, to time.Time) bool {
	if to.IsZero() {
		return true
	}
	for _, s := range p.Segments {
		if s.Start().Before(to) && s.Finish().After(from) {
			return true
		}
	}
	return len(p.Segments) == 0 && p.StartAt.Before(to) && !p.FinishAt.Before(from)
}

// workOf reads tasks in the order of ids, with their states, what they miss, and their pins.
func workOf(ctx context.Context, r Reader, ids []int64, planned map[int64]*PlanTask, which planChoice) ([]Work, error) {
	if len(ids) == 0 {
		return nil, nil
	}
	tasks, err := tasksByID(ctx, r, ids)
	if err != nil {
		return nil, err
	}
	pins, err := pinsOf(ctx, r, ids)
	if err != nil {
		return nil, err
	}
	missing, err := missingOf(ctx, r, ids, which)
	if err != nil {
		return nil, err
	}
	if err := readWorkSizes(ctx, r, tasks); err != nil {
		return nil, err
	}
	work := make([]Work, 0, len(ids))
	for _, id := range ids {
		w := Work{Task: tasks[id], Plan: planned[id], Missing: missing[id], Pin: pins[id]}
		w.State = stateOf(&w.Task, w.Missing)
		work = append(work, w)
	}
	return work, nil
}

// readWorkSizes reads what the openings of tasks are made to.
func readWorkSizes(ctx context.Context, r Reader, tasks map[int64]Task) error {
	var openings []*Opening
	for id := range tasks {
		if o := tasks[id].Opening; o != nil {
			openings = append(openings, o)
		}
	}
	return ReadSizes(ctx, r, openings...)
}

func tasksByID(ctx context.Context, r Reader, ids []int64) (map[int64]Task, error) {
	byID := make(map[int64]Task, len(ids))
	err := inChunks(ids, func(chunk []int64) error {
		var rows []Task
		err := r.in(ctx).Preload("Project").Preload("Opening.Area").Preload("Area").Preload("Crew").Preload("Release.Supplier").
			Preload("Release.Drops").Preload("Item.Supplier").Preload("Handover.Area").Where("id IN ?", chunk).Find(&rows).Error
		for _, row := range rows {
			byID[row.ID] = row
		}
		return wrap(err, "read %d tasks", len(chunk))
	})
	return byID, err
}

func pinsOf(ctx context.Context, r Reader, ids []int64) (map[int64]*Pin, error) {
	pins := map[int64]*Pin{}
	err := inChunks(ids, func(chunk []int64) error {
		var rows []Pin
		err := r.in(ctx).Preload("Crew").Where("task_id IN ?", chunk).Find(&rows).Error
		for i := range rows {
			pins[rows[i].TaskID] = &rows[i]
		}
		return wrap(err, "read pins")
	})
	return pins, err
}

// missingOf finds what keeps tasks from starting: tasks before them, over links that bind a start, that have not come as far
// as the link asks.
func missingOf(ctx context.Context, r Reader, ids []int64, which planChoice) (map[int64][]Missing, error) {
	missing := map[int64][]Missing{}
	err := inChunks(ids, func(chunk []int64) error {
		var links []TaskLink
		err := r.in(ctx).Preload("Before.Opening").Preload("Before.Area").Preload("Before.Handover.Area").Preload("Before.Crew").
			Preload("Before.Release.Supplier").Preload("Before.Release.Drops").Preload("Before.Item.Supplier").
			Where("after_id IN ? AND link_type IN ?", chunk, []problem.LinkType{problem.FinishToStart, problem.StartToStart}).
			Order("after_id, before_id").Find(&links).Error
		if err != nil {
			return wrap(err, "read what comes before tasks")
		}
		for _, l := range links {
			if l.Before.DroppedAt == nil && !l.isMet() {
				missing[l.AfterID] = append(missing[l.AfterID], Missing{Task: l.Before})
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return missing, expect(ctx, r, missing, which)
}

// isMet reports whether the task before has come as far as the link asks.
func (l *TaskLink) isMet() bool {
	if l.LinkType == problem.StartToStart && l.Before.StartedAt != nil {
		return true
	}
	return l.Before.IsComplete()
}

// IsComplete reports whether a task is finished, by its reports or, for handovers and material, by what is recorded of
// them. Handover, Release with Drops and Item must be loaded.
func (t *Task) IsComplete() bool {
	if t.FinishedAt != nil {
		return true
	}
	ordered, received := t.materialDates()
	switch t.Kind {
	case pattern.Handovers:
		return t.Handover != nil && t.Handover.Actual != nil
	case takeoff.Order:
		return ordered != nil
	case pattern.Lead, takeoff.Deliver:
		return received != nil
	}
	return false
}

func (t *Task) materialDates() (ordered, received *time.Time) {
	if t.Item != nil {
		return t.Item.OrderedAt, t.Item.ReceivedAt
	}
	if t.Release == nil {
		return nil, nil
	}
	for _, d := range t.Release.Drops {
		if t.DropNumber != nil && d.Number == *t.DropNumber {
			received = d.ReceivedAt
		}
	}
	return t.Release.OrderedAt, received
}

// expect fills in when the plan expects what is missing, and orders it so.
func expect(ctx context.Context, r Reader, missing map[int64][]Missing, which planChoice) error {
	var before []int64
	for _, list := range missing {
		for _, m := range list {
			before = append(before, m.Task.ID)
		}
	}
	slices.Sort(before)
	finish := map[int64]time.Time{}
	err := inChunks(slices.Compact(before), func(chunk []int64) error {
		q := which.of(r.in(ctx).Model(&PlanTask{}), "plan_tasks").Where("plan_tasks.task_id IN ?", chunk)
		var rows []struct {
			TaskID   int64
			FinishAt time.Time
		}
		err := q.Find(&rows).Error
		for _, row := range rows {
			finish[row.TaskID] = row.FinishAt
		}
		return wrap(err, "read when missing work is expected")
	})
	for _, list := range missing {
		for i := range list {
			if at, planned := finish[list[i].Task.ID]; planned {
				list[i].Expected = &at
			}
		}
		slices.SortStableFunc(list, func(a, b Missing) int { return compareExpected(a.Expected, b.Expected) })
	}
	return err
}

// compareExpected puts the unknown last.
func compareExpected(a, b *time.Time) int {
	switch {
	case a == nil && b == nil:
		return 0
	case a == nil:
		return 1
	case b == nil:
		return -1
	}
	return a.Compare(*b)
}

// stateOf is where a task stands. A hold goes before progress: held work under way is held.
func stateOf(t *Task, missing []Missing) TaskState {
	switch {
	case t.IsComplete():
		return StateDone
	case t.Held:
		return StateHeld
	case t.StartedAt != nil:
		return StateUnderWay
	case len(missing) > 0:
		return StateWaiting
	}
	return StateClear
}

// PlansInForce are the issues that open projects follow, by project id, with their plans.
func PlansInForce(ctx context.Context, r Reader) (map[int64]PlanIssue, error) {
	var rows []PlanIssue
	err := r.in(ctx).Preload("Plan").Where("id IN (SELECT MAX(id) FROM plan_issues GROUP BY project_id)").Find(&rows).Error
	if err != nil {
		return nil, wrap(err, "read the plans in force")
	}
	issues := make(map[int64]PlanIssue, len(rows))
	for _, row := range rows {
		issues[row.ProjectID] = row
	}
	return issues, nil
}
