// Package buying is the use case of material: what must be ordered by when, what suppliers said, what came, and how openings are
// grouped into releases and drops. Every edit can be tried first: the firm is planned with it and nothing is saved.
//
//	stored rows ─ models.Snapshot ─> firm ─┐
//	latest plan ─ models.PlanSpans ────────┴─ ordering.Lines ─> Board
//	Edit ─ Try ─> firm changed, planned anew ─> lines and GC dates before and after
//	Edit ─ Do ──> rows and dated history in one transaction; dates move with the next re-plan
package buying

import (
	"context"
	"errors"
	"fmt"
	"time"

	"jambwright/models"
	"jambwright/scheduler/ordering"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
)

// Board is what is known of all deliveries of the firm.
type Board struct {
	Firm  pattern.Firm
	Plan  *models.Plan // nil when nothing has been planned
	Spans map[pattern.TaskKey]ordering.Planned
	Lines []ordering.Line
}

// Read reads the board as of the database's clock in a fixed number of queries.
func Read(ctx context.Context, db *models.DB) (b *Board, err error) {
	err = db.ReadTogether(ctx, func(tx *models.Tx) error {
		b, err = readIn(ctx, tx)
		return err
	})
	return b, err
}

// readIn reads the board in a transaction of the caller's.
func readIn(ctx context.Context, tx *models.Tx) (b *Board, err error) {
	b = &Board{}
	if b.Firm, err = models.Snapshot(ctx, tx, tx.Now().Truncate(time.Minute)); err != nil {
		return nil, fmt.Errorf("read what is known of material: %w", err)
	}
	b.Plan, err = models.LatestPlan(ctx, tx)
	if err == nil {
		b.Spans, err = models.PlanSpans(ctx, tx, b.Plan.ID)
	}
	if err != nil && !errors.Is(err, models.ErrNotFound) {
		return nil, fmt.Errorf("read when material is needed: %w", err)
	}
	b.Lines = ordering.Lines(&b.Firm, b.Spans)
	return b, nil
}

// Of keeps the lines of one release or remake of a project, by their codes.
func (b *Board) Of(project, release string) []ordering.Line {
	return linesOf(b.Lines, project, release)
}

func linesOf(lines []ordering.Line, project, release string) (list []ordering.Line) {
	for i := range lines {
		if lines[i].Project == project && lines[i].Release == release {
			list = append(list, lines[i])
		}
	}
	return list
}

// spansOf are the dates of a plan that is not stored.
func spansOf(p *problem.Plan) map[pattern.TaskKey]ordering.Planned {
	spans := make(map[pattern.TaskKey]ordering.Planned, len(p.Tasks))
	for i := range p.Tasks {
		t := &p.Tasks[i]
		spans[pattern.TaskKey(t.ID)] = ordering.Planned{Start: t.Start, Finish: t.Finish, LateStart: t.LateStart, LateFinish: t.LateFinish}
	}
	return spans
}
