package planning_test

import (
	"context"
	"errors"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/takeoff"
	"jambwright/server/jobtest"
	"jambwright/server/planning"
	"jambwright/server/reporting"
)

// acceptFrame stores that framing takes a factor of the table.
func acceptFrame(factor float64) planning.Revision {
	return planning.Revision{Cause: "hours of framing as learned", Store: func(ctx context.Context, tx *models.Tx) error {
		return models.Decide(ctx, tx, &models.RateDecision{Kind: takeoff.Frame, InForce: true, Factor: factor}, 0, jobtest.Actor())
	}}
}

func TestRevise_DoesWhatTheTrialShowed(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		job := jobtest.Load(t, db)
		_, err := planning.TryRevision(ctx, db, acceptFrame(3))
		require.NoError(t, err, "without a plan there is nothing to compare with, and nothing to fail")
		job.Plan()
		before, err := models.LatestPlan(ctx, db)
		require.NoError(t, err)

		tried, err := planning.TryRevision(ctx, db, acceptFrame(3))
		require.NoError(t, err)
		require.NotEmpty(t, tried.Changes)
		causes := map[string]string{}
		for _, c := range tried.Changes {
			causes[c.Task] = c.CauseText
		}
		require.Equal(t, "hours of framing as learned", causes["SC/A/frame"])
		rates, err := models.PlannedRates(ctx, db)
		require.NoError(t, err)
		require.Empty(t, rates.Accepted, "a trial leaves nothing behind")
		trail, err := models.AuditTrail(ctx, db, nil, 1)
		require.NoError(t, err)
		require.NotEqual(t, "accept", trail[0].Action)

		row, err := planning.Revise(ctx, db, acceptFrame(3), jobtest.Actor())
		require.NoError(t, err)
		require.Greater(t, row.ID, before.ID)
		_, plan, err := models.PlanDocuments(ctx, db, row.ID)
		require.NoError(t, err)
		require.Equal(t, len(tried.Plan.Tasks), len(plan.Tasks))
		for i := range plan.Tasks {
			require.True(t, plan.Tasks[i].Start.Equal(tried.Plan.Tasks[i].Start), "%s", plan.Tasks[i].ID)
		}

		var stale *models.ErrStale
		_, err = planning.Revise(ctx, db, acceptFrame(2), jobtest.Actor())
		require.ErrorAs(t, err, &stale, "someone decided meanwhile")
		latest, err := models.LatestPlan(ctx, db)
		require.NoError(t, err)
		require.Equal(t, row.ID, latest.ID, "and nothing was saved")
	})
}

func TestRevise_WithoutWorkStoresAlone(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		row, err := planning.Revise(t.Context(), db, acceptFrame(1.2), jobtest.Actor())
		require.NoError(t, err)
		require.Nil(t, row)
		rates, err := models.PlannedRates(t.Context(), db)
		require.NoError(t, err)
		require.Len(t, rates.Accepted, 1)
		refused := errors.New("refused")
		_, err = planning.Revise(t.Context(), db, planning.Revision{Store: func(context.Context, *models.Tx) error { return refused }}, jobtest.Actor())
		require.ErrorIs(t, err, refused)
	})
}

// Learned hours of work that openings share are accepted as any others: the survey, the order and the unloading move, and say why;
// what follows them moves for the same reason.
func TestRevise_AcceptsWhatSharedTasksTake(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		job := jobtest.Load(t, db)
		job.Plan()
		for kind, key := range map[takeoff.Kind]string{
			takeoff.Survey: "SC/L1/survey", takeoff.Order: "SC/L1-frames+glass/order", takeoff.Deliver: "SC/L1-frames+glass/deliver",
		} {
			accept := planning.Revision{Cause: "hours of it as learned", Store: func(ctx context.Context, tx *models.Tx) error {
				return models.Decide(ctx, tx, &models.RateDecision{Kind: kind, InForce: true, Factor: 5}, 0, jobtest.Actor())
			}}
			tried, err := planning.TryRevision(ctx, db, accept)
			require.NoError(t, err)
			causes := map[string]string{}
			for _, c := range tried.Changes {
				causes[c.Task] = c.CauseText
			}
			require.Equal(t, accept.Cause, causes[key], "%s", kind)
			require.NotContains(t, causes, "SC/L1/walls_boarded", "%s", kind)
		}
		accept := planning.Revision{Store: func(ctx context.Context, tx *models.Tx) error {
			return models.Decide(ctx, tx, &models.RateDecision{Kind: takeoff.Survey, InForce: true, Factor: 2}, 0, jobtest.Actor())
		}}
		before := *job.Task("SC/L1/survey").LabourMinutes
		_, err := planning.Revise(ctx, db, accept, jobtest.Actor())
		require.NoError(t, err)
		require.InDelta(t, 2*before, *job.Task("SC/L1/survey").LabourMinutes, 1)
	})
}

// stopped tells that framing was begun, stopped by something in its way, and what hours it has taken.
func stopped(t *testing.T, db *models.DB, clock *dbtest.Hand) {
	t.Helper()
	left, spent, until := 10, 90, clock.Now().AddDate(0, 0, 20)
	for n, r := range []reporting.Report{
		{Kind: models.ReportStart},
		{Kind: models.ReportPartDone, Remaining: &left},
		{Kind: models.ReportHold, Cause: "conduit in the head track", Until: &until},
		{Kind: models.ReportHours, Labour: &spent},
	} {
		clock.Later(time.Minute)
		r.ClientID, r.TaskKey, r.At, r.Reporter = strconv.Itoa(n), "SC/A/frame", clock.Now(), "Tam Osk"
		_, err := reporting.Submit(t.Context(), db, r)
		require.NoError(t, err)
	}
	clock.Later(time.Minute)
}

func causesByTask(changes []models.ChangeToSave) map[string]string {
	causes := map[string]string{}
	for _, c := range changes {
		causes[c.Task] = c.CauseText
	}
	return causes
}

// Of several reports on one task the one that the plan goes by is the cause, not the one that came first.
func TestDifferences_NameTheReportThatRules(t *testing.T) {
	t.Parallel()
	dbtest.EachByHand(t, func(t *testing.T, db *models.DB, clock *dbtest.Hand) {
		jobtest.Load(t, db).Plan()
		stopped(t, db, clock)
		made, err := planning.Make(t.Context(), db, planning.Options{Schedules: 1})
		require.NoError(t, err)
		before, err := planning.ReadBefore(t.Context(), db, made.ReadAt)
		require.NoError(t, err)
		causes := causesByTask(planning.Differences(made, before))
		for _, task := range []string{"SC/A/frame", "SC/A/hang", "SC/A/punch"} {
			require.Contains(t, causes[task], "conduit in the head track", task)
		}
	})
}

// Of work that was stopped since the plan was made only the rest is planned. That is the report's doing, not that of whoever accepts
// hours of other work.
func TestRevise_IsNotTheCauseOfWorkThatAHoldStopped(t *testing.T) {
	t.Parallel()
	dbtest.EachByHand(t, func(t *testing.T, db *models.DB, clock *dbtest.Hand) {
		jobtest.Load(t, db).Plan()
		stopped(t, db, clock)
		accept := planning.Revision{Cause: "hours of glazing as learned", Store: func(ctx context.Context, tx *models.Tx) error {
			return models.Decide(ctx, tx, &models.RateDecision{Kind: takeoff.Glaze, InForce: true, Factor: 3}, 0, jobtest.Actor())
		}}
		tried, err := planning.TryRevision(t.Context(), db, accept)
		require.NoError(t, err)
		require.Contains(t, causesByTask(tried.Changes)["SC/A/frame"], "conduit in the head track")
	})
}
