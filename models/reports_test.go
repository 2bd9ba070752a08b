package models_test

import (
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
)

func minutes(n int) *int { return &n }

func TestAppendReport_CountsAReportThatIsSentTwiceOnce(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		r := models.FieldReport{ClientID: "a1", Kind: models.ReportHours, LabourMinutes: minutes(90)}
		assert.False(t, j.report("NC/101/frame", r))
		assert.True(t, j.report("NC/101/frame", r))
		assert.Equal(t, 90, j.task("NC/101/frame").LabourReported)

		err := db.Write(t.Context(), func(tx *models.Tx) error {
			_, err := models.AppendReport(t.Context(), tx, &models.FieldReport{
				ClientID: "a1", TaskID: j.task("NC/102/frame").ID, Kind: models.ReportStart, Reporter: "x", At: dbtest.Now,
			})
			return err
		})
		require.ErrorIs(t, err, models.ErrDuplicate, "the same id for another report")
	})
}

// A report that names no crew counts for nobody's, one that was taken back for nothing.
func TestReportedLabour_IsTheCrewsThatSpentIt(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		none, err := models.ReportedLabour(t.Context(), db)
		require.NoError(t, err)
		assert.Empty(t, none)
		idle, err := models.BegunLabour(t.Context(), db)
		require.NoError(t, err)
		assert.Empty(t, idle)
		const frame = "NC/101/frame"
		width, height := 36*length.Inch, 84*length.Inch
		j.report(frame, models.FieldReport{ClientID: "a", Kind: models.ReportPartDone, RemainingMinutes: minutes(60), LabourMinutes: minutes(90), CrewID: &j.north.ID})
		j.report(frame, models.FieldReport{ClientID: "b", Kind: models.ReportHours, LabourMinutes: minutes(30), CrewID: &j.north.ID})
		j.report(frame, models.FieldReport{ClientID: "c", Kind: models.ReportDone, LabourMinutes: minutes(45)})
		j.report(frame, models.FieldReport{ClientID: "d", Kind: models.ReportMeasured, Width: &width, Height: &height, LabourMinutes: minutes(15), CrewID: &j.north.ID})
		j.report("NC/102/frame", models.FieldReport{ClientID: "e", Kind: models.ReportStart, CrewID: &j.north.ID})
		reported, err := models.ReportedLabour(t.Context(), db)
		require.NoError(t, err)
		assert.Equal(t, map[string]map[string]int{frame: {"north": 135, "": 45}}, reported)

		reports, err := models.ReportsOf(t.Context(), db, j.task(frame).ID)
		require.NoError(t, err)
		size := reports[slices.IndexFunc(reports, func(r models.FieldReport) bool { return r.Kind == models.ReportMeasured })]
		require.NoError(t, db.Write(t.Context(), func(tx *models.Tx) error {
			return models.TakeBackSize(t.Context(), tx, size.ID, models.FieldReport{ClientID: "f", At: tx.Now(), Reporter: "x"})
		}))
		reported, err = models.ReportedLabour(t.Context(), db)
		require.NoError(t, err)
		assert.Equal(t, map[string]map[string]int{frame: {"north": 120, "": 45}}, reported)
		assert.Equal(t, 165, j.task(frame).LabourReported, "as the task's own hours")

		begun, err := models.BegunLabour(t.Context(), db)
		require.NoError(t, err)
		assert.Equal(t, map[string]int{"NC/102/frame": *j.task("NC/102/frame").LabourMinutes}, begun, "what is finished is not under way")
	})
}

func TestAppendReport_FoldsInTheOrderOfEventsNotOfArrival(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		at := func(h int) time.Time { return dbtest.Now.Add(time.Duration(h) * time.Hour) }
		j.report("NC/101/frame", models.FieldReport{ClientID: "c", Kind: models.ReportPartDone, At: at(3), RemainingMinutes: minutes(45), CrewID: &j.north.ID})
		j.report("NC/101/frame", models.FieldReport{ClientID: "b", Kind: models.ReportPartDone, At: at(2), RemainingMinutes: minutes(120), CrewID: &j.north.ID})
		j.report("NC/101/frame", models.FieldReport{ClientID: "a", Kind: models.ReportStart, At: at(1), CrewID: &j.north.ID})

		state := j.firm().States["NC/101/frame"]
		assert.Equal(t, at(1), *state.Started)
		assert.Equal(t, 45, *state.RemainingMinutes)
		assert.Equal(t, "north", state.Crew)
		assert.Nil(t, state.Finished)

		j.report("NC/101/frame", models.FieldReport{ClientID: "d", Kind: models.ReportDone, At: at(4), LabourMinutes: minutes(300)})
		state = j.firm().States["NC/101/frame"]
		assert.Equal(t, at(4), *state.Finished)
		assert.Nil(t, state.RemainingMinutes)
	})
}

func TestAppendReport_HoldsAndReleases(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		until := dbtest.Now.Add(72 * time.Hour)
		j.report("NC/101/hang", models.FieldReport{
			ClientID: "a", Kind: models.ReportHold, Cause: "floor not level", Party: "Flooring", Until: &until,
		})
		state := j.firm().States["NC/101/hang"]
		assert.True(t, state.Held)
		assert.Equal(t, until, *state.HeldUntil)
		assert.Equal(t, "Flooring", state.HoldParty)

		j.report("NC/101/hang", models.FieldReport{ClientID: "b", Kind: models.ReportReleaseHold, At: dbtest.Now.Add(time.Minute)})
		assert.NotContains(t, j.firm().States, pattern.TaskKey("NC/101/hang"))
	})
}

func TestAppendReport_AHoldToldAfterTheWorkWasDoneHoldsNothing(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		j.report("NC/101/frame", models.FieldReport{ClientID: "a", Kind: models.ReportDone, At: dbtest.Now.Add(-time.Hour)})
		j.report("NC/101/frame", models.FieldReport{ClientID: "b", Kind: models.ReportHold, Cause: "no power", Party: "other trade"})
		task := j.task("NC/101/frame")
		assert.False(t, task.Held)
		assert.Empty(t, task.HoldCause)
		assert.Empty(t, task.HoldParty)
	})
}

func TestAppendReport_DamageOrdersTheItemAgain(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		broken := models.FieldReport{ClientID: "a", Kind: models.ReportDamaged, ItemKind: pattern.Glass, Cause: "dropped"}
		j.report("NC/101/glaze", broken)
		j.report("NC/101/glaze", broken)

		assert.Equal(t, models.Damaged, j.item("101", pattern.Glass).State)
		remakes := j.firm().Projects[0].Remakes
		require.Len(t, remakes, 1)
		assert.Equal(t, "101-glass-1", remakes[0].ID)
		assert.Equal(t, "101", remakes[0].Opening)
		assert.Equal(t, "ninefold", remakes[0].Supplier)
		assert.Equal(t, "dropped", remakes[0].Cause)
		assert.Equal(t, &pattern.LeadTime{Least: 10, Likely: 15, Most: 20}, remakes[0].Lead)

		// The remake's own tasks are stored with the item and the opening they are about.
		j.savePlan(0)
		order := j.task("NC/101-glass-1/order")
		require.NotNil(t, order.ItemID)
		assert.Equal(t, j.openings[0].ID, *order.OpeningID)

		// Received, it replaces the broken one; a second break makes a second remake.
		j.report("NC/101-glass-1/deliver", models.FieldReport{ClientID: "b", Kind: models.ReportDone})
		assert.Equal(t, models.Remade, j.item("101", pattern.Glass).State)
		j.report("NC/101/glaze", models.FieldReport{ClientID: "c", Kind: models.ReportDamaged, ItemKind: pattern.Glass})
		remakes = j.firm().Projects[0].Remakes
		require.Len(t, remakes, 2)
		assert.NotNil(t, remakes[0].Received)
		assert.Equal(t, "101-glass-2", remakes[1].ID)
	})
}

func TestAppendReport_ADeliveryReceivesTheDropAndItsItems(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		j.report("NC/R1/order", models.FieldReport{ClientID: "a", Kind: models.ReportDone})
		assert.Equal(t, models.Ordered, j.item("102", pattern.Leaf).State)
		j.report("NC/R1/deliver", models.FieldReport{ClientID: "b", Kind: models.ReportDone})
		assert.Equal(t, models.Received, j.item("102", pattern.Leaf).State)
		release := j.firm().Projects[0].Releases[0]
		assert.Equal(t, dbtest.Now, *release.Ordered)
		assert.Equal(t, dbtest.Now, *release.Drops[0].Received)
	})
}

func TestAppendReport_AMeasuredSizeGoesToTheOpening(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		size := func(client string, at time.Time, width length.Length) {
			height := 96 * length.Inch
			j.report("NC/101/frame", models.FieldReport{ClientID: client, Kind: models.ReportMeasured, At: at, Width: &width, Height: &height})
		}
		size("a", dbtest.Now, 71*length.Inch)
		size("b", dbtest.Now.Add(-time.Hour), 70*length.Inch) // written earlier, sent later
		rows, err := models.OpeningsOf(t.Context(), db, j.project.ID)
		require.NoError(t, err)
		assert.Equal(t, 71*length.Inch, rows[0].MeasuredWidth)
		assert.Equal(t, 72*length.Inch, rows[0].Width, "the drawings' size stays")
	})
}

func TestAppendReport_AFinishedTaskTeachesItsHours(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		j.report("NC/101/frame", models.FieldReport{ClientID: "a", Kind: models.ReportStart, CrewID: &j.north.ID})
		j.report("NC/101/frame", models.FieldReport{ClientID: "b", Kind: models.ReportDone, At: dbtest.Now.Add(time.Hour), LabourMinutes: minutes(240)})
		rows, err := models.RateObservations(t.Context(), db)
		require.NoError(t, err)
		require.Len(t, rows, 1)
		assert.Equal(t, 240, rows[0].LabourMinutes)
		assert.Equal(t, *j.task("NC/101/frame").LabourMinutes, rows[0].ExpectedMinutes)

		j.report("NC/101/frame", models.FieldReport{ClientID: "c", Kind: models.ReportHours, At: dbtest.Now.Add(2 * time.Hour), LabourMinutes: minutes(30)})
		rows, err = models.RateObservations(t.Context(), db)
		require.NoError(t, err)
		require.Len(t, rows, 1)
		assert.Equal(t, 270, rows[0].LabourMinutes, "hours reported after the work was done count too")
	})
}

func TestRecordMaterial_KeepsTheHistoryOfAPromise(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		promise := func(d models.Date) {
			write(t, db, func(tx *models.Tx) error {
				return models.RecordMaterial(t.Context(), tx, models.MaterialNews{ReleaseID: &j.release.ID, Promised: &d, Cause: "furnace"}, console)
			})
		}
		promise(models.NewDate(2026, 12, 7))
		promise(models.NewDate(2026, 12, 9))
		promise(models.NewDate(2026, 12, 9))
		lines, err := models.MaterialHistory(t.Context(), db, j.release.ID)
		require.NoError(t, err)
		require.Len(t, lines, 2, "the same promise again is no change")
		assert.Equal(t, "2026-12-07", lines[1].OldValue)
		assert.Equal(t, "2026-12-09", lines[1].NewValue)
		assert.Equal(t, models.Acknowledged, j.item("101", pattern.Glass).State)
	})
}

func TestRecordHandoverChange_AppendsALineForEachDateThatChanged(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		later, actual := models.NewDate(2026, 12, 4), models.NewDate(2026, 12, 3)
		change := func(version int64, news models.HandoverNews) error {
			return db.Write(t.Context(), func(tx *models.Tx) error {
				return models.RecordHandoverChange(t.Context(), tx, j.walls.ID, version, news, console)
			})
		}
		require.NoError(t, change(1, models.HandoverNews{Promised: j.walls.Promised, Forecast: &later, Cause: "no crew seen"}))
		require.NoError(t, change(2, models.HandoverNews{Promised: j.walls.Promised, Forecast: &later, Actual: &actual}))
		var stale *models.ErrStale
		require.ErrorAs(t, change(1, models.HandoverNews{}), &stale)

		lines, err := models.HandoverHistory(t.Context(), db, j.walls.ID)
		require.NoError(t, err)
		require.Len(t, lines, 3)
		assert.Equal(t, models.FieldPromised, lines[0].Field)
		assert.Equal(t, "sheet of 20 November", lines[0].Source)
		assert.Equal(t, models.FieldForecast, lines[1].Field)
		assert.Equal(t, later, *lines[1].NewDate)
		assert.Equal(t, models.FieldActual, lines[2].Field)
	})
}

func TestAppendReport_TheSameReportFourTimesAtOnceIsStoredOnce(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		task := j.task("NC/101/glaze")
		var already atomic.Int32
		errs := make([]error, 4)
		var wait sync.WaitGroup
		for i := range errs {
			wait.Go(func() {
				errs[i] = db.Write(t.Context(), func(tx *models.Tx) error {
					r := models.FieldReport{ClientID: "x", TaskID: task.ID, Kind: models.ReportDamaged, ItemKind: pattern.Glass, Reporter: "Tam Osk", At: dbtest.Now}
					there, err := models.AppendReport(t.Context(), tx, &r)
					if there {
						already.Add(1)
					}
					return err
				})
			})
		}
		wait.Wait()
		assert.Equal(t, make([]error, len(errs)), errs)
		assert.EqualValues(t, 3, already.Load())
		assert.Len(t, j.firm().Projects[0].Remakes, 1)
	})
}
