package forecasting_test

import (
	"context"
	"log/slog"
	"testing"
	"time"

	"github.com/riverqueue/river"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/forecast"
	"jambwright/scheduler/problem"
	"jambwright/server/forecasting"
	"jambwright/server/jobtest"
	"jambwright/server/nightly"
	"jambwright/server/planning"
)

// held keeps the jobs that were asked for.
type held struct{ jobs []forecasting.Args }

func (h *held) InsertJob(_ context.Context, _ *models.Tx, args river.JobArgs) error {
	h.jobs = append(h.jobs, args.(forecasting.Args))
	return nil
}

func run(t *testing.T, db *models.DB, id int64) *models.Forecast {
	t.Helper()
	worker := &forecasting.Worker{DB: db, Log: slog.New(slog.DiscardHandler)}
	ended := false
	require.NoError(t, worker.Run(t.Context(), id, func(context.Context, *models.Tx) error {
		ended = true
		return nil
	}))
	require.True(t, ended, "its job is over")
	row, err := models.ForecastByID(t.Context(), db, id)
	require.NoError(t, err)
	return row
}

// planned is the small job with a plan.
func planned(t *testing.T, db *models.DB) *models.Plan {
	t.Helper()
	jobtest.Load(t, db)
	_, plan, err := planning.PlanNow(t.Context(), db, planning.Options{Schedules: 1}, models.MadeByPerson, jobtest.Actor())
	require.NoError(t, err)
	return plan
}

func TestForecast_ThatAPersonAsksForIsMadeOnceAndKept(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		plan := planned(t, db)
		var queue held
		require.NoError(t, forecasting.Ask(ctx, db, &queue, plan.ID, jobtest.Actor()))
		require.ErrorIs(t, forecasting.Ask(ctx, db, &queue, plan.ID, jobtest.Actor()), models.ErrDuplicate, "one at a time")
		require.Len(t, queue.jobs, 1)
		row := run(t, db, queue.jobs[0].ForecastID)
		assert.Equal(t, models.ForecastDone, row.State)
		assert.Positive(t, row.SamplesDone)

		latest, err := models.LatestForecast(ctx, db)
		require.NoError(t, err)
		require.Equal(t, row.ID, latest.ID)
		require.Len(t, latest.Dates, 1)
		d := latest.Dates[0]
		require.NotNil(t, d.P10At)
		assert.True(t, d.P10At.Before(*d.P90At))
		assert.True(t, !d.P50At.Before(*d.P10At) && !d.P80At.Before(*d.P50At) && !d.P90At.Before(*d.P80At))
		assert.NotEmpty(t, d.Sensitivities)
		assert.NotEmpty(t, d.Criticality)
		assert.Nil(t, d.DoneAt)

		require.NoError(t, forecasting.Ask(ctx, db, &queue, plan.ID, jobtest.Actor()), "the next one may be asked for")
	})
}

func TestForecast_CanBeCancelledWaitingAndRunning(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		plan := planned(t, db)
		for _, begun := range []bool{false, true} {
			var queue held
			require.NoError(t, forecasting.Ask(ctx, db, &queue, plan.ID, jobtest.Actor()))
			id := queue.jobs[0].ForecastID
			if begun {
				require.NoError(t, db.Write(ctx, func(tx *models.Tx) error {
					stop, err := models.ForecastProgress(ctx, tx, id, 100, 2000)
					assert.False(t, stop)
					return err
				}))
			}
			require.NoError(t, forecasting.Cancel(ctx, db, id, jobtest.Actor()))
			assert.Equal(t, models.ForecastCancelled, run(t, db, id).State, "begun %v", begun)
			latest, err := models.LatestForecast(ctx, db)
			require.NoError(t, err)
			assert.Nil(t, latest)
		}
	})
}

func TestForecast_OfANightIsKeptAndItsFailureLosesNoPlan(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		j := jobtest.Load(t, db)
		night := planning.NewNightly(db, slog.New(slog.DiscardHandler))
		night.Schedules, night.Samples = 1, 200
		finish := func(context.Context, *models.Tx) error { return nil }
		require.NoError(t, night.Run(ctx, nightly.Args{ProjectID: j.Project.ID, Night: "2026-11-24"}, finish))
		latest, err := models.LatestForecast(ctx, db)
		require.NoError(t, err)
		require.Equal(t, models.ForecastByNight, latest.Because)
		assert.Equal(t, 200, latest.SamplesDone)

		night.ForecastLimit = time.Nanosecond
		require.NoError(t, night.Run(ctx, nightly.Args{ProjectID: j.Project.ID, Night: "2026-11-25"}, finish))
		nights, err := models.Nights(ctx, db, nil, 1)
		require.NoError(t, err)
		assert.Equal(t, models.NightOK, nights[0].Status)
		assert.Equal(t, "it was not ready within 1ns", nights[0].ForecastTrouble)
		plan, err := models.LatestPlan(ctx, db)
		require.NoError(t, err)
		assert.Equal(t, plan.ID, *nights[0].PlanID)
		after, err := models.LatestForecast(ctx, db)
		require.NoError(t, err)
		assert.Equal(t, latest.ID, after.ID)

		// A database that takes no second forecast of a night still takes the night's plan.
		_, err = db.SQL().ExecContext(ctx, "CREATE UNIQUE INDEX one_night ON forecasts (because)")
		require.NoError(t, err)
		night.ForecastLimit = 0
		require.NoError(t, night.Run(ctx, nightly.Args{ProjectID: j.Project.ID, Night: "2026-11-26"}, finish))
		nights, err = models.Nights(ctx, db, nil, 1)
		require.NoError(t, err)
		assert.Equal(t, models.NightOK, nights[0].Status)
		assert.Contains(t, nights[0].ForecastTrouble, "could not be stored")
		newer, err := models.LatestPlan(ctx, db)
		require.NoError(t, err)
		assert.Greater(t, newer.ID, plan.ID)
		assert.Equal(t, newer.ID, *nights[0].PlanID)
	})
}

// What nights said is held against the day on which the last work was done; what people asked for by day is not.
func TestForecast_KeptOnesMeetWhatCame(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		plan := planned(t, db)
		p, made, err := models.PlanDocuments(ctx, db, plan.ID)
		require.NoError(t, err)
		f, err := forecast.Compute(ctx, p, made, forecast.Options{Least: 100, Most: 100})
		require.NoError(t, err)
		came := p.DataDate.Add(40 * time.Hour)
		done := *p
		done.Tasks = nil
		for _, task := range p.Tasks {
			task.Status = &problem.Status{Started: came, Finished: &came}
			done.Tasks = append(done.Tasks, task)
		}
		save := func(because models.ForecastBecause, of *problem.Problem) {
			require.NoError(t, db.Write(ctx, func(tx *models.Tx) error {
				_, err := models.SaveForecast(ctx, tx, models.ForecastToSave{PlanID: plan.ID, Because: because, Problem: of, Forecast: f, Actor: jobtest.Actor()})
				return err
			}))
		}
		save(models.ForecastByNight, p)
		save(models.ForecastByPerson, p)
		kept, err := models.KeptForecasts(ctx, db)
		require.NoError(t, err)
		assert.Empty(t, kept, "nothing has come yet")
		save(models.ForecastByNight, &done)
		kept, err = models.KeptForecasts(ctx, db)
		require.NoError(t, err)
		require.Len(t, kept, 1)
		assert.True(t, came.Equal(kept[0].Came))
		assert.True(t, kept[0].P80.Equal(*f.GCDates[0].P80))
		assert.InDelta(t, 1, kept[0].Spread, 0)

		// A pane broke afterwards: the date is to come again, and came when the last of its work is done.
		save(models.ForecastByNight, p)
		kept, err = models.KeptForecasts(ctx, db)
		require.NoError(t, err)
		assert.Empty(t, kept, "its work was opened again")
		came = came.Add(100 * time.Hour)
		save(models.ForecastByNight, &done)
		kept, err = models.KeptForecasts(ctx, db)
		require.NoError(t, err)
		require.Len(t, kept, 2, "both nights on which it was to come")
		for _, k := range kept {
			assert.True(t, came.Equal(k.Came))
		}
	})
}
