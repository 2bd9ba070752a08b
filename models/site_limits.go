package models

import (
	"context"
	"fmt"
	"strings"
)

// ProjectLimit reads the dock or the hoist of a project; nil when it has none.
func ProjectLimit(ctx context.Context, r Reader, p *Project, kind LimitKind) (*Limit, error) {
	id := p.DockID
	if kind == Hoist {
		id = p.HoistID
	}
	if id == nil {
		return nil, nil
	}
	return byID[Limit](ctx, r, "limit", *id)
}

// SetProjectLimit says how many deliveries a project's dock or hoist takes at once; 0 takes the limit off. A limit that several
// projects of a site share changes for all of them. p learns of a limit that is new.
func SetProjectLimit(ctx context.Context, tx *Tx, p *Project, kind LimitKind, capacity int, actor Actor) error {
	if kind != Dock && kind != Hoist {
		return fmt.Errorf("a project has no limit of kind %s", kind)
	}
	l, err := ProjectLimit(ctx, tx, p, kind)
	if err != nil {
		return err
	}
	switch {
	case capacity == 0 && l == nil:
		return nil
	case capacity > 0 && l != nil:
		if l.Capacity == capacity {
			return nil
		}
		if err := edit[Limit](ctx, tx, "limit "+l.Code, l.ID, l.Version, map[string]any{"capacity": capacity}); err != nil {
			return err
		}
		about := subject{kind: "limit", id: l.ID, projectID: &p.ID}
		return record(ctx, tx, actor, "change", about, map[string]any{"old": l.Capacity, "new": capacity})
	}
	var id *int64
	if capacity > 0 {
		if l, err = limitAgain(ctx, tx, p, kind, capacity, actor); err != nil {
			return err
		}
		id = &l.ID
	}
	if kind == Dock {
		p.DockID = id
	} else {
		p.HoistID = id
	}
	if err := UpdateProject(ctx, tx, p, actor); err != nil {
		return err
	}
	p.Version++
	return nil
}

// limitAgain adds a limit for a project, or puts one to use again that was taken off before.
func limitAgain(ctx context.Context, tx *Tx, p *Project, kind LimitKind, capacity int, actor Actor) (*Limit, error) {
	l := &Limit{
		Code: strings.ToLower(p.Code) + "-" + string(kind), Name: "the " + string(kind) + " of " + p.Name, Kind: kind, SiteID: &p.SiteID, Capacity: capacity,
	}
	var old []Limit
	if err := tx.in(ctx).Where("code = ?", l.Code).Find(&old).Error; err != nil {
		return nil, wrap(err, "find limit %s", l.Code)
	}
	if len(old) == 0 {
		return l, CreateLimit(ctx, tx, l, actor)
	}
	return &old[0], edit[Limit](ctx, tx, "limit "+l.Code, old[0].ID, old[0].Version, map[string]any{"capacity": capacity})
}
