package models

import (
	"context"
	"fmt"
	"slices"
	"time"

	"gorm.io/gorm"
)

// LedgerToSave is a computed ledger with the positions of its lines in place of their ids.
type LedgerToSave struct {
	Window LedgerWindow
	Lines  []LedgerLine
	Dates  []LedgerDate // their parts name lines by LineID = position
}

// SaveLedger stores a window's ledger. One that is there already stays, and ErrDuplicate says so: a window is computed once.
func SaveLedger(ctx context.Context, tx *Tx, in *LedgerToSave) error {
	in.Window.ComputedAt = tx.Now()
	what := fmt.Sprintf("the ledger from plan %d to plan %d", in.Window.FromPlanID, in.Window.ToPlanID)
	if err := create(ctx, tx, what, &in.Window); err != nil {
		return err
	}
	for i := range in.Lines {
		in.Lines[i].WindowID, in.Lines[i].Position, in.Lines[i].At = in.Window.ID, i, Instant(in.Lines[i].At)
	}
	if err := createAll(ctx, tx, "lines of "+what, in.Lines); err != nil {
		return err
	}
	for i := range in.Dates {
		in.Dates[i].WindowID = in.Window.ID
	}
	if err := createAll(ctx, tx, "GC dates of "+what, in.Dates); err != nil {
		return err
	}
	var parts []LedgerPart
	for i := range in.Dates {
		for _, part := range in.Dates[i].Parts {
			part.DateID, part.LineID = in.Dates[i].ID, in.Lines[part.LineID].ID
			parts = append(parts, part)
		}
	}
	return createAll(ctx, tx, "parts of "+what, parts)
}

// LedgerOf reads a window's own row; ErrNotFound when it has not been computed.
func LedgerOf(ctx context.Context, r Reader, projectID, fromPlan, toPlan int64) (*LedgerWindow, error) {
	var w LedgerWindow
	err := r.in(ctx).Where("project_id = ? AND from_plan_id = ? AND to_plan_id = ?", projectID, fromPlan, toPlan).Take(&w).Error
	if err != nil {
		return nil, wrap(err, "find the ledger from plan %d to plan %d", fromPlan, toPlan)
	}
	return &w, nil
}

// LedgersOf lists the computed windows of a project.
func LedgersOf(ctx context.Context, r Reader, projectID int64) ([]LedgerWindow, error) {
	var rows []LedgerWindow
	err := r.in(ctx).Where("project_id = ?", projectID).Order("id").Find(&rows).Error
	return rows, wrap(err, "list the ledgers of project %d", projectID)
}

// LedgerDates reads the GC dates of windows with their parts and lines, by due date, parts in the order of their lines.
func LedgerDates(ctx context.Context, r Reader, windowIDs []int64) ([]LedgerDate, error) {
	var rows []LedgerDate
	byPosition := func(g *gorm.DB) *gorm.DB {
		return g.Select("ledger_parts.*").Joins("JOIN ledger_lines ON ledger_lines.id = ledger_parts.line_id").Order("ledger_lines.position")
	}
	err := r.in(ctx).Preload("GCDate").Preload("Parts", byPosition).Preload("Parts.Line").Where("window_id IN ?", windowIDs).Find(&rows).Error
	if err != nil {
		return nil, wrap(err, "read the ledgers %v", windowIDs)
	}
	slices.SortStableFunc(rows, func(a, b LedgerDate) int {
		if a.GCDate.Due != b.GCDate.Due {
			if a.GCDate.Due.Before(b.GCDate.Due) {
				return -1
			}
			return 1
		}
		return int(a.GCDateID - b.GCDateID)
	})
	return rows, nil
}

// IssuesOf lists the issues of a project, oldest first, with their plans.
func IssuesOf(ctx context.Context, r Reader, projectID int64) ([]PlanIssue, error) {
	var rows []PlanIssue
	err := r.in(ctx).Preload("Plan").Where("project_id = ?", projectID).Order("id").Find(&rows).Error
	return rows, wrap(err, "list the issued plans of project %d", projectID)
}

// GCDateIDs are the ids of all GC dates by their ids in problem documents.
func GCDateIDs(ctx context.Context, r Reader) (map[string]int64, error) { return gcDateIDs(ctx, r) }

// OpeningIDs are the ids of a project's openings by their marks, and when each was entered.
func OpeningIDs(ctx context.Context, r Reader, projectID int64) (map[string]Opening, error) {
	var rows []Opening
	err := r.in(ctx).Select("id", "mark", "created_at").Where("project_id = ?", projectID).Find(&rows).Error
	byMark := make(map[string]Opening, len(rows))
	for i := range rows {
		byMark[rows[i].Mark] = rows[i]
	}
	return byMark, wrap(err, "read the openings of project %d", projectID)
}

// ConfirmationsOf reads what was confirmed for GC dates, by date and line key.
func ConfirmationsOf(ctx context.Context, r Reader, gcDateIDs []int64) (map[int64]map[string]*LedgerConfirmation, error) {
	var rows []LedgerConfirmation
	err := r.in(ctx).Where("gc_date_id IN ?", gcDateIDs).Find(&rows).Error
	out := map[int64]map[string]*LedgerConfirmation{}
	for i := range rows {
		if out[rows[i].GCDateID] == nil {
			out[rows[i].GCDateID] = map[string]*LedgerConfirmation{}
		}
		out[rows[i].GCDateID][rows[i].LineKey] = &rows[i]
	}
	return out, wrap(err, "read what was confirmed of GC dates %v", gcDateIDs)
}

// Confirm stores what a person confirms of an event for a GC date. A version other than 0 changes what is stored, if that
// still has it.
func Confirm(ctx context.Context, tx *Tx, projectID int64, c *LedgerConfirmation, actor Actor) error {
	c.UserID, c.Actor = actor.UserID, actor.Name
	if c.Version == 0 {
		if err := create(ctx, tx, "what was confirmed of the delay", c); err != nil {
			return err
		}
	} else {
		stored := LedgerConfirmation{}
		if err := tx.in(ctx).Where("gc_date_id = ? AND line_key = ?", c.GCDateID, c.LineKey).Take(&stored).Error; err != nil {
			return wrap(err, "find what was confirmed of the delay")
		}
		c.ID = stored.ID
		err := edit[LedgerConfirmation](ctx, tx, "what was confirmed of the delay", c.ID, c.Version, map[string]any{
			"party": c.Party, "excusable": c.Excusable, "compensable": c.Compensable, "note": c.Note, "user_id": c.UserID, "actor": c.Actor,
		})
		if err != nil {
			return err
		}
	}
	return record(ctx, tx, actor, "confirm", subject{kind: "delay", id: c.ID, projectID: &projectID}, map[string]any{
		"gc_date": c.GCDateID, "line": c.LineKey, "party": c.Party, "excusable": c.Excusable, "compensable": c.Compensable, "note": c.Note,
	})
}

// NoticesOf reads the notices of a project by line key.
func NoticesOf(ctx context.Context, r Reader, projectID int64) (map[string]*DelayNotice, error) {
	var rows []DelayNotice
	err := r.in(ctx).Where("project_id = ?", projectID).Find(&rows).Error
	out := make(map[string]*DelayNotice, len(rows))
	for i := range rows {
		out[rows[i].LineKey] = &rows[i]
	}
	return out, wrap(err, "read the notices of project %d", projectID)
}

// SendNotice notes that a notice was sent; a version other than 0 corrects the one stored.
func SendNotice(ctx context.Context, tx *Tx, n *DelayNotice, actor Actor) error {
	n.UserID, n.Actor = actor.UserID, actor.Name
	if n.Version == 0 {
		if err := create(ctx, tx, "the notice of a delay", n); err != nil {
			return err
		}
	} else {
		var stored DelayNotice
		if err := tx.in(ctx).Where("project_id = ? AND line_key = ?", n.ProjectID, n.LineKey).Take(&stored).Error; err != nil {
			return wrap(err, "find the notice of a delay")
		}
		n.ID = stored.ID
		err := edit[DelayNotice](ctx, tx, "the notice of a delay", n.ID, n.Version, map[string]any{
			"sent_on": n.SentOn, "reference": n.Reference, "user_id": n.UserID, "actor": n.Actor,
		})
		if err != nil {
			return err
		}
	}
	return record(ctx, tx, actor, "send notice", subject{kind: "delay notice", id: n.ID, projectID: &n.ProjectID}, map[string]any{
		"line": n.LineKey, "sent_on": n.SentOn.String(), "reference": n.Reference,
	})
}

// TermsOf reads what a project's contract says of delays; where nothing was entered, no notice is agreed, version 0.
func TermsOf(ctx context.Context, r Reader, projectID int64) (*DelayTerms, error) {
	var rows []DelayTerms
	if err := r.in(ctx).Where("project_id = ?", projectID).Find(&rows).Error; err != nil {
		return nil, wrap(err, "read the delay terms of project %d", projectID)
	}
	if len(rows) == 0 {
		return &DelayTerms{ProjectID: projectID, FloatOwner: FloatFirstUse}, nil
	}
	return &rows[0], nil
}

// SaveTerms stores what a project's contract says of delays, if t still has the stored version; version 0 is the first.
func SaveTerms(ctx context.Context, tx *Tx, t *DelayTerms, actor Actor) error {
	if t.Version == 0 {
		if err := create(ctx, tx, "the delay terms", t); err != nil {
			return err
		}
	} else if err := editTerms(ctx, tx, t); err != nil {
		return err
	}
	return record(ctx, tx, actor, "change delay terms", subject{kind: "project", id: t.ProjectID, projectID: &t.ProjectID}, map[string]any{
		"trade_days": t.TradeDays, "gc_days": t.GCDays, "supplier_days": t.SupplierDays, "weather_days": t.WeatherDays,
		"float_owner": t.FloatOwner, "pacing": t.Pacing,
	})
}

func editTerms(ctx context.Context, tx *Tx, t *DelayTerms) error {
	result := tx.in(ctx).Model(&DelayTerms{}).Where("project_id = ? AND version = ?", t.ProjectID, t.Version).Updates(map[string]any{
		"trade_days": t.TradeDays, "gc_days": t.GCDays, "supplier_days": t.SupplierDays, "weather_days": t.WeatherDays,
		"float_owner": t.FloatOwner, "pacing": t.Pacing, "version": t.Version + 1, "updated_at": tx.Now(),
	})
	if result.Error != nil || result.RowsAffected == 1 {
		return wrap(result.Error, "change the delay terms")
	}
	current, err := TermsOf(ctx, tx, t.ProjectID)
	if err != nil {
		return err
	}
	return &ErrStale{What: "the delay terms", Read: t.Version, Version: current.Version, Current: current}
}

// RemakesSince lists the remakes whose damage became known after from, up to and including to, with their openings. A report written
// without signal makes damage known long after it was done.
func RemakesSince(ctx context.Context, r Reader, from, to time.Time) ([]MaterialItem, error) {
	var rows []MaterialItem
	err := r.in(ctx).Preload("Opening").Where("parent_id IS NOT NULL AND created_at > ? AND created_at <= ?", Instant(from), Instant(to)).
		Order("reported_at, id").Find(&rows).Error
	return rows, wrap(err, "read remakes since %s", from)
}

// DropStaleLedgers removes the ledgers of a project that lead to drafts that were neither issued nor are the latest plan.
func DropStaleLedgers(ctx context.Context, tx *Tx, projectID, latestPlan int64) error {
	issued := tx.in(ctx).Model(&PlanIssue{}).Select("plan_id").Where("project_id = ?", projectID)
	err := tx.in(ctx).Where("project_id = ? AND to_plan_id <> ? AND to_plan_id NOT IN (?)", projectID, latestPlan, issued).
		Delete(&LedgerWindow{}).Error
	return wrap(err, "drop the ledgers of overtaken drafts of project %d", projectID)
}

// UnnoticedLine is a line of a stored ledger of which no notice was sent, with its project and what the contract says.
type UnnoticedLine struct {
	LedgerLine
	Project Project
	Terms   DelayTerms
}

// UnnoticedLines lists the lines of projects (nil: all open ones) that moved a GC date, would have alone, or cost it its
// forecast, whose project has delay terms, and of which no notice was sent. Three queries.
func UnnoticedLines(ctx context.Context, r Reader, projectIDs []int64) ([]UnnoticedLine, error) {
	var terms []DelayTerms
	if err := r.in(ctx).Find(&terms).Error; err != nil || len(terms) == 0 {
		return nil, wrap(err, "read delay terms")
	}
	projects, err := Projects(ctx, r)
	if err != nil {
		return nil, err
	}
	var rows []struct {
		LedgerLine
		ProjectID int64
	}
	q := r.in(ctx).Model(&LedgerLine{}).Select("ledger_lines.*, ledger_windows.project_id").
		Joins("JOIN ledger_windows ON ledger_windows.id = ledger_lines.window_id").
		Joins("JOIN delay_terms ON delay_terms.project_id = ledger_windows.project_id").
		Where("EXISTS (SELECT 1 FROM ledger_parts p WHERE p.line_id = ledger_lines.id AND (p.minutes > 0 OR p.alone_minutes > 0 OR p.lost))").
		Where("NOT EXISTS (SELECT 1 FROM delay_notices n WHERE n.project_id = ledger_windows.project_id AND n.line_key = ledger_lines.line_key)")
	if projectIDs != nil {
		q = q.Where("ledger_windows.project_id IN ?", projectIDs)
	}
	if err := q.Order("ledger_lines.at, ledger_lines.id").Find(&rows).Error; err != nil {
		return nil, wrap(err, "find delays without a notice")
	}
	var list []UnnoticedLine
	for i := range rows {
		p := slices.IndexFunc(projects, func(p Project) bool { return p.ID == rows[i].ProjectID })
		t := slices.IndexFunc(terms, func(t DelayTerms) bool { return t.ProjectID == rows[i].ProjectID })
		if p >= 0 && t >= 0 {
			list = append(list, UnnoticedLine{LedgerLine: rows[i].LedgerLine, Project: projects[p], Terms: terms[t]})
		}
	}
	return list, nil
}

// FindLedgerLine is ErrNotFound unless some stored window of a project has a line with that key, and with gcDateID one that has a
// part of that GC date.
func FindLedgerLine(ctx context.Context, r Reader, projectID int64, gcDateID *int64, key string) error {
	q := r.in(ctx).Model(&LedgerLine{}).Joins("JOIN ledger_windows ON ledger_windows.id = ledger_lines.window_id").
		Where("ledger_windows.project_id = ? AND ledger_lines.line_key = ?", projectID, key)
	if gcDateID != nil {
		q = q.Joins("JOIN ledger_parts ON ledger_parts.line_id = ledger_lines.id").
			Joins("JOIN ledger_dates ON ledger_dates.id = ledger_parts.date_id").Where("ledger_dates.gc_date_id = ?", *gcDateID)
	}
	var n int64
	if err := q.Count(&n).Error; err != nil || n > 0 {
		return wrap(err, "find line %s", key)
	}
	return wrap(ErrNotFound, "line %s of project %d", key, projectID)
}

// Today is the present date on a project's site.
func Today(r Reader, p *Project) (Date, error) {
	zone, err := time.LoadLocation(p.Zone)
	if err != nil {
		return Date{}, fmt.Errorf("project %s: %w", p.Code, err)
	}
	return DateIn(r.Now(), zone), nil
}
