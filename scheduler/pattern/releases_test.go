package pattern

import (
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
)

func TestProposeReleases_GroupsByLevelItemsSupplierAndBasis(t *testing.T) {
	t.Parallel()
	areas := []Area{
		{ID: "L1", Kind: Level},
		{ID: "L2", Kind: Level},
		{ID: "L2-E", Parent: "L2", Kind: Zone},
		{ID: "L2-W", Parent: "L2", Kind: Zone},
	}
	front := takeoff.Opening{
		Type: takeoff.HingedFront, Width: 5 * length.Foot, Height: 8 * length.Foot,
		Sidelights: []takeoff.Sidelight{{Side: takeoff.Left}},
		Glass:      takeoff.Glass{Kind: takeoff.Monolithic, Thickness: 10 * length.Millimetre},
	}
	light := front
	light.Type, light.Sidelights = takeoff.FixedLight, nil
	openings := []Opening{
		{Mark: "201", Area: "L2-E", Takeoff: front},
		{Mark: "202", Area: "L2-W", Takeoff: light},
		{Mark: "101", Area: "L1", Takeoff: light},
	}
	p := ProposeReleases(areas, openings, []Supply{
		{Supplier: "pellam", Items: []Item{FrameKit}},
		{Supplier: "ninefold", Items: []Item{Glass}, Basis: AfterFraming},
		{Supplier: "dorrow", Items: []Item{Leaf, Hardware}},
		{Supplier: "late to the list", Items: []Item{Glass}},
	}, nil)
	require.Empty(t, p.Faults)
	require.Equal(t, []Release{
		{ID: "L1-frames", Supplier: "pellam", Basis: FromSurvey},
		{ID: "L1-glass", Supplier: "ninefold", Basis: AfterFraming},
		{ID: "L2-frames", Supplier: "pellam", Basis: FromSurvey},
		{ID: "L2-glass", Supplier: "ninefold", Basis: AfterFraming},
		{ID: "L2-leaves+hardware", Supplier: "dorrow", Basis: FromDrawings},
	}, p.Releases)
	require.Equal(t, []Material{
		{Item: FrameKit, Release: "L2-frames"},
		{Item: Glass, Release: "L2-glass"},
		{Item: Leaf, Release: "L2-leaves+hardware"},
		{Item: Hardware, Release: "L2-leaves+hardware"},
	}, p.Material["201"])
	require.Equal(t, []Material{{Item: FrameKit, Release: "L2-frames"}, {Item: Glass, Release: "L2-glass"}},
		p.Material["202"], "a light has no leaf")
}

func TestProposeReleases_SaysOnceWhichItemNobodyFurnishes(t *testing.T) {
	t.Parallel()
	door := takeoff.Opening{Type: takeoff.DoorFrame, Width: 3 * length.Foot, Height: 7 * length.Foot}
	p := ProposeReleases([]Area{{ID: "L1", Kind: Level}},
		[]Opening{{Mark: "1", Area: "L1", Takeoff: door}, {Mark: "2", Area: "L1", Takeoff: door}},
		[]Supply{{Supplier: "pellam", Items: []Item{FrameKit}}}, map[string]string{"2": "R7"})
	require.Equal(t, "R7-frames", p.Material["2"][0].Release, "the schedule's own release rules")
	require.Equal(t, []string{`no supplier furnishes the item "leaf"`, `no supplier furnishes the item "hardware"`}, p.Faults)
}
