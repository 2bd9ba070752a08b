package models

import (
	"context"
)

// CreateProject adds a project.
func CreateProject(ctx context.Context, tx *Tx, p *Project, actor Actor) error {
	if err := create(ctx, tx, "project "+p.Code, p); err != nil {
		return err
	}
	return record(ctx, tx, actor, "create", p.subject(), map[string]any{"code": p.Code, "name": p.Name})
}

// UpdateProject stores a project's name and settings, if p still has the stored version.
func UpdateProject(ctx context.Context, tx *Tx, p *Project, actor Actor) error {
	err := edit[Project](ctx, tx, "project "+p.Code, p.ID, p.Version, map[string]any{
		"name": p.Name, "calendar_id": p.CalendarID, "zone": p.Zone,
		"nightly_hour": p.NightlyHour, "nightly_minute": p.NightlyMinute, "out_of_order": p.OutOfOrder,
		"auto_issue": p.AutoIssue, "units": p.Units, "dock_id": p.DockID, "hoist_id": p.HoistID, "closed_at": p.ClosedAt,
	})
	if err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", p.subject(), map[string]any{
		"name": p.Name, "zone": p.Zone, "nightly_hour": p.NightlyHour, "out_of_order": p.OutOfOrder,
		"auto_issue": p.AutoIssue, "units": p.Units,
	})
}

func (p *Project) subject() subject { return subject{kind: "project", id: p.ID, projectID: &p.ID} }

// Projects lists all open projects by name, with their sites.
func Projects(ctx context.Context, r Reader) ([]Project, error) {
	var rows []Project
	err := r.in(ctx).Preload("Site").Where("closed_at IS NULL").Order("name, id").Find(&rows).Error
	return rows, wrap(err, "list projects")
}

// ProjectByID reads a project with its site.
func ProjectByID(ctx context.Context, r Reader, id int64) (*Project, error) {
	var p Project
	if err := r.in(ctx).Preload("Site").Take(&p, id).Error; err != nil {
		return nil, wrap(err, "find project %d", id)
	}
	return &p, nil
}

// ProjectByCode finds a project by its code, in any case, with its site.
func ProjectByCode(ctx context.Context, r Reader, code string) (*Project, error) {
	var p Project
	if err := r.in(ctx).Preload("Site").Where("LOWER(code) = LOWER(?)", code).Take(&p).Error; err != nil {
		return nil, wrap(err, "find project %s", code)
	}
	return &p, nil
}

// ProjectByName finds an open project by its name or code, in any case, with its site.
func ProjectByName(ctx context.Context, r Reader, name string) (*Project, error) {
	var p Project
	err := r.in(ctx).Preload("Site").Where("closed_at IS NULL AND (LOWER(name) = LOWER(?) OR LOWER(code) = LOWER(?))", name, name).
		Order("id").First(&p).Error
	if err != nil {
		return nil, wrap(err, "find project %q", name)
	}
	return &p, nil
}

// FirstProject is the open project added first.
func FirstProject(ctx context.Context, r Reader) (*Project, error) {
	var p Project
	if err := r.in(ctx).Preload("Site").Where("closed_at IS NULL").Order("id").First(&p).Error; err != nil {
		return nil, wrap(err, "find the first project")
	}
	return &p, nil
}

// CreateArea adds an area.
func CreateArea(ctx context.Context, tx *Tx, a *Area, actor Actor) error {
	if err := create(ctx, tx, "area "+a.Code, a); err != nil {
		return err
	}
	return record(ctx, tx, actor, "create", a.subject(), map[string]any{"code": a.Code, "name": a.Name})
}

// UpdateArea stores all of an area but its code, if a still has the stored version.
func UpdateArea(ctx context.Context, tx *Tx, a *Area, actor Actor) error {
	err := edit[Area](ctx, tx, "area "+a.Code, a.ID, a.Version, map[string]any{
		"parent_id": a.ParentID, "name": a.Name, "kind": a.Kind, "walk_order": a.WalkOrder, "max_crews": a.MaxCrews,
		"setup_minutes": a.SetupMinutes, "hoisted": a.Hoisted, "max_stored": a.MaxStored,
	})
	if err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", a.subject(), map[string]any{"name": a.Name, "max_crews": a.MaxCrews})
}

func (a *Area) subject() subject { return subject{kind: "area", id: a.ID, projectID: &a.ProjectID} }

// Areas lists a project's areas in walking order, parents and children alike.
func Areas(ctx context.Context, r Reader, projectID int64) ([]Area, error) {
	var rows []Area
	err := r.in(ctx).Where("project_id = ?", projectID).Order("walk_order, code").Find(&rows).Error
	return rows, wrap(err, "list areas")
}

// CreateGCDate adds a GC date.
func CreateGCDate(ctx context.Context, tx *Tx, g *GCDate, actor Actor) error {
	if err := create(ctx, tx, "GC date "+g.Name, g); err != nil {
		return err
	}
	return record(ctx, tx, actor, "create", g.subject(), g.detail())
}

// UpdateGCDate stores all of a GC date but its code, if g still has the stored version.
func UpdateGCDate(ctx context.Context, tx *Tx, g *GCDate, actor Actor) error {
	err := edit[GCDate](ctx, tx, "GC date "+g.Name, g.ID, g.Version, map[string]any{
		"name": g.Name, "area_id": g.AreaID, "kind": g.Kind, "due": g.Due,
		"damages_cents_per_day": g.DamagesCentsPerDay, "note": g.Note,
	})
	if err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", g.subject(), g.detail())
}

func (g *GCDate) subject() subject {
	return subject{kind: "gc_date", id: g.ID, projectID: &g.ProjectID}
}

func (g *GCDate) detail() map[string]any {
	return map[string]any{"name": g.Name, "due": g.Due.String(), "kind": g.Kind, "damages_cents_per_day": g.DamagesCentsPerDay}
}

// GCDates lists a project's GC dates by date.
func GCDates(ctx context.Context, r Reader, projectID int64) ([]GCDate, error) {
	var rows []GCDate
	err := r.in(ctx).Preload("Area").Where("project_id = ?", projectID).Order("due, code").Find(&rows).Error
	return rows, wrap(err, "list GC dates")
}

// CreateHandover adds a handover, with a line of history for each date that is known.
func CreateHandover(ctx context.Context, tx *Tx, h *Handover, source string, actor Actor) error {
	if err := create(ctx, tx, "handover of "+string(h.Condition), h); err != nil {
		return err
	}
	return handoverHistory(ctx, tx, h.ID, &Handover{}, h, HandoverNews{Source: source}, actor)
}

// Handovers lists a project's handovers with their areas.
func Handovers(ctx context.Context, r Reader, projectID int64) ([]Handover, error) {
	var rows []Handover
	err := r.in(ctx).Preload("Area").Where("area_id IN (?)", r.in(ctx).Model(&Area{}).Select("id").Where("project_id = ?", projectID)).
		Order("area_id, condition").Find(&rows).Error
	return rows, wrap(err, "list handovers")
}

// HandoverRow reads one handover with its area.
func HandoverRow(ctx context.Context, r Reader, id int64) (*Handover, error) {
	var h Handover
	if err := r.in(ctx).Preload("Area").Take(&h, id).Error; err != nil {
		return nil, wrap(err, "find handover %d", id)
	}
	return &h, nil
}

// HandoverNews is what became known of a handover: its dates as they are now, why, and from where.
type HandoverNews struct {
	Promised *Date
	Forecast *Date
	Actual   *Date
	Cause    string
	Source   string // the sheet or page
	Pictures []Picture
}

// RecordHandoverChange sets the dates of a handover and appends a line of history for each one that changed. version is
// that of the handover as it was read.
func RecordHandoverChange(ctx context.Context, tx *Tx, id, version int64, news HandoverNews, actor Actor) error {
	old, err := byID[Handover](ctx, tx, "handover", id)
	if err != nil {
		return err
	}
	next := *old
	next.Promised, next.Forecast, next.Actual = news.Promised, news.Forecast, news.Actual
	err = edit[Handover](ctx, tx, "handover of "+string(old.Condition), id, version, map[string]any{
		"promised": next.Promised, "forecast": next.Forecast, "actual": next.Actual,
	})
	if err != nil {
		return err
	}
	return handoverHistory(ctx, tx, id, old, &next, news, actor)
}

func handoverHistory(ctx context.Context, tx *Tx, id int64, old, next *Handover, news HandoverNews, actor Actor) error {
	var lines []HandoverChange
	for _, d := range []struct {
		field    HandoverField
		old, new *Date
	}{
		{FieldPromised, old.Promised, next.Promised},
		{FieldForecast, old.Forecast, next.Forecast},
		{FieldActual, old.Actual, next.Actual},
	} {
		if !equal(d.old, d.new) {
			lines = append(lines, HandoverChange{
				HandoverID: id, At: tx.Now(), UserID: actor.UserID, Field: d.field, OldDate: d.old, NewDate: d.new,
				Cause: news.Cause, Source: news.Source,
			})
		}
	}
	if len(lines) == 0 {
		return nil
	}
	area, err := byID[Area](ctx, tx, "area", next.AreaID)
	if err != nil {
		return err
	}
	if err := createAll(ctx, tx, "changes of a handover", lines); err != nil {
		return err
	}
	evidence := Photo{ProjectID: area.ProjectID, HandoverChangeID: &lines[0].ID}
	if err := AddPhotos(ctx, tx, evidence, news.Pictures, actor); err != nil {
		return err
	}
	about := subject{kind: "handover", id: id, projectID: &area.ProjectID}
	return record(ctx, tx, actor, "change", about, map[string]any{
		"area": area.Code, "condition": next.Condition, "promised": dateText(next.Promised),
		"forecast": dateText(next.Forecast), "actual": dateText(next.Actual), "cause": news.Cause,
	})
}

func dateText(d *Date) string {
	if d == nil {
		return ""
	}
	return d.String()
}

// HandoverHistory lists the changes of a handover, oldest first.
func HandoverHistory(ctx context.Context, r Reader, id int64) ([]HandoverChange, error) {
	var rows []HandoverChange
	err := r.in(ctx).Where("handover_id = ?", id).Order("at, id").Find(&rows).Error
	return rows, wrap(err, "read the history of handover %d", id)
}
