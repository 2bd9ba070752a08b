package elevation

import (
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"
	"testing"

	"jambwright/scheduler/length"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const in = length.Inch

var front = Opening{Mark: "D-204", Type: SlidingFront, Width: 78 * in, Height: 108 * in, Sidelights: []Sidelight{{Side: Left}}, Handing: Right}

// drawing is what a test looks at: the size of the picture and the classes drawn.
type drawing struct {
	width, height float64
	title         string
	classes       map[string]int
	texts         []string
	ids           int
}

// read parses the SVG as XML, so that every drawing is well-formed on its own as well as within a page.
func read(t require.TestingT, svg string) drawing {
	d := drawing{classes: map[string]int{}}
	decoder := xml.NewDecoder(strings.NewReader(svg))
	var inside string
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			return d
		}
		require.NoError(t, err, svg)
		switch token := token.(type) {
		case xml.StartElement:
			inside = token.Name.Local
			d.element(t, token)
		case xml.CharData:
			switch inside {
			case "title":
				d.title = string(token)
			case "text":
				d.texts = append(d.texts, string(token))
			}
		case xml.EndElement:
			inside = ""
		}
	}
}

func (d *drawing) element(t require.TestingT, e xml.StartElement) {
	for _, a := range e.Attr {
		switch {
		case a.Name.Local == "class":
			for _, class := range strings.Fields(a.Value) {
				d.classes[class]++
			}
		case a.Name.Local == "id":
			d.ids++
		case e.Name.Local == "svg" && (a.Name.Local == "width" || a.Name.Local == "height"):
			v, err := strconv.ParseFloat(a.Value, 64)
			require.NoError(t, err)
			if a.Name.Local == "width" {
				d.width = v
			} else {
				d.height = v
			}
		}
		assert.NotContains(t, a.Value, "NaN")
		assert.NotContains(t, a.Value, "Inf")
	}
}

func TestSVG_CompletesItselfAsWorkProceeds(t *testing.T) {
	t.Parallel()
	wants := map[Progress][]string{
		RoughOpening: {"el-rough"},
		Measured:     {"el-thin"},
		OnSite:       {"el-thin", "el-tick"},
		Framed:       {"el-frame"},
		Glazed:       {"el-frame", "el-glass"},
		Hung:         {"el-frame", "el-glass", "el-leaf", "el-handle", "el-slide"},
		Punched:      {"el-frame", "el-glass", "el-leaf", "el-handle", "el-slide", "el-check"},
	}
	all := []string{"el-rough", "el-thin", "el-tick", "el-frame", "el-glass", "el-leaf", "el-handle", "el-slide", "el-check"}
	for progress, want := range wants {
		o := front
		o.Progress = progress
		d := read(t, o.SVG(List))
		for _, class := range all {
			assert.Equal(t, contains(want, class), d.classes[class] > 0, "%s: %s", progress.Word(), class)
		}
		assert.Contains(t, d.title, progress.Word())
	}
}

func contains(list []string, item string) bool {
	for _, s := range list {
		if s == item {
			return true
		}
	}
	return false
}

func TestSVG_TintsGlassLeavesOnly(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		o    Opening
		want bool
	}{
		{Opening{Type: HingedFront}, true},
		{Opening{Type: HingedFront, SolidLeaf: true}, false},
		{Opening{Type: DoorFrame}, false},
		{Opening{Type: Pair, GlassLeaf: true}, true},
	} {
		tc.o.Progress = Hung
		assert.Equal(t, tc.want, read(t, tc.o.SVG(List)).classes["el-leaf-glass"] > 0, "%+v", tc.o)
	}
}

func TestSVG_KeepsTrueProportions(t *testing.T) {
	t.Parallel()
	for _, o := range []Opening{
		front,
		{Type: DoorFrame, Width: 36 * in, Height: 84 * in},
		{Type: FixedLight, Width: 48 * in, Height: 48 * in},
		{Type: Storefront, Width: 1200 * in, Height: 96 * in, Lights: 20}, // wider than the widest: drawn less high
	} {
		for _, size := range []Size{Strip, List, Large} {
			d := read(t, o.SVG(size))
			margin := 2 * size.margin()
			got := (d.width - margin) / (d.height - margin)
			want := float64(o.Width) / float64(o.Height)
			assert.InEpsilon(t, want, got, 0.02, "%s at %d", o.Type, size)
			assert.LessOrEqual(t, d.height, float64(size)+0.1)
		}
	}
}

func TestSVG_HoldIsABandWithItsWord(t *testing.T) {
	t.Parallel()
	o := front
	o.Hold = "wall"
	d := read(t, o.SVG(List))
	assert.Equal(t, 1, d.classes["el-band"])
	assert.Equal(t, 1, d.classes["el-hatch"])
	assert.Equal(t, []string{"wall"}, d.texts)
	assert.Contains(t, d.title, "held: wall")

	o.Hold = "answer of the architect about the head detail"
	d = read(t, o.SVG(List))
	assert.Equal(t, []string{"held"}, d.texts, "a long word gives way to a short one")
	assert.Contains(t, d.title, o.Hold, "and stays whole in the title")

	assert.Empty(t, read(t, o.SVG(Strip)).texts, "a drawing of 28 pixels has no room for words")
}

func TestSVG_MeasuresStandBesideTheDrawing(t *testing.T) {
	t.Parallel()
	d := read(t, front.SVGWithMeasures(Large, `6'-6"`, `9'-0"`))
	assert.Equal(t, []string{`9'-0"`, `6'-6"`}, d.texts)
}

func TestLayout_DividesByType(t *testing.T) {
	t.Parallel()
	ft := float64(length.Foot)
	tests := []struct {
		name   string
		o      Opening
		widths []float64 // of the bays, in feet
		leaves string    // L for a leaf, - for a pane
	}{
		{"sidelight left takes what the leaf leaves", Opening{Type: SlidingFront, Width: 72 * in, Sidelights: []Sidelight{{Side: Left}}}, []float64{3, 3}, "-L"},
		{"a front wider than its leaf has a sidelight on the right", Opening{Type: HingedFront, Width: 60 * in}, []float64{3, 2}, "L-"},
		{"a narrow front has none", Opening{Type: HingedFront, Width: 40 * in}, []float64{40.0 / 12}, "L"},
		{"unequal sidelights stand where they are", Opening{Type: HingedFront, Width: 96 * in, Sidelights: []Sidelight{{Left, 12 * in}, {Right, 48 * in}}}, []float64{1, 3, 4}, "-L-"},
		{"a pair has two leaves", Opening{Type: Pair, Width: 72 * in}, []float64{3, 3}, "LL"},
		{"a door and frame is all leaf", Opening{Type: DoorFrame, Width: 36 * in}, []float64{3}, "L"},
		{"a fixed light has none", Opening{Type: FixedLight, Width: 48 * in}, []float64{4}, "-"},
		{"a run is divided equally", Opening{Type: Storefront, Width: 240 * in, Lights: 4}, []float64{5, 5, 5, 5}, "----"},
		{"its door stands in its light", Opening{Type: Storefront, Width: 180 * in, Lights: 3, Leaves: 1, DoorLight: 2}, []float64{6, 3, 6}, "-L-"},
		{"without a word, in the first", Opening{Type: Storefront, Width: 120 * in, Lights: 2, Leaves: 2}, []float64{3, 3, 4}, "LL-"},
		{"stated lights keep their widths", Opening{Type: FixedLight, Width: 72 * in, Lights: 2, LightWidths: []length.Length{24 * in, 48 * in}}, []float64{2, 4}, "--"},
		{"a door's sidelights come on top", Opening{Type: DoorFrame, Width: 36 * in, Sidelights: []Sidelight{{Left, 18 * in}, {Side: Right}}}, []float64{1.5, 3, 1}, "-L-"},
		{"missing measures are usual ones", Opening{Type: DoorFrame}, []float64{3}, "L"},
		{"an unknown type is a light", Opening{Type: "porthole", Width: 24 * in}, []float64{2}, "-"},
	}
	for _, tc := range tests {
		t.Run(tc.name, func(t *testing.T) {
			t.Parallel()
			lay := tc.o.layout()
			leaves := ""
			for i, bay := range lay.bays {
				if bay.leaf {
					leaves += "L"
				} else {
					leaves += "-"
				}
				if assert.Less(t, i, len(tc.widths)) {
					assert.InDelta(t, tc.widths[i], (bay.to-bay.from)/ft, 1e-6)
				}
			}
			assert.Equal(t, tc.leaves, leaves)
		})
	}
}

func TestLayout_PairHingesOutsideAndHasNoMullion(t *testing.T) {
	t.Parallel()
	lay := Opening{Type: Pair, Width: 72 * in, Height: 84 * in}.layout()
	require.Len(t, lay.bays, 2)
	assert.Equal(t, Left, lay.bays[0].hinge)
	assert.Equal(t, Right, lay.bays[1].hinge)
	assert.Empty(t, lay.mullions)
}

func TestLayout_DoorsTransomComesOnTop(t *testing.T) {
	t.Parallel()
	door := Opening{Type: DoorFrame, Width: 36 * in, Height: 84 * in, Transom: 12 * in}.layout()
	assert.Equal(t, 96*in, door.height)
	front := Opening{Type: HingedFront, Width: 36 * in, Height: 96 * in, Transom: 12 * in}.layout()
	assert.Equal(t, 96*in, front.height)
}

func TestLayout_ButtJointsHaveNoMullion(t *testing.T) {
	t.Parallel()
	o := Opening{Type: Storefront, Width: 180 * in, Lights: 4, Leaves: 1, DoorLight: 2}
	assert.Len(t, o.layout().mullions, 3)
	o.ButtJoints = true
	assert.Len(t, o.layout().mullions, 2, "on either side of the door only")
}

// Whatever the measures, the bays fill the opening from edge to edge, each has a width, and the drawing is well-formed
// without an identifier.
func TestSVG_HoldsForAnyMeasures(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		o := Opening{
			Mark:        rapid.String().Filter(printable).Draw(t, "mark"),
			Type:        rapid.SampledFrom([]Type{SlidingFront, HingedFront, FixedLight, DoorFrame, Pair, Storefront, ""}).Draw(t, "type"),
			Width:       anyLength(t, "width"),
			Height:      anyLength(t, "height"),
			Leaves:      rapid.IntRange(-1, 99).Draw(t, "leaves"),
			LeafWidth:   anyLength(t, "leaf width"),
			Transom:     anyLength(t, "transom"),
			Lights:      rapid.IntRange(-1, 200).Draw(t, "lights"),
			DoorLight:   rapid.IntRange(-1, 200).Draw(t, "door light"),
			ButtJoints:  rapid.Bool().Draw(t, "butt joints"),
			LightWidths: rapid.SliceOfN(rapid.Custom(func(t *rapid.T) length.Length { return anyLength(t, "light") }), 0, 4).Draw(t, "lights' widths"),
			Handing:     rapid.SampledFrom([]Side{"", Left, Right}).Draw(t, "handing"),
			Progress:    Progress(rapid.IntRange(0, 6).Draw(t, "progress")),
			Hold:        rapid.SampledFrom([]string{"", "wall", `<&">`}).Draw(t, "hold"),
		}
		for range rapid.IntRange(0, 5).Draw(t, "sidelights") {
			o.Sidelights = append(o.Sidelights, Sidelight{rapid.SampledFrom([]Side{"", Left, Right}).Draw(t, "side"), anyLength(t, "sidelight")})
		}
		lay := o.layout()
		at := 0.0
		for _, bay := range lay.bays {
			assert.InDelta(t, at, bay.from, 1)
			assert.Greater(t, bay.to, bay.from)
			at = bay.to
		}
		assert.InDelta(t, float64(lay.width), at, 1)
		d := read(t, o.SVG(rapid.SampledFrom([]Size{Strip, List, Large}).Draw(t, "size")))
		assert.Zero(t, d.ids)
		assert.Equal(t, o.Text(), d.title)
	})
}

func anyLength(t *rapid.T, label string) length.Length {
	return length.Length(rapid.Int64Range(-1, int64(100*length.Metre)).Draw(t, label))
}

// printable keeps to characters that XML can hold and that its reader gives back unchanged.
func printable(s string) bool {
	for _, r := range s {
		if r < ' ' || r == 0xFFFD || r > 0xD7FF {
			return false
		}
	}
	return true
}
