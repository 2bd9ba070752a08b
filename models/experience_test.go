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

// What a survey, an order and an unloading took is held against the company table by the openings and pieces they were planned for,
// also when plans reckon with what was learned before.
func TestRateBook_LearnsFromSharedTasks(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		j := newJob(t, db)
		write(t, db, func(tx *models.Tx) error {
			return models.Decide(t.Context(), tx, &models.RateDecision{Kind: takeoff.Survey, InForce: true, Factor: 2, Observations: 9}, 0, console)
		})
		j.savePlan(0)
		table := takeoff.DefaultRates()
		bases := j.bases()
		assert.Equal(t, takeoff.SharedBasis(3, 0), bases["NC/L1/survey"])
		survey := table.HoursOn(takeoff.Survey, bases["NC/L1/survey"])
		assert.InDelta(t, 2*survey.Hours*60, *j.task("NC/L1/survey").LabourMinutes, 1, "planned as accepted")
		for i, key := range []string{"NC/L1/survey", "NC/R1/order", "NC/R1/deliver"} {
			labour := 240
			j.report(key, models.FieldReport{
				ClientID: key, Kind: models.ReportDone, CrewID: &j.north.ID, At: dbtest.Now.Add(time.Duration(i) * time.Hour), LabourMinutes: &labour,
			})
		}
		b := book(t, db)
		assert.Zero(t, b.Skipped)
		var learned []string
		for i := range b.Experience {
			e := &b.Experience[i]
			learned = append(learned, string(e.Kind)+"/"+e.Crew)
			if e.Crew == "" {
				key := map[takeoff.Kind]string{takeoff.Survey: "NC/L1/survey", takeoff.Order: "NC/R1/order", takeoff.Deliver: "NC/R1/deliver"}[e.Kind]
				assert.InEpsilon(t, min(3, 4/table.HoursOn(e.Kind, bases[key]).Hours), e.Learned.Mean, 1e-9, "four hours beside the table, three times at most")
			}
		}
		assert.Equal(t, []string{"survey/", "survey/north", "order/", "deliver/"}, learned, "no crew is planned for orders and unloading")
		assert.InDelta(t, 2, b.Experience[0].Planned, 1e-12)

		// What is done keeps the basis that it was planned with.
		j.savePlan(time.Hour)
		assert.Equal(t, 3.0, j.task("NC/L1/survey").Basis.V.Quantities[takeoff.PerOpening]) //nolint:testifylint // a count
	})
}
