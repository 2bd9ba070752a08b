package delays

import (
	"context"
	"errors"
	"fmt"

	"jambwright/models"
)

// ErrNotYet says that a notice is dated after today.
var ErrNotYet = errors.New("dated after today")

// MayConfirm refuses a confirmation of what is no line of a GC date of the project, as ErrNotFound.
func MayConfirm(ctx context.Context, tx *models.Tx, projectID, gcDateID int64, key string) error {
	return models.FindLedgerLine(ctx, tx, projectID, &gcDateID, key)
}

// MaySend refuses a notice of what is no line of the project, as ErrNotFound, and one of a day to come, as ErrNotYet.
func MaySend(ctx context.Context, tx *models.Tx, projectID int64, key string, sent models.Date) error {
	project, err := models.ProjectByID(ctx, tx, projectID)
	if err != nil {
		return err
	}
	today, err := models.Today(tx, project)
	if err != nil {
		return err
	}
	if today.Before(sent) {
		return fmt.Errorf("notice of %s: %w", sent, ErrNotYet)
	}
	return models.FindLedgerLine(ctx, tx, projectID, nil, key)
}

// FloatWords say what the contract's rule on the days to spare makes of a movement; span writes minutes.
func FloatWords(t *models.DelayTerms, d *DateLedger, span func(int) string) string {
	used := d.Moved - d.LatenessAdded
	text := ""
	switch {
	case d.LatenessAdded <= 0:
		text = "All of it used days that the date had to spare"
	case used <= 0:
		text = "All of it makes the date late"
	default:
		text = span(used) + " of it used days that the date had to spare, " + span(d.LatenessAdded) + " make it late"
	}
	if used <= 0 {
		return text + "."
	}
	switch t.FloatOwner {
	case models.FloatOfGC:
		return text + "; by the contract the days to spare belong to the general contractor."
	case models.FloatOurs:
		return text + "; by the contract the days to spare are ours, so that others who use them answer for them as well."
	case models.FloatFirstUse:
	}
	return text + "; by the contract whoever needs the days to spare first may use them."
}

// PacingWords say what the contract makes of own work that may have been slowed; "" where there is none.
func PacingWords(t *models.DelayTerms, l *Line) string {
	if !l.Pacing() {
		return ""
	}
	if t.Pacing {
		return "May be pacing: the date had moved already when this took effect. The contract recognises pacing; say in the note whether the work was slowed on purpose."
	}
	return "Could be called pacing, since the date had moved already; the contract does not recognise it."
}
