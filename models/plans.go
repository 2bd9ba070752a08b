package models

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"time"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// PlanToSave is a computed plan with what it was made from.
type PlanToSave struct {
	Problem *problem.Problem
	Plan    *problem.Plan
	Bases   map[string]takeoff.Basis // by key, of tasks that several openings share
	ReadAt  time.Time                // everything known up to here was read; zero: up to the data date
	Because MadeBecause
	Actor   Actor
	// After is the latest plan that was stored when this one was made. Where another one has been stored since, this one
	// is refused as *ErrStale: it would undo what the other took in. Nil does not ask.
	After *int64
}

// SavePlan stores a plan of the whole firm with all its parts, and the tasks of its problem (see SyncTasks). The caller has
// had it checked. Nothing follows it until it is issued.
func SavePlan(ctx context.Context, tx *Tx, in PlanToSave) (*Plan, error) {
	if err := onePlanAtATime(ctx, tx); err != nil {
		return nil, err
	}
	if err := notOvertaken(ctx, tx, in.After); err != nil {
		return nil, err
	}
	tasks, err := SyncTasks(ctx, tx, in.Problem, in.Bases)
	if err != nil {
		return nil, fmt.Errorf("save a plan: %w", err)
	}
	plan := planRow(in, tx.Now())
	if err := create(ctx, tx, "a plan", plan); err != nil {
		return nil, err
	}
	w := planWriter{ctx: ctx, tx: tx, id: plan.ID, tasks: tasks, in: in}
	for _, write := range []func() error{w.documents, w.plannedTasks, w.unplanned, w.dates} {
		if err := write(); err != nil {
			return nil, fmt.Errorf("save plan %d: %w", plan.ID, err)
		}
	}
	return plan, nil
}

// planLock is the number of PostgreSQL's advisory lock for saving plans; any number that nobody else uses.
const planLock = 20_260_701

// onePlanAtATime makes a second plan wait until the first is stored: both would add the same new tasks. SQLite has one
// writer at a time anyway.
func onePlanAtATime(ctx context.Context, tx *Tx) error {
	if tx.gorm.Name() == string(SQLite) {
		return nil
	}
	return wrap(tx.in(ctx).Exec("SELECT pg_advisory_xact_lock(?)", planLock).Error, "wait for another plan to be saved")
}

// notOvertaken refuses a plan that was made before the latest one was stored.
func notOvertaken(ctx context.Context, tx *Tx, after *int64) error {
	if after == nil {
		return nil
	}
	latest, err := LatestPlan(ctx, tx)
	if err == nil && latest.ID != *after {
		return &ErrStale{What: "the latest plan", Read: *after, Version: latest.ID, Current: latest}
	}
	return err
}

func planRow(in PlanToSave, madeAt time.Time) *Plan {
	o, b, run, weights := in.Plan.Objective, in.Plan.LowerBound, in.Plan.Run, in.Problem.EffectiveWeights()
	return &Plan{
		DataDate: Instant(in.Problem.DataDate), MadeAt: madeAt, ReadAt: timePtr(in.ReadAt), MadeBecause: in.Because, UserID: in.Actor.UserID,
		Schedules: run.Schedules, Seed: strconv.FormatUint(run.Seed, 10), StoppedBy: run.StoppedBy, ElapsedMS: run.ElapsedMS,
		LatenessCost: o.LatenessCost, Changes: o.Changes, TravelMinutes: o.TravelMinutes, IdleMinutes: o.IdleMinutes,
		Makespan: timePtr(o.Makespan), ObjectiveTotal: o.Total,
		BoundLatenessCost: b.LatenessCost, BoundLatenessProved: b.LatenessCostProved,
		BoundMakespan: timePtr(b.Makespan), BoundMakespanProved: b.MakespanProved, BoundProved: b.Proved,
		WeightLateness: weights.Lateness, WeightChange: weights.Change, WeightTravel: weights.Travel, WeightEarly: weights.Early,
		Notes: in.Plan.Notes,
	}
}

// planWriter writes the parts of a plan.
type planWriter struct {
	ctx   context.Context
	tx    *Tx
	id    int64
	tasks map[string]int64
	in    PlanToSave
}

func (w *planWriter) documents() error {
	p, err := compressed(w.in.Problem)
	if err != nil {
		return err
	}
	plan, err := compressed(w.in.Plan)
	if err != nil {
		return err
	}
	return create(w.ctx, w.tx, "documents", &PlanDocument{PlanID: w.id, Problem: p, Plan: plan})
}

func (w *planWriter) taskID(key string) (int64, error) {
	id, known := w.tasks[key]
	if !known {
		return 0, fmt.Errorf("task %s is in the plan but not in its problem: %w", key, ErrNotFound)
	}
	return id, nil
}

func (w *planWriter) plannedTasks() error {
	crews, err := crewIDs(w.ctx, w.tx)
	if err != nil {
		return err
	}
	rows := make([]PlanTask, 0, len(w.in.Plan.Tasks))
	for i := range w.in.Plan.Tasks {
		t := &w.in.Plan.Tasks[i]
		task, err := w.taskID(t.ID)
		if err != nil {
			return err
		}
		row := PlanTask{
			PlanID: w.id, TaskID: task, StartAt: Instant(t.Start), FinishAt: Instant(t.Finish),
			EarlyStart: Instant(t.EarlyStart), EarlyFinish: Instant(t.EarlyFinish),
			LateStart: Instant(t.LateStart), LateFinish: Instant(t.LateFinish),
			TotalFloatMinutes: t.TotalFloatMinutes, FreeFloatMinutes: t.FreeFloatMinutes, Critical: t.Critical,
			ReasonKind: string(t.Reason.Kind), ReasonRef: t.Reason.Ref, ReasonUntil: timePtr(t.Reason.Until),
			Segments: segments(t.Segments),
		}
		if t.Resume != nil {
			row.ResumeAt = timePtr(*t.Resume)
		}
		if t.Crew != nil {
			crew, known := crews[*t.Crew]
			if !known {
				return fmt.Errorf("task %s: no crew %q: %w", t.ID, *t.Crew, ErrNotFound)
			}
			row.CrewID = &crew
		}
		rows = append(rows, row)
	}
	return createAll(w.ctx, w.tx, "planned tasks", rows)
}

func segments(spans [][2]time.Time) List[Segment] {
	out := make(List[Segment], 0, len(spans))
	for _, s := range spans {
		out = append(out, Segment{s[0].Unix() / 60, s[1].Unix() / 60})
	}
	return out
}

// Start is the instant at which the segment starts.
func (s Segment) Start() time.Time { return time.Unix(s[0]*60, 0).UTC() }

// Finish is the instant at which the segment ends.
func (s Segment) Finish() time.Time { return time.Unix(s[1]*60, 0).UTC() }

func (w *planWriter) unplanned() error {
	rows := make([]PlanUnplanned, 0, len(w.in.Plan.Unplanned))
	for _, u := range w.in.Plan.Unplanned {
		task, err := w.taskID(u.Task)
		if err != nil {
			return err
		}
		rows = append(rows, PlanUnplanned{PlanID: w.id, TaskID: task, Why: u.Why})
	}
	return createAll(w.ctx, w.tx, "unplanned tasks", rows)
}

func (w *planWriter) dates() error {
	ids, err := gcDateIDs(w.ctx, w.tx)
	if err != nil {
		return err
	}
	due := map[string]time.Time{}
	for _, d := range w.in.Problem.GCDates {
		due[d.ID] = d.Date
	}
	rows := make([]PlanDate, 0, len(w.in.Plan.GCDates))
	for _, d := range w.in.Plan.GCDates {
		id, known := ids[d.ID]
		if !known {
			return fmt.Errorf("GC date %s: %w", d.ID, ErrNotFound)
		}
		row := PlanDate{
			PlanID: w.id, GCDateID: id, DueAt: Instant(due[d.ID]), FloatMinutes: d.FloatMinutes, LateDays: d.LateDays,
			DrivingChain: d.DrivingChain,
		}
		if d.Forecast != nil {
			row.ForecastAt = timePtr(*d.Forecast)
		}
		rows = append(rows, row)
	}
	return createAll(w.ctx, w.tx, "GC dates", rows)
}

func crewIDs(ctx context.Context, r Reader) (map[string]int64, error) {
	var rows []Crew
	if err := r.in(ctx).Select("id", "code").Find(&rows).Error; err != nil {
		return nil, wrap(err, "read the crews")
	}
	ids := make(map[string]int64, len(rows))
	for _, c := range rows {
		ids[c.Code] = c.ID
	}
	return ids, nil
}

// gcDateIDs finds GC dates by their id in a problem document.
func gcDateIDs(ctx context.Context, r Reader) (map[string]int64, error) {
	var rows []struct {
		ID            int64
		Project, Code string
	}
	err := r.in(ctx).Table("gc_dates").Select("gc_dates.id, projects.code AS project, gc_dates.code").
		Joins("JOIN projects ON projects.id = gc_dates.project_id").Find(&rows).Error
	if err != nil {
		return nil, wrap(err, "read the GC dates")
	}
	ids := make(map[string]int64, len(rows))
	for _, g := range rows {
		ids[pattern.GCDateID(g.Project, g.Code)] = g.ID
	}
	return ids, nil
}

func compressed(document any) ([]byte, error) {
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	if err := errors.Join(json.NewEncoder(z).Encode(document), z.Close()); err != nil {
		return nil, fmt.Errorf("compress a document: %w", err)
	}
	return out.Bytes(), nil
}

func decompress(data []byte, document any) error {
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return fmt.Errorf("read a compressed document: %w", err)
	}
	text, err := io.ReadAll(z)
	if err != nil {
		return fmt.Errorf("read a compressed document: %w", err)
	}
	return json.Unmarshal(text, document)
}

// PlanDocuments reads back the problem and the plan that were saved.
func PlanDocuments(ctx context.Context, r Reader, planID int64) (*problem.Problem, *problem.Plan, error) {
	var row PlanDocument
	if err := r.in(ctx).Take(&row, "plan_id = ?", planID).Error; err != nil {
		return nil, nil, wrap(err, "read the documents of plan %d", planID)
	}
	var p problem.Problem
	var plan problem.Plan
	if err := errors.Join(decompress(row.Problem, &p), decompress(row.Plan, &plan)); err != nil {
		return nil, nil, fmt.Errorf("plan %d: %w", planID, err)
	}
	return &p, &plan, nil
}

// PlanByID reads a plan's own row.
func PlanByID(ctx context.Context, r Reader, id int64) (*Plan, error) {
	return byID[Plan](ctx, r, "plan", id)
}

// LatestPlan reads the plan made last, issued or not.
func LatestPlan(ctx context.Context, r Reader) (*Plan, error) {
	var plan Plan
	if err := r.in(ctx).Order("id DESC").First(&plan).Error; err != nil {
		return nil, wrap(err, "find the latest plan")
	}
	return &plan, nil
}

// IssuedPlan reads the issue that a project's crews follow, with its plan.
func IssuedPlan(ctx context.Context, r Reader, projectID int64) (*PlanIssue, error) {
	var issue PlanIssue
	err := r.in(ctx).Preload("Plan").Where("project_id = ?", projectID).Order("id DESC").First(&issue).Error
	if err != nil {
		return nil, wrap(err, "find the issued plan of project %d", projectID)
	}
	return &issue, nil
}

// IssuePlan makes a plan the one that a project's crews follow.
func IssuePlan(ctx context.Context, tx *Tx, planID, projectID int64, automatic bool, actor Actor) (*PlanIssue, error) {
	if _, err := PlanByID(ctx, tx, planID); err != nil {
		return nil, err
	}
	issue := &PlanIssue{PlanID: planID, ProjectID: projectID, IssuedAt: tx.Now(), UserID: actor.UserID, Automatic: automatic}
	if err := create(ctx, tx, "the issue of plan "+strconv.FormatInt(planID, 10), issue); err != nil {
		return nil, err
	}
	about := subject{kind: "plan", id: planID, projectID: &projectID}
	return issue, record(ctx, tx, actor, "issue", about, map[string]any{"automatic": automatic})
}

// SetBaseline keeps an issued plan of a project under a name.
func SetBaseline(ctx context.Context, tx *Tx, b *Baseline, actor Actor) error {
	b.SetAt, b.UserID = tx.Now(), actor.UserID
	if err := create(ctx, tx, "baseline "+b.Name, b); err != nil {
		return err
	}
	about := subject{kind: "plan", id: b.PlanID, projectID: &b.ProjectID}
	return record(ctx, tx, actor, "set baseline", about, map[string]any{"name": b.Name})
}
