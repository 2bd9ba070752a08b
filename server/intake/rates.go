package intake

import (
	"context"

	"jambwright/models"
	"jambwright/server/importing"
)

// rateRows are the company's rates and factors as a sheet holds them.
func rateRows(rows []models.Rate, factors []models.RateFactor) []importing.RateRow {
	list := make([]importing.RateRow, 0, len(rows)+len(factors))
	for _, r := range rows {
		list = append(list, importing.RateRow{Work: r.Kind, Type: r.OpeningType, Driver: r.Driver, Hours: r.Hours, Source: r.Source})
	}
	for _, f := range factors {
		list = append(list, importing.RateRow{Work: f.Kind, Condition: f.Condition, Factor: f.Factor, Source: f.Source})
	}
	return list
}

// RateRows reads the company's rates and factors as a sheet holds them, in the order of the table; the planner's own where none is
// stored.
func RateRows(ctx context.Context, r models.Reader) ([]importing.RateRow, error) {
	rows, factors, _, err := models.RateTable(ctx, r)
	return rateRows(rows, factors), err
}

// saveRates writes the rates and factors that a sheet adds, changes or takes out.
func saveRates(ctx context.Context, tx *models.Tx, c importing.RowChanges[importing.RateRow], actor models.Actor) error {
	if len(c.Add)+len(c.Change)+len(c.Remove) == 0 {
		return nil
	}
	if _, err := models.StoreTable(ctx, tx); err != nil {
		return err
	}
	rows, factors, _, err := models.RateTable(ctx, tx)
	if err != nil {
		return err
	}
	for _, row := range upserts(c) {
		if row.Condition != "" {
			err = saveFactor(ctx, tx, row, factors, actor)
		} else {
			err = saveRate(ctx, tx, row, rows, actor)
		}
		if err != nil {
			return err
		}
	}
	for _, row := range c.Remove {
		if row.Condition != "" {
			err = models.RemoveFactor(ctx, tx, row.Condition, row.Work, actor)
		} else {
			err = models.RemoveRate(ctx, tx, row.Work, row.Type, row.Driver, actor)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func saveRate(ctx context.Context, tx *models.Tx, row importing.RateRow, stored []models.Rate, actor models.Actor) error {
	rate := models.Rate{Kind: row.Work, OpeningType: row.Type, Driver: row.Driver, Hours: row.Hours, Source: row.Source}
	if old := find(stored, func(r *models.Rate) bool {
		return r.Kind == row.Work && r.OpeningType == row.Type && r.Driver == row.Driver
	}); old != nil {
		rate.Version = old.Version
	}
	return models.SaveRate(ctx, tx, &rate, actor)
}

func saveFactor(ctx context.Context, tx *models.Tx, row importing.RateRow, stored []models.RateFactor, actor models.Actor) error {
	factor := models.RateFactor{Condition: row.Condition, Kind: row.Work, Factor: row.Factor, Source: row.Source}
	if old := find(stored, func(f *models.RateFactor) bool { return f.Condition == row.Condition && f.Kind == row.Work }); old != nil {
		factor.Version = old.Version
	}
	return models.SaveFactor(ctx, tx, &factor, actor)
}
