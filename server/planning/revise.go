package planning

import (
	"context"
	"errors"
	"fmt"

	"jambwright/models"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// Revision is a change of what the firm plans with: a rate, a rule of takeoff, a work pattern, what releases hold, a learned factor
// taken over or back. Trying and doing it store the same thing, so that a preview cannot differ from what is done.
type Revision struct {
	Store func(ctx context.Context, tx *models.Tx) error
	Cause string   // in words, for the tasks that move because of it: "hours of framing as learned"
	Tasks []string // keys of the tasks that it is about, beside those whose hours, hands or pace it changes
}

// TryRevision plans the firm as if the revision were stored and compares the result with the latest plan. Nothing is saved.
func TryRevision(ctx context.Context, db *models.DB, r Revision) (*Tried, error) {
	made, err := Make(ctx, db, Options{Trial: r.Store})
	if err != nil {
		return nil, err
	}
	before, err := ReadBefore(ctx, db, made.ReadAt)
	if err != nil {
		return nil, fmt.Errorf("read the plan before: %w", err)
	}
	before.revised, before.because = append(revised(before, made), r.Tasks...), r.Cause
	t := &Tried{Made: made, Before: before}
	if before.Plan != nil {
		t.Changes = Differences(made, before)
	}
	return t, nil
}

// Revise stores a revision and, in the same transaction, the plan made with it as a draft. The plan is nil when there is
// nothing to plan yet.
func Revise(ctx context.Context, db *models.DB, r Revision, actor models.Actor) (row *models.Plan, err error) {
	err = anew(func() error {
		tried, err := TryRevision(ctx, db, r)
		if errors.Is(err, ErrNothingToPlan) {
			return db.Write(ctx, func(tx *models.Tx) error { return r.Store(ctx, tx) })
		}
		if err != nil {
			return err
		}
		return db.Write(ctx, func(tx *models.Tx) error {
			if err := r.Store(ctx, tx); err != nil {
				return err
			}
			row, err = Save(ctx, tx, tried.Made, tried.Before, models.MadeByPerson, actor)
			return err
		})
	})
	return row, err
}

// revised lists the unfinished tasks whose hours, hands or crew's pace differ from those of the plan before.
func revised(before *Before, made *Made) (keys []string) {
	if before.problem == nil {
		return nil
	}
	was := make(map[string]*problem.Task, len(before.problem.Tasks))
	for i := range before.problem.Tasks {
		was[before.problem.Tasks[i].ID] = &before.problem.Tasks[i]
	}
	crews := crewsOf(before.Plan)
	slower, other := changedPaces(before.problem, made.Problem), stoppedOrResumed(before, made)
	for i := range made.Problem.Tasks {
		t := &made.Problem.Tasks[i]
		old := was[t.ID]
		if old == nil || t.IsFinished() {
			continue
		}
		hours := !same(old.LabourMinutes, t.LabourMinutes) || !takeoff.Kind(t.Kind).IsCrewWork() && !same(old.DurationMinutes, t.DurationMinutes)
		if hours && !other[t.ID] || old.MinHeads != t.MinHeads || slower[[2]string{crews[t.ID], t.Kind}] {
			keys = append(keys, t.ID)
		}
	}
	return keys
}

// stoppedOrResumed are the tasks whose hours differ for what became known of them: of work that a hold or a remake stops only the rest
// is in the problem, as long as it is stopped.
func stoppedOrResumed(before *Before, made *Made) map[string]bool {
	told := map[string]bool{}
	for i := range before.News {
		for _, key := range before.News[i].Tasks {
			told[key] = true
		}
	}
	tasks := map[string]bool{}
	for i := range made.Index.Tasks {
		if e := &made.Index.Tasks[i]; e.Began != nil && told[string(e.Key)] {
			tasks[string(e.Key)] = true
		}
	}
	begun := map[string]bool{}
	for i := range before.problem.Tasks {
		begun[before.problem.Tasks[i].ID] = before.problem.Tasks[i].IsStarted()
	}
	for i := range made.Problem.Tasks {
		if t := &made.Problem.Tasks[i]; t.IsStarted() && !begun[t.ID] {
			tasks[t.ID] = true
		}
	}
	return tasks
}

// crewsOf is the crew of each task of a plan.
func crewsOf(plan *problem.Plan) map[string]string {
	crews := make(map[string]string, len(plan.Tasks))
	for i := range plan.Tasks {
		crews[plan.Tasks[i].ID] = crewOf(&plan.Tasks[i])
	}
	return crews
}

// changedPaces are the crews and kinds whose productivity differs between two problems.
func changedPaces(before, after *problem.Problem) map[[2]string]bool {
	changed := map[[2]string]bool{}
	was := map[string]*problem.Crew{}
	for i := range before.Crews {
		was[before.Crews[i].ID] = &before.Crews[i]
	}
	for i := range after.Crews {
		c := &after.Crews[i]
		for _, skill := range c.Skills {
			if old := was[c.ID]; old != nil && old.ProductivityOf(skill) != c.ProductivityOf(skill) {
				changed[[2]string{c.ID, skill}] = true
			}
		}
	}
	return changed
}

func same[T comparable](a, b *T) bool {
	if a == nil || b == nil {
		return a == b
	}
	return *a == *b
}
