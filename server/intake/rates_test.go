package intake_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/models/dbtest"
	"jambwright/scheduler/takeoff"
	"jambwright/server/importing"
	"jambwright/server/intake"
	"jambwright/server/sheet"
)

// A sheet with one row more, one row less and one row changed does exactly that, and ends what was accepted of those kinds.
func TestStore_ARateSheetChangesTheTable(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		store := newStore(db)
		rows, err := intake.RateRows(ctx, db)
		require.NoError(t, err)
		for i := range rows {
			if rows[i].Work == takeoff.Hang && rows[i].Driver == takeoff.PerHardware && rows[i].Type == "" {
				rows[i].Hours = 0.3
			}
		}
		require.Equal(t, takeoff.Punch, rows[len(rows)-1].Work)
		rows = append(rows[:len(rows)-1], importing.RateRow{Work: takeoff.Glaze, Type: takeoff.Storefront, Driver: takeoff.PerPane, Hours: 0.6, Source: "our count"})
		require.NoError(t, db.Write(ctx, func(tx *models.Tx) error {
			return models.Decide(ctx, tx, &models.RateDecision{Kind: takeoff.Hang, InForce: true, Factor: 1.1}, 0, models.Actor{Name: "test"})
		}))
		data, err := sheet.WriteCSV(importing.RateSheet(rows, false))
		require.NoError(t, err)
		read := importing.Read(importing.Rates, "rates.csv", data, importing.Options{})
		added, changed, removed := save(t, store, read).Counts()
		require.Equal(t, [3]int{1, 1, 1}, [3]int{added, changed, removed})
		requireUnchanged(t, store, read)
		rates, err := models.PlannedRates(ctx, db)
		require.NoError(t, err)
		require.Len(t, rates.Rates, len(takeoff.DefaultRates().Rates))
		require.Contains(t, rates.Rates, takeoff.Rate{Kind: takeoff.Hang, Driver: takeoff.PerHardware, Hours: 0.3, Source: "ours to edit"})
		require.Empty(t, rates.Accepted)
		require.NotEmpty(t, rates.Factors, "the factors of conditions stay")
	})
}
