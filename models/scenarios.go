package models

import (
	"context"
	"errors"
	"fmt"
	"time"

	"gorm.io/gorm"

	"jambwright/scheduler/recovery"
)

// CreateScenario keeps a set of moves as a draft, which changes nothing yet.
func CreateScenario(ctx context.Context, tx *Tx, s *Scenario, actor Actor) error {
	for _, m := range s.Moves {
		if err := m.Validate(); err != nil {
			return fmt.Errorf("scenario %s: %w: %w", s.Name, ErrRefused, err)
		}
	}
	s.State, s.UserID, s.MadeBy = ScenarioDraft, actor.UserID, actor.Name
	if err := create(ctx, tx, "scenario "+s.Name, s); err != nil {
		return err
	}
	return record(ctx, tx, actor, "create", s.subject(), map[string]any{"name": s.Name, "moves": len(s.Moves)})
}

func (s *Scenario) subject() subject {
	return subject{kind: "scenario", id: s.ID, projectID: &s.ProjectID}
}

// ScenarioByID reads a scenario with its project and GC date.
func ScenarioByID(ctx context.Context, r Reader, id int64) (*Scenario, error) {
	var s Scenario
	err := r.in(ctx).Preload("Project").Preload("GCDate").Take(&s, id).Error
	return &s, wrap(err, "read scenario %d", id)
}

// Scenarios lists the scenarios of a project that were ever in force, and its drafts, newest first, at most limit.
func Scenarios(ctx context.Context, r Reader, projectID int64, limit int) ([]Scenario, error) {
	var list []Scenario
	err := r.in(ctx).Preload("GCDate").Where("project_id = ?", projectID).Order("id DESC").Limit(limit).Find(&list).Error
	return list, wrap(err, "list the scenarios of project %d", projectID)
}

// ScenariosInForce lists the scenarios of open projects that every plan is made with, oldest first; projects nil means all.
func ScenariosInForce(ctx context.Context, r Reader, projects []int64) ([]Scenario, error) {
	q := r.in(ctx).Preload("Project").Preload("GCDate").Where("state = ?", ScenarioInForce).
		Where("project_id IN (?)", r.in(ctx).Model(&Project{}).Select("id").Where("closed_at IS NULL"))
	if projects != nil {
		q = q.Where("project_id IN ?", projects)
	}
	var list []Scenario
	return list, wrap(q.Order("id").Find(&list).Error, "list the scenarios in force")
}

// PutInForce makes a draft count in every plan from planID on. A second crew among its moves becomes a crew of the firm that is
// away until it begins.
func PutInForce(ctx context.Context, tx *Tx, s *Scenario, actor Actor) error {
	if s.State != ScenarioDraft {
		return fmt.Errorf("scenario %s is %s, only a draft can be put in force: %w", s.Name, s.State, ErrRefused)
	}
	for _, m := range s.Moves {
		if m.Kind == recovery.SecondCrew {
			if err := hireCrew(ctx, tx, m, s.Name, actor); err != nil {
				return err
			}
		}
	}
	now := tx.Now()
	err := edit[Scenario](ctx, tx, "scenario "+s.Name, s.ID, s.Version, map[string]any{
		"state": ScenarioInForce, "in_force_at": now, "in_force_by": actor.Name,
	})
	if err != nil {
		return err
	}
	return record(ctx, tx, actor, "put in force", s.subject(), map[string]any{"name": s.Name, "moves": s.Moves})
}

// PlannedBy notes the plan that a scenario came into force with.
func PlannedBy(ctx context.Context, tx *Tx, scenarioID, planID int64) error {
	err := tx.in(ctx).Model(&Scenario{}).Where("id = ?", scenarioID).Update("plan_id", planID).Error
	return wrap(err, "note the plan of scenario %d", scenarioID)
}

// Withdraw ends what a scenario in force counts for, or drops a draft. Its second crews are let go.
func Withdraw(ctx context.Context, tx *Tx, s *Scenario, actor Actor) error {
	if s.State == ScenarioWithdrawn {
		return fmt.Errorf("scenario %s is withdrawn already: %w", s.Name, ErrRefused)
	}
	for _, m := range s.Moves {
		if m.Kind != recovery.SecondCrew || s.State != ScenarioInForce {
			continue
		}
		err := tx.in(ctx).Model(&Crew{}).Where("code = ?", m.NewCrew).
			Updates(map[string]any{"active": false, "version": gorm.Expr("version + 1"), "updated_at": tx.Now()}).Error
		if err != nil {
			return wrap(err, "let crew %s go", m.NewCrew)
		}
	}
	err := edit[Scenario](ctx, tx, "scenario "+s.Name, s.ID, s.Version, map[string]any{
		"state": ScenarioWithdrawn, "withdrawn_at": tx.Now(), "withdrawn_by": actor.Name,
	})
	if err != nil {
		return err
	}
	return record(ctx, tx, actor, "withdraw", s.subject(), map[string]any{"name": s.Name, "was": s.State})
}

// hireCrew adds a crew like another one that is away until its first day, or takes one of that name in again.
func hireCrew(ctx context.Context, tx *Tx, m recovery.Move, scenario string, actor Actor) error {
	var like, old Crew
	parts := tx.in(ctx).Preload("Skills", func(q *gorm.DB) *gorm.DB { return q.Order("id") }).Preload("Sites").Preload("Calendar")
	if err := parts.Where("code = ?", m.Crew).Take(&like).Error; err != nil {
		return wrap(err, "find crew %s, which a second one is to be like", m.Crew)
	}
	zone, err := time.LoadLocation(like.Calendar.Zone)
	if err != nil {
		return fmt.Errorf("calendar %s: %w", like.Calendar.Code, err)
	}
	crew := Crew{
		Code: m.NewCrew, Name: m.NewCrew, Heads: like.Heads, CalendarID: like.CalendarID, HomeSiteID: like.HomeSiteID,
		Note: "second crew of scenario " + scenario, Active: true,
		CostCentsPerHour: Cents(float64(like.CostCentsPerHour) * m.Premium / 100),
		Skills:           like.Skills, Sites: like.Sites,
	}
	if begin := (Date{m.From}).At(0, zone); begin.After(tx.Now()) {
		crew.Absences = []CrewAbsence{{StartsAt: tx.Now(), FinishesAt: begin, Note: "not yet here"}}
	}
	err = tx.in(ctx).Where("code = ?", m.NewCrew).Take(&old).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return CreateCrew(ctx, tx, &crew, actor)
	}
	if err != nil {
		return wrap(err, "find crew %s", m.NewCrew)
	}
	if old.Active {
		return fmt.Errorf("a crew %s is at work already: %w", m.NewCrew, ErrRefused)
	}
	crew.ID, crew.Versioned = old.ID, old.Versioned
	return UpdateCrew(ctx, tx, &crew, actor)
}
