package importing

import (
	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// openingFields are compared in the order in which the preview shows them. What another trade or we ourselves may have
// built to already is weighty; names, notes and finishes are not.
var openingFields = []field[OpeningRow]{
	shown("type", true, func(o *OpeningRow) *takeoff.Type { return &o.Type }, func(t takeoff.Type) string { return string(t) }, fType, fDescription),
	words("level", true, func(o *OpeningRow) *string { return &o.Level }),
	words("area", true, func(o *OpeningRow) *string { return &o.Area }),
	words("room", false, func(o *OpeningRow) *string { return &o.Room }),
	shown("width", true, func(o *OpeningRow) *length.Length { return &o.Width }, showLength),
	shown("height", true, func(o *OpeningRow) *length.Length { return &o.Height }, showLength),
	shown("thickness", false, func(o *OpeningRow) *length.Length { return &o.Thickness }, showLength, fThickness, fSize),
	shown("leaves", true, func(o *OpeningRow) *int { return &o.Leaves }, showInt, fLeaves, fType),
	shown("leaf width", true, func(o *OpeningRow) *length.Length { return &o.LeafWidth }, showLength, fLeafWidth, fDoorWidth, fWidth, fSize),
	shown("leaf height", true, func(o *OpeningRow) *length.Length { return &o.LeafHeight }, showLength, fLeafHeight, fDoorHeight, fHeight, fSize),
	shown("leaf", true, func(o *OpeningRow) *LeafMake { return &o.Leaf }, func(m LeafMake) string { return string(m) }, fLeaf, fMaterial),
	shown("sidelights", true, func(o *OpeningRow) *[]Sidelight { return &o.Sidelights }, showSidelights, fSidelight, fType, fSize),
	shown("lights", true, func(o *OpeningRow) *int { return &o.Lights }, showInt, fLights, fType),
	shown("transom", true, func(o *OpeningRow) *length.Length { return &o.Transom }, showLength),
	shown("butt joints", true, func(o *OpeningRow) *bool { return &o.ButtJoints }, showYes),
	words("handing", true, func(o *OpeningRow) *string { return &o.Handing }),
	words("glass", true, func(o *OpeningRow) *string { return &o.Glass }),
	shown("glass kind", true, func(o *OpeningRow) *takeoff.GlassKind { return &o.GlassKind }, func(k takeoff.GlassKind) string { return string(k) }, fGlass),
	shown("glass thickness", true, func(o *OpeningRow) *length.Length { return &o.GlassThickness }, showLength, fGlassThick, fGlass),
	words("fire rating", true, func(o *OpeningRow) *string { return &o.FireRating }),
	shown("fire minutes", true, func(o *OpeningRow) *int { return &o.FireMinutes }, showInt, fFire),
	words("hardware set", true, func(o *OpeningRow) *string { return &o.HardwareSet }),
	words("release", true, func(o *OpeningRow) *string { return &o.Release }),
	words("supplier", true, func(o *OpeningRow) *string { return &o.Supplier }),
	words("finish", false, func(o *OpeningRow) *string { return &o.Finish }),
	words("notes", false, func(o *OpeningRow) *string { return &o.Notes }),
}

var crewFields = []field[CrewRow]{
	words("name", false, func(c *CrewRow) *string { return &c.Name }),
	words("foreman", false, func(c *CrewRow) *string { return &c.Foreman }),
	shown("heads", true, func(c *CrewRow) *int { return &c.Heads }, showInt),
	shown("skills", true, func(c *CrewRow) *[]takeoff.Kind { return &c.Skills }, showKinds),
	words("home site", true, func(c *CrewRow) *string { return &c.HomeSite }),
	shown("sites", true, func(c *CrewRow) *[]string { return &c.Sites }, showList),
	words("calendar", true, func(c *CrewRow) *string { return &c.Calendar }),
	shown("shift", true, func(c *CrewRow) *Shift { return &c.Shift }, Shift.String, fShift, fStart),
	shown("cost per hour", false, func(c *CrewRow) **float64 { return &c.CostPerHour }, showNumber),
	shown("productivity", true, func(c *CrewRow) **float64 { return &c.Productivity }, showFactor),
	shown("away", true, func(c *CrewRow) *[]Away { return &c.Away }, showAway, fAway, fAwayFrom),
	words("notes", false, func(c *CrewRow) *string { return &c.Notes }),
}

// A promise is not taken back by silence, so neither is what goes with it.
var handoverFields = []field[HandoverRow]{
	words("level", false, func(h *HandoverRow) *string { return &h.Level }),
	words("area", false, func(h *HandoverRow) *string { return &h.Area }),
	words("room", false, func(h *HandoverRow) *string { return &h.Room }),
	words("condition", false, func(h *HandoverRow) *string { return &h.Condition }),
	quietly(words("trade", false, func(h *HandoverRow) *string { return &h.Trade })),
	quietly(shown("promised", false, func(h *HandoverRow) **problem.Date { return &h.Promised }, showDate)),
	quietly(shown("forecast", false, func(h *HandoverRow) **problem.Date { return &h.Forecast }, showDate)),
	quietly(shown("actual", false, func(h *HandoverRow) **problem.Date { return &h.Actual }, showDate)),
	quietly(words("notes", false, func(h *HandoverRow) *string { return &h.Notes })),
}

var supplierFields = []field[SupplierRow]{
	words("name", false, func(s *SupplierRow) *string { return &s.Name }),
	shown("items", false, func(s *SupplierRow) *[]string { return &s.Items }, showList),
	shown("lead time", false, func(s *SupplierRow) *LeadTime { return &s.Lead }, LeadTime.String, fLeast, fLikely, fMost),
	words("order basis", false, func(s *SupplierRow) *string { return &s.OrderBasis }),
	words("calendar", false, func(s *SupplierRow) *string { return &s.Calendar }),
	words("contact", false, func(s *SupplierRow) *string { return &s.Contact }),
	words("notes", false, func(s *SupplierRow) *string { return &s.Notes }),
}

var gcDateFields = []field[GCDateRow]{
	words("name", false, func(g *GCDateRow) *string { return &g.Name }),
	words("level", false, func(g *GCDateRow) *string { return &g.Level }),
	words("area", false, func(g *GCDateRow) *string { return &g.Area }),
	shown("work", false, func(g *GCDateRow) *takeoff.Kind { return &g.Work }, func(k takeoff.Kind) string { return string(k) }),
	shown("date", false, func(g *GCDateRow) *problem.Date { return &g.Date }, problem.Date.String),
	shown("damages per day", false, func(g *GCDateRow) **float64 { return &g.DamagesPerDay }, showNumber),
	words("notes", false, func(g *GCDateRow) *string { return &g.Notes }),
}
