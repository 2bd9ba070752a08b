package delays

import (
	"context"
	"log/slog"

	"jambwright/models"
	"jambwright/server/nightly"
)

// AfterNight is a night's re-plan that brings the project's ledger up to date when its own work is done and stored: an issue of
// the day and the night's draft are then split by cause before anybody looks. A ledger that fails does not fail the night; the
// page computes it when it is opened.
func AfterNight(replan nightly.Replan, db *models.DB, log *slog.Logger) nightly.Replan {
	return func(ctx context.Context, args nightly.Args, finish func(context.Context, *models.Tx) error) error {
		if err := replan(ctx, args, finish); err != nil {
			return err
		}
		if err := Complete(ctx, db, args.ProjectID); err != nil {
			log.Error("delay ledger", "project", args.ProjectID, "error", err)
		}
		return nil
	}
}
