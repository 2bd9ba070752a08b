package planning

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
)

// Move is what the operations manager asks for: tasks to another crew, to another start, or both. With Pin later re-plans
// keep it; without, the next ones are free to move it again, though they change an issued plan as little as they can.
type Move struct {
	Tasks []string   `json:"tasks"`
	Crew  string     `json:"crew,omitempty"`  // code; "" leaves the choice to the planner
	Start *time.Time `json:"start,omitempty"` // of the first task; the others follow as they can
	Pin   bool       `json:"pin"`
}

// Tried is what a move would do. Nothing of it is saved.
type Tried struct {
	*Made
	Before  *Before
	Changes []models.ChangeToSave
	Refused []string // why the move cannot be done as asked, in words; empty when it can
}

// Try plans the firm with a move and compares the result with the latest plan.
func Try(ctx context.Context, db *models.DB, move Move) (*Tried, error) {
	made, err := Make(ctx, db, Options{Change: move.apply})
	if err != nil {
		return nil, err
	}
	before, err := ReadBefore(ctx, db, made.ReadAt)
	if err != nil {
		return nil, fmt.Errorf("read the plan before: %w", err)
	}
	before.Moved = move.Tasks
	t := &Tried{Made: made, Before: before, Refused: move.refused(made.Plan)}
	if before.Plan != nil {
		t.Changes = Differences(made, before)
	}
	return t, nil
}

// apply pins the tasks in the firm to be planned.
func (m Move) apply(f *pattern.Firm) {
	if f.Pins == nil {
		f.Pins = map[pattern.TaskKey]problem.Pin{}
	}
	for i, key := range m.Tasks {
		pin := problem.Pin{Crew: m.Crew}
		if i == 0 {
			pin.Start = m.Start
		}
		if pin == (problem.Pin{}) {
			delete(f.Pins, pattern.TaskKey(key)) // neither crew nor start: the planner chooses again
			continue
		}
		f.Pins[pattern.TaskKey(key)] = pin
	}
}

// refused finds the planner's notes on tasks of the move that could not be placed as asked.
func (m Move) refused(plan *problem.Plan) []string {
	var reasons []string
	for _, key := range m.Tasks {
		for _, note := range plan.Notes {
			if why, about := strings.CutPrefix(note, problem.MovedNote(key, "")); about {
				reasons = append(reasons, strings.TrimSpace(why))
			}
		}
	}
	return reasons
}

// Accept plans the move anew on what is known now, saves the plan as a draft, and keeps or clears the pins, all in one
// transaction.
func Accept(ctx context.Context, db *models.DB, move Move, actor models.Actor) (row *models.Plan, err error) {
	err = anew(func() error {
		tried, err := Try(ctx, db, move)
		if err != nil {
			return err
		}
		return db.Write(ctx, func(tx *models.Tx) error {
			if row, err = Save(ctx, tx, tried.Made, tried.Before, models.MadeByPerson, actor); err != nil {
				return err
			}
			return move.keep(ctx, tx, actor)
		})
	})
	return row, err
}

// keep stores the pins of a move, or clears those of its tasks.
func (m Move) keep(ctx context.Context, tx *models.Tx, actor models.Actor) error {
	crew, err := m.crewID(ctx, tx)
	if err != nil {
		return err
	}
	for i, key := range m.Tasks {
		task, err := models.TaskByKey(ctx, tx, key)
		if err != nil {
			return err
		}
		pin := &models.Pin{TaskID: task.ID, CrewID: crew, UserID: actor.UserID}
		if i == 0 {
			pin.StartAt = m.Start
		}
		if !m.Pin || pin.CrewID == nil && pin.StartAt == nil {
			if err := models.ClearPin(ctx, tx, task.ID, actor); err != nil {
				return err
			}
			continue
		}
		switch old, err := models.PinOf(ctx, tx, task.ID); {
		case err == nil:
			pin.Version = old.Version
		case !errors.Is(err, models.ErrNotFound):
			return err
		}
		if err := models.SetPin(ctx, tx, pin, actor); err != nil {
			return err
		}
	}
	return nil
}

func (m Move) crewID(ctx context.Context, r models.Reader) (*int64, error) {
	if m.Crew == "" {
		return nil, nil
	}
	crew, err := models.CrewByName(ctx, r, m.Crew)
	if err != nil {
		return nil, fmt.Errorf("find the crew of the move: %w", err)
	}
	return &crew.ID, nil
}
