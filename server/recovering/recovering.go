// Package recovering is the use case of looking for moves that win days back. A page asks; a job of the queue looks, tells how
// far it is, and can be cancelled from any replica; the page shows what was found.
//
//	Ask: run row + job, one transaction ─> Search: plan's documents + lead times ─> recovery.Find ─> result on the run row
//
// The search reads the documents of the plan that pages show, not the firm as it is by now: what it finds is about the dates
// that people see. What a scenario does when it comes into force is planned on what is known then.
package recovering

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime"
	"time"

	"github.com/riverqueue/river"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/recovery"
	"jambwright/server/nightly"
)

// Args name one search. Kind is its job's name in the queue.
type Args struct {
	RunID int64 `json:"run_id" river:"unique"`
}

// Kind names the job in the queue's tables.
func (Args) Kind() string { return "recovery_search" }

// Queue is the queue that searches run in, so that they never hold up a night.
const Queue = "recovery"

// jobTimeout ends a search of a large firm that would take longer than anybody waits.
const jobTimeout = 10 * time.Minute

// InsertOpts puts the job into its own queue and never tries it twice: a search that failed is asked for again.
func (Args) InsertOpts() river.InsertOpts {
	return river.InsertOpts{Queue: Queue, MaxAttempts: 1, UniqueOpts: river.UniqueOpts{ByArgs: true}}
}

// Inserter is the queue as asking needs it: a job exists only if the transaction commits.
type Inserter interface {
	InsertJob(ctx context.Context, tx *models.Tx, args river.JobArgs) error
}

// Ask begins a search for moves that win days for a GC date in a plan. It is models.ErrDuplicate while one goes on.
func Ask(ctx context.Context, db *models.DB, queue Inserter, planID, gcDateID int64, actor models.Actor) (*models.RecoveryRun, error) {
	run := &models.RecoveryRun{GCDateID: gcDateID, PlanID: planID, UserID: actor.UserID}
	err := db.Write(ctx, func(tx *models.Tx) error {
		if err := models.BeginRecovery(ctx, tx, run); err != nil {
			return err
		}
		return queue.InsertJob(ctx, tx, Args{RunID: run.ID})
	})
	return run, err
}

// Cancel ends a search that is open; the job notices at its next plan.
func Cancel(ctx context.Context, db *models.DB, runID int64) error {
	return db.Write(ctx, func(tx *models.Tx) error {
		return models.EndRecovery(ctx, tx, runID, models.RunCancelled, nil, "")
	})
}

// Worker runs searches.
type Worker struct {
	river.WorkerDefaults[Args]
	DB        *models.DB
	Log       *slog.Logger
	Workers   int // plans made at once; 0 reads as the number of cores
	Schedules int // budget of each plan; 0 is the planner's default
}

// Job is the queue's share of this use case.
func Job(db *models.DB, log *slog.Logger) nightly.Other {
	return nightly.Other{Queue: Queue, Add: func(w *river.Workers) { river.AddWorker(w, &Worker{DB: db, Log: log}) }}
}

// Timeout is longer than that of a night.
func (w *Worker) Timeout(*river.Job[Args]) time.Duration { return jobTimeout }

// Work runs a job.
func (w *Worker) Work(ctx context.Context, job *river.Job[Args]) error {
	return w.Search(ctx, job.Args.RunID)
}

// Search runs one search and stores its end: what was found, what went wrong, or nothing when it was cancelled.
func (w *Worker) Search(ctx context.Context, runID int64) error {
	run, err := models.RecoveryRunByID(ctx, w.DB, runID)
	if err != nil || !run.Status.Open() {
		return err
	}
	found, err := w.find(ctx, run)
	status, cause := models.RunDone, ""
	switch {
	case errors.Is(err, context.Canceled): // by a person, or because the process ends
		status, err = models.RunCancelled, nil
	case errors.Is(err, recovery.ErrNoForecast):
		status, cause, err = models.RunFailed, err.Error(), nil
	case err != nil:
		status, cause = models.RunFailed, "the planner stopped: "+err.Error()
		w.Log.Error("search for moves failed", "run", runID, "error", err)
	}
	ctx = context.WithoutCancel(ctx)
	return errors.Join(err, w.DB.Write(ctx, func(tx *models.Tx) error {
		return models.EndRecovery(ctx, tx, runID, status, found, cause)
	}))
}

func (w *Worker) find(ctx context.Context, run *models.RecoveryRun) (*recovery.Result, error) {
	in, plan, err := Input(ctx, w.DB, run.PlanID, run.GCDateID)
	if err != nil {
		return nil, err
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	teller := &teller{ctx: ctx, db: w.DB, run: run.ID, cancel: cancel}
	workers := w.Workers
	if workers == 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	return recovery.Find(ctx, in, recovery.Options{Schedules: w.Schedules, Seed: plan, Workers: workers, Progress: teller.tell})
}

// teller stores how far a search is, and cancels it when its row was.
type teller struct {
	ctx    context.Context
	db     *models.DB
	run    int64
	cancel context.CancelFunc
}

func (t *teller) tell(done, total int) {
	err := t.db.Write(t.ctx, func(tx *models.Tx) error { return models.TellRecovery(t.ctx, tx, t.run, done, total) })
	if err != nil { // cancelled by a person, or the database is gone: either way nobody waits for the result
		t.cancel()
	}
}

// Input is what moves are looked for in: a saved plan's problem with the lead times of its material, and the plan's seed.
func Input(ctx context.Context, db *models.DB, planID, gcDateID int64) (in recovery.Input, seed uint64, err error) {
	err = db.ReadTogether(ctx, func(tx *models.Tx) error {
		doc, plan, err := models.PlanDocuments(ctx, tx, planID)
		if err != nil {
			return err
		}
		in.Problem, seed = doc, plan.Run.Seed
		date, err := models.GCDateByID(ctx, tx, gcDateID)
		if err != nil {
			return err
		}
		project, err := models.ProjectByID(ctx, tx, date.ProjectID)
		if err != nil {
			return err
		}
		in.GCDate = pattern.GCDateID(project.Code, date.Code)
		settings, err := models.RecoverySettingsOf(ctx, tx)
		if err != nil {
			return err
		}
		in.Settings = settings.Planner()
		firm, err := models.Snapshot(ctx, tx, doc.DataDate)
		if err != nil {
			return err
		}
		in.Supplies, err = supplies(firm)
		return err
	})
	return in, seed, err
}

// supplies are the lead times of all material of the firm, by the task of its time under way.
func supplies(firm pattern.Firm) ([]recovery.Supply, error) {
	_, index, err := pattern.Build(firm)
	if err != nil {
		return nil, fmt.Errorf("read the lead times: %w", err)
	}
	calendars := map[string]string{} // of suppliers, by name and by id, as entries name them
	for i := range firm.Projects {
		for _, s := range firm.Projects[i].Suppliers {
			calendars[s.ID], calendars[s.Name] = s.Calendar, s.Calendar
		}
	}
	var list []recovery.Supply
	for i := range index.Tasks {
		if e := &index.Tasks[i]; e.Kind == pattern.Lead {
			list = append(list, recovery.Supply{
				Lead: string(e.Key), Calendar: calendars[e.Supplier], LeastMinutes: e.Lead.Least * e.LeadDayMinutes, DayMinutes: e.LeadDayMinutes,
			})
		}
	}
	return list, nil
}
