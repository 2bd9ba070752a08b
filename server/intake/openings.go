// Package intake stores what package importing reads, and reads it back for comparison: the Store that importing asks for,
// on the rows of package models.
//
// Reading back gives the same values as were stored, so that the same sheet read twice changes nothing.
package intake

import (
	"slices"
	"strings"

	"jambwright/models"
	"jambwright/scheduler/takeoff"
	"jambwright/server/importing"
)

// openingInput is a schedule's row as models stores it.
func openingInput(r importing.OpeningRow) models.OpeningInput {
	row := models.Opening{
		Mark: r.Mark, Room: r.Room, OpeningType: r.Type, Width: r.Width, Height: r.Height,
		Leaves: r.Leaves, LeafWidth: r.LeafWidth, LeafHeight: r.LeafHeight, LeafThickness: r.Thickness,
		Lights: r.Lights, Transom: r.Transom, ButtJoints: r.ButtJoints, Handing: r.Handing, GlassKind: r.GlassKind, GlassThickness: r.GlassThickness, GlassText: r.Glass,
		FireMinutes: r.FireMinutes, FireRating: r.FireRating, HardwareSet: r.HardwareSet, ReleaseName: r.Release, SupplierName: r.Supplier,
		Finish: r.Finish, Note: r.Notes, GlassSafety: isSafetyGlass(r.Glass),
		SolidLeaf: r.Leaf == importing.SolidLeaf, GlassLeaf: r.Leaf == importing.GlassLeaf,
	}
	for _, s := range r.Sidelights {
		row.Sidelights = append(row.Sidelights, models.Sidelight{Side: s.Side, Width: s.Width})
	}
	return models.OpeningInput{Row: row, Area: models.AreaName{Level: r.Level, Zone: r.Area}}
}

// isSafetyGlass reports whether a schedule's own words call the glass tempered, laminated or safety glass.
func isSafetyGlass(words string) bool {
	words = strings.ToLower(words)
	return slices.ContainsFunc([]string{"temper", "lamin", "safety"}, func(w string) bool { return strings.Contains(words, w) })
}

// openingRow is a stored opening as a schedule would give it. around maps an area's id to the names of its level and zone.
func openingRow(o *models.Opening, around map[int64]models.AreaName) importing.OpeningRow {
	name := around[o.AreaID]
	r := importing.OpeningRow{
		Mark: o.Mark, Type: o.OpeningType, Level: name.Level, Area: name.Zone, Room: o.Room, Width: o.Width, Height: o.Height,
		Thickness: o.LeafThickness, Leaves: o.Leaves, LeafWidth: o.LeafWidth, LeafHeight: o.LeafHeight, Lights: o.Lights,
		Transom: o.Transom, ButtJoints: o.ButtJoints,
		Handing: o.Handing, GlassKind: o.GlassKind, GlassThickness: o.GlassThickness, Glass: o.GlassText,
		FireMinutes: o.FireMinutes, FireRating: o.FireRating, HardwareSet: o.HardwareSet, Release: o.ReleaseName, Supplier: o.SupplierName,
		Finish: o.Finish, Notes: o.Note, Quantity: 1,
	}
	switch {
	case o.SolidLeaf:
		r.Leaf = importing.SolidLeaf
	case o.GlassLeaf:
		r.Leaf = importing.GlassLeaf
	}
	for _, s := range o.Sidelights {
		r.Sidelights = append(r.Sidelights, importing.Sidelight{Side: s.Side, Width: s.Width})
	}
	return r
}

// Geometry is the geometry that a schedule's row gives.
func Geometry(r importing.OpeningRow) takeoff.Opening {
	input := openingInput(r)
	return input.Row.Takeoff()
}
