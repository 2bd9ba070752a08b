package models_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

func TestPlanDates_GiveForecastChainAndOpeningsDone(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		plan := j.inForce()
		j.report("NC/101/punch", models.FieldReport{ClientID: "a", Kind: models.ReportDone})
		rows, err := models.PlanDates(t.Context(), db, plan.ID, []int64{j.project.ID})
		require.NoError(t, err)
		require.Len(t, rows, 1)
		d := rows[0]
		assert.Equal(t, "Level 1 ready", d.GCDate.Name)
		assert.Equal(t, d.DueAt.Add(-time.Hour), *d.ForecastAt)
		assert.Equal(t, 60, d.FloatMinutes)
		assert.Equal(t, 3, d.Openings, "those of the zone inside the level")
		assert.Equal(t, 1, d.OpeningsDone)
		require.NotEmpty(t, d.DrivingChain)

		tasks, err := models.PlanTasksByKey(t.Context(), db, plan.ID, d.DrivingChain)
		require.NoError(t, err)
		assert.Len(t, tasks, len(d.DrivingChain))
		forecasts, err := models.IssuedForecasts(t.Context(), db)
		require.NoError(t, err)
		assert.Equal(t, d.ForecastAt, forecasts[j.date.ID])

		none, err := models.PlanDates(t.Context(), db, plan.ID, []int64{j.project.ID + 1})
		require.NoError(t, err)
		assert.Empty(t, none)
	})
}

func TestSaveChanges_KeepsWhatMovedAndWhy(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		first, second := j.savePlan(0), j.savePlan(time.Hour)
		j.report("NC/101/frame", models.FieldReport{ClientID: "a", Kind: models.ReportHold, Cause: "no power"})
		reports, err := models.ReportsOf(t.Context(), db, j.task("NC/101/frame").ID)
		require.NoError(t, err)
		later := dbtest.Now.Add(time.Hour)
		changes := []models.ChangeToSave{
			{Task: "NC/101/frame", OldCrew: "north", OldStart: &dbtest.Now, NewStart: &later, MovedMinutes: 60, CauseKind: "report", CauseText: "held", ReportID: &reports[0].ID},
			{GCDate: pattern.GCDateID("NC", "L1-ready"), MovedMinutes: -30},
			{Task: "NC/gone/frame", MovedMinutes: 5},
		}
		write(t, db, func(tx *models.Tx) error {
			return models.SaveChanges(t.Context(), tx, second.ID, &first.ID, changes)
		})
		stored, err := models.ChangesOf(t.Context(), db, second.ID, j.project.ID)
		require.NoError(t, err)
		require.Len(t, stored, 2, "a task that is not stored is left out")
		require.NotNil(t, stored[0].Task, "what has no new start comes last")
		assert.Equal(t, later, *stored[0].NewStart)
		assert.Equal(t, j.north.ID, *stored[0].OldCrewID)
		assert.Nil(t, stored[0].NewCrewID)
		assert.Equal(t, "101", stored[0].Task.Opening.Mark)
		assert.Equal(t, "Level 1 ready", stored[1].GCDate.Name)
	})
}

func TestNights_CountWhatTheirPlanMoved(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		plan := j.savePlan(0)
		write(t, db, func(tx *models.Tx) error {
			ctx := t.Context()
			night, err := models.BeginNight(ctx, tx, j.project.ID, models.NewDate(2026, 11, 24), "", "")
			if err != nil {
				return err
			}
			if err := models.FailNight(ctx, tx, night, "the disk is full"); err != nil {
				return err
			}
			night, err = models.BeginNight(ctx, tx, j.project.ID, models.NewDate(2026, 11, 25), "by hand 1", "Iris Tarn")
			if err != nil {
				return err
			}
			night.PlanID = &plan.ID
			moved := []models.ChangeToSave{{Task: "NC/101/frame", MovedMinutes: 60}}
			if err := models.SaveChanges(ctx, tx, plan.ID, nil, moved); err != nil {
				return err
			}
			return models.FinishNight(ctx, tx, night)
		})
		nights, err := models.Nights(t.Context(), db, []int64{j.project.ID}, 10)
		require.NoError(t, err)
		require.Len(t, nights, 2)
		assert.Equal(t, "Iris Tarn", nights[0].AskedBy, "newest first")
		assert.Equal(t, 1, nights[0].Moved)
		assert.Zero(t, nights[0].DatesLate)
		assert.Equal(t, "the disk is full", nights[1].Error)
		one, err := models.NightByID(t.Context(), db, nights[0].ID)
		require.NoError(t, err)
		assert.Equal(t, "North Court", one.Project.Name)
		failed, err := models.FailedNights(t.Context(), db)
		require.NoError(t, err)
		assert.Empty(t, failed, "the newest run went well")
	})
}

func TestProjectRows_CountOpeningsDoneAndHeld(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		j.report("NC/101/punch", models.FieldReport{ClientID: "a", Kind: models.ReportDone})
		j.report("NC/102/hang", models.FieldReport{ClientID: "b", Kind: models.ReportHold, Cause: "floor open"})
		rows, err := models.ProjectRows(t.Context(), db)
		require.NoError(t, err)
		require.Len(t, rows, 1)
		assert.Equal(t, []int{3, 1, 1}, []int{rows[0].Openings, rows[0].Done, rows[0].Held})
	})
}

func TestNewsBetween_TellsEachThingOnceWithItsTasks(t *testing.T) {
	t.Parallel()
	now := dbtest.Now
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		promised := models.NewDate(2026, 12, 7)
		write(t, db, func(tx *models.Tx) error {
			return models.RecordMaterial(t.Context(), tx, models.MaterialNews{ReleaseID: &j.release.ID, Promised: &promised}, console)
		})
		j.report("NC/101/frame", models.FieldReport{ClientID: "a", Kind: models.ReportStart})
		news, err := models.NewsBetween(t.Context(), db, now.Add(-time.Second), now)
		require.NoError(t, err)
		tasks := map[models.NewsKind][]string{}
		for _, n := range news {
			assert.Equal(t, j.project.ID, n.ProjectID)
			tasks[n.Kind] = append(tasks[n.Kind], n.Tasks...)
		}
		assert.Equal(t, map[models.NewsKind][]string{
			models.NewsReport:   {"NC/101/frame"},
			models.NewsHandover: {"NC/L1/walls_boarded"}, // its first promise
			models.NewsMaterial: {"NC/R1/order", "NC/R1/lead", "NC/R1/deliver"},
		}, tasks)

		after, err := models.NewsBetween(t.Context(), db, now, now.Add(time.Hour))
		require.NoError(t, err)
		assert.Empty(t, after, "half-open at its beginning: what one run read, the next does not")
	})
}

func TestReadDirectory_LeavesOutClosedProjectsAndKeepsTheOthersNames(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		now := dbtest.Now
		j.project.ClosedAt = &now
		write(t, db, func(tx *models.Tx) error { return models.UpdateProject(t.Context(), tx, &j.project, console) })
		d, err := models.ReadDirectory(t.Context(), db)
		require.NoError(t, err)
		assert.Empty(t, d.Projects)
		assert.NotContains(t, d.Areas, "NC/L1-E")
		assert.Equal(t, "Level 1 / East", d.ByID[j.east.ID], "stored rows of a closed project can still be named")
		assert.Nil(t, d.Handover(pattern.Key{Project: "NC", Subject: "L1", Condition: pattern.WallsBoarded}))
		assert.Equal(t, "North", d.Crews["north"].Name)
	})
}

func TestReadDirectory_NamesWhatThePlannersIDsMean(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		j.report("NC/101/glaze", models.FieldReport{ClientID: "a", Kind: models.ReportDamaged, ItemKind: pattern.Glass})
		d, err := models.ReadDirectory(t.Context(), db)
		require.NoError(t, err)
		assert.Equal(t, "Level 1 / East", d.Areas["NC/L1-E"])
		assert.Equal(t, "North", d.Crews["north"].Name)
		assert.Equal(t, models.ReleaseEntry{Supplier: "Ninefold Glass", Remake: true, Item: pattern.Glass, Mark: "101"}, d.Releases["NC/101-glass-1"])
		handover := d.Handover(pattern.Key{Project: "NC", Subject: "L1", Kind: pattern.Handovers, Condition: pattern.WallsBoarded})
		require.NotNil(t, handover)
		assert.Equal(t, "Partitions", handover.Trade)
	})
}

func TestSaveHandovers_SilenceTakesNoPromiseBack(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		forecast := models.NewDate(2026, 12, 3)
		for range 2 { // the second time nothing changes
			write(t, db, func(tx *models.Tx) error {
				return models.SaveHandovers(t.Context(), tx, j.project.ID, []models.HandoverInput{
					{Area: models.AreaName{Level: "level 01"}, Condition: pattern.WallsBoarded, Forecast: &forecast},
					{Area: models.AreaName{Level: "Level 1", Zone: "West"}, Condition: pattern.PowerLive, Promised: &forecast},
				}, "sheet", console)
			})
		}
		rows, err := models.Handovers(t.Context(), db, j.project.ID)
		require.NoError(t, err)
		require.Len(t, rows, 2)
		assert.Equal(t, j.walls.Promised, rows[0].Promised)
		assert.Equal(t, &forecast, rows[0].Forecast)
		assert.Equal(t, "West", rows[1].Area.Name)
		lines, err := models.HandoverHistory(t.Context(), db, j.walls.ID)
		require.NoError(t, err)
		assert.Len(t, lines, 2)
	})
}

func TestRemoveOpenings_KeepsReportsAndDropsTheWork(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		j.report("NC/101/frame", models.FieldReport{ClientID: "a", Kind: models.ReportStart})
		withWork, err := models.MarksWithWork(t.Context(), db, j.project.ID)
		require.NoError(t, err)
		assert.Equal(t, map[string]bool{"101": true}, withWork)

		write(t, db, func(tx *models.Tx) error {
			return models.RemoveOpenings(t.Context(), tx, j.project.ID, []string{"101"}, console)
		})
		task := j.task("NC/101/frame")
		assert.NotNil(t, task.DroppedAt)
		reports, err := models.ReportsOf(t.Context(), db, task.ID)
		require.NoError(t, err)
		assert.Len(t, reports, 1)
		firm := j.firm()
		assert.Len(t, firm.Projects[0].Openings, 2)
		assert.Empty(t, firm.States)
		j.savePlan(0)
	})
}

func TestAssignReleases_OrdersWhatOpeningsNeedOnce(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		write(t, db, func(tx *models.Tx) error {
			return models.SaveOpenings(t.Context(), tx, j.project.ID, []models.OpeningInput{{
				Row:  models.Opening{Mark: "201", OpeningType: takeoff.DoorFrame, Width: j.openings[0].Width / 2, Height: j.openings[0].Height},
				Area: models.AreaName{Level: "Level 2"},
			}}, console)
		})
		var before int
		for n := range 2 { // the second time nothing changes
			write(t, db, func(tx *models.Tx) error {
				return models.AssignReleases(t.Context(), tx, j.project.ID)
			})
			rows, err := models.OpeningsOf(t.Context(), db, j.project.ID)
			require.NoError(t, err)
			items := 0
			for _, o := range rows {
				for _, item := range o.Items {
					assert.NotNil(t, item.ReleaseID, "%s of %s", item.Kind, o.Mark)
					items++
				}
			}
			if n == 0 {
				before = items
			}
			assert.Equal(t, before, items)
		}
		assert.NotEmpty(t, j.item("201", pattern.FrameKit).ID)
	})
}
