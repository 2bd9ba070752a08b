package recovering_test

import (
	"context"
	"encoding/json"
	"log/slog"
	"testing"
	"time"

	"github.com/riverqueue/river"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/recovery"
	"jambwright/server/jobtest"
	"jambwright/server/planning"
	"jambwright/server/recovering"
)

// held keeps the jobs that were asked for.
type held struct{ jobs []recovering.Args }

func (h *held) InsertJob(_ context.Context, _ *models.Tx, args river.JobArgs) error {
	h.jobs = append(h.jobs, args.(recovering.Args))
	return nil
}

func worker(db *models.DB) *recovering.Worker {
	return &recovering.Worker{DB: db, Log: slog.New(slog.DiscardHandler), Workers: 2}
}

// lateJob is the small job with its GC date moved to the day before yesterday, so that it is late.
func lateJob(t *testing.T, db *models.DB) (*jobtest.Job, *models.Plan, int64) {
	t.Helper()
	ctx := t.Context()
	j := jobtest.Load(t, db)
	_, err := db.SQL().ExecContext(ctx, "UPDATE gc_dates SET due = '2026-11-23'")
	require.NoError(t, err)
	_, plan, err := planning.PlanNow(ctx, db, planning.Options{}, models.MadeByPerson, jobtest.Actor())
	require.NoError(t, err)
	dates, err := models.PlanDates(ctx, db, plan.ID, nil)
	require.NoError(t, err)
	require.Len(t, dates, 1)
	require.Negative(t, dates[0].FloatMinutes)
	return j, plan, dates[0].GCDateID
}

func search(t *testing.T, db *models.DB, planID, date int64) *recovery.Result {
	t.Helper()
	var queue held
	run, err := recovering.Ask(t.Context(), db, &queue, planID, date, jobtest.Actor())
	require.NoError(t, err)
	require.Equal(t, []recovering.Args{{RunID: run.ID}}, queue.jobs)
	require.NoError(t, worker(db).Search(t.Context(), run.ID))
	run, err = models.LatestRecovery(t.Context(), db, date)
	require.NoError(t, err)
	require.Equal(t, models.RunDone, run.Status, run.Error)
	require.Equal(t, run.Total, run.Done)
	found, err := run.Found()
	require.NoError(t, err)
	return found
}

// What a search promises is what adopting wins, to the minute, since nothing else has changed; withdrawing gives back the plan
// that there was, byte for byte but for the time it took.
func TestAdopt_WinsWhatWasPromisedAndWithdrawingGivesItBack(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		j, plan, date := lateJob(t, db)
		found := search(t, db, plan.ID, date)
		require.NotEmpty(t, found.Singles)
		adopted := 0
		for _, trial := range append(found.Singles, found.Sets...) {
			s := &models.Scenario{ProjectID: j.Project.ID, GCDateID: &date, Name: "win days", Moves: trial.Moves}
			require.NoError(t, db.Write(ctx, func(tx *models.Tx) error { return models.CreateScenario(ctx, tx, s, jobtest.Actor()) }))
			before := document(t, db)

			tried, err := planning.TryScenario(ctx, db, s)
			require.NoError(t, err)
			require.Equal(t, *trial.Dates[0].After, *tried.Plan.GCDates[0].Forecast)
			row, err := planning.Adopt(ctx, db, s.ID, jobtest.Actor())
			require.NoError(t, err)
			_, then, err := models.PlanDocuments(ctx, db, row.ID)
			require.NoError(t, err)
			require.Equal(t, time.Duration(trial.Won)*time.Minute, trial.Dates[0].Before.Sub(*then.GCDates[0].Forecast), "%+v", trial.Moves)
			// Every later plan has the moves in it.
			_, again, err := planning.PlanNow(ctx, db, planning.Options{}, models.MadeByPerson, jobtest.Actor())
			require.NoError(t, err)
			_, later, err := models.PlanDocuments(ctx, db, again.ID)
			require.NoError(t, err)
			require.Equal(t, then.GCDates, later.GCDates)

			_, err = planning.WithdrawScenario(ctx, db, s.ID, jobtest.Actor())
			require.NoError(t, err)
			require.Equal(t, before, document(t, db))
			s, err = models.ScenarioByID(ctx, db, s.ID)
			require.NoError(t, err)
			require.Equal(t, models.ScenarioWithdrawn, s.State)
			adopted++
		}
		require.Positive(t, adopted)
		trail, err := models.AuditTrail(ctx, db, &j.Project.ID, 20)
		require.NoError(t, err)
		assert.Equal(t, "withdraw", trail[0].Action)
	})
}

// document is the latest plan as text, without how long it took.
func document(t *testing.T, db *models.DB) string {
	t.Helper()
	latest, err := models.LatestPlan(t.Context(), db)
	require.NoError(t, err)
	doc, plan, err := models.PlanDocuments(t.Context(), db, latest.ID)
	require.NoError(t, err)
	plan.Run.ElapsedMS = 0
	text, err := json.Marshal([]any{doc, plan})
	require.NoError(t, err)
	return string(text)
}

func TestAdopt_ASecondCrewIsACrewOfTheFirmUntilItIsWithdrawn(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		j, _, date := lateJob(t, db)
		move := recovery.Move{
			Kind: recovery.SecondCrew, Crew: "Birch", NewCrew: "Birch 2", From: models.NewDate(2026, 12, 1).Date, Premium: 1.5, AtLeastDays: 5, Price: 500,
		}
		adopt := func() *models.Scenario {
			s := &models.Scenario{ProjectID: j.Project.ID, GCDateID: &date, Name: "a second crew", Moves: models.List[recovery.Move]{move}}
			require.NoError(t, db.Write(ctx, func(tx *models.Tx) error { return models.CreateScenario(ctx, tx, s, jobtest.Actor()) }))
			tried, err := planning.TryScenario(ctx, db, s)
			require.NoError(t, err)
			_, err = planning.Adopt(ctx, db, s.ID, jobtest.Actor())
			require.NoError(t, err)
			made, err := planning.Make(ctx, db, planning.Options{})
			require.NoError(t, err)
			tried.Plan.Run.ElapsedMS, made.Plan.Run.ElapsedMS = 0, 0
			require.Equal(t, tried.Plan, made.Plan, "the crew that is stored works as the one that was tried")
			return s
		}
		for range 2 { // the second time the same crew comes back
			before := document(t, db)
			s := adopt()
			crew, err := models.CrewByName(ctx, db, "Birch 2")
			require.NoError(t, err)
			require.True(t, crew.Active)
			require.Equal(t, 3, crew.Heads)
			_, err = planning.WithdrawScenario(ctx, db, s.ID, jobtest.Actor())
			require.NoError(t, err)
			firm, err := models.Snapshot(ctx, db, db.Now())
			require.NoError(t, err)
			require.Len(t, firm.Crews, 2)
			require.Equal(t, before, document(t, db))
		}
	})
}

func TestSearch_CanBeCancelledAndSaysWhyItFailed(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		_, plan, date := lateJob(t, db)
		var queue held
		run, err := recovering.Ask(ctx, db, &queue, plan.ID, date, jobtest.Actor())
		require.NoError(t, err)
		_, err = recovering.Ask(ctx, db, &queue, plan.ID, date, jobtest.Actor())
		require.ErrorIs(t, err, models.ErrDuplicate, "one at a time")
		require.NoError(t, recovering.Cancel(ctx, db, run.ID))
		require.NoError(t, worker(db).Search(ctx, run.ID), "a cancelled search does nothing")
		run, err = models.LatestRecovery(ctx, db, date)
		require.NoError(t, err)
		require.Equal(t, models.RunCancelled, run.Status)

		// Cancelled while it goes on: the next thing it tells is refused.
		run, err = recovering.Ask(ctx, db, &queue, plan.ID, date, jobtest.Actor())
		require.NoError(t, err)
		require.NoError(t, db.Write(ctx, func(tx *models.Tx) error { return models.TellRecovery(ctx, tx, run.ID, 1, 9) }))
		require.NoError(t, recovering.Cancel(ctx, db, run.ID))
		err = db.Write(ctx, func(tx *models.Tx) error { return models.TellRecovery(ctx, tx, run.ID, 2, 9) })
		require.ErrorIs(t, err, models.ErrNotFound)
	})
}

// A process that is killed leaves its search open; a quarter of an hour later it no longer stands in the way.
func TestAsk_EndsWhatAProcessLeftOpen(t *testing.T) {
	t.Parallel()
	dbtest.EachByHand(t, func(t *testing.T, db *models.DB, clock *dbtest.Hand) {
		ctx := t.Context()
		_, plan, date := lateJob(t, db)
		left, err := recovering.Ask(ctx, db, &held{}, plan.ID, date, jobtest.Actor())
		require.NoError(t, err)
		clock.Later(16 * time.Minute)
		require.True(t, left.Abandoned(db.Now()))
		run, err := recovering.Ask(ctx, db, &held{}, plan.ID, date, jobtest.Actor())
		require.NoError(t, err)
		require.False(t, run.Abandoned(db.Now()))
		left, err = models.RecoveryRunByID(ctx, db, left.ID)
		require.NoError(t, err)
		require.Equal(t, models.RunFailed, left.Status)
		require.NotEmpty(t, left.Error)
	})
}

func TestPutInForce_RefusesWhatIsNoDraft(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		j, _, date := lateJob(t, db)
		s := &models.Scenario{ProjectID: j.Project.ID, GCDateID: &date, Name: "nothing", Moves: models.List[recovery.Move]{{Kind: "magic"}}}
		err := db.Write(ctx, func(tx *models.Tx) error { return models.CreateScenario(ctx, tx, s, jobtest.Actor()) })
		require.ErrorIs(t, err, models.ErrRefused)
		s.Moves = models.List[recovery.Move]{{Kind: recovery.OtherBasis, Task: "SC/R1/order", Basis: recovery.BasisDrawings}}
		require.NoError(t, db.Write(ctx, func(tx *models.Tx) error { return models.CreateScenario(ctx, tx, s, jobtest.Actor()) }))
		_, err = planning.Adopt(ctx, db, s.ID, jobtest.Actor())
		require.NoError(t, err)
		_, err = planning.Adopt(ctx, db, s.ID, jobtest.Actor())
		require.ErrorIs(t, err, models.ErrRefused)
	})
}
