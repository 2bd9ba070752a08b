package planning_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/pattern"
	"jambwright/server/jobtest"
	"jambwright/server/planning"
	"jambwright/server/reporting"
)

// frame is work of the job's first opening that only crew Alder can do.
const frame = "SC/A/frame"

func least() planning.Options { return planning.Options{Schedules: 1} }

func TestPlanNow_NamesTheReportThatMovedEachTask(t *testing.T) {
	t.Parallel()
	dbtest.EachTicking(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		first := j.Plan()
		changes, err := models.ChangesOf(t.Context(), db, first.ID, j.Project.ID)
		require.NoError(t, err)
		assert.Empty(t, changes, "the first plan moves nothing")

		denver := zone(t, jobtest.Zone)
		until := time.Date(2027, 1, 15, 0, 0, 0, 0, denver)
		_, err = reporting.Submit(t.Context(), db, reporting.Report{
			ClientID: "r", TaskKey: frame, Kind: models.ReportHold, At: dbtest.Now.In(denver), Cause: "no power",
			Party: "other trade", Until: &until, Reporter: "Tam Osk",
		})
		require.NoError(t, err)
		second := j.Plan()
		changes, err = models.ChangesOf(t.Context(), db, second.ID, j.Project.ID)
		require.NoError(t, err)
		moved := map[string]models.PlanChange{}
		for _, c := range changes {
			if c.Task != nil {
				moved[c.Task.Key] = c
			} else {
				moved["date "+c.GCDate.Name] = c
			}
		}
		for _, key := range []string{frame, "SC/A/hang", "SC/A/punch", "date Level 1 ready"} {
			require.Contains(t, moved, key)
			assert.Positive(t, moved[key].MovedMinutes, key)
			assert.Equal(t, "Tam Osk reported frame A held: no power, expected Fri 15 Jan", moved[key].CauseText, key)
			assert.NotNil(t, moved[key].ReportID, key)
			assert.Equal(t, first.ID, *moved[key].AgainstID, key)
		}
	})
}

func TestPlanNow_ABrokenPaneExplainsTheNewWorkOfItsRemake(t *testing.T) {
	t.Parallel()
	dbtest.EachTicking(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		_, err := reporting.Submit(t.Context(), db, reporting.Report{
			ClientID: "r", TaskKey: "SC/B/glaze", Kind: models.ReportDamaged, At: dbtest.Now, Item: pattern.Glass,
			Cause: "chipped at the edge", Reporter: "Tam Osk",
		})
		require.NoError(t, err)
		args := tonight(j)
		require.NoError(t, newNightly(db).Run(t.Context(), args, finishWell))
		night := lastNight(t, db)
		assert.Equal(t, 1, night.Reports)
		changes, err := models.ChangesOf(t.Context(), db, *night.PlanID, j.Project.ID)
		require.NoError(t, err)
		var told []string
		for _, c := range changes {
			if c.Task != nil && c.ReportID != nil {
				told = append(told, c.Task.Key)
				assert.Equal(t, "Tam Osk reported glaze B damaged glass: chipped at the edge", c.CauseText)
			}
		}
		assert.Subset(t, told, []string{"SC/B-glass-1/order", "SC/B-glass-1/lead", "SC/B-glass-1/deliver"})
	})
}

func TestPlanNow_IsMadeAnewWhenAnotherPlanWasSavedMeanwhile(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		times, other := 0, (*models.Plan)(nil)
		o := least()
		o.Change = func(*pattern.Firm) {
			if times++; times == 1 {
				other = j.Plan()
			}
		}
		_, row, err := planning.PlanNow(t.Context(), db, o, models.MadeByPerson, jobtest.Actor())
		require.NoError(t, err)
		assert.Equal(t, 2, times)
		assert.Greater(t, row.ID, other.ID)

		o.Change = func(*pattern.Firm) { j.Plan() }
		plans := j.Count("plans")
		_, _, err = planning.PlanNow(t.Context(), db, o, models.MadeByPerson, jobtest.Actor())
		var overtaken *models.ErrStale
		require.ErrorAs(t, err, &overtaken, "not for ever")
		assert.Equal(t, plans+3, j.Count("plans"), "the others' plans only")
	})
}

func TestIssue_RefusesAPlanThatIsNoLongerTheLatest(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		old, latest := j.Plan(), j.Plan()
		err := planning.Issue(t.Context(), db, old.ID, []int64{j.Project.ID}, jobtest.Actor())
		var stale *models.ErrStale
		require.ErrorAs(t, err, &stale)
		assert.Equal(t, latest.ID, stale.Version)
		assert.Zero(t, j.Count("plan_issues"))
		require.NoError(t, planning.Issue(t.Context(), db, latest.ID, []int64{j.Project.ID}, jobtest.Actor()))
		assert.Equal(t, 1, j.Count("plan_issues"))
	})
}

func TestMove_IsTriedWithoutATraceAndAcceptedWithItsPin(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx, j := t.Context(), jobtest.Load(t, db)
		issued := j.Plan()
		require.NoError(t, planning.Issue(ctx, db, issued.ID, []int64{j.Project.ID}, jobtest.Actor()))
		start := time.Date(2027, 1, 12, 7, 0, 0, 0, zone(t, jobtest.Zone)).UTC()
		move := planning.Move{Tasks: []string{frame}, Crew: "Alder", Start: &start, Pin: true}
		before := rows(j)
		tried, err := planning.Try(ctx, db, move)
		require.NoError(t, err)
		assert.Empty(t, tried.Refused)
		assert.NotEmpty(t, tried.Changes)
		assert.Equal(t, before, rows(j))
		assert.Zero(t, j.Count("pins"))

		plan, err := planning.Accept(ctx, db, move, jobtest.Actor())
		require.NoError(t, err)
		pin, err := models.PinOf(ctx, db, j.Task(frame).ID)
		require.NoError(t, err)
		assert.True(t, start.Equal(*pin.StartAt))
		changes, dates, err := planning.AgainstIssued(ctx, db, plan.ID)
		require.NoError(t, err)
		require.Len(t, dates, 1)
		assert.True(t, dates[0].After.After(*dates[0].Before), "the date moves with the work")
		var found bool
		for _, c := range changes {
			if c.Task == frame {
				found = true
				assert.True(t, start.Equal(*c.NewStart))
			}
		}
		assert.True(t, found)

		_, err = planning.Accept(ctx, db, planning.Move{Tasks: []string{frame}}, jobtest.Actor())
		require.NoError(t, err)
		_, err = models.PinOf(ctx, db, j.Task(frame).ID)
		require.ErrorIs(t, err, models.ErrNotFound, "a move to nowhere gives the choice back to the planner")
	})
}

func TestMove_SaysWhyItCannotBeDoneAsAsked(t *testing.T) {
	t.Parallel()
	j := jobtest.Load(t, dbtest.SQLite(t, dbtest.Clock))
	j.Plan()
	night := time.Date(2026, 12, 1, 3, 0, 0, 0, zone(t, jobtest.Zone)).UTC()
	tried, err := planning.Try(t.Context(), j.DB, planning.Move{Tasks: []string{frame}, Crew: "Alder", Start: &night, Pin: true})
	require.NoError(t, err)
	assert.NotEmpty(t, tried.Refused)
}

func TestMake_WithoutWorkSaysSo(t *testing.T) {
	t.Parallel()
	_, err := planning.Make(t.Context(), dbtest.SQLite(t, dbtest.Clock), least())
	require.ErrorIs(t, err, planning.ErrNothingToPlan)
}
