package planning

import (
	"context"
	"fmt"

	"jambwright/models"
)

// TryScenario plans the firm with a draft's moves, or without those of a scenario in force, and compares the result with the
// latest plan. Nothing is saved.
func TryScenario(ctx context.Context, db *models.DB, s *models.Scenario) (*Tried, error) {
	made, err := Make(ctx, db, optionsOf(s))
	if err != nil {
		return nil, err
	}
	before, err := beforeScenario(ctx, db, made, s)
	if err != nil {
		return nil, err
	}
	t := &Tried{Made: made, Before: before}
	if before.Plan != nil {
		t.Changes = Differences(made, before)
	}
	return t, nil
}

func optionsOf(s *models.Scenario) Options {
	if s.State == models.ScenarioInForce {
		return Options{Without: s.ID}
	}
	return Options{Moves: s.Moves}
}

func beforeScenario(ctx context.Context, r models.Reader, made *Made, s *models.Scenario) (*Before, error) {
	before, err := ReadBefore(ctx, r, made.ReadAt)
	if err != nil {
		return nil, fmt.Errorf("read the plan before: %w", err)
	}
	before.Scenario = "scenario " + s.Name + " comes into force"
	if s.State == models.ScenarioInForce {
		before.Scenario = "scenario " + s.Name + " is withdrawn"
	}
	return before, nil
}

// Adopt plans anew with a draft's moves on what is known now, saves the plan as a draft and puts the scenario in force, all in
// one transaction: from then on every plan has its moves in it.
func Adopt(ctx context.Context, db *models.DB, scenarioID int64, actor models.Actor) (*models.Plan, error) {
	return replanned(ctx, db, scenarioID, actor, func(ctx context.Context, tx *models.Tx, s *models.Scenario) error {
		return models.PutInForce(ctx, tx, s, actor)
	})
}

// WithdrawScenario plans anew without the moves of a scenario in force, saves the plan as a draft and withdraws the
// scenario, all in one transaction.
func WithdrawScenario(ctx context.Context, db *models.DB, scenarioID int64, actor models.Actor) (*models.Plan, error) {
	return replanned(ctx, db, scenarioID, actor, func(ctx context.Context, tx *models.Tx, s *models.Scenario) error {
		return models.Withdraw(ctx, tx, s, actor)
	})
}

// replanned changes a scenario together with the plan that follows from it.
func replanned(
	ctx context.Context, db *models.DB, scenarioID int64, actor models.Actor,
	change func(context.Context, *models.Tx, *models.Scenario) error,
) (row *models.Plan, err error) {
	err = anew(func() error {
		s, err := models.ScenarioByID(ctx, db, scenarioID)
		if err != nil {
			return err
		}
		made, err := Make(ctx, db, optionsOf(s))
		if err != nil {
			return err
		}
		before, err := beforeScenario(ctx, db, made, s)
		if err != nil {
			return err
		}
		return db.Write(ctx, func(tx *models.Tx) error {
			if err := change(ctx, tx, s); err != nil { // first: a second crew has to exist before its work is stored
				return err
			}
			if row, err = Save(ctx, tx, made, before, models.MadeByPerson, actor); err != nil {
				return err
			}
			return models.PlannedBy(ctx, tx, s.ID, row.ID)
		})
	})
	return row, err
}
