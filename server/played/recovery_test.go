package played_test

import (
	"context"
	"log/slog"
	"slices"

	"github.com/riverqueue/river"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/recovery"
	"jambwright/server/jobtest"
	"jambwright/server/planning"
	"jambwright/server/recovering"
)

// held is a queue that keeps what was asked of it.
type held struct{ runs []int64 }

func (h *held) InsertJob(_ context.Context, _ *models.Tx, args river.JobArgs) error {
	h.runs = append(h.runs, args.(recovering.Args).RunID)
	return nil
}

// recover looks for moves for the date that comes last and puts the set that wins most in force. It tells the date and the days
// that the search promised.
func (w *world) recover() (date string, promised float64) {
	w.t.Helper()
	ctx := w.t.Context()
	plan := w.latest()
	dates, err := models.PlanDates(ctx, w.DB, plan.ID, nil)
	require.NoError(w.t, err)
	last := slices.MaxFunc(dates, func(a, b models.DateRow) int { return a.ForecastAt.Compare(*b.ForecastAt) })
	best := w.search(plan.ID, last.GCDateID)
	s := &models.Scenario{ProjectID: w.Project.ID, GCDateID: &last.GCDateID, Name: "win days", Moves: best.Moves}
	require.NoError(w.t, w.DB.Write(ctx, func(tx *models.Tx) error { return models.CreateScenario(ctx, tx, s, jobtest.Actor()) }))
	row, err := planning.Adopt(ctx, w.DB, s.ID, jobtest.Actor())
	require.NoError(w.t, err)
	w.rush = best.Moves
	then := w.forecasts(row.ID)[last.GCDateID]
	require.Less(w.t, then.Sub(*last.ForecastAt).Minutes(), float64(-recovery.Least), "the plan with the moves wins days")
	return pattern.GCDateID(w.Project.Code, last.GCDate.Code), float64(best.Won) / (24 * 60)
}

// search looks for moves as the queue does. It returns the set that wins most.
func (w *world) search(planID, dateID int64) recovery.Trial {
	w.t.Helper()
	ctx := w.t.Context()
	var queue held
	run, err := recovering.Ask(ctx, w.DB, &queue, planID, dateID, jobtest.Actor())
	require.NoError(w.t, err)
	require.Equal(w.t, []int64{run.ID}, queue.runs)
	worker := recovering.Worker{DB: w.DB, Log: slog.New(slog.DiscardHandler), Workers: 1, Schedules: 10 * schedules}
	require.NoError(w.t, worker.Search(ctx, run.ID))
	run, err = models.RecoveryRunByID(ctx, w.DB, run.ID)
	require.NoError(w.t, err)
	require.Equal(w.t, models.RunDone, run.Status, run.Error)
	found, err := run.Found()
	require.NoError(w.t, err)
	trials := slices.Concat(found.Singles, found.Sets)
	require.NotEmpty(w.t, trials)
	return slices.MaxFunc(trials, func(a, b recovery.Trial) int { return a.Won - b.Won })
}
