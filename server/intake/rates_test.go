package intake_test

import (
	"slices"
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
		last := slices.IndexFunc(rows, func(r importing.RateRow) bool { return r.Condition != "" }) - 1
		require.Equal(t, takeoff.Punch, rows[last].Work)
		rows = append(slices.Delete(rows, last, last+1), importing.RateRow{Work: takeoff.Glaze, Type: takeoff.Storefront, Driver: takeoff.PerPane, Hours: 0.6, Source: "our count"})
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
		require.ElementsMatch(t, takeoff.DefaultRates().Factors, rates.Factors, "the factors of conditions stay")
	})
}

// Factors are added, changed and taken out by the same sheet, and what is stored then is written as the sheet that was read.
func TestStore_ARateSheetChangesTheFactorsOfConditions(t *testing.T) {
	t.Parallel()
	dbtest.Each(t, func(t *testing.T, db *models.DB) {
		ctx := t.Context()
		store := newStore(db)
		rows, err := intake.RateRows(ctx, db)
		require.NoError(t, err)
		rows = slices.DeleteFunc(rows, func(r importing.RateRow) bool { return r.Condition == takeoff.HeavyDuty })
		for i := range rows {
			if rows[i].Condition == takeoff.Occupied {
				rows[i].Factor = 1.35
			}
		}
		rows = append(rows, importing.RateRow{Work: takeoff.Glaze, Condition: "night_work", Factor: 1.25, Source: "our count"})
		data, err := sheet.WriteCSV(importing.RateSheet(rows, true))
		require.NoError(t, err)
		read := importing.Read(importing.Rates, "rates.csv", data, importing.Options{})
		require.Empty(t, read.Faults)
		added, changed, removed := save(t, store, read).Counts()
		require.Equal(t, [3]int{1, 1, 1}, [3]int{added, changed, removed})
		requireUnchanged(t, store, read)
		rates, err := models.PlannedRates(ctx, db)
		require.NoError(t, err)
		require.Contains(t, rates.Factors, takeoff.Factor{Condition: "night_work", Kind: takeoff.Glaze, Factor: 1.25, Source: "our count"})
		require.Contains(t, rates.Factors, takeoff.Factor{Condition: takeoff.Occupied, Factor: 1.35, Source: "ours to edit"})
		require.Len(t, rates.Factors, len(takeoff.DefaultRates().Factors))
	})
}
