package pattern_test

import (
	"time"

	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// The firm of the tests: one invented job on one site, with two levels and one opening of each type on the first.

const in = length.Inch

// at reads a local time of the test site: "2026-11-25 06:00".
func at(text string) time.Time {
	zone, err := time.LoadLocation("America/Chicago")
	if err != nil {
		panic(err)
	}
	t, err := time.ParseInLocation("2006-01-02 15:04", text, zone)
	if err != nil {
		panic(err)
	}
	return t.UTC()
}

func ptr[T any](v T) *T { return &v }

// weekdays is a calendar that works 07:00 to 15:30 with half an hour off, Monday to Friday: 480 minutes a day.
func weekdays(id string) problem.Calendar {
	day := []problem.Shift{{From: 7 * 60, To: 11 * 60}, {From: 11*60 + 30, To: 15*60 + 30}}
	return problem.Calendar{ID: id, Zone: "America/Chicago", Week: problem.Week{Mon: day, Tue: day, Wed: day, Thu: day, Fri: day}}
}

func glass() takeoff.Glass {
	return takeoff.Glass{Kind: takeoff.Monolithic, Thickness: 10 * length.Millimetre, Safety: true}
}

// geometry returns a usual opening of each type.
func geometry(t takeoff.Type) takeoff.Opening {
	switch t {
	case takeoff.SlidingFront:
		return takeoff.Opening{Type: t, Width: 84 * in, Height: 96 * in, Glass: glass(), GlassLeaf: true}
	case takeoff.HingedFront:
		return takeoff.Opening{Type: t, Width: 78 * in, Height: 96 * in, Glass: glass()}
	case takeoff.FixedLight:
		return takeoff.Opening{Type: t, Width: 48 * in, Height: 48 * in, SillHeight: 42 * in, Glass: glass()}
	case takeoff.DoorFrame:
		return takeoff.Opening{Type: t, Width: 36 * in, Height: 84 * in}
	case takeoff.Pair:
		return takeoff.Opening{Type: t, Width: 72 * in, Height: 84 * in}
	}
	return takeoff.Opening{Type: t, Width: 144 * in, Height: 96 * in, Lights: 3, ButtJoints: true, Glass: glass()}
}

// marks of the six openings, one of each type, in the order of takeoff.Types.
var marks = [...]string{"D-101", "D-102", "W-103", "D-104", "D-105", "S-106"}

// testFirm is a firm whose plan has no trouble in it.
func testFirm() pattern.Firm {
	all := []string{"survey", "frame", "glaze", "hang", "punch"}
	pr := pattern.Project{
		Code: "NC", Name: "North Court", Site: "north", Calendar: "site", Dock: "dock", Hoist: "hoist",
		Areas: []pattern.Area{
			{ID: "B", Name: "Building", Kind: pattern.Building, MaxCrews: ptr(4)},
			{ID: "L1", Parent: "B", Name: "Level 1", Kind: pattern.Level, WalkOrder: 1},
			{ID: "L2", Parent: "B", Name: "Level 2", Kind: pattern.Level, WalkOrder: 2, Hoisted: true},
			{ID: "L2-E", Parent: "L2", Name: "Level 2 east", Kind: pattern.Zone, SetupMinutes: ptr(15)},
		},
		Handovers: []pattern.Handover{
			{Area: "L1", Condition: pattern.WallsBoarded, Trade: "drywall", Promised: ptr(at("2026-11-20 07:00")), Actual: ptr(at("2026-11-20 07:00"))},
			{Area: "L1", Condition: pattern.CeilingClosed, Trade: "ceilings", Promised: ptr(at("2026-12-02 07:00"))},
			{Area: "L1", Condition: pattern.FloorFinished, Trade: "flooring", Promised: ptr(at("2026-12-01 07:00")), Forecast: ptr(at("2026-12-04 07:00"))},
			{Area: "B", Condition: pattern.PowerLive, Trade: "electrical", Promised: ptr(at("2026-12-10 07:00"))},
		},
		Suppliers: []pattern.Supplier{
			{ID: "bay", Name: "Bay Frames", Calendar: "shop", Lead: pattern.LeadTime{Least: 10, Likely: 15, Most: 20}},
			{ID: "ice", Name: "Ice Glass", Lead: pattern.LeadTime{Least: 14, Likely: 21, Most: 35}},
		},
		Releases: []pattern.Release{
			{ID: "R1", Supplier: "bay", Basis: pattern.FromSurvey},
			{ID: "R2", Supplier: "ice", Basis: pattern.AfterFraming},
		},
		GCDates: []pattern.GCDate{
			{ID: "L1-done", Area: "L1", Date: at("2027-02-26 15:30"), DamagesPerDay: ptr(500.0)},
			{ID: "framed", Kind: takeoff.Frame, Date: at("2027-01-29 15:30")},
		},
	}
	for i, t := range takeoff.Types() {
		o := pattern.Opening{
			Mark: marks[i], Area: "L1", WalkOrder: i + 1, Takeoff: geometry(t),
			Material: []pattern.Material{
				{Item: pattern.FrameKit, Release: "R1"}, {Item: pattern.Leaf, Release: "R1"}, {Item: pattern.Hardware, Release: "R1"},
			},
		}
		if t != takeoff.DoorFrame && t != takeoff.Pair {
			o.Material = append(o.Material, pattern.Material{Item: pattern.Glass, Release: "R2"})
		}
		pr.Openings = append(pr.Openings, o)
	}
	return pattern.Firm{
		Zone: "America/Chicago", DataDate: at("2026-11-25 06:00"),
		Calendars: []problem.Calendar{weekdays("site"), weekdays("shop"), weekdays("office")},
		Sites:     []problem.Site{{ID: "north"}},
		Crews: []problem.Crew{
			{ID: "birch", Skills: all, Heads: 3, Calendar: "site"},
			{ID: "alder", Skills: []string{"survey", "frame", "punch"}, Heads: 2, Calendar: "site"},
		},
		Limits:        []problem.Limit{{ID: "dock", Capacity: 1, Calendar: "site"}, {ID: "hoist", Capacity: 1}, {ID: "desk", Capacity: 1}},
		BuyerCalendar: "office", BuyerDesk: "desk",
		Projects: []pattern.Project{pr},
	}
}
