// Package planning is the use case of making, saving, issuing and changing plans. Pages, commands and the nightly job all
// call it.
//
//	read the firm in one read transaction ─> build the problem ─> plan ─> independent checker ─> Made
//	Made ─> save the plan, its differences and their causes in one transaction
//
// A plan that the checker refuses is never saved. Planning holds no transaction open, since it takes seconds.
package planning

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"jambwright/models"
	"jambwright/scheduler/check"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/recovery"
)

// ErrNothingToPlan says that no project has an opening and a crew yet.
var ErrNothingToPlan = errors.New("there is nothing to plan yet: import openings and crews first")

// RefusedError says that the independent checker refused a plan. It is a fault of the planner, never of the input.
type RefusedError struct{ Violations []check.Violation }

// Error names the first few violations.
func (e *RefusedError) Error() string {
	lines := make([]string, 0, min(len(e.Violations), 5))
	for _, v := range e.Violations[:min(len(e.Violations), 5)] {
		lines = append(lines, v.Message)
	}
	return fmt.Sprintf("the checker refused the plan for %d violations: %s", len(e.Violations), strings.Join(lines, "; "))
}

// Options say what plan to make.
type Options struct {
	DataDate  time.Time // zero: now
	Schedules int       // search budget; 0: the planner's default for the size
	Seed      uint64
	// Change, when not nil, edits the firm before it is planned, such as by a pin that is only tried.
	Change func(*pattern.Firm)
	// Trial, when not nil, stores something that the plan reckons with and that is undone once the firm was read.
	Trial func(ctx context.Context, tx *models.Tx) error
	// Moves are tried beside those of the scenarios in force; Without leaves one scenario out, by its id.
	Moves    []recovery.Move
	Without  int64
	Progress func(done, total int)
}

// Made is a plan with what it was made from. Nothing of it is saved yet.
type Made struct {
	Firm    pattern.Firm
	Problem *problem.Problem
	Index   *pattern.Index
	Plan    *problem.Plan
	ReadAt  time.Time // everything known up to here was read
	// Unmoved is the problem before the moves of scenarios were made in it; the same as Problem when there are none.
	Unmoved *problem.Problem
	Moves   []recovery.Move

	after *int64 // the latest plan when the firm was read; nil when there was none
}

// Make plans the whole firm from what is stored.
func Make(ctx context.Context, db *models.DB, o Options) (*Made, error) {
	made := &Made{ReadAt: db.Now()}
	dataDate := o.DataDate
	if dataDate.IsZero() {
		dataDate = made.ReadAt
	}
	read := db.ReadTogether
	if o.Trial != nil {
		read = db.Undone
	}
	err := read(ctx, func(tx *models.Tx) (err error) {
		if o.Trial != nil {
			if err := o.Trial(ctx, tx); err != nil {
				return err
			}
		}
		if made.Firm, err = models.Snapshot(ctx, tx, dataDate.Truncate(time.Minute)); err != nil {
			return err
		}
		if err := made.readMoves(ctx, tx, o); err != nil {
			return err
		}
		latest, err := models.LatestPlan(ctx, tx)
		if errors.Is(err, models.ErrNotFound) {
			return nil
		}
		if err == nil {
			made.after = &latest.ID
		}
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("read the firm: %w", err)
	}
	if o.Change != nil {
		o.Change(&made.Firm)
	}
	return made, made.compute(ctx, db, o)
}

// compute builds the problem, plans and checks it.
func (m *Made) compute(ctx context.Context, db *models.DB, o Options) (err error) {
	m.Problem, m.Index, err = pattern.Build(m.Firm)
	if err != nil {
		return fmt.Errorf("turn the openings into tasks: %w", err)
	}
	if len(m.Problem.Tasks) == 0 {
		return ErrNothingToPlan
	}
	m.Unmoved = m.Problem
	if len(m.Moves) > 0 {
		m.Problem = recovery.Apply(m.Unmoved, m.Moves)
	}
	begin := db.Now()
	m.Plan, err = plan.Compute(ctx, m.Problem, plan.Options{
		Schedules: o.Schedules, Seed: o.Seed, Progress: o.Progress,
		Stop: func() bool { return ctx.Err() != nil },
	})
	if err != nil {
		return fmt.Errorf("plan %d tasks: %w", len(m.Problem.Tasks), err)
	}
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("plan %d tasks: %w", len(m.Problem.Tasks), err)
	}
	m.Plan.Run.ElapsedMS = db.Now().Sub(begin).Milliseconds()
	if violations := append(check.Plan(m.Problem, m.Plan), m.overfull()...); len(violations) > 0 {
		return &RefusedError{Violations: violations}
	}
	for _, note := range m.Index.Notes {
		m.Plan.Notes = append(m.Plan.Notes, note.Text)
	}
	m.Plan.Notes = append(m.Plan.Notes, m.guessedLeads()...)
	return nil
}

// readMoves reads the moves of the scenarios in force and adds those that are tried. The second crews of the scenario that is
// left out leave the firm.
func (m *Made) readMoves(ctx context.Context, r models.Reader, o Options) error {
	scenarios, err := models.ScenariosInForce(ctx, r, nil)
	if err != nil {
		return err
	}
	for i := range scenarios {
		if scenarios[i].ID != o.Without {
			m.Moves = append(m.Moves, scenarios[i].Moves...)
			continue
		}
		for _, move := range scenarios[i].Moves {
			m.Firm.Crews = slices.DeleteFunc(m.Firm.Crews, func(c problem.Crew) bool {
				return move.Kind == recovery.SecondCrew && c.ID == move.NewCrew
			})
		}
	}
	m.Moves = append(m.Moves, o.Moves...)
	return nil
}

// guessedLeads says for which jobs lead times are guesses, since nobody is named for some of their material.
func (m *Made) guessedLeads() (notes []string) {
	for i := range m.Firm.Projects {
		p := &m.Firm.Projects[i]
		for _, s := range p.Suppliers {
			if s.ID == models.UnnamedSupplier {
				notes = append(notes, fmt.Sprintf("%s: no supplier is named for some material; %d to %d working days, most likely %d, are assumed until a sheet of suppliers says better",
					p.Name, s.Lead.Least, s.Lead.Most, s.Lead.Likely))
			}
		}
	}
	return notes
}

// overfull holds the plan against what areas can store, where the links of the problem keep it.
func (m *Made) overfull() (violations []check.Violation) {
	for i := range m.Index.Storage {
		s := &m.Index.Storage[i]
		if !s.Kept {
			continue // a note says so
		}
		things := make([]check.Stored, len(s.Items))
		for j, item := range s.Items {
			things[j] = check.Stored{Delivery: string(item.Delivery), Use: string(item.Use)}
		}
		violations = append(violations, check.Storage(s.Area, s.Most, things, m.Problem, m.Plan)...)
	}
	return violations
}
