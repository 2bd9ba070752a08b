package buying

import (
	"context"
	"errors"
	"slices"

	"jambwright/models"
	"jambwright/scheduler/ordering"
	"jambwright/server/planning"
)

// Tried is what an edit would do. Nothing of it is saved.
type Tried struct {
	Before, After []ordering.Line // the lines of the release or remake, and those of the release that items go to
	Plan          *planning.Tried // the firm planned with the edit; nil where there is nothing to plan
	NeverOrdered  bool            // what is recorded was not down as ordered, and will be from At on
}

// Try checks an edit and plans the firm with it and without it, so that nothing else that became known counts. It makes the edit
// as Do does, reads the firm, and puts all back: what is shown is what would be. The error to show a person is Faults.
func Try(ctx context.Context, db *models.DB, e Edit) (*Tried, error) {
	s, err := e.find(ctx, db)
	if err != nil {
		return nil, err
	}
	if faults := e.check(s, db.Now()); len(faults) > 0 {
		return nil, faults
	}
	board, err := Read(ctx, db)
	if err != nil {
		return nil, err
	}
	ordered, _, _, _ := s.dates(e.Drop)
	t := &Tried{NeverOrdered: ordered == nil && slices.Contains([]Action{Promise, Ship, Receive, ReceivePart}, e.Action)}
	var codes []string
	t.Plan, err = planning.TryAlone(ctx, db, planning.Revision{
		Cause: "what is to be written down of " + s.code(), Tasks: e.tasks(s),
		Store: func(ctx context.Context, tx *models.Tx) (err error) {
			codes, err = e.do(ctx, tx, s, models.Actor{})
			return err
		},
	})
	if errors.Is(err, planning.ErrNothingToPlan) {
		t.Plan, t.Before = nil, board.Of(s.project.Code, s.code())
		return t, nil
	}
	if err != nil {
		return nil, err
	}
	after := ordering.Lines(&t.Plan.Firm, spansOf(t.Plan.Plan))
	for _, code := range codes {
		t.Before = append(t.Before, board.Of(s.project.Code, code)...)
		t.After = append(t.After, linesOf(after, s.project.Code, code)...)
	}
	return t, nil
}

// tasks are the keys of the tasks that an edit is about: order, lead and delivery of its drops.
func (e *Edit) tasks(s *subject) []string {
	switch {
	case s.remake != nil:
		return tasksOf(s.project.Code, &models.Release{Code: s.remake.Code})
	case s.target != nil && s.target.ID != s.release.ID:
		return tasksOf(s.project.Code, s.release, s.target)
	}
	return tasksOf(s.project.Code, s.release)
}
