package takeoff

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/length"
)

// A person with a pencil: what a working says in words and numbers is worked out again from its text alone, and must give what
// the working says and what the line holds. Lengths are read by the package that reads sheets; words are passed over.

// token is a number, an operator or a bracket of a working.
var token = regexp.MustCompile(`\d+'-\d+(?:\.\d+| \d+/\d+)?"|\d+\.\d+"|\d+ \d+/\d+"|\d+/\d+"|\d+"|\d+(?:\.\d+)? mm\b|\d+(?:\.\d+)?|[x/+()=-]|rounded up`)

// pencil works out one clause of a working. Lengths count inches.
type pencil struct {
	t      require.TestingT
	tokens []string
	at     int
	area   float64 // how many of the area's units a square inch is
}

// amount is a number of inches to a power: 0 for counts, areas and weights as they are told, 1 for lengths, 2 for products of them.
type amount struct {
	v     float64
	power int
}

func newPencil(t require.TestingT, clause string) *pencil {
	for _, words := range []string{"2.5 kg/m² a mm x ", "1.07 kg/m² a mm x "} {
		clause = strings.ReplaceAll(clause, words, "") // told beside the density, not worked with
	}
	p := &pencil{t: t, area: 1.0 / 144}
	if strings.Contains(clause, "m²") {
		p.area = 0.0254 * 0.0254
	}
	clause = regexp.MustCompile(`\((?:[^()]*of glass[^()]*|[\d.]+ (?:kg|lb))\)`).ReplaceAllString(clause, "") // the make-up; the other unit of weight
	clause = regexp.MustCompile(`lb/sq ft|kg/m²|sq ft|m²|\blb\b|\bkg\b`).ReplaceAllString(clause, "")
	p.tokens = token.FindAllString(clause, -1)
	return p
}

func (p *pencil) peek() string {
	if p.at < len(p.tokens) {
		return p.tokens[p.at]
	}
	return ""
}

func (p *pencil) take() string { p.at++; return p.tokens[p.at-1] }

func (p *pencil) sum() amount {
	v := p.product()
	for p.peek() == "+" || p.peek() == "-" {
		sign := map[string]float64{"+": 1, "-": -1}[p.take()]
		next := p.product()
		require.Equal(p.t, v.power, next.power, "%v adds lengths to counts", p.tokens)
		v.v += sign * next.v
	}
	return v
}

func (p *pencil) product() amount {
	v := p.value()
	for p.peek() == "x" || p.peek() == "/" {
		if p.take() == "x" {
			next := p.value()
			v = amount{v.v * next.v, v.power + next.power}
		} else {
			next := p.value()
			v = amount{v.v / next.v, v.power - next.power}
		}
	}
	if p.peek() == "rounded up" {
		p.take()
		v.v = math.Ceil(v.v - 1e-4) // pounds are told to a hundredth
		p.check(&v)
	}
	return v
}

// value is a number, a length, or a sum in brackets; a bracket may tell its own result behind "=".
func (p *pencil) value() amount {
	text := p.take()
	if text == "(" {
		v := p.sum()
		if p.peek() == "=" {
			p.check(&v)
		}
		require.Equal(p.t, ")", p.take())
		return v
	}
	if strings.HasSuffix(text, `"`) || strings.HasSuffix(text, "mm") {
		l, err := length.Parse(text, 0)
		require.NoError(p.t, err)
		return amount{l.FloatInches(), 1}
	}
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(p.t, err)
	return amount{v, 0}
}

// check compares a result with the one that is told; what is told with an area's unit is one.
func (p *pencil) check(v *amount) {
	require.Equal(p.t, "=", p.take())
	told := p.value()
	if v.power == 2 && told.power == 0 {
		*v = amount{v.v * p.area, 0}
	}
	require.Equal(p.t, told.power, v.power, "%v", p.tokens)
	require.InDelta(p.t, told.v, v.v, 0.1, "%v", p.tokens)
}

// worked works out every clause of a line and returns the last told result of each.
func worked(t require.TestingT, text string) (results []float64) {
	for clause := range strings.SplitSeq(text, "; ") {
		if !strings.Contains(clause, "=") || strings.Contains(clause, " of ") && strings.Contains(clause, "bite") {
			continue
		}
		p := newPencil(t, clause)
		v := p.sum()
		if p.peek() != "" { // else the result was told behind "rounded up"
			p.check(&v)
		}
		results = append(results, v.v)
	}
	return results
}

// withPencil holds every line of a takeoff against its own working, in one system of units.
func withPencil(t require.TestingT, k *Takeoff, write Writer) {
	for _, l := range k.Lines {
		text := l.Working.Text(write)
		results := worked(t, text)
		sum := 0.0
		for _, r := range results {
			sum += r
		}
		switch l.Quantity {
		case WidthLine, HeightLine, "jamb", "head", "mullion", "transom bar", "channel", "base", GasketLine, SealantLine, CaulkLine:
			require.NotEmpty(t, results, text)
			assert.InDelta(t, l.Length.FloatInches(), results[len(results)-1], 0.05, "%s: %s", l.Quantity, text)
		case FastenersLine:
			assert.InDelta(t, float64(l.Count), sum, 0, text)
		case BlocksLine, HardwareLine:
			if len(results) > 0 {
				assert.InDelta(t, float64(l.Count), results[0], 0, text)
			}
		case HandsLine:
			least := 1.0
			if strings.Contains(text, "at least 2") {
				least = 2
			}
			assert.InDelta(t, float64(l.Count), max(least, results[0]), 0, text)
		case PanesLine:
			panesWithPencil(t, l.Count, text)
		}
	}
}

// paneClause is how a group of panes is told.
var paneClause = regexp.MustCompile(`^(\d+) of (.+?) x (.+?): width (.+?) of bite = (.+?), height (.+?) of bite = (.+)$`)

// panesWithPencil adds the bite to the daylight of every group of panes.
func panesWithPencil(t require.TestingT, count int, text string) {
	n := 0
	for clause := range strings.SplitSeq(text, "; ") {
		if strings.HasPrefix(clause, "together") {
			continue
		}
		m := paneClause.FindStringSubmatch(clause)
		require.NotNil(t, m, clause)
		group, err := strconv.Atoi(m[1])
		require.NoError(t, err)
		n += group
		require.Equal(t, []string{m[2], m[3]}, []string{m[5], m[7]})
		for _, side := range [][2]string{{m[4], m[5]}, {m[6], m[7]}} {
			p := newPencil(t, side[0]+" = "+side[1])
			v := p.sum()
			p.check(&v)
		}
	}
	require.Equal(t, count, n, text)
}

func TestWorking_APencilGetsTheSame(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		o := anOpening(t)
		k, err := Of(o, Rules{})
		require.NoError(t, err)
		withPencil(t, k, InFeet())
		withPencil(t, k, InMillimetres())
	})
}

// By hand, after the rules of the trade, for makes that no other test looks at: each number is worked beside it.
func TestOf_ByHand(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name                                  string
		opening                               Opening
		fasteners, anchors, panes, blocks     int
		gasketInches, heaviestPounds          float64
		hands                                 int
		glassKilogramsPerSquareMetreRoundedTo float64
	}{
		{
			// Butt-jointed wall of three equal lights, 1 3/4 in faces: daylight (120 - 3.5) / 3 = 38.8333 wide, 108 - 3.5 = 104.5 high.
			// Screws: jambs 2 x (108/18 = 6, + 1) = 14; head 116.5: 2 x (9.71 up 10, + 1) = 22; channel in one piece
			// 116.5/18 = 6.47 up 7, + 1 = 8, into the floor; no mullion. 44, of them 8 anchors.
			// Gasket: ends 2 x (2 x 38.8333 + 104.5), middle 2 x 2 x 38.8333: together 4 x 116.5 + 2 x 2 x 104.5 = 884.
			// An end pane 39.1458 x 105.125 in = 28.578 sq ft = 2.65501 m2 x 25 = 66.375 kg = 146.33 lb: 3 people.
			name:      "three lights, butt joints",
			opening:   Opening{Type: FixedLight, Width: 120 * in, Height: 108 * in, Lights: 3, ButtJoints: true, Glass: tempered()},
			fasteners: 44, anchors: 8, panes: 3, blocks: 6, gasketInches: 884, heaviestPounds: 146.33, hands: 3,
			glassKilogramsPerSquareMetreRoundedTo: 25,
		},
		{
			// Pair 6'-0" x 7'-0" with a 12 in sidelight on the right and a transom of 18 in, 2 in faces: width 2 + 72 + 2 + 12 + 2 = 90,
			// height 84 + 2 + 18 + 2 = 106. Jambs 2 x (106/18 up 6, + 1) = 14; head 86: 2 x (7.17 up 8, + 1) = 18; mullion
			// 104/12 = 8.67 up 9, + 1 = 10; channel 12: 1 + 1 = 2, anchors; bars 2 x 2 ends x 2 = 8. Together 52.
			// Panes: sidelight 12 x 82, transoms 72 x 18 and 12 x 18. Gasket 2 x (24 + 164) + 2 x (144 + 36) + 2 x (24 + 36) = 856.
			// Largest by area: 72.625 x 18.625 = 9.393 sq ft against 12.625 x 82.625 = 7.244: 0.87265 m2 x 15 = 13.09 kg = 28.86 lb.
			name: "pair with sidelight and transom, 1/4 in glass",
			opening: Opening{
				Type: Pair, Width: 72 * in, Height: 84 * in, Transom: 18 * in, Sidelights: []Sidelight{{Width: 12 * in}},
				Glass: Glass{Kind: Monolithic, Thickness: in / 4},
			},
			fasteners: 52, anchors: 2, panes: 3, blocks: 6, gasketInches: 856, heaviestPounds: 28.86, hands: 1,
			glassKilogramsPerSquareMetreRoundedTo: 15,
		},
		{
			// Hinged front with unequal sidelights, 24 in left and the rest right: 132 - 3.5 - 3.5 - 36 - 24 = 65 in. Daylight height 96 - 3.5 = 92.5.
			// Jambs 2 x (96/18 up 6, + 1) = 14; head 128.5: 2 x (10.71 up 11, + 1) = 24; mullions 2 x (94.25/12 up 8, + 1) = 18;
			// channels 24/18 up 2, + 1 = 3 and 65/18 up 4, + 1 = 5, anchors 8. Together 64.
			// Gasket 2 x (48 + 185) + 2 x (130 + 185) = 1096. Laminated 10 mm + 1.52 interlayer: 25 + 1.6264 = 26.6264 kg/m2.
			// 65.625 x 93.125 = 6111.33 sq in = 3.94279 m2 = 104.98 kg = 231.45 lb: 5 people.
			name: "hinged front, unequal sidelights, laminated",
			opening: Opening{
				Type: HingedFront, Width: 132 * in, Height: 96 * in, LeafWidth: 36 * in, Sidelights: []Sidelight{{Side: Left, Width: 24 * in}, {Side: Right}},
				Glass: Glass{Kind: Laminated, Thickness: 10 * mm, Interlayer: 152 * mm / 100},
			},
			fasteners: 64, anchors: 8, panes: 2, blocks: 4, gasketInches: 1096, heaviestPounds: 231.45, hands: 5,
			glassKilogramsPerSquareMetreRoundedTo: 26.6264,
		},
		{
			// Storefront of five equal lights, insulating units of two 6 mm lites: 2 in faces, daylight (200 - 12) / 5 = 37.6 wide, 116 high.
			// Jambs 2 x (120/18 up 7, + 1) = 16; head 196: 2 x (16.33 up 17, + 1) = 36; mullions 4 x (118/12 up 10, + 1) = 44;
			// channels 5 x (37.6/18 up 3, + 1) = 20, anchors. Together 116. Gasket 5 x 2 x (75.2 + 232) = 3072.
			// 38.225 x 116.625 = 4457.99 sq in = 2.87612 m2 x 30 = 86.28 kg = 190.22 lb: 4 people.
			name: "storefront of five lights, insulating",
			opening: Opening{
				Type: Storefront, Width: 200 * in, Height: 120 * in, Lights: 5,
				Glass: Glass{Kind: Insulating, Thickness: 6 * mm, Lites: 2, AirSpace: 12 * mm},
			},
			fasteners: 116, anchors: 20, panes: 5, blocks: 10, gasketInches: 3072, heaviestPounds: 190.22, hands: 4,
			glassKilogramsPerSquareMetreRoundedTo: 30,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			k, err := Of(c.opening, Rules{})
			require.NoError(t, err)
			assert.Equal(t, c.fasteners, k.Fasteners, "%s", k.line(FastenersLine).Working)
			assert.Equal(t, c.anchors, k.Anchors)
			assert.Len(t, k.Panes, c.panes)
			assert.Equal(t, c.blocks, k.line(BlocksLine).Count)
			assert.InDelta(t, c.gasketInches, k.line(GasketLine).Length.FloatInches(), 0.01)
			assert.InDelta(t, c.heaviestPounds, Pounds(k.Heaviest), 0.02)
			assert.Equal(t, c.hands, k.GlazeHands, "%s", k.line(HandsLine).Working)
			for _, p := range k.Panes {
				perArea := float64(p.Grams) / 1000 / p.Area.SquareMetres()
				assert.InDelta(t, c.glassKilogramsPerSquareMetreRoundedTo, perArea, 0.01, fmt.Sprint(p.Place))
			}
			withPencil(t, k, InFeet())
		})
	}
}
