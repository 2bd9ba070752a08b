package planning

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"runtime"
	"time"

	"jambwright/models"
	"jambwright/scheduler/forecast"
	"jambwright/scheduler/problem"
)

// The samples of a kept forecast. A large firm gets fewer, so that a forecast takes seconds, a minute at most.
const (
	leastSamples   = 400
	mostSamples    = 2_000
	fewestSamples  = 200
	samplesOfTasks = 6_000_000 // samples times tasks

	nightsForecastLimit = 2 * time.Minute // of the job's five
)

// foresee forecasts a plan with the spread that earlier forecasts ask for. The seed is always the same, so that forecasts differ
// by what happened and not by luck.
func foresee(ctx context.Context, db *models.DB, p *problem.Problem, plan *problem.Plan, progress func(done, most int)) (*forecast.Forecast, time.Duration, error) {
	kept, err := models.KeptForecasts(ctx, db)
	if err != nil {
		return nil, 0, err
	}
	begin := db.Now()
	most := max(fewestSamples, min(mostSamples, samplesOfTasks/max(1, len(p.Tasks))))
	f, err := forecast.Compute(ctx, p, plan, forecast.Options{
		Least: min(leastSamples, most), Most: most, Seed: 1, Workers: runtime.GOMAXPROCS(0),
		Spread: forecast.Calibrate(kept).Spread, Progress: progress,
	})
	return f, db.Now().Sub(begin), err
}

// Forecast forecasts a saved plan and keeps the result.
func Forecast(ctx context.Context, db *models.DB, planID int64, because models.ForecastBecause, actor models.Actor) error {
	p, plan, err := models.PlanDocuments(ctx, db, planID)
	if err != nil {
		return err
	}
	f, elapsed, err := foresee(ctx, db, p, plan, nil)
	if err != nil {
		return err
	}
	return db.Write(ctx, func(tx *models.Tx) error {
		_, err := models.SaveForecast(ctx, tx, models.ForecastToSave{
			PlanID: planID, Because: because, Problem: p, Forecast: f, Elapsed: elapsed, Actor: actor,
		})
		return err
	})
}

// Forecasts is the use case of a forecast that a person asks for: a job with progress that can be cancelled.
type Forecasts struct {
	db  *models.DB
	log *slog.Logger
}

// NewForecasts makes the use case.
func NewForecasts(db *models.DB, log *slog.Logger) *Forecasts { return &Forecasts{db: db, log: log} }

// errStopped is why a forecast ends that somebody cancelled.
var errStopped = errors.New("cancelled")

// Run makes the forecast that a row asks for; finish ends the job in the transaction that stores the result. A forecast that
// fails or is cancelled says so in its row, and its job is over.
func (f *Forecasts) Run(ctx context.Context, id int64, finish func(context.Context, *models.Tx) error) error {
	row, err := models.ForecastByID(ctx, f.db, id)
	if errors.Is(err, models.ErrNotFound) || err == nil && !row.State.IsOpen() {
		return f.db.Write(ctx, func(tx *models.Tx) error { return finish(ctx, tx) }) // cancelled before it began
	}
	if err != nil {
		return err
	}
	err = f.make(ctx, row, finish)
	if err == nil {
		return nil
	}
	state, failure := models.ForecastFailed, err.Error()
	if errors.Is(err, errStopped) {
		state, failure = models.ForecastCancelled, ""
	} else {
		f.log.Error("forecast failed", "forecast", id, "error", err)
	}
	ctx = context.WithoutCancel(ctx) // the job's own time may be up
	return f.db.Write(ctx, func(tx *models.Tx) error {
		return errors.Join(models.EndForecast(ctx, tx, id, state, failure), finish(ctx, tx))
	})
}

func (f *Forecasts) make(ctx context.Context, row *models.Forecast, finish func(context.Context, *models.Tx) error) error {
	p, plan, err := models.PlanDocuments(ctx, f.db, row.PlanID)
	if err != nil {
		return err
	}
	running, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	var told time.Time
	result, elapsed, err := foresee(running, f.db, p, plan, func(done, most int) {
		const often = 300 * time.Millisecond
		if now := f.db.Now(); done < most && now.Sub(told) < often {
			return
		} else {
			told = now
		}
		if err := f.tell(ctx, row.ID, done, most); err != nil {
			stop(err)
		}
	})
	if err != nil {
		return errors.Join(context.Cause(running), err)
	}
	return f.db.Write(ctx, func(tx *models.Tx) error {
		_, err := models.SaveForecast(ctx, tx, models.ForecastToSave{ID: row.ID, PlanID: row.PlanID, Problem: p, Forecast: result, Elapsed: elapsed})
		return errors.Join(err, finish(ctx, tx))
	})
}

// tell notes the progress; it is errStopped when somebody wants the forecast to stop.
func (f *Forecasts) tell(ctx context.Context, id int64, done, most int) error {
	return f.db.Write(ctx, func(tx *models.Tx) error {
		stop, err := models.ForecastProgress(ctx, tx, id, done, most)
		if err == nil && stop {
			err = errStopped
		}
		return err
	})
}

// forecast forecasts a night's plan. A night without a forecast is a night all the same; trouble says why it has none.
func (n *Nightly) forecast(ctx context.Context, made *Made) (f *forecast.Forecast, elapsed time.Duration, trouble string) {
	limited, cancel := context.WithTimeout(ctx, nightsForecastLimit)
	defer cancel()
	f, elapsed, err := foresee(limited, n.db, made.Problem, made.Plan, nil)
	switch {
	case errors.Is(err, context.DeadlineExceeded):
		return nil, elapsed, fmt.Sprintf("no forecast within %v", nightsForecastLimit)
	case err != nil:
		n.log.Error("the night's forecast failed", "error", err)
		return nil, elapsed, err.Error()
	}
	return f, elapsed, ""
}
