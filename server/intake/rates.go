package intake

import (
	"context"

	"jambwright/models"
	"jambwright/server/importing"
)

// rateRows are the company's rates as a sheet holds them.
func rateRows(rows []models.Rate) []importing.RateRow {
	list := make([]importing.RateRow, len(rows))
	for i, r := range rows {
		list[i] = importing.RateRow{Work: r.Kind, Type: r.OpeningType, Driver: r.Driver, Hours: r.Hours, Source: r.Source}
	}
	return list
}

// RateRows reads the company's rates as a sheet holds them, in the order of the table; the planner's own where none is stored.
func RateRows(ctx context.Context, r models.Reader) ([]importing.RateRow, error) {
	rows, _, _, err := models.RateTable(ctx, r)
	return rateRows(rows), err
}

// saveRates writes the rates that a sheet adds, changes or takes out.
func saveRates(ctx context.Context, tx *models.Tx, c importing.RowChanges[importing.RateRow], actor models.Actor) error {
	if len(c.Add)+len(c.Change)+len(c.Remove) == 0 {
		return nil
	}
	if _, err := models.StoreTable(ctx, tx); err != nil {
		return err
	}
	stored, _, _, err := models.RateTable(ctx, tx)
	if err != nil {
		return err
	}
	for _, row := range upserts(c) {
		rate := models.Rate{Kind: row.Work, OpeningType: row.Type, Driver: row.Driver, Hours: row.Hours, Source: row.Source}
		if old := find(stored, func(r *models.Rate) bool {
			return r.Kind == row.Work && r.OpeningType == row.Type && r.Driver == row.Driver
		}); old != nil {
			rate.Version = old.Version
		}
		if err := models.SaveRate(ctx, tx, &rate, actor); err != nil {
			return err
		}
	}
	for _, row := range c.Remove {
		if err := models.RemoveRate(ctx, tx, row.Work, row.Type, row.Driver, actor); err != nil {
			return err
		}
	}
	return nil
}
