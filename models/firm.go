package models

import (
	"context"
	"errors"
	"slices"

	"gorm.io/gorm"
)

// firmRow is the id of the one row of settings.
const firmRow = 1

// Settings reads the firm's own settings; a firm that never saved any has a frozen window of one day and UTC.
func Settings(ctx context.Context, r Reader) (*FirmSettings, error) {
	var row FirmSettings
	err := r.in(ctx).Take(&row, firmRow).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return &FirmSettings{ID: firmRow, Zone: "UTC", Units: Imperial, FrozenDays: 1}, nil
	}
	return &row, wrap(err, "read the firm's settings")
}

// SaveSettings stores the firm's settings, based on the version in row; 0 when there were none.
func SaveSettings(ctx context.Context, tx *Tx, row *FirmSettings, actor Actor) error {
	row.ID = firmRow
	old, err := Settings(ctx, tx)
	if err != nil {
		return err
	}
	if row.Version == 0 {
		err = create(ctx, tx, "the firm", row)
	} else {
		err = edit[FirmSettings](ctx, tx, "the firm", firmRow, row.Version, map[string]any{
			"name": row.Name, "zone": row.Zone, "units": row.Units, "buyer_calendar_id": row.BuyerCalendarID, "buyer_limit_id": row.BuyerLimitID,
			"frozen_days": row.FrozenDays, "overdue_handover_minutes": row.OverdueHandoverMinutes,
			"overdue_delivery_days": row.OverdueDeliveryDays, "sealant_cure_minutes": row.SealantCureMinutes,
			"survey_needs": row.SurveyNeeds, "takeoff_rules": row.TakeoffRules, "crowding": row.Crowding, "tolerances": row.Tolerances,
			"weight_lateness": row.WeightLateness, "weight_change": row.WeightChange,
			"weight_travel": row.WeightTravel, "weight_early": row.WeightEarly,
		})
	}
	if err != nil {
		return err
	}
	if !slices.Equal(old.Crowding, row.Crowding) {
		if err := endDecisions(ctx, tx, nil, "the room for crews was changed", actor); err != nil {
			return err
		}
	}
	return record(ctx, tx, actor, "change", subject{kind: "firm", id: firmRow}, map[string]any{
		"name": row.Name, "zone": row.Zone, "takeoff_rules": row.TakeoffRules.V, "crowding": row.Crowding, "tolerances": row.Tolerances.V,
	})
}

// CreateSite adds a site.
func CreateSite(ctx context.Context, tx *Tx, s *Site, actor Actor) error {
	if err := create(ctx, tx, "site "+s.Code, s); err != nil {
		return err
	}
	return record(ctx, tx, actor, "create", subject{kind: "site", id: s.ID}, map[string]any{"code": s.Code, "name": s.Name})
}

// SetTravel sets the crew minutes between two sites in one direction, which hold both ways unless the other is set too.
func SetTravel(ctx context.Context, tx *Tx, from, to int64, minutes int, actor Actor) error {
	err := tx.in(ctx).Where("from_site_id = ? AND to_site_id = ?", from, to).Delete(&SiteTravel{}).Error
	if err != nil {
		return wrap(err, "set the travel from site %d to %d", from, to)
	}
	row := SiteTravel{FromSiteID: from, ToSiteID: to, Minutes: minutes}
	if err := create(ctx, tx, "travel between sites", &row); err != nil {
		return err
	}
	return record(ctx, tx, actor, "set travel", subject{kind: "site", id: from}, map[string]any{"to": to, "minutes": minutes})
}

// CreateLimit adds a limit.
func CreateLimit(ctx context.Context, tx *Tx, l *Limit, actor Actor) error {
	if err := create(ctx, tx, "limit "+l.Code, l); err != nil {
		return err
	}
	return record(ctx, tx, actor, "create", subject{kind: "limit", id: l.ID}, map[string]any{"code": l.Code, "capacity": l.Capacity})
}

// CreateCrew adds a crew with its skills, sites and absences.
func CreateCrew(ctx context.Context, tx *Tx, c *Crew, actor Actor) error {
	skills, sites, absences := c.Skills, c.Sites, c.Absences
	if err := create(ctx, tx, "crew "+c.Code, c); err != nil {
		return err
	}
	if err := addCrewParts(ctx, tx, c, skills, sites, absences); err != nil {
		return err
	}
	return record(ctx, tx, actor, "create", subject{kind: "crew", id: c.ID}, crewDetail(c))
}

// UpdateCrew stores all of a crew, with its skills, sites and absences, if c still has the stored version.
func UpdateCrew(ctx context.Context, tx *Tx, c *Crew, actor Actor) error {
	err := edit[Crew](ctx, tx, "crew "+c.Code, c.ID, c.Version, map[string]any{
		"name": c.Name, "heads": c.Heads, "calendar_id": c.CalendarID, "home_site_id": c.HomeSiteID,
		"foreman": c.Foreman, "note": c.Note, "cost_cents_per_hour": c.CostCentsPerHour, "active": c.Active,
	})
	if err != nil {
		return err
	}
	for _, part := range []any{&CrewSkill{}, &CrewSite{}, &CrewAbsence{}} {
		if err := tx.in(ctx).Where("crew_id = ?", c.ID).Delete(part).Error; err != nil {
			return wrap(err, "change crew %s", c.Code)
		}
	}
	if err := addCrewParts(ctx, tx, c, c.Skills, c.Sites, c.Absences); err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", subject{kind: "crew", id: c.ID}, crewDetail(c))
}

func addCrewParts(ctx context.Context, tx *Tx, c *Crew, skills []CrewSkill, sites []CrewSite, absences []CrewAbsence) error {
	for i := range skills {
		skills[i].ID, skills[i].CrewID = 0, c.ID
	}
	for i := range sites {
		sites[i].ID, sites[i].CrewID = 0, c.ID
	}
	for i := range absences {
		absences[i].ID, absences[i].CrewID = 0, c.ID
		absences[i].StartsAt, absences[i].FinishesAt = Instant(absences[i].StartsAt), Instant(absences[i].FinishesAt)
	}
	return errors.Join(
		createAll(ctx, tx, "skills of crew "+c.Code, skills),
		createAll(ctx, tx, "sites of crew "+c.Code, sites),
		createAll(ctx, tx, "absences of crew "+c.Code, absences),
	)
}

func crewDetail(c *Crew) map[string]any {
	kinds := make([]string, 0, len(c.Skills))
	for _, s := range c.Skills {
		kinds = append(kinds, string(s.Kind))
	}
	return map[string]any{"code": c.Code, "heads": c.Heads, "skills": kinds, "active": c.Active}
}

// Crews lists all crews by name, with skills, sites and absences.
func Crews(ctx context.Context, r Reader) ([]Crew, error) {
	var crews []Crew
	err := r.in(ctx).Preload("Skills").Preload("Sites").Preload("Absences").Order("name, id").Find(&crews).Error
	return crews, wrap(err, "list crews")
}

// Heads is the head count of a crew; 1 for none.
func Heads(ctx context.Context, r Reader, id *int64) (int, error) {
	if id == nil {
		return 1, nil
	}
	c, err := byID[Crew](ctx, r, "crew", *id)
	if err != nil {
		return 0, err
	}
	return max(1, c.Heads), nil
}

// CrewByName finds a crew by its name or code, in any case.
func CrewByName(ctx context.Context, r Reader, name string) (*Crew, error) {
	var c Crew
	err := r.in(ctx).Where("LOWER(name) = LOWER(?) OR LOWER(code) = LOWER(?)", name, name).Order("id").First(&c).Error
	if err != nil {
		return nil, wrap(err, "find crew %q", name)
	}
	return &c, nil
}

// CreateSupplier adds a supplier with its items.
func CreateSupplier(ctx context.Context, tx *Tx, s *Supplier, actor Actor) error {
	items := s.Items
	if err := create(ctx, tx, "supplier "+s.Code, s); err != nil {
		return err
	}
	if err := replaceSupplierItems(ctx, tx, s, items); err != nil {
		return err
	}
	return record(ctx, tx, actor, "create", subject{kind: "supplier", id: s.ID}, map[string]any{"code": s.Code, "name": s.Name})
}

// UpdateSupplier stores all of a supplier with its items, if s still has the stored version.
func UpdateSupplier(ctx context.Context, tx *Tx, s *Supplier, actor Actor) error {
	err := edit[Supplier](ctx, tx, "supplier "+s.Code, s.ID, s.Version, map[string]any{
		"name": s.Name, "calendar_id": s.CalendarID, "contact": s.Contact, "note": s.Note,
	})
	if err != nil {
		return err
	}
	if err := replaceSupplierItems(ctx, tx, s, s.Items); err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", subject{kind: "supplier", id: s.ID}, map[string]any{"code": s.Code, "name": s.Name})
}

func replaceSupplierItems(ctx context.Context, tx *Tx, s *Supplier, items []SupplierItem) error {
	if err := tx.in(ctx).Where("supplier_id = ?", s.ID).Delete(&SupplierItem{}).Error; err != nil {
		return wrap(err, "change supplier %s", s.Code)
	}
	for i := range items {
		items[i].ID, items[i].SupplierID = 0, s.ID
	}
	return createAll(ctx, tx, "items of supplier "+s.Code, items)
}

// Suppliers lists all suppliers by name, with their items.
func Suppliers(ctx context.Context, r Reader) ([]Supplier, error) {
	var rows []Supplier
	err := r.in(ctx).Preload("Items", func(q *gorm.DB) *gorm.DB { return q.Order("item_kind") }).Order("name, id").Find(&rows).Error
	return rows, wrap(err, "list suppliers")
}
