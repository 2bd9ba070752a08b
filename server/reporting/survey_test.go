package reporting_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/length"
	"jambwright/scheduler/tolerance"
	"jambwright/server/jobtest"
	"jambwright/server/reporting"
)

// An opening measured out of plumb beyond what is allowed holds its work with the figures and the trade that handed over, the
// plan waits for it, and measuring it again within the allowed lets it go on. The size is kept all the while.
func TestTake_AFindingHoldsTheWorkUntilItIsMeasuredAgain(t *testing.T) {
	t.Parallel()
	dbtest.EachTicking(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		sixteenth := length.Inch / 16
		take := func(id string, minute int, plumb length.Length, task string) reporting.Taken {
			t.Helper()
			width, height := 36*length.Inch+2*sixteenth, 84*length.Inch
			taken, err := reporting.Take(t.Context(), db, reporting.Report{
				ClientID: id, TaskKey: task, Kind: models.ReportMeasured, At: dbtest.Now.Add(time.Duration(minute) * time.Minute), Width: &width, Height: &height,
				Plumb: &plumb, Reporter: "Tam Osk",
				Pictures: []models.Picture{{MediaType: "image/jpeg", Width: 4, Height: 3, Whole: []byte("whole"), Small: []byte("small")}},
			})
			require.NoError(t, err)
			return taken
		}
		taken := take("first", -30, 5*sixteenth, "SC/A/hang")
		assert.Equal(t, `5/16" out of plumb, 1/16" allowed`, taken.Beyond)
		assert.Equal(t, "Partitions", taken.Party, "who handed over the walls")
		frame := j.Task("SC/A/frame")
		assert.True(t, frame.Held, "whatever task was open on the phone, the first work waits")
		assert.Equal(t, taken.Beyond, frame.HoldCause)
		assert.Equal(t, "Partitions", frame.HoldParty)
		assert.Equal(t, 36*length.Inch+2*sixteenth, frame.Opening.MeasuredWidth)
		plan := j.Plan()
		unplanned, err := models.UnplannedOf(t.Context(), db, plan.ID, j.Project.ID)
		require.NoError(t, err)
		var waiting []string
		for _, u := range unplanned {
			waiting = append(waiting, u.Task.Key)
		}
		assert.Contains(t, waiting, "SC/A/frame", "the plan waits without a date")

		assert.True(t, take("first", -30, 5*sixteenth, "SC/A/hang").Already)
		assert.Equal(t, 1, j.Count("photos"), "a report sent twice keeps its photo once")
		again := take("second", -10, 0, "SC/A/hang")
		assert.Empty(t, again.Beyond)
		assert.False(t, j.Task("SC/A/frame").Held, "measured again within the allowed, it goes on")
		unplanned, err = models.UnplannedOf(t.Context(), db, j.Plan().ID, j.Project.ID)
		require.NoError(t, err)
		assert.Empty(t, unplanned)
	})
}

// A hold that a person reported stays when the size is right, and its words stand beside those of a finding.
func TestTake_AFindingStandsBesideAPersonsHold(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		until := dbtest.Now.AddDate(0, 0, 9)
		report := func(r reporting.Report, minute int) {
			t.Helper()
			r.TaskKey, r.At, r.Reporter = "SC/A/frame", dbtest.Now.Add(time.Duration(minute)*time.Minute), "Tam Osk"
			_, err := reporting.Take(t.Context(), db, r)
			require.NoError(t, err)
		}
		measured := func(id string, plumb length.Length) reporting.Report {
			width, height := 36*length.Inch, 84*length.Inch
			return reporting.Report{ClientID: id, Kind: models.ReportMeasured, Width: &width, Height: &height, Plumb: &plumb, Until: &until}
		}
		report(reporting.Report{ClientID: "a", Kind: models.ReportHold, Cause: "conduit in the head", Party: "other trade", Until: &until}, -50)
		report(measured("b", length.Inch/4), -40)
		task := j.Task("SC/A/frame")
		assert.Equal(t, `conduit in the head; 1/4" out of plumb, 1/16" allowed`, task.HoldCause)
		require.NotNil(t, task.HeldUntil, "both have a day")
		report(measured("c", 0), -30)
		task = j.Task("SC/A/frame")
		assert.True(t, task.Held)
		assert.Equal(t, "conduit in the head", task.HoldCause)
		report(measured("d", length.Inch/4), -20)
		report(reporting.Report{ClientID: "e", Kind: models.ReportReleaseHold}, -10)
		assert.False(t, j.Task("SC/A/frame").Held, "a person lifts whatever holds it")
	})
}

// What a project allows rules over what the firm allows.
func TestTake_GoesByTheProjectsOwnTolerances(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		wide := tolerance.Set{Frames: tolerance.Allowed{Plumb: length.Inch}}
		require.NoError(t, db.Write(t.Context(), func(tx *models.Tx) error {
			project, err := models.ProjectByID(t.Context(), tx, j.Project.ID)
			if err != nil {
				return err
			}
			return models.SaveProjectTolerances(t.Context(), tx, project, wide, jobtest.Actor())
		}))
		width, height, plumb := 36*length.Inch, 84*length.Inch, length.Inch/2
		taken, err := reporting.Take(t.Context(), db, reporting.Report{
			ClientID: "a", TaskKey: "SC/A/frame", Kind: models.ReportMeasured, At: dbtest.Now, Width: &width, Height: &height, Plumb: &plumb, Reporter: "Tam Osk",
		})
		require.NoError(t, err)
		assert.Empty(t, taken.Beyond)
	})
}

func TestReport_OffByMoreThanAFootIsASlipOfThePen(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := jobtest.Load(t, db)
		j.Plan()
		width, height, plumb := 36*length.Inch, 84*length.Inch, 84*length.Inch
		_, err := reporting.Take(t.Context(), db, reporting.Report{
			ClientID: "a", TaskKey: "SC/A/frame", Kind: models.ReportMeasured, At: dbtest.Now, Width: &width, Height: &height, Plumb: &plumb, Reporter: "Tam Osk",
		})
		var faults reporting.Faults
		require.ErrorAs(t, err, &faults)
		require.Len(t, faults, 1)
		assert.Equal(t, "plumb", faults[0].Field)
	})
}
