package tolerance

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
)

func in(sixteenths int) *length.Length {
	l := length.Length(sixteenths) * length.Inch / 16
	return &l
}

// State of Delaware, section 08 11 13, paragraph 3.02: frames are set within 1/16 in of square, aligned and plumb.
func TestUsual_FramesOfThePublicSpecification(t *testing.T) {
	t.Parallel()
	frames := Usual().For(takeoff.DoorFrame)
	sixteenth := length.Inch / 16
	assert.Equal(t, Allowed{Size: 4 * sixteenth, Plumb: sixteenth, Level: sixteenth, Square: sixteenth}, frames)
	assert.Equal(t, frames, Usual().For(takeoff.Pair))
	for _, front := range []takeoff.Type{takeoff.SlidingFront, takeoff.HingedFront, takeoff.FixedLight, takeoff.Storefront} {
		assert.Equal(t, Usual().Fronts, Usual().For(front))
	}
}

func TestFind_ByHand(t *testing.T) {
	t.Parallel()
	sixteenth := length.Inch / 16
	const width, height = 40 * length.Inch, 86 * length.Inch
	w, h := width, height
	wide, low := width+5*sixteenth, height-4*sixteenth
	allowed := Usual().Frames
	for _, c := range []struct {
		name string
		read Reading
		want []Finding
	}{
		{"nothing measured", Reading{}, nil},
		{"true", Reading{Width: &w, Height: &h, Plumb: in(0), Level: in(0), Square: in(0)}, nil},
		{"at the edge of what is allowed", Reading{Height: &low, Plumb: in(1), Level: in(1), Square: in(1)}, nil},
		{"5/16 out of plumb, as in the package comment", Reading{Width: &w, Height: &h, Plumb: in(5)}, []Finding{{Plumb, 5 * sixteenth, sixteenth}}},
		{"too wide", Reading{Width: &wide, Height: &h}, []Finding{{Width, 5 * sixteenth, 4 * sixteenth}}},
		{"everything", Reading{Width: &wide, Height: &h, Plumb: in(2), Level: in(3), Square: in(4)}, []Finding{
			{Width, 5 * sixteenth, 4 * sixteenth}, {Plumb, 2 * sixteenth, sixteenth}, {Level, 3 * sixteenth, sixteenth}, {Square, 4 * sixteenth, sixteenth},
		}},
	} {
		assert.Equal(t, c.want, Find(c.read, width, height, allowed), c.name)
	}
	assert.Equal(t, 4*sixteenth, Finding{Plumb, 5 * sixteenth, sixteenth}.Beyond())
	assert.Equal(t, sixteenth, Finding{Width, -5 * sixteenth, 4 * sixteenth}.Beyond(), "too small counts as much as too large")
	assert.Empty(t, Find(Reading{Width: &wide}, 0, 0, allowed), "a size that the drawings do not give is not judged")
}

func TestSet_ProjectBeforeFirmBeforeUsual(t *testing.T) {
	t.Parallel()
	project := Set{Fronts: Allowed{Plumb: 3}}
	firm := Set{Fronts: Allowed{Plumb: 5, Level: 7}, Frames: Allowed{Size: 9}}
	got := project.Or(firm).Or(Usual())
	assert.Equal(t, length.Length(3), got.Fronts.Plumb)
	assert.Equal(t, length.Length(7), got.Fronts.Level)
	assert.Equal(t, Usual().Fronts.Square, got.Fronts.Square)
	assert.Equal(t, length.Length(9), got.Frames.Size)
}

// Wider tolerances never find more, and every finding lies beyond its allowance.
func TestFind_WiderTolerancesFindNoMore(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		draw := func(name string) length.Length { return length.Length(rapid.IntRange(0, 100000).Draw(rt, name)) }
		w, h, p, l, s := draw("w"), draw("h"), draw("p"), draw("l"), draw("s")
		read := Reading{Width: &w, Height: &h, Plumb: &p, Level: &l, Square: &s}
		tight := Allowed{Size: draw("size"), Plumb: draw("plumb"), Level: draw("level"), Square: draw("square")}
		more := draw("more")
		wide := Allowed{Size: tight.Size + more, Plumb: tight.Plumb + more, Level: tight.Level + more, Square: tight.Square + more}
		width, height := draw("width"), draw("height")
		few, many := Find(read, width, height, wide), Find(read, width, height, tight)
		require.LessOrEqual(rt, len(few), len(many))
		for _, f := range many {
			require.Positive(rt, f.Beyond())
		}
	})
}
