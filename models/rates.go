package models

import (
	"context"
	"errors"
	"fmt"

	"gorm.io/gorm"

	"jambwright/scheduler/takeoff"
)

// RateTable reads the company table as rows; stored is false when no row was ever saved and the rows are the planner's own,
// without ids.
func RateTable(ctx context.Context, r Reader) (rows []Rate, factors []RateFactor, stored bool, err error) {
	if err := r.in(ctx).Order("kind, opening_type, driver").Find(&rows).Error; err != nil {
		return nil, nil, false, wrap(err, "list the rates")
	}
	if err := r.in(ctx).Order("condition, kind").Find(&factors).Error; err != nil {
		return nil, nil, false, wrap(err, "list the factors of rates")
	}
	if len(rows)+len(factors) > 0 {
		return rows, factors, true, nil
	}
	rows, factors = standardTable()
	return rows, factors, false, nil
}

// standardTable is the table that everybody starts from, as rows.
func standardTable() (rows []Rate, factors []RateFactor) {
	d := takeoff.DefaultRates()
	for _, r := range d.Rates {
		rows = append(rows, Rate{Kind: r.Kind, OpeningType: r.Type, Driver: r.Driver, Hours: r.Hours, Source: r.Source})
	}
	for _, f := range d.Factors {
		factors = append(factors, RateFactor{Condition: f.Condition, Kind: f.Kind, Factor: f.Factor, Source: f.Source})
	}
	return rows, factors
}

// StoreTable makes the planner's own table the company's, so that a single row of it can be edited; a stored one stays as it is.
// It reports whether it did.
func StoreTable(ctx context.Context, tx *Tx) (bool, error) {
	rows, factors, stored, err := RateTable(ctx, tx)
	if err != nil || stored {
		return false, err
	}
	return true, errors.Join(createAll(ctx, tx, "rates", rows), createAll(ctx, tx, "factors of rates", factors))
}

// saveTableRow adds a row, or sets columns of the one that key finds, if that still has the row's version; anyVersion does not ask.
// It returns the row as it was, the zero row where there was none, and gives row the id it is stored under. at names the places of
// a row's id and version.
func saveTableRow[T interface{ storedVersion() int64 }](
	ctx context.Context, tx *Tx, what string, key *gorm.DB, row *T, at func(*T) (id, version *int64), anyVersion bool, set map[string]any,
) (old T, err error) {
	id, version := at(row)
	err = key.Take(&old).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		*id, *version = 0, 0
		return old, create(ctx, tx, what, row)
	}
	if err != nil {
		return old, wrap(err, "read %s", what)
	}
	oldID, oldVersion := at(&old)
	if *id = *oldID; anyVersion {
		*version = *oldVersion
	}
	return old, edit[T](ctx, tx, what, *oldID, *version, set)
}

// SaveRate stores a row of the company table, based on the version in row; 0 when it was not stored. What was learned of the kind
// and accepted ends with it, since it was learned against the table that was. The first edit of the planner's own table makes
// all of it the company's.
func SaveRate(ctx context.Context, tx *Tx, row *Rate, actor Actor) error {
	fresh, err := StoreTable(ctx, tx)
	if err != nil {
		return err
	}
	what := fmt.Sprintf("the rate of %s by %s", row.Kind, row.Driver)
	key := tx.in(ctx).Where("kind = ? AND opening_type = ? AND driver = ?", row.Kind, row.OpeningType, row.Driver)
	set := map[string]any{"hours": row.Hours, "source": row.Source}
	old, err := saveTableRow(ctx, tx, what, key, row, func(r *Rate) (*int64, *int64) { return &r.ID, &r.Version }, fresh, set)
	if err != nil {
		return err
	}
	if err := record(ctx, tx, actor, "change", subject{kind: "rate", id: row.ID}, map[string]any{
		"kind": row.Kind, "type": row.OpeningType, "driver": row.Driver, "hours": row.Hours, "was": old.Hours, "source": row.Source,
	}); err != nil {
		return err
	}
	if old.ID != 0 && old.Hours == row.Hours {
		return nil // only the words about its source
	}
	return endDecisions(ctx, tx, []takeoff.Kind{row.Kind}, tableChanged, actor)
}

// RemoveRate takes a row out of the company table; what was learned of its kind and accepted ends. A row that is not there is
// ErrNotFound.
func RemoveRate(ctx context.Context, tx *Tx, kind takeoff.Kind, t takeoff.Type, driver takeoff.Driver, actor Actor) error {
	if _, err := StoreTable(ctx, tx); err != nil {
		return err
	}
	what := fmt.Sprintf("the rate of %s by %s", kind, driver)
	var old Rate
	if err := tx.in(ctx).Where("kind = ? AND opening_type = ? AND driver = ?", kind, t, driver).Take(&old).Error; err != nil {
		return wrap(err, "find %s", what)
	}
	if err := tx.in(ctx).Delete(&Rate{}, old.ID).Error; err != nil {
		return wrap(err, "take out %s", what)
	}
	err := record(ctx, tx, actor, "remove", subject{kind: "rate", id: old.ID}, map[string]any{"kind": kind, "type": t, "driver": driver, "was": old.Hours})
	return errors.Join(err, endDecisions(ctx, tx, []takeoff.Kind{kind}, tableChanged, actor))
}

// tableChanged is why accepted factors end.
const tableChanged = "the company table was changed"

// SaveFactor stores a factor of a condition as SaveRate stores a rate.
func SaveFactor(ctx context.Context, tx *Tx, row *RateFactor, actor Actor) error {
	fresh, err := StoreTable(ctx, tx)
	if err != nil {
		return err
	}
	what := fmt.Sprintf("the factor of condition %s", row.Condition)
	key := tx.in(ctx).Where("condition = ? AND kind = ?", row.Condition, row.Kind)
	set := map[string]any{"factor": row.Factor, "source": row.Source}
	old, err := saveTableRow(ctx, tx, what, key, row, func(r *RateFactor) (*int64, *int64) { return &r.ID, &r.Version }, fresh, set)
	if err != nil {
		return err
	}
	if err := record(ctx, tx, actor, "change", subject{kind: "rate factor", id: row.ID}, map[string]any{
		"condition": row.Condition, "kind": row.Kind, "factor": row.Factor, "was": old.Factor,
	}); err != nil {
		return err
	}
	if old.ID != 0 && old.Factor == row.Factor {
		return nil
	}
	var kinds []takeoff.Kind
	if row.Kind != "" {
		kinds = append(kinds, row.Kind)
	}
	return endDecisions(ctx, tx, kinds, tableChanged, actor)
}

// RemoveFactor takes a condition's factor out as RemoveRate takes a rate; work under the condition is then as any other.
func RemoveFactor(ctx context.Context, tx *Tx, condition takeoff.Condition, kind takeoff.Kind, actor Actor) error {
	if _, err := StoreTable(ctx, tx); err != nil {
		return err
	}
	what := fmt.Sprintf("the factor of condition %s", condition)
	var old RateFactor
	if err := tx.in(ctx).Where("condition = ? AND kind = ?", condition, kind).Take(&old).Error; err != nil {
		return wrap(err, "find %s", what)
	}
	if err := tx.in(ctx).Delete(&RateFactor{}, old.ID).Error; err != nil {
		return wrap(err, "take out %s", what)
	}
	var kinds []takeoff.Kind
	if kind != "" {
		kinds = append(kinds, kind)
	}
	err := record(ctx, tx, actor, "remove", subject{kind: "rate factor", id: old.ID}, map[string]any{"condition": condition, "kind": kind, "was": old.Factor})
	return errors.Join(err, endDecisions(ctx, tx, kinds, tableChanged, actor))
}

// LearningCurves lists the learning curves by kind; a kind without one does not learn.
func LearningCurves(ctx context.Context, r Reader) ([]RateLearning, error) {
	var rows []RateLearning
	err := r.in(ctx).Order("kind").Find(&rows).Error
	return rows, wrap(err, "list the learning curves")
}

// SaveLearning stores the learning curve of a kind, based on the version in row; a rate of 1 is no learning. What was learned from
// finished tasks and accepted ends with it.
func SaveLearning(ctx context.Context, tx *Tx, row *RateLearning, actor Actor) error {
	what := fmt.Sprintf("the learning curve of %s", row.Kind)
	key := tx.in(ctx).Where("kind = ?", row.Kind)
	set := map[string]any{"rate": row.Rate, "standard_unit": row.StandardUnit, "floor": row.Floor}
	old, err := saveTableRow(ctx, tx, what, key, row, func(r *RateLearning) (*int64, *int64) { return &r.ID, &r.Version }, false, set)
	if err != nil {
		return err
	}
	if err := record(ctx, tx, actor, "change", subject{kind: "learning curve", id: row.ID}, map[string]any{
		"kind": row.Kind, "rate": row.Rate, "standard_unit": row.StandardUnit, "floor": row.Floor, "was": old.Rate,
	}); err != nil {
		return err
	}
	return endDecisions(ctx, tx, []takeoff.Kind{row.Kind}, "the learning curve was changed", actor)
}

// TaskKeys are the planner's keys of tasks by their ids.
func TaskKeys(ctx context.Context, r Reader, ids []int64) (map[int64]string, error) {
	keys := make(map[int64]string, len(ids))
	err := inChunks(ids, func(chunk []int64) error {
		var rows []struct {
			ID  int64
			Key string
		}
		err := r.in(ctx).Model(&Task{}).Select("id, key").Where("id IN ?", chunk).Scan(&rows).Error
		for _, row := range rows {
			keys[row.ID] = row.Key
		}
		return wrap(err, "read the keys of %d tasks", len(chunk))
	})
	return keys, err
}
