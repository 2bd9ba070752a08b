package takeoff

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
)

// codes returns the hints of an opening in their order.
func codes(t *testing.T, o Opening) []HintCode {
	t.Helper()
	k, err := Of(o, Rules{})
	require.NoError(t, err)
	list := make([]HintCode, 0, len(k.Hints))
	for _, h := range k.Hints {
		list = append(list, h.Code)
	}
	return list
}

// IBC 2406.4.2: glass within 24 in of a door's edge whose bottom is lower than 60 in above the floor. 2406.4.3: all of more
// than 9 sq ft, bottom lower than 18 in, top higher than 36 in, a walking surface within 36 in. Three places worked through:
// a sidelight 18 x 84 in beside a door, a borrowed light 48 x 48 in at a sill of 42 in away from doors, an office front's
// light 40 x 96 in at a sill of 4 in.
func TestHints_PointAtHazardousLocations(t *testing.T) {
	t.Parallel()
	plain := Glass{Thickness: 6 * mm}
	sidelight := Opening{Type: DoorFrame, Width: 36 * in, Height: 84 * in, Sidelights: []Sidelight{{Width: 18 * in}}, Glass: plain}
	assert.Subset(t, codes(t, sidelight), []HintCode{BesideDoor, NotSafetyGlass})

	borrowed := Opening{Type: FixedLight, Width: 51*in + 8*length.Sixteenth, Height: 51*in + 8*length.Sixteenth, SillHeight: 42 * in, Glass: plain}
	for _, code := range []HintCode{BesideDoor, LargeLowGlass, NotSafetyGlass} {
		assert.NotContains(t, codes(t, borrowed), code)
	}

	office := Opening{Type: FixedLight, Width: 40 * in, Height: 96 * in, SillHeight: 4 * in, Glass: plain}
	assert.Subset(t, codes(t, office), []HintCode{LargeLowGlass, NotSafetyGlass})
	office.Glass.Safety = true
	assert.NotContains(t, codes(t, office), NotSafetyGlass)
}

func TestHints_AreNeverARuling(t *testing.T) {
	t.Parallel()
	k, err := Of(Opening{Type: SlidingFront, Width: 120 * in, Height: 108 * in, GlassLeaf: true, LeafWidth: 30 * in, Glass: Glass{Thickness: 10 * mm}}, Rules{})
	require.NoError(t, err)
	codeHints := []HintCode{DoorGlass, BesideDoor, LargeLowGlass, NotSafetyGlass, ClearWidth}
	seen := 0
	for _, h := range k.Hints {
		if slices.Contains(codeHints, h.Code) {
			seen++
			assert.Contains(t, h.Text, "Check with the local code.")
		}
	}
	assert.Equal(t, len(codeHints), seen)
}

// 2010 ADA Standards 404.2.3: 32 in clear. A 3'-0" leaf gives about 34; of a pair one leaf is enough (404.2.2).
func TestHints_ClearWidth(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name   string
		typ    Type
		width  length.Length
		narrow bool
	}{
		{"3'-0\" leaf", DoorFrame, 36 * in, false},
		{"2'-10\" leaf gives 32", DoorFrame, 34 * in, false},
		{"2'-8\" leaf", DoorFrame, 32 * in, true},
		{"pair of 3'-0\"", Pair, 72 * in, false},
		{"pair of 2'-6\"", Pair, 60 * in, true},
	} {
		assert.Equal(t, row.narrow, slices.Contains(codes(t, Opening{Type: row.typ, Width: row.width, Height: 84 * in}), ClearWidth), row.name)
	}
}

func TestHints_CautionsFollowTheWork(t *testing.T) {
	t.Parallel()
	flush := codes(t, Opening{Type: DoorFrame, Width: 36 * in, Height: 84 * in})
	assert.Equal(t, []HintCode{SharedLift}, flush, "a flush door on studs has neither glass, dust nor height")
	tall := codes(t, Opening{Type: DoorFrame, Width: 36 * in, Height: 120 * in, Jambs: Concrete})
	assert.Subset(t, tall, []HintCode{SilicaDust, WorkAtHeight})
	assert.NotContains(t, tall, SharpEdges)
}
