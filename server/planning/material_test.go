package planning_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/server/jobtest"
	"jambwright/server/planning"
	"jambwright/server/reporting"
)

// told is what the night is told of, before which the job stands like this: surveyed; frames and glass are here, leaves are
// promised for 2 December. Door A and the fixed light B are framed by one crew, glazed, hung and finished by another one.
func told(t *testing.T, db *models.DB, pass func(time.Duration)) (j *jobtest.Job, leaves *models.Release) {
	t.Helper()
	ctx := t.Context()
	j = jobtest.Load(t, db)
	j.Plan()
	releases, err := models.Releases(ctx, db, j.Project.ID)
	require.NoError(t, err)
	require.Len(t, releases, 2)
	ordered, soon := dbtest.Now.AddDate(0, 0, -10), models.NewDate(2026, 12, 2)
	for i := range releases {
		items, err := models.ReleaseItems(ctx, db, releases[i].ID)
		require.NoError(t, err)
		news := models.MaterialNews{ReleaseID: &releases[i].ID, Ordered: &ordered, Received: &dbtest.Now}
		for _, item := range items {
			if item.Kind == pattern.Leaf {
				leaves = &releases[i]
				news = models.MaterialNews{ReleaseID: &releases[i].ID, Ordered: &ordered, Promised: &soon}
			}
		}
		require.NoError(t, db.Write(ctx, func(tx *models.Tx) error { return models.RecordMaterial(ctx, tx, news, jobtest.Actor()) }))
	}
	require.NotNil(t, leaves)
	for n, kind := range []models.ReportKind{models.ReportStart, models.ReportDone} {
		_, err := reporting.Submit(ctx, db, reporting.Report{
			ClientID: "survey-" + string(kind), TaskKey: surveyKey(t, j), Kind: kind, At: dbtest.Now.Add(time.Duration(n-3) * time.Hour), Reporter: "Tam Osk",
		})
		require.NoError(t, err)
	}
	pass(time.Minute)
	issued := j.Plan()
	require.NoError(t, planning.Issue(ctx, db, issued.ID, []int64{j.Project.ID}, jobtest.Actor()))
	pass(time.Minute)
	return j, leaves
}

// surveyKey is the key of the job's one survey.
func surveyKey(t *testing.T, j *jobtest.Job) string {
	t.Helper()
	keys, err := models.KeysOfProject(t.Context(), j.DB, j.Project.ID)
	require.NoError(t, err)
	for key := range keys {
		if k, err := pattern.TaskKey(key).Parse(); err == nil && k.Kind == takeoff.Survey {
			return key
		}
	}
	t.Fatal("the job has no survey")
	return ""
}

// A late promise and a broken pane, each reported, move the right tasks for the stated reasons and no others.
func TestNightly_ALatePromiseAndABrokenPaneMoveWhatWaitsForThem(t *testing.T) {
	t.Parallel()
	dbtest.EachByHand(t, func(t *testing.T, db *models.DB, clock *dbtest.Hand) {
		ctx := t.Context()
		j, leaves := told(t, db, clock.Later)
		late := models.NewDate(2026, 12, 11)
		require.NoError(t, db.Write(ctx, func(tx *models.Tx) error {
			return models.RecordMaterial(ctx, tx, models.MaterialNews{ReleaseID: &leaves.ID, Promised: &late, Cause: "short of crews"}, jobtest.Actor())
		}))
		_, err := reporting.Submit(ctx, db, reporting.Report{
			ClientID: "pane", TaskKey: "SC/B/glaze", Kind: models.ReportDamaged, At: db.Now(), Item: pattern.Glass, Cause: "chipped", Reporter: "Tam Osk",
		})
		require.NoError(t, err)
		clock.Later(time.Minute)
		require.NoError(t, newNightly(db).Run(ctx, tonight(j), finishWell))
		night := lastNight(t, db)
		changes, err := models.ChangesOf(ctx, db, *night.PlanID, j.Project.ID)
		require.NoError(t, err)

		const promise = "promised Fri 11 Dec, was Wed 2 Dec"
		const pane = "Tam Osk reported glaze B damaged glass: chipped"
		deliver := string(pattern.DeliverTask("SC", leaves.Code, 1))
		want := map[string]string{
			string(pattern.LeadTask("SC", leaves.Code, 1)): promise, deliver: promise, "SC/A/hang": promise, "SC/A/punch": promise,
			"SC/B/glaze": pane, "SC/B/punch": pane, "SC/B-glass-1/order": pane, "SC/B-glass-1/lead": pane, "SC/B-glass-1/deliver": pane,
		}
		got := map[string]string{}
		for _, c := range changes {
			if c.Task == nil {
				continue
			}
			got[c.Task.Key] = c.CauseText
			if text, known := want[c.Task.Key]; assert.True(t, known, "%s moved: %s", c.Task.Key, c.CauseText) {
				assert.Contains(t, c.CauseText, text, c.Task.Key)
			}
		}
		for key := range want {
			assert.Contains(t, got, key, "did not move")
		}
	})
}

// A look at a promise shows what the promise moves: what moves since the plan in force is a day old is no part of it, though
// nobody reported the work of that day.
func TestTryAlone_LeavesOutWhatMovesAnyway(t *testing.T) {
	t.Parallel()
	dbtest.EachByHand(t, func(t *testing.T, db *models.DB, clock *dbtest.Hand) {
		j, leaves := told(t, db, clock.Later)
		clock.Later(6 * 24 * time.Hour)
		late := models.NewDate(2026, 12, 11)
		revision := planning.Revision{
			Cause: "a look", Tasks: []string{string(pattern.DeliverTask("SC", leaves.Code, 1))},
			Store: func(ctx context.Context, tx *models.Tx) error {
				return models.RecordMaterial(ctx, tx, models.MaterialNews{ReleaseID: &leaves.ID, Promised: &late}, jobtest.Actor())
			},
		}
		anyway, err := planning.TryRevision(t.Context(), db, revision)
		require.NoError(t, err)
		tried, err := planning.TryAlone(t.Context(), db, revision)
		require.NoError(t, err)
		require.Greater(t, len(anyway.Changes), len(tried.Changes), "work of the days before was not reported")
		right := behind(tried.Problem, string(pattern.LeadTask("SC", leaves.Code, 1)))
		seen := 0
		for _, c := range tried.Changes {
			if c.Task == "" {
				continue
			}
			seen++
			assert.True(t, right[c.Task] || c.Task == string(pattern.LeadTask("SC", leaves.Code, 1)), "%s does not wait for the leaves", c.Task)
			assert.Contains(t, c.CauseText, "promised Fri 11 Dec, was Wed 2 Dec", c.Task)
		}
		assert.GreaterOrEqual(t, seen, 4, "lead, delivery, and what hangs and finishes door A")
		assert.Equal(t, 2, j.Count("plans"), "a trial saves no plan")
	})
}
