// Package forecasting is the use case of a forecast that a person asks for. A page asks; a job of the queue makes samples, tells
// how far it is, and can be cancelled from any replica; the page shows what came of it. Nights make their own, see package planning.
//
//	Ask: forecast row + job, one transaction ─> Run: plan's documents ─> planning.Foresee ─> result on the row, end of the job
package forecasting

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver"

	"jambwright/models"
	"jambwright/server/nightly"
	"jambwright/server/planning"
)

// Args name one forecast. Kind is its job's name in the queue.
type Args struct {
	ForecastID int64 `json:"forecast_id" river:"unique"`
}

// Kind names the job in the queue's tables.
func (Args) Kind() string { return "forecast" }

// Queue is the queue that forecasts run in, so that they never hold up a night.
const Queue = "forecast"

// InsertOpts puts the job into its own queue. A job whose process was killed is tried once more.
func (Args) InsertOpts() river.InsertOpts {
	return river.InsertOpts{Queue: Queue, MaxAttempts: 2, UniqueOpts: river.UniqueOpts{ByArgs: true}}
}

// Inserter is the queue as asking needs it: a job exists only if the transaction commits.
type Inserter interface {
	InsertJob(ctx context.Context, tx *models.Tx, args river.JobArgs) error
}

// Ask begins a forecast of a plan. It is models.ErrDuplicate while one goes on.
func Ask(ctx context.Context, db *models.DB, queue Inserter, planID int64, actor models.Actor) error {
	return db.Write(ctx, func(tx *models.Tx) error {
		row, err := models.AskForecast(ctx, tx, planID, actor)
		if err != nil {
			return err
		}
		return queue.InsertJob(ctx, tx, Args{ForecastID: row.ID})
	})
}

// Cancel ends a forecast that is open; the job notices at its next batch of samples.
func Cancel(ctx context.Context, db *models.DB, id int64, actor models.Actor) error {
	return db.Write(ctx, func(tx *models.Tx) error { return models.CancelForecast(ctx, tx, id, actor) })
}

// Worker runs forecasts.
type Worker struct {
	river.WorkerDefaults[Args]
	DB  *models.DB
	Log *slog.Logger
}

// Job is the queue's share of this use case.
func Job(db *models.DB, log *slog.Logger) nightly.Other {
	return nightly.Other{Queue: Queue, Add: func(w *river.Workers) { river.AddWorker(w, &Worker{DB: db, Log: log}) }}
}

// Work makes the forecast and ends the job in the transaction that stores it.
func (w *Worker) Work(ctx context.Context, job *river.Job[Args]) error {
	return w.Run(ctx, job.Args.ForecastID, func(ctx context.Context, tx *models.Tx) error {
		_, err := river.JobCompleteTx[riverdriver.Driver[*sql.Tx]](ctx, tx.SQL(), job)
		return err
	})
}

// errStopped is why a forecast ends that somebody cancelled.
var errStopped = errors.New("cancelled")

// Run makes the forecast that a row asks for; finish ends the job in the transaction that stores the result. A forecast that
// fails or is cancelled says so in its row, and its job is over.
func (w *Worker) Run(ctx context.Context, id int64, finish func(context.Context, *models.Tx) error) error {
	row, err := models.ForecastByID(ctx, w.DB, id)
	if errors.Is(err, models.ErrNotFound) || err == nil && !row.State.IsOpen() {
		return w.DB.Write(ctx, func(tx *models.Tx) error { return finish(ctx, tx) }) // cancelled before it began
	}
	if err != nil {
		return err
	}
	err = w.make(ctx, row, finish)
	if err == nil {
		return nil
	}
	state, failure := models.ForecastFailed, err.Error()
	if errors.Is(err, errStopped) {
		state, failure = models.ForecastCancelled, ""
	} else {
		w.Log.Error("forecast failed", "forecast", id, "error", err)
	}
	ctx = context.WithoutCancel(ctx) // the job's own time may be up
	return w.DB.Write(ctx, func(tx *models.Tx) error {
		return errors.Join(models.EndForecast(ctx, tx, id, state, failure), finish(ctx, tx))
	})
}

func (w *Worker) make(ctx context.Context, row *models.Forecast, finish func(context.Context, *models.Tx) error) error {
	p, plan, err := models.PlanDocuments(ctx, w.DB, row.PlanID)
	if err != nil {
		return err
	}
	running, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	const often = 300 * time.Millisecond
	var told time.Time
	result, elapsed, err := planning.Foresee(running, w.DB, p, plan, 0, func(done, most int) {
		if now := w.DB.Now(); now.Sub(told) >= often {
			told = now
			if err := w.tell(ctx, row.ID, done, most); err != nil {
				stop(err)
			}
		}
	})
	if err != nil {
		if cause := context.Cause(running); cause != nil {
			err = fmt.Errorf("%w: %w", cause, err)
		}
		return err
	}
	return w.DB.Write(ctx, func(tx *models.Tx) error {
		_, err := models.SaveForecast(ctx, tx, models.ForecastToSave{ID: row.ID, PlanID: row.PlanID, Problem: p, Forecast: result, Elapsed: elapsed})
		return errors.Join(err, finish(ctx, tx))
	})
}

// tell notes the progress; it is errStopped when somebody wants the forecast to stop.
func (w *Worker) tell(ctx context.Context, id int64, done, most int) error {
	return w.DB.Write(ctx, func(tx *models.Tx) error {
		stop, err := models.ForecastProgress(ctx, tx, id, done, most)
		if err == nil && stop {
			err = errStopped
		}
		return err
	})
}
