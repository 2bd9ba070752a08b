package planning_test

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/pattern"
	"jambwright/server/jobtest"
	"jambwright/server/nightly"
	"jambwright/server/planning"
	"jambwright/server/reporting"
)

var errStopped = errors.New("stopped by the test")

func quiet() *slog.Logger { return slog.New(slog.DiscardHandler) }

// finishWell is the end of a job that has no queue.
func finishWell(context.Context, *models.Tx) error { return nil }

// newNightly is the use case with the least effort.
func newNightly(db *models.DB) *planning.Nightly {
	run := planning.NewNightly(db, quiet())
	run.Schedules = 1
	return run
}

func tonight(j *jobtest.Job) nightly.Args {
	return nightly.Args{ProjectID: j.Project.ID, Night: "2026-11-24"}
}

// rows counts what a night writes.
func rows(j *jobtest.Job) map[string]int {
	counts := map[string]int{}
	for _, table := range []string{"plans", "plan_documents", "plan_tasks", "plan_dates", "plan_unplanned", "plan_changes", "plan_issues", "tasks"} {
		counts[table] = j.Count(table)
	}
	return counts
}

// lastNight is the run that began last.
func lastNight(t *testing.T, db *models.DB) models.Night {
	t.Helper()
	nights, err := models.Nights(t.Context(), db, nil, 1)
	require.NoError(t, err)
	require.NotEmpty(t, nights)
	return nights[0].Night
}

// jobStates are the states of the jobs in the queue's own table, oldest first, in one text.
func jobStates(t *testing.T, db *models.DB) string {
	t.Helper()
	var n, completed, waiting int
	row := db.SQL().QueryRowContext(context.WithoutCancel(t.Context()), `SELECT count(*),
		count(CASE WHEN state = 'completed' THEN 1 END), count(CASE WHEN state IN ('available', 'retryable') THEN 1 END) FROM river_job`)
	require.NoError(t, row.Scan(&n, &completed, &waiting))
	return fmt.Sprintf("%d jobs, %d waiting, %d completed", n, waiting, completed)
}

func TestNightly_PlansOnceANightAndKeepsTheIssuedPlan(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		issued := j.Plan()
		require.NoError(t, planning.Issue(t.Context(), db, issued.ID, []int64{j.Project.ID}, jobtest.Actor()))
		run, ended := newNightly(db), 0
		finish := func(context.Context, *models.Tx) error { ended++; return nil }
		for range 2 { // the second time, the process was killed between the night and the end of its job
			require.NoError(t, run.Run(t.Context(), tonight(j), finish))
		}
		assert.Equal(t, 2, ended, "both jobs end")
		assert.Equal(t, 2, j.Count("plans"))
		night := lastNight(t, db)
		assert.Equal(t, models.NightOK, night.Status)
		assert.False(t, night.Issued)
		inForce, err := models.IssuedPlan(t.Context(), db, j.Project.ID)
		require.NoError(t, err)
		assert.Equal(t, issued.ID, inForce.PlanID)
	})
}

// Data dates are whole minutes: what became known in the same minute before a plan was made is in it, and no news to the next.
func TestNightly_ReadsEachPieceOfNewsOnce(t *testing.T) {
	t.Parallel()
	dbtest.EachByHand(t, func(t *testing.T, db *models.DB, clock *dbtest.Hand) {
		j := jobtest.Load(t, db)
		j.Plan()
		clock.Later(10 * time.Second)
		_, err := reporting.Submit(t.Context(), db, reporting.Report{
			ClientID: "kit", TaskKey: "SC/A/frame", Kind: models.ReportDamaged, At: db.Now(), Item: pattern.FrameKit, Cause: "bent", Reporter: "Tam Osk",
		})
		require.NoError(t, err)
		for _, want := range []int{1, 0} {
			clock.Later(20 * time.Second)
			require.NoError(t, newNightly(db).Run(t.Context(), nightly.Args{ProjectID: j.Project.ID, Night: fmt.Sprintf("2026-11-2%d", 5-want)}, finishWell))
			assert.Equal(t, want, lastNight(t, db).Reports)
		}
	})
}

func TestNightly_IssuesByItselfWhereTheProjectSaysSo(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Project.AutoIssue = true
		require.NoError(t, db.Write(t.Context(), func(tx *models.Tx) error {
			return models.UpdateProject(t.Context(), tx, j.Project, jobtest.Actor())
		}))
		require.NoError(t, newNightly(db).Run(t.Context(), tonight(j), finishWell))
		inForce, err := models.IssuedPlan(t.Context(), db, j.Project.ID)
		require.NoError(t, err)
		assert.True(t, inForce.Automatic)
		night := lastNight(t, db)
		assert.Equal(t, inForce.PlanID, *night.PlanID)
		assert.True(t, night.Issued)
	})
}

func TestNightly_AFailureLeavesEverythingAsItWasAndTheNightSaysSo(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		before := rows(j)
		run := newNightly(db)
		err := run.Run(t.Context(), tonight(j), func(context.Context, *models.Tx) error { return errStopped })
		require.ErrorIs(t, err, errStopped, "the job is to know that it failed")
		assert.Equal(t, before, rows(j))
		night := lastNight(t, db)
		assert.Equal(t, models.NightFailed, night.Status)
		assert.Contains(t, night.Error, "stopped by the test")
		assert.Nil(t, night.PlanID)

		require.NoError(t, run.Run(t.Context(), tonight(j), finishWell), "the next try starts over")
		night = lastNight(t, db)
		assert.Equal(t, models.NightOK, night.Status)
		assert.Empty(t, night.Error)
		assert.Equal(t, before["plans"]+1, j.Count("plans"))
		assert.Equal(t, 1, j.Count("nights"))
	})
}

func TestNightly_ACancelledRunIsRecordedAllTheSame(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		ctx, cancel := context.WithCancel(t.Context())
		err := newNightly(db).Run(ctx, tonight(j), func(context.Context, *models.Tx) error { cancel(); return ctx.Err() })
		require.ErrorIs(t, err, context.Canceled)
		night := lastNight(t, db)
		assert.Equal(t, models.NightFailed, night.Status)
		assert.Equal(t, 1, j.Count("plans"))
	})
}

func TestNightly_WithoutAnyWorkIsNoFailure(t *testing.T) {
	t.Parallel()
	db := dbtest.SQLite(t, dbtest.Clock)
	var project *models.Project
	require.NoError(t, db.Write(t.Context(), func(tx *models.Tx) (err error) {
		project, err = models.BeginProject(t.Context(), tx, models.NewProject{Name: "Empty Yard", Zone: jobtest.Zone}, jobtest.Actor())
		return err
	}))
	require.NoError(t, newNightly(db).Run(t.Context(), nightly.Args{ProjectID: project.ID, Night: "2026-11-24"}, finishWell))
	night := lastNight(t, db)
	assert.Equal(t, models.NightOK, night.Status)
	assert.Nil(t, night.PlanID)
}

func TestQueue_KeepsOneJobForANightAndItsWorkerRunsItOnce(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		queue, err := nightly.NewQueue(db, newNightly(db).Run, quiet())
		require.NoError(t, err)
		asked := tonight(j)
		asked.Asked, asked.By = "once more", "Iris Vale"
		for _, c := range []struct {
			args nightly.Args
			want bool
		}{{tonight(j), true}, {tonight(j), false}, {asked, true}, {asked, false}} {
			added, err := queue.Insert(t.Context(), c.args)
			require.NoError(t, err)
			assert.Equal(t, c.want, added, "%+v", c.args)
		}
		require.Equal(t, "2 jobs, 2 waiting, 0 completed", jobStates(t, db))

		require.NoError(t, queue.Start(t.Context()))
		require.Eventually(t, func() bool {
			return jobStates(t, db) == "2 jobs, 0 waiting, 2 completed"
		}, 30*time.Second, 50*time.Millisecond)
		require.NoError(t, queue.Stop(t.Context()))
		assert.Equal(t, 3, j.Count("plans"))
		assert.Equal(t, 2, j.Count("nights"))

		added, err := queue.Insert(t.Context(), tonight(j))
		require.NoError(t, err)
		assert.False(t, added, "a night that has run is not queued again")
	})
}

// The plan and the end of the job land together: when the transaction fails after both were written, neither is there.
func TestQueue_AJobThatFailsLeavesNeitherAPlanNorItsEnd(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		before, run := rows(j), newNightly(db)
		failing := func(ctx context.Context, args nightly.Args, finish func(context.Context, *models.Tx) error) error {
			return run.Run(ctx, args, func(ctx context.Context, tx *models.Tx) error {
				return errors.Join(finish(ctx, tx), errStopped)
			})
		}
		queue, err := nightly.NewQueue(db, failing, quiet())
		require.NoError(t, err)
		_, err = queue.Insert(t.Context(), tonight(j))
		require.NoError(t, err)
		require.NoError(t, queue.Start(t.Context()))
		// River gives a job that is to be tried again within seconds straight back.
		require.Eventually(t, func() bool {
			nights, err := models.Nights(context.Background(), db, nil, 1)
			failed := err == nil && len(nights) == 1 && nights[0].Status == models.NightFailed
			return failed && jobStates(t, db) == "1 jobs, 1 waiting, 0 completed"
		}, 30*time.Second, 20*time.Millisecond)
		require.NoError(t, queue.Stop(t.Context()))
		assert.Equal(t, before, rows(j))
	})
}

func TestDueProjects_TellTheirZoneHourAndLastNight(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		due, err := planning.DueProjects(db)(t.Context())
		require.NoError(t, err)
		require.Len(t, due, 1)
		assert.Equal(t, jobtest.Zone, due[0].Schedule.Zone.String())
		assert.Equal(t, j.Project.NightlyHour, due[0].Schedule.Hour)
		assert.Empty(t, due[0].LastNight)

		asked := tonight(j)
		asked.Asked = "by hand"
		require.NoError(t, newNightly(db).Run(t.Context(), asked, finishWell))
		due, err = planning.DueProjects(db)(t.Context())
		require.NoError(t, err)
		assert.Empty(t, due[0].LastNight, "a run by hand takes no night's place")

		require.Error(t, newNightly(db).Run(t.Context(), tonight(j), func(context.Context, *models.Tx) error { return errStopped }))
		due, err = planning.DueProjects(db)(t.Context())
		require.NoError(t, err)
		assert.Equal(t, "2026-11-24", due[0].LastNight, "a night that failed is the queue's to repeat, not the timer's")
	})
}
