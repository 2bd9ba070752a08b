package takeoff

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
)

// tape reads a length as a tape shows it.
func tape(t *testing.T, text string) length.Length {
	t.Helper()
	l, err := length.Parse(text, length.Inch)
	require.NoError(t, err)
	return l
}

// Drawings 36 x 96 in, measured 35 15/16 x 96 1/16. Faces of 1 3/4 in, a bite of 5/16 in (common practice), 10 mm of glass.
//
//	drawn:    36 - 3 1/2 + 5/8 = 33 1/8        96 - 3 1/2 + 5/8 = 93 1/8
//	measured: 35 15/16 - 3 1/2 + 5/8 = 33 1/16 96 1/16 - 3 1/2 + 5/8 = 93 3/16
//
// 33 1/16 x 93 3/16 is 3081.0117 sq in, 1.987746 m2 by 645.16 mm2 a square inch; at 25 kg/m2 (EN 572-1: 2,500 kg/m3) 49.694 kg
// or 109.56 lb, 3 people at 50 lb each. The gasket lies on both faces around 32 7/16 x 92 9/16: 2 x 2 x 125 = 500 in.
func TestMeasured_AFixedLightByHand(t *testing.T) {
	t.Parallel()
	drawn := Opening{Type: FixedLight, Width: 36 * length.Inch, Height: 96 * length.Inch, Glass: Glass{Thickness: 10 * length.Millimetre}}
	measured, ok := drawn.Measured(tape(t, "35 15/16"), tape(t, "96 1/16"), Rules{})
	require.True(t, ok)
	taken, err := Of(measured, Rules{})
	require.NoError(t, err)
	require.Len(t, taken.Panes, 1)
	pane := taken.Panes[0]
	assert.Equal(t, tape(t, "33 1/16"), pane.Width)
	assert.Equal(t, tape(t, "93 3/16"), pane.Height)
	assert.InDelta(t, 49694, pane.Grams, 1)
	assert.Equal(t, 3, pane.Hands)
	assert.Equal(t, 500*length.Inch, pane.Gasket)
	before, err := Of(drawn, Rules{})
	require.NoError(t, err)
	assert.Equal(t, tape(t, "33 1/8"), before.Panes[0].Width)
	assert.Equal(t, tape(t, "93 1/8"), before.Panes[0].Height)
	assert.Equal(t, 36*length.Inch, drawn.Width, "the drawings stay")
}

// What a field size differs by is taken up by fixed glass; each row says by hand what daylight is left.
func TestMeasured_GlassTakesUpTheDifference(t *testing.T) {
	t.Parallel()
	type bays []string
	for name, c := range map[string]struct {
		drawn         Opening
		width, height string
		widths        bays // daylight from left to right
		lower         string
		transom       string
	}{
		// 57 1/2 - 3 1/2 - 1 3/4 = 52 1/4: a sidelight of 18 leaves 34 1/4 for the leaf, which stays.
		"front with a stated sidelight": {
			Opening{Type: HingedFront, Width: tape(t, "57 1/2"), Height: tape(t, "108"), Sidelights: []Sidelight{{Side: Right, Width: tape(t, "18")}}},
			"57 7/16", "107 7/8",
			bays{"34 1/4", "17 15/16"},
			"106 1/8", "0",
		},
		// Unequal sidelights: the last one is cut to what is there; the transom takes the height and the leaf keeps its own.
		"front with unequal sidelights and a transom": {
			Opening{
				Type: SlidingFront, Width: tape(t, "120"), Height: tape(t, "120"), LeafWidth: tape(t, "40"), Transom: tape(t, "20"),
				Sidelights: []Sidelight{{Side: Left, Width: tape(t, "24")}, {Side: Right, Width: tape(t, "49")}},
			},
			"120 1/8", "119 15/16",
			bays{"24", "40", "49 1/8"},
			"96 1/2", "19 15/16",
		},
		// Sidelights that share what is left over share the difference: 72 - 3 1/2 - 3 1/2 - 36 = 29, of 72 1/8 29 1/8.
		"sidelights that share": {
			Opening{Type: HingedFront, Width: tape(t, "72"), Height: tape(t, "96"), Sidelights: []Sidelight{{Side: Left}, {Side: Right}}},
			"72 1/8", "96",
			bays{"14 9/16", "36", "14 9/16"},
			"94 1/4", "0",
		},
		// 3 lights of 40, the door's last: 120 + 4 members of 2 = 128.
		"storefront bay whose last light is the door's": {
			Opening{Type: Storefront, Width: tape(t, "128"), Height: tape(t, "100"), Leaves: 1, DoorLight: 3, LightWidths: []length.Length{tape(t, "40"), tape(t, "40"), tape(t, "40")}},
			"127 7/8", "100",
			bays{"40", "39 7/8", "40"},
			"98", "0",
		},
		// The width of a pair is the door opening's own.
		"pair": {
			Opening{Type: Pair, Width: tape(t, "72"), Height: tape(t, "84")}, "72 1/16", "84 1/8", bays{"72 1/16"}, "84 1/8", "0",
		},
		"pair whose leaves are stated": {
			Opening{Type: Pair, Width: tape(t, "72"), Height: tape(t, "84"), LeafWidth: tape(t, "36")}, "72 1/16", "84 1/8", bays{"72 1/16"}, "84 1/8", "0",
		},
		// As high as measured, and so as wide.
		"door and frame whose leaf is stated": {
			Opening{Type: DoorFrame, Width: tape(t, "36"), Height: tape(t, "84"), LeafWidth: tape(t, "36")}, "36 1/16", "83 15/16", bays{"36 1/16"}, "83 15/16", "0",
		},
		"nothing measured": {
			Opening{Type: Pair, Width: tape(t, "72"), Height: tape(t, "84")}, "0", "0", bays{"72"}, "84", "0",
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, ok := c.drawn.Measured(tape(t, c.width), tape(t, c.height), Rules{})
			require.True(t, ok)
			l, err := Lay(m, Rules{})
			require.NoError(t, err)
			var widths []length.Length
			for _, b := range l.Bays {
				widths = append(widths, b.Width)
			}
			var want []length.Length
			for _, w := range c.widths {
				want = append(want, tape(t, w))
			}
			assert.Equal(t, want, widths)
			assert.Equal(t, tape(t, c.lower), l.Lower)
			assert.Equal(t, tape(t, c.transom), l.Transom)
			assert.False(t, l.Assumed, "a survey leaves nothing to assume")
		})
	}
}

// A slip of the pen must not take the opening out of the plan: it is then as drawn.
func TestMeasured_WhatCannotBeBuiltIsAsDrawn(t *testing.T) {
	t.Parallel()
	drawn := Opening{
		Type: HingedFront, Width: tape(t, "72"), Height: tape(t, "96"), Transom: tape(t, "12"), Sidelights: []Sidelight{{Width: tape(t, "18")}},
	}
	for _, size := range [][2]string{{"6", "96"}, {"72", "9"}, {"52", "96"}, {"72", "84"}} {
		m, ok := drawn.Measured(tape(t, size[0]), tape(t, size[1]), Rules{})
		assert.False(t, ok, "%s x %s", size[0], size[1])
		assert.Equal(t, drawn, m)
	}
}
