package played_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/scheduler/forecast"
)

// said is what a night's forecast said of a date that had not come.
type said struct {
	date     string
	night    int
	p50, p80 time.Time
}

// assertForecast asserts that the night's forecast is kept with its bands, and that what was done is counted.
func (w *world) assertForecast(planID int64) {
	w.t.Helper()
	ctx := w.t.Context()
	f, err := models.LatestForecast(ctx, w.DB)
	require.NoError(w.t, err)
	require.Equal(w.t, planID, f.PlanID)
	doc, _ := w.documents(planID)
	require.Len(w.t, f.Dates, len(doc.GCDates))
	ids, err := models.GCDateIDs(ctx, w.DB)
	require.NoError(w.t, err)
	done := 0
	for _, g := range doc.GCDates {
		at := slices.IndexFunc(f.Dates, func(d models.ForecastDate) bool { return d.GCDateID == ids[g.ID] })
		require.GreaterOrEqual(w.t, at, 0)
		d := &f.Dates[at]
		came, all := w.came(g.Tasks)
		if !all {
			require.Nil(w.t, d.DoneAt)
			w.said = append(w.said, said{g.ID, w.nights, *d.P50At, *d.P80At})
			bands := []*time.Time{d.P10At, d.P50At, d.P80At, d.P90At}
			for i, b := range bands {
				require.NotNil(w.t, b, "%s on %s", g.ID, w.today)
				require.True(w.t, i == 0 || !b.Before(*bands[i-1]), g.ID)
				require.False(w.t, b.Before(doc.DataDate), g.ID)
			}
			continue
		}
		done++
		require.NotNil(w.t, d.DoneAt)
		require.WithinDuration(w.t, came, *d.DoneAt, 0, g.ID)
	}
	kept, err := models.KeptForecasts(ctx, w.DB)
	require.NoError(w.t, err)
	require.Equal(w.t, done, forecast.Calibrate(kept).Dates, "dates that came, on %s", w.today)
}

// came is when the last of some tasks was finished, as far as the office was told.
func (w *world) came(tasks []string) (last time.Time, all bool) {
	for _, id := range tasks {
		d := w.deeds[id]
		if d == nil || !d.told {
			return last, false
		}
		if d.finished.After(last) {
			last = *d.finished
		}
	}
	return last, true
}

// assertShares holds what all nights said against what came: over all nights by the product's own calibration, and by the
// forecasts made so many nights before. These are sixteen dates of four truths, with four dates of one job moving together: shares of
// eight in ten come out anywhere between half and all. Bands that are far too narrow or shifted fall below that; that bands are
// not too wide is asserted on many jobs in package forecast.
func assertShares(t *testing.T, worlds map[uint64]*world) {
	t.Helper()
	var all []forecast.Kept
	for seed, w := range worlds {
		kept, err := models.KeptForecasts(t.Context(), w.DB)
		require.NoError(t, err)
		for _, k := range kept {
			k.Date = fmt.Sprint(seed, " ", k.Date)
			all = append(all, k)
		}
	}
	c := forecast.Calibrate(all)
	assert.Equal(t, 4*len(worlds), c.Dates)
	assert.GreaterOrEqual(t, c.ByP80, 0.5)
	assert.Less(t, c.ByP50, 0.9)
	assert.Greater(t, c.ByP80, c.ByP50)
	for _, before := range []int{5, 10, 20} {
		n, by50, by80 := 0, 0, 0
		for _, w := range worlds {
			for _, s := range w.said {
				if came := w.finish(s.date); w.nightsUntil(s.night, came) == before {
					n, by50, by80 = n+1, by50+isBy(came, s.p50), by80+isBy(came, s.p80)
				}
			}
		}
		require.Greater(t, n, 3*len(worlds), "%d nights before", before)
		assert.GreaterOrEqual(t, 2*by80, n, "%d nights before", before)
		assert.Less(t, by50, n, "%d nights before", before)
	}
}

func isBy(came, said time.Time) int {
	if came.After(said) {
		return 0
	}
	return 1
}

// nightsUntil is how many nights after a certain one something came.
func (w *world) nightsUntil(night int, came time.Time) int {
	at := slices.IndexFunc(w.evenings, func(e time.Time) bool { return !came.After(e) })
	return at + 1 - night
}

// assertLearned asserts that each finished task teaches its hours once, whole.
func (w *world) assertLearned() {
	w.t.Helper()
	rows, err := models.RateObservations(w.t.Context(), w.DB)
	require.NoError(w.t, err)
	learned := map[int64]int{}
	for i := range rows {
		learned[rows[i].TaskID] += rows[i].LabourMinutes
	}
	n := 0
	for i := range w.doc.Tasks {
		row := w.Task(w.doc.Tasks[i].ID)
		if !w.doc.Tasks[i].IsCrewWork() || row.ItemID != nil { // work on a remake teaches nothing of the whole
			continue
		}
		hours := 0
		for _, minutes := range w.labour[row.Key] {
			hours += minutes
		}
		require.Equal(w.t, hours, learned[row.ID], row.Key)
		n++
	}
	require.Len(w.t, rows, n)
}
