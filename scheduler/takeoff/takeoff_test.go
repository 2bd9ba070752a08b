package takeoff

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
)

// inches turns a number of sixteenths' fineness into a length: 36.5 is 36 1/2 in.
func inches(n float64) length.Length { return length.Length(n*16) * length.Sixteenth }

func tempered() Glass { return Glass{Kind: Monolithic, Thickness: 10 * mm, Safety: true} }

// handCalculation is an opening worked out with pencil and paper; the working stands beside each case. Spacing (screws of
// channel and jambs at 18 in, head in two rows at 12 in, mullions at 12 in, an end screw always), bite of 5/16 in and two
// blocks a pane are common practice.
type handCalculation struct {
	name      string
	opening   Opening
	width     float64 // of the frame, inches
	height    float64
	lengths   map[Quantity]float64 // inches
	fasteners int
	anchors   int
	panes     [][2]float64 // glass size, inches
	leaves    [][2]float64
	hardware  int
}

var handCalculations = []handCalculation{
	{
		name:    "sliding front, one sidelight",
		opening: Opening{Type: SlidingFront, Width: 144 * in, Height: 108 * in, Glass: tempered()},
		width:   144, height: 108,
		// Faces 1 3/4. Head 144 - 3 1/2. Leaf 36, so the sidelight is 140 1/2 - 36 - 1 3/4 = 102 3/4.
		lengths: map[Quantity]float64{
			"jamb": 2 * 108, "head": 140.5, "mullion": 106.25, "channel": 102.75, "base": 102.75,
			"trim": 2 * (2*108 + 144), "rail": 2 * 36,
			GasketLine: 2 * (2*102.75 + 2*104.5),
		},
		// jambs 108/18 = 6, 7 each: 14; head 140.5/12 = 11.7, 13 a row: 26; channel 102.75/18 = 5.7: 7; mullion 106.25/12 = 8.9: 10
		fasteners: 14 + 26 + 7 + 10,
		anchors:   7, // the channel's, in the floor
		// daylight 102 3/4 x (108 - 1 3/4 - 1 3/4), and 5/8 of bite each way
		panes:    [][2]float64{{103.375, 105.125}},
		leaves:   [][2]float64{{36, 106.25}},
		hardware: 7, // 2 hangers, guide, 2 stops, pull, lock
	},
	{
		name: "hinged front, unequal sidelights, transom",
		opening: Opening{
			Type: HingedFront, Width: 144 * in, Height: 108 * in, Transom: 18 * in, Glass: tempered(),
			Sidelights: []Sidelight{{Side: Left, Width: 20 * in}, {Side: Right}},
		},
		width: 144, height: 108,
		// Right sidelight 140 1/2 - 20 - 36 - 2 x 1 3/4 = 81. Transom bar at 108 - 1 3/4 - 18 - 1 3/4 = 86 1/2.
		lengths: map[Quantity]float64{
			"jamb": 2 * 108, "head": 140.5, "mullion": 2 * 106.25, "transom bar": 20 + 36 + 81, "channel": 20 + 81, "base": 20 + 81,
			"trim":     2 * (2*108 + 144),
			GasketLine: 2 * ((2*20 + 2*84.75) + (2*81 + 2*84.75) + (2*20 + 2*18) + (2*36 + 2*18) + (2*81 + 2*18)),
		},
		// jambs 14; head 26; channel 20/18 = 1.1: 3, 81/18 = 4.5: 6; mullions 10 each: 20; bar 3 pieces x 2 ends x 2: 12
		fasteners: 14 + 26 + 3 + 6 + 20 + 12,
		anchors:   3 + 6,
		panes: [][2]float64{
			{20.625, 85.375},
			{81.625, 85.375},
			{20.625, 18.625},
			{36.625, 18.625},
			{81.625, 18.625},
		},
		leaves:   [][2]float64{{36, 86.5}},
		hardware: 6, // 3 hinges, closer, stop, lock
	},
	{
		name:    "fixed light off the floor",
		opening: Opening{Type: FixedLight, Width: 72 * in, Height: 48 * in, SillHeight: 42 * in, Glass: tempered()},
		width:   72, height: 48,
		lengths: map[Quantity]float64{
			"jamb": 2 * 48, "head": 68.5, "channel": 68.5, "base": 68.5,
			"trim":     2 * (2*48 + 2*72), // at the sill as well
			GasketLine: 2 * (2*68.5 + 2*44.5),
		},
		// jambs 48/18 = 2.7: 4 each; head 68.5/12 = 5.7: 7 a row; channel 68.5/18 = 3.8: 5
		fasteners: 8 + 14 + 5,
		anchors:   0, // the sill stands on studs
		panes:     [][2]float64{{69.125, 45.125}},
	},
	{
		name:    "door and frame, 3070",
		opening: Opening{Type: DoorFrame, Width: 36 * in, Height: 84 * in},
		// 2-in faces around the door opening: 3'-4" x 7'-2"
		width: 40, height: 86,
		lengths: map[Quantity]float64{"jamb": 2 * 86, "head": 36, CaulkLine: 2 * (2*86 + 40)},
		// jambs 86/18 = 4.8: 6 each; head 36/12 = 3: 4 a row
		fasteners: 12 + 8,
		leaves:    [][2]float64{{36, 84}},
		hardware:  6,
	},
	{
		name: "door and frame with sidelight and transom, concrete jambs",
		opening: Opening{
			Type: DoorFrame, Width: 36 * in, Height: 84 * in, Transom: 12 * in, Jambs: Concrete, Glass: tempered(),
			Sidelights: []Sidelight{{Side: Right, Width: 18 * in}},
		},
		width: 2 + 36 + 2 + 18 + 2, height: 84 + 2 + 12 + 2,
		lengths: map[Quantity]float64{
			"jamb": 2 * 100, "head": 56, "mullion": 98, "transom bar": 36 + 18, "channel": 18, "base": 18, CaulkLine: 2 * (2*100 + 60),
			GasketLine: 2 * ((2*18 + 2*82) + (2*36 + 2*12) + (2*18 + 2*12)),
		},
		// jambs 100/18 = 5.6: 7 each; head 56/12 = 4.7: 6 a row; channel 18/18 = 1: 2; mullion 98/12 = 8.2: 10; bar 2 pieces: 8
		fasteners: 14 + 12 + 2 + 10 + 8,
		anchors:   14 + 2,
		panes:     [][2]float64{{18.625, 82.625}, {36.625, 12.625}, {18.625, 12.625}},
		leaves:    [][2]float64{{36, 84}},
		hardware:  6,
	},
	{
		name:    "pair, 6070",
		opening: Opening{Type: Pair, Width: 72 * in, Height: 84 * in},
		width:   76, height: 86,
		lengths: map[Quantity]float64{"jamb": 2 * 86, "head": 72, CaulkLine: 2 * (2*86 + 76)},
		// jambs 6 each; head 72/12 = 6: 7 a row
		fasteners: 12 + 14,
		leaves:    [][2]float64{{36, 84}, {36, 84}},
		hardware:  2*6 + 1, // the second leaf has two flush bolts for its lock
	},
	{
		name:    "storefront of five lights, butt-jointed, a pair of leaves in the middle",
		opening: Opening{Type: Storefront, Width: 240 * in, Height: 108 * in, Lights: 5, ButtJoints: true, Leaves: 2, DoorLight: 3, Glass: tempered()},
		width:   240, height: 108,
		// 2-in faces. Lights (236 - 2 x 2 - 72) / 4 = 40, two and two meeting at a butt joint.
		lengths: map[Quantity]float64{
			"jamb": 2 * 108, "head": 236, "mullion": 2 * 106, "channel": 2 * 80, "base": 2 * 80,
			GasketLine:  4 * 2 * (2*40 + 104), // one upright edge of each pane is in no frame
			SealantLine: 2 * 104,
			CaulkLine:   2 * (2*108 + 240),
		},
		// jambs 14; head 236/12 = 19.7: 21 a row; channels 80/18 = 4.4: 6 each; mullions 106/12 = 8.8: 10 each
		fasteners: 14 + 42 + 12 + 20,
		anchors:   12,
		panes:     [][2]float64{{40.3125, 104.625}, {40.3125, 104.625}, {40.3125, 104.625}, {40.3125, 104.625}},
		leaves:    [][2]float64{{36, 106}, {36, 106}},
		hardware:  2*(4+3) + 1, // 106/30: 4 hinges a leaf
	},
}

func TestOf_EqualsTheHandCalculationToTheLastFastener(t *testing.T) {
	t.Parallel()
	for _, c := range handCalculations {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			k, err := Of(c.opening, Rules{})
			require.NoError(t, err)
			assert.Equal(t, [2]length.Length{inches(c.width), inches(c.height)}, [2]length.Length{k.Layout.Width, k.Layout.Height})
			for _, line := range k.Lines {
				if line.Measure == ByLength && line.Quantity != WidthLine && line.Quantity != HeightLine {
					want, listed := c.lengths[line.Quantity]
					assert.True(t, listed, "%s was not worked out by hand", line.Quantity)
					assert.Equal(t, inches(want), line.Length, "%s: %s", line.Quantity, line.Working)
				}
			}
			for q := range c.lengths {
				assert.Equal(t, q, k.line(q).Quantity)
			}
			assert.Equal(t, c.fasteners, k.Fasteners, "%s", k.line(FastenersLine).Working)
			assert.Equal(t, c.anchors, k.Anchors)
			assert.Equal(t, c.hardware, k.Hardware)
			assert.Equal(t, len(c.panes)*2, k.line(BlocksLine).Count, "two blocks a pane")
			require.Len(t, k.Panes, len(c.panes))
			for i, p := range k.Panes {
				assert.Equal(t, [2]length.Length{inches(c.panes[i][0]), inches(c.panes[i][1])}, [2]length.Length{p.Width, p.Height}, "pane %d", i+1)
			}
			require.Len(t, k.Leaves, len(c.leaves))
			for i, l := range k.Leaves {
				assert.Equal(t, [2]length.Length{inches(c.leaves[i][0]), inches(c.leaves[i][1])}, [2]length.Length{l.Place.Width, l.Place.Height}, "leaf %d", i+1)
			}
		})
	}
}

// The frame of a 3070 with 2-in faces is 3'-4" x 7'-2" outside: W + 4 in, H + 2 in (Steel Door Institute practice, from
// memory). The pane of a 36 x 84 daylight with 3/8 of bite is 36 3/4 x 84 3/4 (worked after the glazing manual's rule).
func TestOf_AgreesWithTradeArithmetic(t *testing.T) {
	t.Parallel()
	l, err := Lay(Opening{Type: DoorFrame, Width: 3 * length.Foot, Height: 7 * length.Foot}, Rules{})
	require.NoError(t, err)
	assert.Equal(t, `3'-4"`, l.Width.FeetInches())
	assert.Equal(t, `7'-2"`, l.Height.FeetInches())

	p := pane(Rect{Width: 36 * in, Height: 84 * in}, 2, tempered(), Rules{Bite: 6 * length.Sixteenth}.WithDefaults())
	assert.Equal(t, inches(36.75), p.Width)
	assert.Equal(t, inches(84.75), p.Height)
}

func TestOf_ShowsTheCalculationInTheReadersUnits(t *testing.T) {
	t.Parallel()
	k, err := Of(Opening{Type: DoorFrame, Width: 36 * in, Height: 84 * in}, Rules{})
	require.NoError(t, err)
	w := k.line(FastenersLine).Working
	assert.Equal(t, `2 jambs x (7'-2" / 1'-6" rounded up = 5, + 1) = 12; 1 head x 2 rows x (3'-0" / 1'-0" rounded up = 3, + 1) = 8; together 20`, w.String())
	assert.Equal(t, `2 jambs x (2184.4 mm / 457.2 mm rounded up = 5, + 1) = 12; 1 head x 2 rows x (914.4 mm / 304.8 mm rounded up = 3, + 1) = 8; together 20`,
		w.Text(InMillimetres()))
}

func TestOf_GlassLeavesArriveGlazedAndCountForHanging(t *testing.T) {
	t.Parallel()
	o := Opening{Type: SlidingFront, Width: 84 * in, Height: 96 * in, Glass: tempered()}
	k, err := Of(o, Rules{})
	require.NoError(t, err)
	require.Len(t, k.Panes, 1, "the sidelight")
	leaf := k.Leaves[0].Glass
	require.NotNil(t, leaf)
	// leaf 36 x 94 1/4, stiles 2 each, rails 10 and 2: daylight 32 x 82 1/4, glass 5/8 more each way
	assert.Equal(t, inches(32.625), leaf.Width)
	assert.Equal(t, inches(82.875), leaf.Height)
	assert.Equal(t, leaf.Grams, k.HangGrams)
	assert.Equal(t, leaf.Hands, k.HangHands)
	// 32.625 x 82.875 in = 1.744 m2 of 25 kg: 43.6 kg, 96 lb: two people at 50 lb
	assert.Equal(t, 2, leaf.Hands)

	o.SolidLeaf = true
	k, err = Of(o, Rules{})
	require.NoError(t, err)
	assert.Nil(t, k.Leaves[0].Glass)
	assert.Zero(t, k.HangGrams)

	door := Opening{Type: DoorFrame, Width: 36 * in, Height: 84 * in}
	k, err = Of(door, Rules{})
	require.NoError(t, err)
	assert.Nil(t, k.Leaves[0].Glass, "a door's leaf is of glass only when that is said")
	door.GlassLeaf = true
	k, err = Of(door, Rules{})
	require.NoError(t, err)
	assert.NotNil(t, k.Leaves[0].Glass)
}

func TestOf_AFrontNarrowerThanLeafAndLightHasNoSidelight(t *testing.T) {
	t.Parallel()
	k, err := Of(Opening{Type: HingedFront, Width: 40 * in, Height: 84 * in}, Rules{})
	require.NoError(t, err)
	require.Len(t, k.Layout.Bays, 1)
	assert.Equal(t, inches(36.5), k.Layout.Bays[0].Width, "the leaf takes the frame")
	assert.Empty(t, k.Panes)
}

func TestOf_AddsTheLadderWhenTheHeadIsOutOfReach(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name    string
		opening Opening
		want    []Condition
	}{
		{"at the limit", Opening{Type: FixedLight, Width: 48 * in, Height: 96 * in, Glass: tempered()}, nil},
		{"over it", Opening{Type: FixedLight, Width: 48 * in, Height: inches(96.0625), Glass: tempered()}, []Condition{Ladder}},
		{"a sill lifts it", Opening{Type: FixedLight, Width: 48 * in, Height: 48 * in, SillHeight: 60 * in, Glass: tempered()}, []Condition{Ladder}},
		{"a lift replaces it", Opening{Type: FixedLight, Width: 48 * in, Height: 120 * in, Glass: tempered(), Conditions: []Condition{Lift}}, []Condition{Lift}},
	} {
		k, err := Of(row.opening, Rules{})
		require.NoError(t, err, row.name)
		assert.Equal(t, row.want, k.Conditions, row.name)
	}
}

func TestOf_ReportsEveryFaultAtOnce(t *testing.T) {
	t.Parallel()
	_, err := Of(Opening{Type: SlidingFront, Width: 0, Height: 96 * in, Lights: 3, Sidelights: []Sidelight{{Side: "middle"}, {Width: -1}}}, Rules{})
	require.Error(t, err)
	for _, part := range []string{"width and height must be above zero", "has sidelights, not lights", `side "middle"`, "sidelight 2 has the width"} {
		assert.ErrorContains(t, err, part)
	}
}

func TestOf_RefusesWhatCannotBeBuilt(t *testing.T) {
	t.Parallel()
	for name, o := range map[string]Opening{
		"no type":                          {Width: 36 * in, Height: 84 * in},
		"a light with a leaf":              {Type: FixedLight, Width: 36 * in, Height: 84 * in, Leaves: 1},
		"a sidelight of less than nothing": {Type: DoorFrame, Width: 36 * in, Height: 84 * in, Sidelights: []Sidelight{{Width: -1}}},
		"widths that overrun the frame":    {Type: FixedLight, Width: 100 * in, Height: 84 * in, LightWidths: []length.Length{95 * in, 20 * in}},
		"lights too narrow to share":       {Type: Storefront, Width: 40 * in, Height: 84 * in, Lights: 10},
		"transom as high as the frame":     {Type: HingedFront, Width: 100 * in, Height: 84 * in, Transom: 84 * in},
		"leaves in a light that is not":    {Type: Storefront, Width: 200 * in, Height: 84 * in, Lights: 3, Leaves: 1, DoorLight: 4},
		"more lights than widths":          {Type: Storefront, Width: 200 * in, Height: 84 * in, Lights: 3, LightWidths: []length.Length{20 * in}},
		"negative leaves":                  {Type: Storefront, Width: 200 * in, Height: 84 * in, Leaves: -1},
		"wider than any building":          {Type: Storefront, Width: 101 * length.Metre, Height: 84 * in},
		"lights without end":               {Type: Storefront, Width: 100 * length.Metre, Height: 84 * in, Lights: 1_000_000},
	} {
		_, err := Of(o, Rules{})
		assert.Error(t, err, name)
	}
}

func TestRules_CheckFindsEveryRuleBelowZero(t *testing.T) {
	t.Parallel()
	require.NoError(t, Rules{}.Check())
	require.NoError(t, DefaultRules().Check())
	bad := Rules{
		ScrewSpacing: -1, HeadRows: -2, Lifting: Lifting{LimitGrams: -3, GearHands: -1},
		Profiles: []Profile{{Type: Pair, Jamb: -1}, {Type: DoorFrame, CaulkFaces: -1}},
	}
	_, err := Of(Opening{Type: Pair, Width: 72 * in, Height: 84 * in}, bad)
	for _, part := range []string{"screw spacing is -1", "head rows is -2", "lift limit is -3", "gear hands", "face of pair", "trim of door_frame"} {
		assert.ErrorContains(t, err, part)
	}
}

// Leaves of doors are solid unless said, those of fronts glass (common practice). What is usual is not said at all, so that an opening
// set by hand equals one that its sheet says nothing of.
func TestSetGlassLeaves_SaysNothingOfWhatIsUsual(t *testing.T) {
	t.Parallel()
	for kind, usualIsGlass := range map[Type]bool{
		DoorFrame: false, Pair: false, SlidingFront: true, HingedFront: true, Storefront: true,
	} {
		o := Opening{Type: kind}
		for _, glass := range []bool{true, false, true} {
			o.SetGlassLeaves(glass)
			assert.Equal(t, glass, o.HasGlassLeaves(), "%s", kind)
			assert.Equal(t, glass == usualIsGlass, !o.GlassLeaf && !o.SolidLeaf, "%s", kind)
		}
	}
	lights, storefront := Opening{Type: FixedLight}, Opening{Type: Storefront}
	assert.False(t, lights.HasLeaves())
	assert.False(t, storefront.HasLeaves())
	storefront.Leaves = 2
	assert.True(t, storefront.HasLeaves())
}
