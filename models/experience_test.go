package models_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/takeoff"
)

// finish reports the frame of an opening done by North in a share of what the table says.
func (j *job) finish(client, key string, share float64, at time.Time) {
	labour := int(float64(*j.task(key).LabourMinutes) * share)
	j.report(key, models.FieldReport{ClientID: client, Kind: models.ReportDone, CrewID: &j.north.ID, At: at, LabourMinutes: &labour})
}

func book(t *testing.T, db *models.DB) *models.RateBook {
	t.Helper()
	b, err := models.ReadRateBook(t.Context(), db)
	require.NoError(t, err)
	return b
}

func TestRateBook_LearnsFromFinishedTasks(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		assert.Empty(t, book(t, db).Experience)
		j.finish("a", "NC/101/frame", 1.5, dbtest.Now.Add(time.Hour))
		j.finish("b", "NC/102/frame", 1.5, dbtest.Now.Add(2*time.Hour))
		b := book(t, db)
		require.Len(t, b.Experience, 2)
		assert.Equal(t, takeoff.Frame, b.Experience[0].Kind)
		assert.Equal(t, 2, b.Experience[0].Learned.Count)
		assert.Equal(t, "north", b.Experience[1].Crew)
		assert.InDelta(t, 1/1.25, b.Experience[1].Planned, 1e-9, "plans reckon with the stated pace")
		assert.Equal(t, 2, b.Observations[1].Basis.V.Unit, "the second of the same size")
		assert.Positive(t, b.Observations[0].Basis.V.Quantities[takeoff.PerFastener])
		assert.Equal(t, b.Experience, j.firm().Experience)

		// The basis and the hours that were planned agree to the minute, so that the table can be exchanged.
		rates := takeoff.DefaultRates()
		assert.Equal(t, b.Observations[0].ExpectedMinutes, rates.HoursOn(takeoff.Frame, b.Observations[0].Basis.V).Minutes)
	})
}

func TestDecide_AcceptedFactorsArePlannedWithUntilTheyAreTakenBack(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		j.savePlan(0)
		before := *j.task("NC/103/frame").LabourMinutes
		decide := func(d models.RateDecision, seen int64) (id int64) {
			write(t, db, func(tx *models.Tx) error {
				err := models.Decide(t.Context(), tx, &d, seen, console)
				id = d.ID
				return err
			})
			return id
		}
		accepted := decide(models.RateDecision{Kind: takeoff.Frame, InForce: true, Factor: 2, Observations: 9}, 0)
		decide(models.RateDecision{Kind: takeoff.Frame, CrewID: &j.north.ID, InForce: true, Factor: 1.6, Observations: 4}, 0)
		firm := j.firm()
		assert.InDelta(t, 2, firm.Rates.AcceptedFactor(takeoff.Frame), 1e-12)
		require.Len(t, firm.Paces, 1)
		j.savePlan(time.Hour)
		assert.InDelta(t, 2*before, *j.task("NC/103/frame").LabourMinutes, 1)

		// What is observed now is still held against the company table.
		j.finish("a", "NC/103/frame", 1, dbtest.Now.Add(time.Hour))
		b := book(t, db)
		assert.InDelta(t, 2, b.Experience[1].Learned.Mean, 0.01)

		err := db.Write(t.Context(), func(tx *models.Tx) error {
			return models.Decide(t.Context(), tx, &models.RateDecision{Kind: takeoff.Frame, Factor: 1}, 0, console)
		})
		var stale *models.ErrStale
		require.ErrorAs(t, err, &stale, "someone decided meanwhile")

		decide(models.RateDecision{Kind: takeoff.Frame, Factor: 1}, accepted)
		firm = j.firm()
		assert.InDelta(t, 1, firm.Rates.AcceptedFactor(takeoff.Frame), 1e-12)
		all, err := models.RateDecisions(t.Context(), db, 10)
		require.NoError(t, err)
		assert.Len(t, all, 3, "nothing is overwritten")
		trail, err := models.AuditTrail(t.Context(), db, nil, 1)
		require.NoError(t, err)
		assert.Equal(t, "keep", trail[0].Action)
	})
}
