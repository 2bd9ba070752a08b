package takeoff

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
)

const (
	mm = length.Millimetre
	in = length.Inch
)

// Weights by thickness as published: pounds a square foot of a trade table, and pounds a square foot and kilograms a square
// metre of MIL-HDBK-1013/12, tables 29 and 30. A zero stands where a table has no row. Both tables multiply the inch
// fraction by a density of their own, so they lie up to 7 % off the nominal thickness in millimetres that glass is made to.
var publishedWeights = []struct {
	name       string
	thickness  length.Length
	nominal    length.Length
	tradePound float64
	milPound   float64
	milKilo    float64
}{
	{"1/8", in / 8, 3 * mm, 1.64, 1.6, 7.8},
	{"3/16", 3 * length.Sixteenth, 5 * mm, 2.45, 0, 0},
	{"1/4", in / 4, 6 * mm, 3.27, 3.1, 15.1},
	{"3/8", 6 * length.Sixteenth, 10 * mm, 4.91, 5.3, 25.9},
	{"1/2", in / 2, 12 * mm, 6.54, 6.6, 32.2},
	{"5/8", 10 * length.Sixteenth, 16 * mm, 0, 8.5, 41.5},
	{"3/4", 12 * length.Sixteenth, 19 * mm, 9.84, 10.1, 49.3},
	{"1", in, 25 * mm, 13.11, 0, 0},
}

func TestGlass_WeighsWhatPublishedTablesSay(t *testing.T) {
	t.Parallel()
	const within = 0.07
	for _, row := range publishedWeights {
		g := Glass{Thickness: row.thickness}
		assert.Equal(t, row.nominal, Nominal(row.thickness), row.name)
		kilos := g.KilogramsPerSquareMetre()
		pounds := Pounds(g.Weight(SquareFoot))
		if row.tradePound > 0 {
			assert.InEpsilon(t, row.tradePound, pounds, within, "%s in, trade table", row.name)
		}
		if row.milPound > 0 {
			assert.InEpsilon(t, row.milPound, pounds, within, "%s in, handbook, pounds", row.name)
			assert.InEpsilon(t, row.milKilo, kilos, within, "%s in, handbook, kilograms", row.name)
		}
	}
}

// EN 572-1: soda-lime glass has 2,500 kg/m3, so a square metre weighs 2.5 kg for each millimetre.
func TestGlass_WeighsByDensityExactly(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name  string
		glass Glass
		grams int64
	}{
		{"6 mm", Glass{Thickness: 6 * mm}, 15_000},
		{"10 mm", Glass{Thickness: 10 * mm}, 25_000},
		{"1/4 in is 6 mm glass", Glass{Thickness: in / 4}, 15_000},
		{"insulating: sum of its lites, the air weighs nothing", Glass{Kind: Insulating, Thickness: 6 * mm, AirSpace: 12 * mm}, 30_000},
		{"insulating of three", Glass{Kind: Insulating, Lites: 3, Thickness: 4 * mm}, 30_000},
		// Interlayer from memory: polyvinyl butyral, about 1.07 kg/m2 a mm; 0.76 mm weigh 813 g.
		{"laminated of two lites with its interlayer", Glass{Kind: Laminated, Lites: 2, Thickness: 6 * mm, Interlayer: 7600}, 30_813},
		{"laminated by its nominal thickness", Glass{Kind: Laminated, Thickness: 12 * mm, Interlayer: 7600}, 30_813},
		{"insulating by its overall thickness: 1 in is two of 1/4 and 1/2 of air", Glass{Kind: Insulating, Thickness: in}, 30_000},
		{"insulating by its overall thickness and air space", Glass{Kind: Insulating, Thickness: 24 * mm, AirSpace: 12 * mm}, 30_000},
		{"a thin unit is half glass", Glass{Kind: Insulating, Thickness: 16 * mm}, 20_000},
	} {
		require.NoError(t, row.glass.check(), row.name)
		assert.Equal(t, row.grams, row.glass.Weight(SquareMetre), row.name)
	}
}

// The trade table's worked panes: 36 x 84 in of 1/4 in, 21 sq ft, 68.7 lb; as a unit of two lites 137.3 lb; 48 x 96 of 3/8
// 157.1 lb; 40 x 108 of 1/2 196.2 lb. Ours differ as the table does.
func TestGlass_WeighsPanesAsTheTradeTableDoes(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		width, height length.Length
		glass         Glass
		squareFeet    float64
		pounds        float64
	}{
		{36 * in, 84 * in, Glass{Thickness: in / 4}, 21, 68.7},
		{36 * in, 84 * in, Glass{Kind: Insulating, Thickness: in / 4}, 21, 137.3},
		{48 * in, 96 * in, Glass{Thickness: 6 * length.Sixteenth}, 32, 157.1},
		{40 * in, 108 * in, Glass{Thickness: in / 2}, 30, 196.2},
	} {
		area := AreaOf(row.width, row.height)
		assert.Equal(t, row.squareFeet, area.SquareFeet())
		assert.InEpsilon(t, row.pounds, Pounds(row.glass.Weight(area)), 0.07)
	}
}

func TestGlass_RefusesMakeUpsThatCannotBe(t *testing.T) {
	t.Parallel()
	for name, g := range map[string]Glass{
		"negative thickness":        {Thickness: -6 * mm},
		"monolithic of two":         {Kind: Monolithic, Lites: 2, Thickness: 6 * mm},
		"laminated of one":          {Kind: Laminated, Lites: 1, Thickness: 6 * mm},
		"unknown kind":              {Kind: "paper", Thickness: 6 * mm},
		"negative interlayer":       {Kind: Laminated, Thickness: 6 * mm, Interlayer: -1},
		"all air":                   {Kind: Insulating, Thickness: 24 * mm, AirSpace: 24 * mm},
		"thick as a wall":           {Thickness: 200 * mm},
		"no thickness at all":       {},
		"more lites than there are": {Kind: Insulating, Lites: 11, Thickness: 6 * mm},
	} {
		assert.Error(t, g.check(), name)
	}
}

func TestOf_AssumesGlassWhenNoneIsStatedAndSaysSo(t *testing.T) {
	t.Parallel()
	o := Opening{Type: FixedLight, Width: 1000 * mm, Height: 1000 * mm}
	k, err := Of(o, Rules{})
	require.NoError(t, err)
	assert.True(t, k.GlassAssumed)
	assert.Equal(t, GlassUnknown, k.Hints[0].Code)
	// 10 mm by default: 25 kg/m2.
	assert.Equal(t, Glass{Thickness: 10 * mm}.Weight(k.Panes[0].Area), k.Heaviest)

	o.Glass = Glass{Kind: Laminated}
	k, err = Of(o, Rules{})
	require.NoError(t, err)
	assert.Equal(t, Glass{Kind: Laminated, Thickness: 10 * mm}.Weight(k.Panes[0].Area), k.Heaviest)

	o.Glass = Glass{Thickness: 6 * mm}
	k, err = Of(o, Rules{})
	require.NoError(t, err)
	assert.False(t, k.GlassAssumed)
}

// Setting blocks, common practice: 0.1 in of block for each square foot of glass, at least 4 in (trade page quoting the
// FGMA/GANA Glazing Manual). Worked there: 21 sq ft -> 4 in, 40 -> 4.0, 48 -> 4.8, 60 -> 6.0; ours round up to 1/16 in.
func TestBlockLength_FollowsTheGlazingManual(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ squareFeet, inches float64 }{{21, 4}, {40, 4}, {48, 4.8}, {60, 6}} {
		got := blockLength(Area(row.squareFeet) * SquareFoot)
		assert.GreaterOrEqual(t, got.FloatInches(), row.inches-1e-9)
		assert.Less(t, got.FloatInches(), row.inches+1.0/16)
		assert.True(t, got.IsWholeSixteenths())
	}
}
