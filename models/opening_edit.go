package models

import (
	"context"

	"jambwright/scheduler/takeoff"
)

// OpeningEdit is what people set by hand of an opening, beside what its schedule says.
type OpeningEdit struct {
	ID, Version int64
	GlassLeaves bool // not solid; says nothing where there are no leaves
	Conditions  List[takeoff.Condition]
}

// OpeningByID reads an opening's own row.
func OpeningByID(ctx context.Context, r Reader, id int64) (*Opening, error) {
	return byID[Opening](ctx, r, "opening", id)
}

// EditOpening sets what people say of an opening, based on the version they read.
func EditOpening(ctx context.Context, tx *Tx, e OpeningEdit, actor Actor) error {
	o, err := OpeningByID(ctx, tx, e.ID)
	if err != nil {
		return err
	}
	t := o.Takeoff()
	if t.HasLeaves() {
		t.SetGlassLeaves(e.GlassLeaves)
	}
	set := map[string]any{"solid_leaf": t.SolidLeaf, "glass_leaf": t.GlassLeaf, "conditions": e.Conditions}
	if err := edit[Opening](ctx, tx, "opening "+o.Mark, e.ID, e.Version, set); err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", subject{kind: "opening", id: o.ID, projectID: &o.ProjectID}, map[string]any{
		"mark": o.Mark, "solid_leaf": t.SolidLeaf, "glass_leaf": t.GlassLeaf, "conditions": e.Conditions,
	})
}
