package buying

import (
	"context"
	"errors"
	"time"

	"jambwright/models"
	"jambwright/scheduler/ordering"
	"jambwright/scheduler/pattern"
	"jambwright/server/planning"
)

// Tried is what an edit would do. Nothing of it is saved.
type Tried struct {
	Before, After []ordering.Line // the lines of the release or remake, and those of the release that items go to
	Plan          *planning.Tried // the firm planned with the edit; nil where there is nothing to plan
	NeverOrdered  bool            // what is recorded was not down as ordered, and will be from At on
}

// errPutBack ends the transaction of an edit that is only tried.
var errPutBack = errors.New("the edit was only tried")

// Try checks an edit and plans the firm with it. It makes the edit as Do does, reads the firm, and puts all back: what is
// shown is what would be. The error to show a person is Faults.
func Try(ctx context.Context, db *models.DB, e Edit) (*Tried, error) {
	board, err := Read(ctx, db)
	if err != nil {
		return nil, err
	}
	var (
		t     = &Tried{}
		firm  pattern.Firm
		codes []string
		in    string
	)
	err = db.Write(ctx, func(tx *models.Tx) error {
		s, err := e.find(ctx, tx)
		if err != nil {
			return err
		}
		if faults := e.check(s, tx.Now()); len(faults) > 0 {
			return faults
		}
		ordered, _, _, _ := s.dates(e.Drop)
		t.NeverOrdered = ordered == nil && (e.Action == Ship || e.Action == Receive || e.Action == ReceivePart || e.Action == Promise)
		if codes, err = e.do(ctx, tx, s, models.Actor{}); err != nil {
			return err
		}
		in = s.project.Code
		if firm, err = models.Snapshot(ctx, tx, db.Now().Truncate(time.Minute)); err != nil {
			return err
		}
		return errPutBack
	})
	if !errors.Is(err, errPutBack) {
		return nil, err
	}
	t.Plan, err = planning.TryChange(ctx, db, func(f *pattern.Firm) { *f = firm }, nil)
	spans := board.Spans
	switch {
	case errors.Is(err, planning.ErrNothingToPlan):
		t.Plan = nil
	case err != nil:
		return nil, err
	default:
		spans = spansOf(t.Plan.Plan)
	}
	after := ordering.Lines(&firm, spans)
	for _, code := range codes {
		t.Before = append(t.Before, board.Of(in, code)...)
		t.After = append(t.After, linesOf(after, in, code)...)
	}
	return t, nil
}
