package takeoff

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"
)

func door(t *testing.T, typ Type) *Takeoff {
	t.Helper()
	o := Opening{Type: typ, Width: 36 * in, Height: 84 * in}
	if typ == Pair {
		o.Width = 72 * in
	}
	k, err := Of(o, Rules{})
	require.NoError(t, err)
	return k
}

// The Guild of Project Controls compendium, Fitout and Finishes, man-hours each: door fit, hang and lock, interior, single
// 5 and double 7; door frame and trim, interior, single 3 and double 4; caulking doors 0.005 a foot.
func TestDefaultRates_KeepTheHandbookNumbers(t *testing.T) {
	t.Parallel()
	rates := DefaultRates()
	for _, row := range []struct {
		typ         Type
		frame, hang float64
		caulkFeet   float64 // both faces of 3'-4" x 7'-2", of 6'-4" x 7'-2"
	}{
		{DoorFrame, 3, 5, 2 * (2*86 + 40) / 12.0},
		{Pair, 4, 7, 2 * (2*86 + 76) / 12.0},
	} {
		k := door(t, row.typ)
		assert.InDelta(t, row.hang, rates.Hours(Hang, k, 1).Hours, 1e-9, row.typ)
		assert.Equal(t, int(row.hang*60), rates.Hours(Hang, k, 1).Minutes, row.typ)
		assert.InDelta(t, row.frame+0.005*row.caulkFeet, rates.Hours(Frame, k, 1).Hours, 1e-9, row.typ)
	}
}

// Estimating in Building Construction, fig. 15.14: an aluminium entrance takes 4.0 to 6.0 labour hours, so twelve take 48 to
// 72; prefitted commercial metal doors 1.0 to 2.5. Our own rates for a hinged leaf must stay inside what is published.
func TestDefaultRates_StayInsidePublishedRanges(t *testing.T) {
	t.Parallel()
	o := Opening{Type: HingedFront, Width: 40 * in, Height: 84 * in}
	k, err := Of(o, Rules{})
	require.NoError(t, err)
	rates := DefaultRates()
	entrance := rates.Hours(Frame, k, 1).Hours + rates.Hours(Hang, k, 1).Hours
	assert.GreaterOrEqual(t, 12*entrance, 48.0)
	assert.LessOrEqual(t, 12*entrance, 72.0)
	hang := rates.Hours(Hang, k, 1).Hours
	assert.GreaterOrEqual(t, hang, 1.0)
	assert.LessOrEqual(t, hang, 6.0, "sources for hanging one door spread from 1 to 6 hours")
}

func TestDefaultRates_NameTheirSourcesAndPassTheirCheck(t *testing.T) {
	t.Parallel()
	rates := DefaultRates()
	require.NoError(t, rates.Check())
	for _, r := range rates.Rates {
		assert.NotEmpty(t, r.Source, r.name())
	}
	for _, f := range rates.Factors {
		assert.NotEmpty(t, f.Source, f.Condition)
	}
	for _, kind := range Kinds() {
		_, ok := rates.rate(kind, "", PerTask)
		assert.True(t, ok, "%s has a set-up", kind)
	}
}

// NAVEDTRA 14045, chapter 2: 16,000 sq ft of drywall at 33 man-hours a 1,000 sq ft are 66 man-days of 8 h; 70 with its
// delay factor. A crew of 12, availability 0.75 and shift efficiency 7.5/8, takes 70 / 12 / 0.75 / 0.9375 = 8.3, so 9 days.
func TestHours_FollowTheMilitaryDurationFormula(t *testing.T) {
	t.Parallel()
	rates := Rates{Rates: []Rate{{Kind: Deliver, Driver: PerPiece, Hours: 33}}}
	b := rates.SharedHours(Deliver, SharedBasis(0, 16))
	assert.InDelta(t, 66, b.Hours/8, 1e-9)
	minutes := problem.CrewMinutes(70*8*60, 12, 0.75*0.9375)
	assert.InDelta(t, 8.296, float64(minutes)/480, 0.003)
	assert.Equal(t, 9, int(math.Ceil(float64(minutes)/480)))
}

// Frames come knocked down, ten members to a bundle at most (common practice; ours to edit). A door frame has two jambs and a head,
// a bundle; 45 of them are 30 + 45 x 3 minutes, 2 3/4 hours at the dock. A run of six lights has two jambs, a head, five mullions and
// six pieces of base or channel below: more than ten members, two bundles.
func TestHours_FramesAreUnloadedByTheBundle(t *testing.T) {
	t.Parallel()
	rates := DefaultRates()
	door, err := Of(Opening{Type: DoorFrame, Width: 3 * length.Foot, Height: 7 * length.Foot}, Rules{})
	require.NoError(t, err)
	assert.Equal(t, 1, door.Bundles())
	assert.Equal(t, 165, rates.SharedHours(Deliver, SharedBasis(45, 45*door.Bundles())).Minutes)
	run, err := Of(Opening{Type: Storefront, Width: 24 * length.Foot, Height: 9 * length.Foot, Lights: 6}, Rules{})
	require.NoError(t, err)
	assert.Greater(t, run.Bundles(), 1)
	assert.Zero(t, (&Takeoff{}).Bundles())
}

// Twenty metal doors at 6 man-hours each (compendium: metal door, single), five of them with a panic device at 3 more, are
// 20 x 6 + 5 x 3 = 135 man-hours; two people at 8 h a day take 8.44 days.
func TestHours_AddUpOverOpenings(t *testing.T) {
	t.Parallel()
	rates := Rates{Rates: []Rate{
		{Kind: Hang, Driver: PerLeaf, Hours: 6},
		{Kind: Hang, Type: Pair, Driver: PerTask, Hours: 3}, // stands in for the device here
	}}
	plain := door(t, DoorFrame)
	device := *plain
	device.Type = Pair
	labour := 0
	for i := range 20 {
		k := plain
		if i < 5 {
			k = &device
		}
		labour += rates.Hours(Hang, k, 1).Minutes
	}
	assert.Equal(t, 135*60, labour)
	assert.InDelta(t, 8.44, float64(problem.CrewMinutes(labour, 2, 1))/480, 0.005)
}

// A sliding front worked by hand: 12'-0" x 9'-0", 57 screws of which 7 in concrete, one pane.
//
//	frame: set-up 0.5
//	       members 216 + 140.5 + 106.25 + 102.75 + 102.75 in = 668.25 in = 16.97355 m x 0.1 = 1.697355
//	       trim 720 in = 18.288 m x 0.03 = 0.54864
//	       57 screws x 0.02 = 1.14, 7 anchors x 0.08 = 0.56, 1 leaf x 4 = 4
//	       together 8.445995, head above 8'-0": x 1.15 = 9.712894 h = 582.8 min, so 583
//	glaze: 0.5 + 0.4 + 7.011145 m2 x 0.25 + 829 in = 21.0566 m x 0.03 = 3.284484, x 1.15 = 3.777157 h = 226.6, so 227
func TestHours_EqualTheHandCalculation(t *testing.T) {
	t.Parallel()
	k, err := Of(Opening{Type: SlidingFront, Width: 144 * in, Height: 108 * in, Glass: tempered()}, Rules{})
	require.NoError(t, err)
	rates := DefaultRates()
	frame := rates.Hours(Frame, k, 1)
	assert.InDelta(t, 8.445995, frame.Sum, 1e-6)
	assert.InDelta(t, 9.712894, frame.Hours, 1e-6)
	assert.Equal(t, 583, frame.Minutes)
	assert.Equal(t, []FactorLine{{Name: "ladder", Factor: 1.15, Source: ours}}, frame.Factors)
	glaze := rates.Hours(Glaze, k, 1)
	assert.InDelta(t, 3.284484, glaze.Sum, 1e-5)
	assert.Equal(t, 227, glaze.Minutes)
	sum := 0.0
	for _, line := range frame.Lines {
		sum += line.Hours
		assert.InDelta(t, line.Quantity*line.Rate, line.Hours, 1e-12)
	}
	assert.InDelta(t, frame.Sum, sum, 1e-12, "the lines add up")
	assert.Equal(t, PerTask, frame.Lines[0].Driver, "set-up first")
}

func TestHours_RoundUpToTheMinuteOnceAndNotForAHair(t *testing.T) {
	t.Parallel()
	k := door(t, DoorFrame)
	for _, row := range []struct {
		hours   float64
		minutes int
	}{{1.5, 90}, {0.1 + 0.2, 18}, {1.0 / 60, 1}, {1.01 / 60, 2}, {0, 0}} {
		rates := Rates{Rates: []Rate{{Kind: Hang, Driver: PerLeaf, Hours: row.hours}}}
		assert.Equal(t, row.minutes, rates.Hours(Hang, k, 1).Minutes, "%v h", row.hours)
	}
}

func TestHours_ARowOfTheTypeReplacesTheGeneralRow(t *testing.T) {
	t.Parallel()
	k := door(t, DoorFrame)
	rates := Rates{
		Rates: []Rate{
			{Kind: Hang, Type: DoorFrame, Driver: PerLeaf, Hours: 2},
			{Kind: Hang, Driver: PerLeaf, Hours: 3},
			{Kind: Hang, Type: Pair, Driver: PerLeaf, Hours: 9},
		},
		Factors: []Factor{{Condition: Occupied, Factor: 2}, {Condition: Occupied, Kind: Hang, Factor: 1.5}},
	}
	require.NoError(t, rates.Check())
	assert.InDelta(t, 2, rates.Hours(Hang, k, 1).Hours, 1e-12)
	k.Conditions = []Condition{Occupied, "a condition without a factor"}
	assert.InDelta(t, 3, rates.Hours(Hang, k, 1).Hours, 1e-12)
	k.Type = SlidingFront
	assert.InDelta(t, 4.5, rates.Hours(Hang, k, 1).Hours, 1e-12)
}

func TestHours_OnePiecesShareKeepsTheSetUpAndTheFactors(t *testing.T) {
	t.Parallel()
	b := Breakdown{
		Kind:    Glaze,
		Lines:   []HourLine{{Driver: PerTask, Quantity: 1, Rate: 0.5, Hours: 0.5}, {Driver: PerPane, Quantity: 4, Rate: 1, Hours: 4}},
		Factors: []FactorLine{{Name: "ladder", Factor: 2}},
	}
	share := b.Share(4)
	assert.InDelta(t, (0.5+1)*2, share.Hours, 1e-12)
	assert.Equal(t, 180, share.Minutes)
	assert.Equal(t, 4.0, b.Lines[1].Quantity, "the whole is left as it was")
	assert.InDelta(t, 9, b.Share(0).Hours, 1e-12)
}

func TestRates_CheckFindsEveryRowThatCannotBeUsed(t *testing.T) {
	t.Parallel()
	rates := Rates{
		Rates: []Rate{
			{Kind: Hang, Driver: "per mood", Hours: 1},
			{Kind: Hang, Driver: PerLeaf, Hours: -1},
			{Kind: Hang, Driver: PerPane, Hours: math.NaN()},
			{Kind: Hang, Driver: PerTask, Hours: 1},
			{Kind: Hang, Driver: PerTask, Hours: 2},
		},
		Factors:  []Factor{{Condition: Occupied, Factor: 0}, {Condition: Ladder, Factor: 1}, {Condition: Ladder, Factor: 1}},
		Learning: []Learning{{Kind: Hang, Rate: 1.2}},
	}
	err := rates.Check()
	require.Error(t, err)
	for _, part := range []string{`driver "per mood"`, "hang/all/leaf: -1 hours", "hang/all/pane: NaN", "hang/all/task is given twice", `condition "occupied"`, `"ladder" for kind "" is given twice`, "rate 1.2"} {
		assert.ErrorContains(t, err, part)
	}
}
