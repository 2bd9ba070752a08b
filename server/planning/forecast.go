package planning

import (
	"cmp"
	"context"
	"errors"
	"fmt"
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

	forecastLimit = 2 * time.Minute // of a night's
)

// Foresee forecasts a plan with the spread that earlier forecasts ask for. The seed is always the same, so that forecasts differ
// by what happened and not by luck. samples 0 makes as many as the P80s need and the firm's size allows.
func Foresee(ctx context.Context, db *models.DB, p *problem.Problem, plan *problem.Plan, samples int, progress func(done, most int)) (*forecast.Forecast, time.Duration, error) {
	kept, err := models.KeptForecasts(ctx, db)
	if err != nil {
		return nil, 0, err
	}
	begin := db.Now()
	most := max(fewestSamples, min(mostSamples, samplesOfTasks/max(1, len(p.Tasks))))
	least := min(leastSamples, most)
	if samples > 0 {
		least, most = samples, samples
	}
	f, err := forecast.Compute(ctx, p, plan, forecast.Options{
		Least: least, Most: most, Seed: 1, Workers: runtime.GOMAXPROCS(0),
		Spread: forecast.Calibrate(kept).Spread, Progress: progress,
	})
	return f, db.Now().Sub(begin), err
}

// forecast forecasts a night's plan. A night without a forecast is a night all the same; trouble says why it has none.
func (n *Nightly) forecast(ctx context.Context, made *Made) (f *forecast.Forecast, elapsed time.Duration, trouble string) {
	limit := cmp.Or(n.ForecastLimit, forecastLimit)
	limited, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	f, elapsed, err := Foresee(limited, n.db, made.Problem, made.Plan, n.Samples, nil)
	switch {
	case errors.Is(err, context.DeadlineExceeded):
		return nil, elapsed, fmt.Sprintf("it was not ready within %v", limit)
	case err != nil:
		n.log.Error("the night's forecast failed", "error", err)
		return nil, elapsed, err.Error()
	}
	return f, elapsed, ""
}

// keep stores a night's forecast beside its plan. What cannot be stored is lost alone, not with its plan; trouble says why.
func (n *Nightly) keep(ctx context.Context, tx *models.Tx, kept models.ForecastToSave) (trouble string) {
	err := tx.Apart(ctx, func(tx *models.Tx) error {
		_, err := models.SaveForecast(ctx, tx, kept)
		return err
	})
	if err == nil {
		return ""
	}
	n.log.Error("the night's forecast was not stored", "plan", kept.PlanID, "error", err)
	return "it was made, but could not be stored: " + err.Error()
}
