package models

import (
	"context"

	"jambwright/scheduler/takeoff"
)

// OpeningEdit is what people set by hand of an opening, beside what its schedule says.
type OpeningEdit struct {
	ID, Version          int64
	SolidLeaf, GlassLeaf bool
	Conditions           List[takeoff.Condition]
}

// EditOpening sets what people say of an opening, based on the version they read.
func EditOpening(ctx context.Context, tx *Tx, e OpeningEdit, actor Actor) error {
	o, err := byID[Opening](ctx, tx, "opening", e.ID)
	if err != nil {
		return err
	}
	set := map[string]any{"solid_leaf": e.SolidLeaf, "glass_leaf": e.GlassLeaf, "conditions": e.Conditions}
	if err := edit[Opening](ctx, tx, "opening "+o.Mark, e.ID, e.Version, set); err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", subject{kind: "opening", id: o.ID, projectID: &o.ProjectID}, map[string]any{
		"mark": o.Mark, "solid_leaf": e.SolidLeaf, "glass_leaf": e.GlassLeaf, "conditions": e.Conditions,
	})
}
