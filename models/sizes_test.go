package models_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// A hinged front of 72 x 96 in with a leaf of 36 in and one sidelight: 72 - 3 1/2 - 1 3/4 - 36 = 30 3/4 of daylight, 31 3/8 of
// glass with a bite of 5/16 in on each side. Measured 71 15/16 in wide it is 31 5/16.
func TestOpening_IsMadeToTheFieldSizeWhereTheOrderBasisHasIt(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.inForce()
		sixteenth := length.Inch / 16
		pane := func() length.Length {
			t.Helper()
			taken, err := takeoff.Of(j.firm().Projects[0].Openings[0].Takeoff, takeoff.Rules{})
			require.NoError(t, err)
			return taken.Panes[0].Width
		}
		j.measured("a", -60, 72*length.Inch-sixteenth)
		assert.Equal(t, 31*length.Inch+6*sixteenth, pane(), "an order from the drawings is made to them")
		j.orderFrom(pattern.FromSurvey)
		assert.Equal(t, 31*length.Inch+5*sixteenth, pane())
		assert.Equal(t, 72*length.Inch, j.firm().Projects[0].Openings[0].DrawnWidth)

		// Ordered now; what is measured later does not change what was ordered.
		j.report("NC/R1/order", models.FieldReport{ClientID: "order", Kind: models.ReportDone})
		j.measured("b", 60, 72*length.Inch+2*sixteenth)
		assert.Equal(t, 31*length.Inch+5*sixteenth, pane())
		o := j.sized("101")
		size := o.ItemSize(pattern.Glass)
		require.NotNil(t, size.Later)
		assert.Equal(t, 72*length.Inch+2*sixteenth, size.Later.Width)
		assert.Equal(t, 72*length.Inch+2*sixteenth, o.MeasuredWidth)

		// A pane ordered anew is made to what is known then.
		j.report("NC/101/glaze", models.FieldReport{ClientID: "broken", Kind: models.ReportDamaged, ItemKind: pattern.Glass})
		assert.Equal(t, 31*length.Inch+8*sixteenth, pane())
		glaze := j.work(models.WorkQuery{})["NC/101/glaze"]
		require.NotNil(t, glaze.Task.Opening)
		made := glaze.Task.Opening.MadeTo(takeoff.Rules{})
		assert.Equal(t, 72*length.Inch+2*sixteenth, made.Width, "crews get what is made")

		// Once it is ordered it stays so, though its release was ordered before.
		remakes, err := models.Remakes(t.Context(), db, j.project.ID)
		require.NoError(t, err)
		require.Len(t, remakes, 1)
		at := dbtest.Now.Add(90 * time.Minute)
		write(t, db, func(tx *models.Tx) error {
			return models.RecordMaterial(t.Context(), tx, models.MaterialNews{ItemID: &remakes[0].ID, Ordered: &at}, console)
		})
		j.measured("c", 120, 72*length.Inch+4*sixteenth)
		assert.Equal(t, 31*length.Inch+8*sixteenth, pane())
	})
}

// Two frames of one drawn size are finished; one was made 2 in wider, as it was measured, and its basis has the more frame: the
// head, and the base and channel of the sidelight, which takes up the difference, are 2 in longer each: 6 in or 0.1524 m.
func TestRateObservations_HoldTheSizeThatWasMade(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		j.orderFrom(pattern.FromSurvey)
		j.measured("wide", -60, j.sized("101").Width+2*length.Inch)
		j.finish("a", "NC/101/frame", 1, dbtest.Now.Add(time.Hour))
		j.finish("b", "NC/102/frame", 1, dbtest.Now.Add(2*time.Hour))
		observations, err := models.RateObservations(t.Context(), db)
		require.NoError(t, err)
		require.Len(t, observations, 2)
		frame := map[string]float64{}
		for _, o := range observations {
			task, err := models.TaskByKey(t.Context(), db, "NC/101/frame")
			require.NoError(t, err)
			frame[map[bool]string{true: "101", false: "102"}[o.TaskID == task.ID]] = o.Basis.V.Quantities[takeoff.PerMetre]
		}
		assert.InDelta(t, 0.1524, frame["101"]-frame["102"], 1e-6)
	})
}

// orderFrom sets the basis that the job's release is ordered on.
func (j *job) orderFrom(basis pattern.OrderBasis) {
	j.t.Helper()
	write(j.t, j.db, func(tx *models.Tx) error {
		releases, err := models.Releases(j.t.Context(), tx, j.project.ID)
		if err != nil {
			return err
		}
		releases[0].Basis = basis
		return models.UpdateRelease(j.t.Context(), tx, &releases[0], "", console)
	})
}

// A size that is taken back leaves the one before it, then the drawings', and what it held goes on. It is taken back once.
func TestTakeBackSize_GoesBackToTheSizeBefore(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		first := j.measured("a", -60, 71*length.Inch)
		second := j.measured("b", -30, 70*length.Inch)
		assert.Equal(t, 70*length.Inch, j.sized("101").MeasuredWidth)
		back := func(id int64, client string) error {
			return db.Write(t.Context(), func(tx *models.Tx) error {
				return models.TakeBackSize(t.Context(), tx, id, models.FieldReport{ClientID: client, At: dbtest.Now, Reporter: "Tam Osk"})
			})
		}
		require.NoError(t, back(second, "c"))
		assert.Equal(t, 71*length.Inch, j.sized("101").MeasuredWidth)
		require.NoError(t, back(second, "c"), "sent twice it counts once")
		require.ErrorIs(t, back(second, "d"), models.ErrRefused)
		require.NoError(t, back(first, "e"))
		o := j.sized("101")
		assert.Nil(t, o.MeasuredAt)
		assert.Zero(t, o.MeasuredWidth)
		assert.Empty(t, o.Sizes)
		reports, err := models.ReportsOf(t.Context(), db, j.task("NC/101/frame").ID)
		require.NoError(t, err)
		require.Len(t, reports, 4, "reports are only ever appended")
		assert.Equal(t, 70*length.Inch, *reports[2].Width, "and read whole")
	})
}

func TestTakeBackSize_LiftsWhatTheSizeHeld(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		width, height := 60*length.Inch, 96*length.Inch
		j.report("NC/101/frame", models.FieldReport{ClientID: "a", Kind: models.ReportMeasured, Width: &width, Height: &height, Cause: "narrow", Party: "Partitions"})
		task := j.task("NC/101/frame")
		require.True(t, task.Held)
		reports, err := models.ReportsOf(t.Context(), db, task.ID)
		require.NoError(t, err)
		write(t, db, func(tx *models.Tx) error {
			return models.TakeBackSize(t.Context(), tx, reports[0].ID, models.FieldReport{ClientID: "b", At: dbtest.Now, Reporter: "Tam Osk"})
		})
		assert.False(t, j.task("NC/101/frame").Held)
	})
}

// measured reports a width of opening 101, so many minutes from now, and returns the report's id.
func (j *job) measured(client string, minute int, width length.Length) int64 {
	j.t.Helper()
	height := 96 * length.Inch
	j.report("NC/101/frame", models.FieldReport{
		ClientID: client, Kind: models.ReportMeasured, At: dbtest.Now.Add(time.Duration(minute) * time.Minute), Width: &width, Height: &height,
	})
	reports, err := models.ReportsOf(j.t.Context(), j.db, j.task("NC/101/frame").ID)
	require.NoError(j.t, err)
	for _, r := range reports {
		if r.ClientID == client {
			return r.ID
		}
	}
	j.t.Fatalf("report %s is not there", client)
	return 0
}

// sized is an opening with what was measured of it.
func (j *job) sized(mark string) *models.Opening {
	j.t.Helper()
	rows, err := models.OpeningsOf(j.t.Context(), j.db, j.project.ID)
	require.NoError(j.t, err)
	for i := range rows {
		if rows[i].Mark == mark {
			require.NoError(j.t, models.ReadSizes(j.t.Context(), j.db, &rows[i]))
			return &rows[i]
		}
	}
	j.t.Fatalf("opening %s is not there", mark)
	return nil
}
