package models

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
)

// learnedFrom is how many finished tasks are learned from, the newest ones: what crews took years ago says little of today.
const learnedFrom = 4000

// observeRate keeps what a finished task teaches about hours, one observation a task; hours that are reported after the work is
// done change it. Work on a remade item is a part of a task and teaches nothing of the whole.
func observeRate(ctx context.Context, tx *Tx, taskID int64) error {
	var task Task
	if err := tx.in(ctx).Preload("Opening").Take(&task, taskID).Error; err != nil {
		return wrap(err, "find task %d", taskID)
	}
	if task.LabourMinutes == nil && !task.Basis.V.IsKnown() || task.LabourReported == 0 || task.FinishedAt == nil || task.ItemID != nil {
		return nil
	}
	row := RateObservation{
		TaskID: task.ID, CrewID: task.CrewID, Kind: task.Kind, At: *task.FinishedAt, LabourMinutes: task.LabourReported, Basis: task.Basis,
	}
	if task.LabourMinutes != nil {
		row.ExpectedMinutes = *task.LabourMinutes
	}
	if task.Opening != nil {
		row.OpeningType = task.Opening.OpeningType
		basis, err := basisOf(ctx, tx, &task)
		if err != nil {
			return err
		}
		row.Basis.V = basis
	}
	if err := tx.in(ctx).Where("task_id = ?", task.ID).Delete(&RateObservation{}).Error; err != nil {
		return wrap(err, "replace the observation of task %s", task.Key)
	}
	return create(ctx, tx, "observation of task "+task.Key, &row)
}

// basisOf takes off the opening of a finished task. An opening that cannot be taken off gives an empty basis.
func basisOf(ctx context.Context, tx *Tx, task *Task) (takeoff.Basis, error) {
	settings, err := Settings(ctx, tx)
	if err != nil {
		return takeoff.Basis{}, err
	}
	if err := ReadSizes(ctx, tx, task.Opening); err != nil {
		return takeoff.Basis{}, err
	}
	t, err := takeoff.Of(task.Opening.MadeTo(settings.TakeoffRules.V), settings.TakeoffRules.V)
	if err != nil {
		return takeoff.Basis{}, nil //nolint:nilerr // its work was done all the same; the hours planned for it stand in
	}
	var alike int64
	err = tx.in(ctx).Model(&Task{}).Joins("JOIN openings ON openings.id = tasks.opening_id").
		Where("tasks.project_id = ? AND tasks.kind = ? AND tasks.finished_at < ? AND tasks.item_id IS NULL", task.ProjectID, task.Kind, *task.FinishedAt).
		Where("openings.opening_type = ? AND openings.width = ? AND openings.height = ?", task.Opening.OpeningType, task.Opening.Width, task.Opening.Height).
		Count(&alike).Error
	return t.Basis(int(alike) + 1), wrap(err, "count the work like task %s", task.Key)
}

// RateObservations lists what the newest finished tasks taught about hours, oldest first, with crew.
func RateObservations(ctx context.Context, r Reader) ([]RateObservation, error) {
	var rows []RateObservation
	err := r.in(ctx).Preload("Crew").Order("at DESC, id DESC").Limit(learnedFrom).Find(&rows).Error
	slices.Reverse(rows)
	return rows, wrap(err, "list the observations of hours")
}

// DecisionsInForce lists the newest decision of every kind and crew that has one, with crew.
func DecisionsInForce(ctx context.Context, r Reader) ([]RateDecision, error) {
	var rows []RateDecision
	newest := r.in(ctx).Model(&RateDecision{}).Select("MAX(id)").Group("kind, crew_id")
	err := r.in(ctx).Preload("Crew").Where("id IN (?)", newest).Order("kind, crew_id, id").Find(&rows).Error
	return rows, wrap(err, "list the decisions on rates")
}

// RateDecisions lists the newest decisions on rates first, at most limit, with crew.
func RateDecisions(ctx context.Context, r Reader, limit int) ([]RateDecision, error) {
	var rows []RateDecision
	err := r.in(ctx).Preload("Crew").Order("id DESC").Limit(limit).Find(&rows).Error
	return rows, wrap(err, "list the decisions on rates")
}

// Decide stores a decision on a learned rate. seen is the id of the newest decision of the kind and crew that the person saw, 0
// for none; when there is a newer one it is *ErrStale.
func Decide(ctx context.Context, tx *Tx, d *RateDecision, seen int64, actor Actor) error {
	what := fmt.Sprintf("the decision on %s", d.Kind)
	var newest RateDecision
	q := tx.in(ctx).Where("kind = ?", d.Kind)
	if d.CrewID == nil {
		q = q.Where("crew_id IS NULL")
	} else {
		q = q.Where("crew_id = ?", *d.CrewID)
	}
	if err := q.Order("id DESC").Limit(1).Find(&newest).Error; err != nil {
		return wrap(err, "read %s", what)
	}
	if newest.ID != seen {
		return &ErrStale{What: what, Read: seen, Version: newest.ID, Current: &newest}
	}
	d.ID, d.At, d.UserID, d.Actor = 0, tx.Now(), actor.UserID, actor.Name
	if err := create(ctx, tx, what, d); err != nil {
		return err
	}
	action := "keep"
	if d.InForce {
		action = "accept"
	}
	return record(ctx, tx, actor, action, subject{kind: "rate", id: d.ID}, map[string]any{
		"kind": d.Kind, "crew_id": d.CrewID, "factor": d.Factor, "observations": d.Observations, "note": d.Note,
	})
}

// endDecisions ends every learned factor in force of the kinds, since it was learned against a table that changes now; none
// means all kinds.
func endDecisions(ctx context.Context, tx *Tx, kinds []takeoff.Kind, note string, actor Actor) error {
	rows, err := DecisionsInForce(ctx, tx)
	if err != nil {
		return err
	}
	for i := range rows {
		old := rows[i]
		if !old.InForce || len(kinds) > 0 && !slices.Contains(kinds, old.Kind) {
			continue
		}
		end := &RateDecision{Kind: old.Kind, CrewID: old.CrewID, Factor: 1, Spread: old.Spread, Observations: old.Observations, Note: note}
		if err := Decide(ctx, tx, end, old.ID, actor); err != nil {
			return err
		}
	}
	return nil
}

// readExperience reads what finished tasks taught and what was accepted of it.
func (s *snapshot) readExperience() error {
	decisions, err := DecisionsInForce(s.ctx, s.r)
	if err != nil {
		return err
	}
	observations, err := RateObservations(s.ctx, s.r)
	if err != nil {
		return err
	}
	book := RateBook{Rates: s.firm.Rates, Settings: s.firm.Settings, Decisions: decisions, Observations: observations, crews: s.crewRows}
	if err := book.learn(); err != nil {
		return err
	}
	s.firm.Rates, s.firm.Paces, s.firm.Experience = book.Rates, book.Paces, book.Experience
	return nil
}

// PlannedRates reads the table that plans go by: the company's with the learned factors that were accepted, or the planner's own.
func PlannedRates(ctx context.Context, r Reader) (takeoff.Rates, error) {
	rates, err := CompanyRates(ctx, r)
	if err != nil {
		return rates, err
	}
	book := RateBook{Rates: rates}
	if book.Decisions, err = DecisionsInForce(ctx, r); err != nil {
		return rates, err
	}
	book.accept()
	return book.Rates.WithDefaults(), nil
}

// RateBook is all that is known of how long work takes.
type RateBook struct {
	Rates        takeoff.Rates // the company table, with the learned factors that were accepted; a zero table reads as the planner's
	Settings     pattern.Settings
	Paces        []pattern.Pace // accepted of crews
	Decisions    []RateDecision // the newest of each kind and crew
	Observations []RateObservation
	Finished     []pattern.Finished // of the observations, one each
	Experience   []pattern.Experience
	Skipped      int // observations that say nothing

	crews []Crew
}

// ReadRateBook reads the book in a fixed number of queries. Given a DB it reads in one transaction of its own.
func ReadRateBook(ctx context.Context, r Reader) (book *RateBook, err error) {
	if db, ok := r.(*DB); ok {
		err = db.ReadTogether(ctx, func(tx *Tx) error {
			book, err = ReadRateBook(ctx, tx)
			return err
		})
		return book, err
	}
	book = &RateBook{}
	settings, err := Settings(ctx, r)
	if err != nil {
		return nil, err
	}
	book.Settings.Crowding = settings.Crowding
	var failed [4]error
	book.Rates, failed[0] = CompanyRates(ctx, r)
	book.Decisions, failed[1] = DecisionsInForce(ctx, r)
	book.Observations, failed[2] = RateObservations(ctx, r)
	book.crews, failed[3] = Crews(ctx, r)
	if err := errors.Join(failed[:]...); err != nil {
		return nil, err
	}
	return book, book.learn()
}

// Crews are all crews, with their skills.
func (b *RateBook) Crews() []Crew { return b.crews }

// accept fills in what was accepted and returns the crews by id.
func (b *RateBook) accept() map[int64]*Crew {
	codes := map[int64]*Crew{}
	for i := range b.crews {
		codes[b.crews[i].ID] = &b.crews[i]
	}
	for _, d := range b.Decisions {
		switch {
		case !d.InForce:
		case d.CrewID == nil:
			source := fmt.Sprintf("accepted %s by %s, from %d finished tasks", d.At.Format("2 Jan 2006"), d.Actor, d.Observations)
			b.Rates.Accepted = append(b.Rates.Accepted, takeoff.Accepted{Kind: d.Kind, Factor: d.Factor, Source: source})
		case codes[*d.CrewID] != nil:
			b.Paces = append(b.Paces, pattern.Pace{Kind: d.Kind, Crew: codes[*d.CrewID].Code, Factor: d.Factor})
		}
	}
	return codes
}

// learn fills in what follows from the rest.
func (b *RateBook) learn() (err error) {
	codes := b.accept()
	for i := range b.Observations {
		o := &b.Observations[i]
		f := pattern.Finished{Kind: o.Kind, ActualMinutes: o.LabourMinutes, Basis: o.Basis.V, ExpectedMinutes: o.ExpectedMinutes}
		if o.CrewID != nil && codes[*o.CrewID] != nil && o.Kind.IsCrewWork() {
			crew := codes[*o.CrewID]
			f.Crew, f.Pace = crew.Code, b.Settings.StatedPace(o.Kind, crew.Heads, crew.productivity(o.Kind))
		}
		b.Finished = append(b.Finished, f)
	}
	b.Experience, b.Skipped, err = pattern.LearnFrom(takeoff.Prior{}, b.Rates, b.Finished, b.Paces)
	return err
}

// productivity is what is stated of a crew in a kind of work, 1 when nothing is.
func (c *Crew) productivity(kind takeoff.Kind) float64 {
	for _, s := range c.Skills {
		if s.Kind == kind {
			return s.Productivity
		}
	}
	return 1
}

// PatternsInForce reads the firm's own work patterns, and the settings that the usual ones hang on, with defaults filled.
func PatternsInForce(ctx context.Context, r Reader) ([]pattern.Pattern, pattern.Settings, error) {
	s := &snapshot{ctx: ctx, r: r}
	err := s.readSettings()
	if err == nil {
		err = s.readPatterns()
	}
	return s.firm.Patterns, s.firm.Settings.WithDefaults(), err
}
