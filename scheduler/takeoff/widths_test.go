package takeoff

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
)

// What sheets give of widths, and the bays that follow; widths in inches. Faces of fronts are 1 3/4 in, of doors 2 in.
func TestLay_SettlesTheWidthsThatSchedulesGive(t *testing.T) {
	t.Parallel()
	left := func(w float64) Sidelight { return Sidelight{Side: Left, Width: inches(w)} }
	right := func(w float64) Sidelight { return Sidelight{Side: Right, Width: inches(w)} }
	for _, row := range []struct {
		name    string
		opening Opening
		outside float64
		bays    []float64
		assumed bool
	}{
		{"door, its own width", Opening{Type: DoorFrame, Width: inches(36)}, 40, []float64{36}, false},
		{"door with sidelight, leaf stated, width of both without mullion", Opening{Type: DoorFrame, Width: inches(54), LeafWidth: inches(36), Sidelights: []Sidelight{right(18)}}, 60, []float64{36, 18}, false},
		{"door with sidelight, the width is the door's", Opening{Type: DoorFrame, Width: inches(36), Sidelights: []Sidelight{left(18)}}, 60, []float64{18, 36}, false},
		{"door with sidelight, no leaf is so wide: the whole's", Opening{Type: DoorFrame, Width: inches(60), Sidelights: []Sidelight{right(18)}}, 60, []float64{36, 18}, true},
		{"door with a sidelight of no width: what the whole leaves", Opening{Type: DoorFrame, Width: inches(60), LeafWidth: inches(36), Sidelights: []Sidelight{right(0)}}, 60, []float64{36, 18}, false},
		{"door with a sidelight nobody knows the width of", Opening{Type: DoorFrame, Width: inches(36), Sidelights: []Sidelight{right(0)}}, 60, []float64{36, 18}, true},
		{"pair with two sidelights of the whole's width", Opening{Type: Pair, Width: inches(120), Sidelights: []Sidelight{left(0), right(0)}}, 120, []float64{20, 72, 20}, true},
		{"front without more: leaf and one sidelight", Opening{Type: SlidingFront, Width: inches(84)}, 84, []float64{36, 42.75}, false},
		{"front with its sidelight stated: the leaf takes the rest", Opening{Type: HingedFront, Width: inches(60), Sidelights: []Sidelight{right(18)}}, 60, []float64{36.75, 18}, false},
		{"front whose leaf would be too wide: the sidelight takes the rest", Opening{Type: HingedFront, Width: inches(120), Sidelights: []Sidelight{right(18)}}, 120, []float64{36, 78.75}, true},
		{"front with all stated within a sixteenth", Opening{Type: HingedFront, Width: inches(60), LeafWidth: inches(36.75), Sidelights: []Sidelight{right(17.9375)}}, 60, []float64{36.75, 18}, false},
		{"front with all stated, an inch over", Opening{Type: HingedFront, Width: inches(60), LeafWidth: inches(36), Sidelights: []Sidelight{right(19.75)}}, 60, []float64{36, 18.75}, true},
		{"front of a leaf wider than it", Opening{Type: HingedFront, Width: inches(36), LeafWidth: inches(36)}, 36, []float64{32.5}, true},
		{"lights that do not add up: the last takes the rest", Opening{Type: FixedLight, Width: inches(100), LightWidths: []length.Length{inches(20), inches(20)}}, 100, []float64{20, 74.75}, true},
		{"lights that share", Opening{Type: Storefront, Width: inches(104), Lights: 2}, 104, []float64{49, 49}, false},
	} {
		row.opening.Height = inches(96)
		k, err := Of(row.opening, Rules{})
		require.NoError(t, err, row.name)
		var bays []length.Length
		for _, b := range k.Layout.Bays {
			bays = append(bays, b.Width)
		}
		want := make([]length.Length, len(row.bays))
		for i, w := range row.bays {
			want[i] = inches(w)
		}
		assert.Equal(t, want, bays, row.name)
		assert.Equal(t, inches(row.outside), k.Layout.Width, row.name)
		assert.Equal(t, row.assumed, k.Layout.Assumed, row.name)
		hinted := slices.ContainsFunc(k.Hints, func(h Hint) bool { return h.Code == WidthsAssumed })
		assert.Equal(t, row.assumed, hinted, row.name)
	}
}
