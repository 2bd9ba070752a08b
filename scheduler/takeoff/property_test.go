package takeoff

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/length"
)

// sixteenths draws a length in whole sixteenths of an inch.
func sixteenths(t *rapid.T, name string, from, to length.Length) length.Length {
	return rapid.Custom(func(t *rapid.T) length.Length {
		return length.Length(rapid.Int64Range(int64(from/length.Sixteenth), int64(to/length.Sixteenth)).Draw(t, "n")) * length.Sixteenth
	}).Draw(t, name)
}

// anOpening draws an opening that can be built.
func anOpening(t *rapid.T) Opening {
	o := Opening{
		Type:       rapid.SampledFrom(Types()).Draw(t, "type"),
		Height:     sixteenths(t, "height", 72*in, 144*in),
		ButtJoints: rapid.Bool().Draw(t, "butt"),
		GlassLeaf:  rapid.Bool().Draw(t, "glass leaf"),
		Glass:      tempered(),
		Jambs:      rapid.SampledFrom([]Substrate{"", Stud, Wood, Concrete}).Draw(t, "jambs"),
		Head:       rapid.SampledFrom([]Substrate{"", Concrete}).Draw(t, "head"),
	}
	if rapid.Bool().Draw(t, "transom") {
		o.Transom = sixteenths(t, "transom", 6*in, 30*in)
	}
	switch o.Type {
	case SlidingFront, HingedFront:
		o.Width = sixteenths(t, "width", 100*in, 300*in)
		for range rapid.IntRange(0, 3).Draw(t, "sidelights") {
			o.Sidelights = append(o.Sidelights, Sidelight{Side: rapid.SampledFrom([]Side{Left, Right, ""}).Draw(t, "side")})
		}
	case DoorFrame, Pair:
		o.Width = sixteenths(t, "width", 24*in, 96*in)
		for range rapid.IntRange(0, 2).Draw(t, "sidelights") {
			o.Sidelights = append(o.Sidelights, Sidelight{Width: sixteenths(t, "sidelight", 6*in, 36*in)})
		}
	default:
		o.Lights = rapid.IntRange(1, 8).Draw(t, "lights")
		o.Width = sixteenths(t, "width", length.Length(o.Lights)*24*in+80*in, 600*in)
		if o.Type == Storefront && rapid.Bool().Draw(t, "door") {
			o.Leaves = rapid.IntRange(1, 2).Draw(t, "leaves")
			o.DoorLight = rapid.IntRange(1, o.Lights).Draw(t, "door light")
		}
	}
	return o
}

func TestOf_BaysMembersAndPanesFillTheFrame(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		o := anOpening(t)
		k, err := Of(o, Rules{})
		require.NoError(t, err)
		l := &k.Layout
		x := l.Profile.Jamb
		mullions := 0
		for _, b := range l.Bays {
			if mullions < len(l.Mullions) && l.Mullions[mullions] == x {
				x += l.Profile.Mullion
				mullions++
			}
			assert.Equal(t, x, b.X, "bays and mullions stand side by side without a gap")
			x += b.Width
		}
		assert.Equal(t, l.Width, x+l.Profile.Jamb)
		assert.Equal(t, len(l.Mullions), mullions)

		var daylight, glass Area
		for _, p := range k.Panes {
			daylight += AreaOf(p.Place.Width, p.Place.Height)
			glass += p.Area
			assert.Equal(t, p.Place.Width+length.Length(p.FramedSides)*5*length.Sixteenth, p.Width)
			assert.Equal(t, p.Place.Height+10*length.Sixteenth, p.Height)
			assert.LessOrEqual(t, p.Place.X+p.Place.Width, l.Width)
			assert.LessOrEqual(t, p.Place.Y+p.Place.Height, l.Height)
		}
		assert.Equal(t, glass, k.line(GlassAreaLine).Area, "pane areas sum")
		if len(k.Panes) > 0 {
			assert.Greater(t, glass, daylight)
			assert.Less(t, daylight, AreaOf(l.Width, l.Height))
		}
		assert.LessOrEqual(t, k.Anchors, k.Fasteners)
	})
}

func TestOf_ALongerPieceNeverTakesFewerFasteners(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		spacing := sixteenths(t, "spacing", in, 48*in)
		short := sixteenths(t, "short", 0, 400*in)
		long := short + sixteenths(t, "more", 0, 100*in)
		assert.LessOrEqual(t, spaced(short, spacing), spaced(long, spacing))
		if short > 0 {
			n := spaced(short, spacing)
			assert.GreaterOrEqual(t, n, 2, "each end is fastened")
			assert.LessOrEqual(t, short, length.Length(n-1)*spacing, "none farther apart than the spacing")
			assert.True(t, n == 2 || short > length.Length(n-2)*spacing, "and none too many")
		}
	})
}

func TestOf_MetricAndImperialGiveTheSame(t *testing.T) {
	t.Parallel()
	metric := func(t *rapid.T, l length.Length) length.Length {
		parsed, err := length.Parse(l.Millimetres()+" mm", 0)
		require.NoError(t, err)
		return parsed
	}
	rapid.Check(t, func(t *rapid.T) {
		o := anOpening(t)
		m := o
		m.Width, m.Height, m.Transom = metric(t, o.Width), metric(t, o.Height), metric(t, o.Transom)
		m.Sidelights = nil
		for _, s := range o.Sidelights {
			m.Sidelights = append(m.Sidelights, Sidelight{Side: s.Side, Width: metric(t, s.Width)})
		}
		imperial, err := Of(o, Rules{})
		require.NoError(t, err)
		written, err := Of(m, Rules{})
		require.NoError(t, err)
		assert.Equal(t, imperial, written)
	})
}

// A metric drawing rounds 3'-0" x 7'-0" to whole millimetres. What follows from the rounded size stays within 1/16 in.
func TestOf_WholeMillimetresStayWithinASixteenth(t *testing.T) {
	t.Parallel()
	whole := func(l length.Length) length.Length { return (l + mm/2) / mm * mm }
	rapid.Check(t, func(t *rapid.T) {
		o := anOpening(t)
		m := o
		m.Width, m.Height, m.Transom = whole(o.Width), whole(o.Height), whole(o.Transom)
		m.Sidelights = nil
		exact, err := Of(o, Rules{})
		require.NoError(t, err)
		for _, s := range o.Sidelights {
			m.Sidelights = append(m.Sidelights, Sidelight{Side: s.Side, Width: whole(s.Width)})
		}
		rounded, err := Of(m, Rules{})
		require.NoError(t, err)
		require.Len(t, rounded.Panes, len(exact.Panes))
		for i := range exact.Panes {
			assert.LessOrEqual(t, distance(exact.Panes[i].Width, rounded.Panes[i].Width), length.Sixteenth)
			assert.LessOrEqual(t, distance(exact.Panes[i].Height, rounded.Panes[i].Height), length.Sixteenth)
		}
		assert.Equal(t, len(exact.Leaves), len(rounded.Leaves))
		if len(exact.Leaves) > 0 {
			// A leaf at the very height at which it takes another hinge may take it or not.
			height := exact.Leaves[0].Place.Height
			if past := height % (30 * in); past > in/8 && past < 30*in-in/8 {
				assert.Equal(t, exact.Hardware, rounded.Hardware)
			}
		}
	})
}

func distance(a, b length.Length) length.Length { return max(a-b, b-a) }

// Whatever a sheet holds, a takeoff answers or refuses; it never panics, and what it accepts has sane sums.
func FuzzOf(f *testing.F) {
	f.Add(0, int64(1_219_200), int64(2_438_400), 1, 0, int64(0), false, int64(60_000))
	f.Add(5, int64(60_960_000), int64(27_432_000), 2, 5, int64(4_572_000), true, int64(100_000))
	f.Fuzz(func(t *testing.T, typ int, width, height int64, leaves, lights int, transom int64, butt bool, thickness int64) {
		types := append(Types(), "unknown")
		o := Opening{
			Type: types[uint(typ)%uint(len(types))], Width: length.Length(width), Height: length.Length(height), Leaves: leaves,
			Lights: lights, Transom: length.Length(transom), ButtJoints: butt, GlassLeaf: butt, Glass: Glass{Thickness: length.Length(thickness)},
		}
		k, err := Of(o, Rules{})
		if err != nil {
			return
		}
		rates := DefaultRates()
		for _, kind := range Kinds() {
			if b := rates.Hours(kind, k, 1); b.Minutes < 0 || b.Hours < 0 {
				t.Fatalf("%s takes %v hours", kind, b.Hours)
			}
		}
		for _, p := range k.Panes {
			if p.Width <= 0 || p.Height <= 0 || p.Grams < 0 || p.Hands < 1 {
				t.Fatalf("pane %+v", p)
			}
		}
	})
}
