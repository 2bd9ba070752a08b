package models_test

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/pattern"
)

// envVictim makes a run of this test binary the process that is killed: it names the database.
const envVictim = "JAMBWRIGHT_TEST_VICTIM"

// A process that dies after it has written a whole plan, its tasks, a night and an issue, but has not committed, leaves
// nothing of them, and the next process can write at once.
func TestWrite_AKilledProcessLeavesTheDataWhole(t *testing.T) {
	t.Parallel()
	dbtest.EachDSN(t, func(t *testing.T, dsn string) {
		db, err := models.Open(t.Context(), dsn, dbtest.Clock)
		require.NoError(t, err)
		t.Cleanup(func() { require.NoError(t, db.Close()) })
		j := newJob(t, db)

		victim := exec.CommandContext(t.Context(), os.Args[0], "-test.run=^TestVictim$")
		victim.Env = append(os.Environ(), envVictim+"="+dsn)
		out, err := victim.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, victim.Start())
		line, err := bufio.NewReader(out).ReadString('\n')
		require.NoError(t, err)
		require.Equal(t, "written\n", line)
		require.NoError(t, victim.Process.Kill())
		require.Error(t, victim.Wait())

		for _, table := range []string{"plans", "plan_tasks", "plan_documents", "tasks", "task_links", "plan_issues", "nights"} {
			var n int
			require.NoError(t, db.SQL().QueryRowContext(t.Context(), "SELECT count(*) FROM "+table).Scan(&n))
			assert.Zero(t, n, table)
		}
		j.inForce()
		assert.NotEmpty(t, j.work(models.WorkQuery{}))
	})
}

// TestVictim is the process that the test above kills; without its variable it does nothing.
func TestVictim(t *testing.T) {
	dsn := os.Getenv(envVictim)
	if dsn == "" {
		return // a plain run of the tests: there is nobody to be killed
	}
	ctx := t.Context()
	db, err := models.Open(ctx, dsn, dbtest.Clock)
	require.NoError(t, err)
	firm, err := models.Snapshot(ctx, db, dbtest.Now)
	require.NoError(t, err)
	p, _, err := pattern.Build(firm)
	require.NoError(t, err)
	err = db.Write(ctx, func(tx *models.Tx) error {
		plan, err := models.SavePlan(ctx, tx, models.PlanToSave{Problem: p, Plan: anyPlan(p, 0), Because: models.MadeByNight, Actor: console})
		require.NoError(t, err)
		project, err := models.ProjectByCode(ctx, tx, "nc")
		require.NoError(t, err)
		_, err = models.IssuePlan(ctx, tx, plan.ID, project.ID, true, console)
		require.NoError(t, err)
		night, err := models.BeginNight(ctx, tx, project.ID, models.NewDate(2026, 11, 25), "", "")
		require.NoError(t, err)
		require.NoError(t, models.FinishNight(ctx, tx, night))
		fmt.Println("written")
		select {} // until killed
	})
	require.NoError(t, err)
}
