package models_test

import (
	"encoding/json"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/problem"
)

func TestSavePlan_KeepsBothDocumentsAsTheyWere(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		p := j.build()
		made := anyPlan(p, 0)
		saved := j.savePlan(0)
		assert.Equal(t, "18446744073709551615", saved.Seed)

		gotProblem, gotPlan, err := models.PlanDocuments(t.Context(), db, saved.ID)
		require.NoError(t, err)
		assert.JSONEq(t, text(t, p), text(t, gotProblem))
		assert.JSONEq(t, text(t, made), text(t, gotPlan))

		latest, err := models.LatestPlan(t.Context(), db)
		require.NoError(t, err)
		assert.Equal(t, saved.ID, latest.ID)
		assert.Equal(t, dbtest.Now, latest.DataDate)
	})
}

func TestSavePlan_TwoAtOnceAreStoredOneAfterTheOther(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		p := j.build()
		errs := make([]error, 3)
		var wait sync.WaitGroup
		for i := range errs {
			wait.Go(func() {
				errs[i] = db.Write(t.Context(), func(tx *models.Tx) error {
					_, err := models.SavePlan(t.Context(), tx, models.PlanToSave{Problem: p, Plan: anyPlan(p, 0), Because: models.MadeByNight, Actor: console})
					return err
				})
			})
		}
		wait.Wait()
		assert.Equal(t, make([]error, len(errs)), errs)
	})
}

func text(t *testing.T, v any) string {
	t.Helper()
	out, err := json.Marshal(v)
	require.NoError(t, err)
	return string(out)
}

func TestSavePlan_RefusesAPlanMadeBeforeTheLatestOne(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		old := j.savePlan(0)
		p, save := j.build(), func(p *problem.Problem, after int64) error {
			return db.Write(t.Context(), func(tx *models.Tx) error {
				_, err := models.SavePlan(t.Context(), tx, models.PlanToSave{
					Problem: p, Plan: anyPlan(p, 0), Because: models.MadeByPerson, Actor: console, After: &after,
				})
				return err
			})
		}
		require.NoError(t, save(p, old.ID))
		err := save(p, old.ID)
		var stale *models.ErrStale
		require.ErrorAs(t, err, &stale)
		assert.Equal(t, old.ID, stale.Read)
		assert.Greater(t, stale.Version, old.ID)
	})
}

func TestSavePlan_TiesEachTaskToWhatItIsAbout(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		frame := j.task("NC/101/frame")
		require.NotNil(t, frame.OpeningID)
		assert.Equal(t, j.openings[0].ID, *frame.OpeningID)
		assert.Equal(t, j.east.ID, *frame.AreaID)
		assert.Positive(t, *frame.LabourMinutes)
		order := j.task("NC/R1/order")
		assert.Equal(t, j.release.ID, *order.ReleaseID)
		assert.Nil(t, order.OpeningID)
		walls := j.task("NC/L1/walls_boarded")
		assert.Equal(t, j.walls.ID, *walls.HandoverID)
	})
}

func TestSavePlan_DropsTasksThatAreNoLongerThereAndTakesThemBack(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		whole := j.build()
		sync := func(p *problem.Problem) map[string]int64 {
			var ids map[string]int64
			write(t, db, func(tx *models.Tx) (err error) {
				ids, err = models.SyncTasks(t.Context(), tx, p, nil)
				return err
			})
			return ids
		}
		before := sync(whole)
		part := *whole
		part.Tasks = nil
		part.Links = slices.DeleteFunc(slices.Clone(whole.Links), func(l problem.Link) bool { return l.To == "NC/103/punch" })
		for _, task := range whole.Tasks {
			if task.ID != "NC/103/punch" {
				part.Tasks = append(part.Tasks, task)
			}
		}
		sync(&part)
		assert.NotNil(t, j.task("NC/103/punch").DroppedAt)
		assert.Nil(t, j.task("NC/102/punch").DroppedAt)
		assert.Equal(t, before, sync(whole), "the same rows again")
		assert.Nil(t, j.task("NC/103/punch").DroppedAt)
	})
}

func TestIssuePlan_MakesItThePlanInForceOfOneProject(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		_, err := models.IssuedPlan(t.Context(), db, j.project.ID)
		require.ErrorIs(t, err, models.ErrNotFound)
		first, second := j.savePlan(0), j.savePlan(30*time.Minute)
		for _, id := range []int64{second.ID, first.ID} {
			write(t, db, func(tx *models.Tx) error {
				_, err := models.IssuePlan(t.Context(), tx, id, j.project.ID, false, console)
				return err
			})
		}
		issue, err := models.IssuedPlan(t.Context(), db, j.project.ID)
		require.NoError(t, err)
		assert.Equal(t, first.ID, issue.PlanID, "the one issued last, not the one made last")

		firm := j.firm()
		crewTasks := 0
		for _, task := range j.build().Tasks {
			if task.IsCrewWork() {
				crewTasks++
			}
		}
		require.Len(t, firm.Issued, crewTasks)
		assert.Contains(t, []string{"north", "south"}, firm.Issued[0].Crew)
		assert.Zero(t, firm.Issued[0].Start.Minute(), "of the first plan, which starts on the hour")
	})
}

func TestIssuePlan_RefusesAPlanThatIsNotThere(t *testing.T) {
	t.Parallel()
	db := dbtest.SQLite(t, dbtest.Clock)
	j := newJob(t, db)
	err := db.Write(t.Context(), func(tx *models.Tx) error {
		_, err := models.IssuePlan(t.Context(), tx, 99, j.project.ID, false, console)
		return err
	})
	require.ErrorIs(t, err, models.ErrNotFound)
}

func TestPins_OneATaskAndStaleOnesAreRefused(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		task := j.task("NC/101/frame")
		start := dbtest.Now.Add(48 * time.Hour)
		set := func(version int64) error {
			return db.Write(t.Context(), func(tx *models.Tx) error {
				pin := &models.Pin{TaskID: task.ID, CrewID: &j.north.ID, StartAt: &start}
				pin.Version = version
				return models.SetPin(t.Context(), tx, pin, console)
			})
		}
		require.NoError(t, set(0))
		var stale *models.ErrStale
		require.ErrorAs(t, set(0), &stale, "someone pinned it meanwhile")
		require.NoError(t, set(1))
		pin := j.firm().Pins["NC/101/frame"]
		assert.Equal(t, "north", pin.Crew)
		assert.Equal(t, start, *pin.Start)

		write(t, db, func(tx *models.Tx) error { return models.ClearPin(t.Context(), tx, task.ID, console) })
		assert.Empty(t, j.firm().Pins)
		_, err := models.PinOf(t.Context(), db, task.ID)
		require.ErrorIs(t, err, models.ErrNotFound)
	})
}

func TestNights_RunOnceAndStartOverAfterAFailure(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		date := models.NewDate(2026, 11, 25)
		begin := func() (night *models.Night, err error) {
			err = db.Write(t.Context(), func(tx *models.Tx) error {
				night, err = models.BeginNight(t.Context(), tx, j.project.ID, date, "", "")
				return err
			})
			return night, err
		}
		night, err := begin()
		require.NoError(t, err)
		assert.Nil(t, night.ReadFrom)
		write(t, db, func(tx *models.Tx) error { return models.FailNight(t.Context(), tx, night, "the disk is full") })
		again, err := begin()
		require.NoError(t, err)
		assert.Equal(t, night.ID, again.ID)
		assert.Empty(t, again.Error)

		again.ReadTo, again.Reports = &dbtest.Now, 3
		write(t, db, func(tx *models.Tx) error { return models.FinishNight(t.Context(), tx, again) })
		_, err = begin()
		require.ErrorIs(t, err, models.ErrDuplicate)

		lastNights, err := models.LastNights(t.Context(), db)
		require.NoError(t, err)
		assert.Equal(t, map[int64]models.Date{j.project.ID: date}, lastNights)
		last, err := models.NightByID(t.Context(), db, again.ID)
		require.NoError(t, err)
		assert.Equal(t, models.NightOK, last.Status)
		assert.Equal(t, date, last.LocalDate)
		assert.Equal(t, 3, last.Reports)

		date = date.AddDays(1)
		next, err := begin()
		require.NoError(t, err)
		assert.Equal(t, dbtest.Now, *next.ReadFrom, "it reads on from where the last good one stopped")
	})
}
