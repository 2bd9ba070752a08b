package takeoff

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/length"
)

// A second, slow takeoff that walks along the frame with a tape and a pencil: it looks only at the drawing (the places of
// bays, panes and leaves) and shares no arithmetic with the first.

// walkScrews puts a screw at the start of a piece, then every spacing, and one at the end unless it is there already.
func walkScrews(piece, spacing length.Length) int {
	n, last := 1, length.Length(0)
	piece -= length.Millimetre / 100 // a hair more needs no further screw
	for at := spacing; at < piece; at += spacing {
		n++
		last = at
	}
	if last < piece {
		n++
	}
	return n
}

// uprights lists the left edges and widths of what stands between the bays, jambs included, as gaps in the drawing.
func uprights(k *Takeoff) []length.Length {
	var widths []length.Length
	at := length.Length(0)
	for _, b := range k.Layout.Bays {
		if b.X > at {
			widths = append(widths, b.X-at)
		}
		at = b.X + b.Width
	}
	return append(widths, k.Layout.Width-at)
}

// footRuns lists the clear widths under fixed panes between uprights, found by looking along the foot of the drawing.
func footRuns(k *Takeoff) []length.Length {
	var runs []length.Length
	end := length.Length(-1)
	for _, b := range k.Layout.Bays {
		switch {
		case b.Leaves > 0:
			end = -1
		case b.X == end:
			runs[len(runs)-1] += b.Width
			end += b.Width
		default:
			runs = append(runs, b.Width)
			end = b.X + b.Width
		}
	}
	return runs
}

func TestOf_AgreesWithASecondTakeoffFromTheDrawing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		o := anOpening(t)
		k, err := Of(o, Rules{})
		require.NoError(t, err)
		l := &k.Layout

		posts := uprights(k)
		clear := l.Width - posts[0] - posts[len(posts)-1]
		screws := 2 * walkScrews(l.Height, 18*in)
		screws += 2 * walkScrews(clear, 12*in)
		for range posts[1 : len(posts)-1] {
			screws += walkScrews(l.Height-l.Profile.Head, 12*in)
		}
		anchors := 0
		if o.Jambs == Concrete {
			anchors += 2 * walkScrews(l.Height, 18*in)
		}
		if o.Head == Concrete {
			anchors += 2 * walkScrews(clear, 12*in)
		}
		for _, run := range footRuns(k) {
			screws += walkScrews(run, 18*in)
			anchors += walkScrews(run, 18*in)
		}
		if o.Transom > 0 {
			// two screws in each end of a bar, and the bars end at the uprights
			screws += 4 * (len(posts) - 1)
		}
		assert.Equal(t, screws, k.Fasteners, "%s", k.line(FastenersLine).Working)
		assert.Equal(t, anchors, k.Anchors)

		var gasket, sealant length.Length
		grams := 0.0
		for i, p := range k.Panes {
			gasket += 4 * p.Place.Width
			for _, edge := range []length.Length{p.Place.X, p.Place.X + p.Place.Width} {
				if meets(k.Panes, i, edge) {
					sealant += p.Place.Height // seen from both panes
				} else {
					gasket += 2 * p.Place.Height
				}
			}
			grams += p.Width.FloatMetres() * p.Height.FloatMetres() * 10 * 2.5 * 1000
			hands := math.Ceil(float64(p.Grams) / 22_680) // 50 lb
			if p.Width.FloatInches()*p.Height.FloatInches() > 1440 {
				hands = max(hands, 2) // more than 10 sq ft
			}
			assert.InDelta(t, hands, p.Hands, 0)
		}
		if len(k.Panes) > 0 {
			assert.Equal(t, gasket, k.line(GasketLine).Length)
			assert.Equal(t, sealant/2, k.line(SealantLine).Length)
			assert.InDelta(t, grams, float64(k.line(GlassLine).Grams), float64(len(k.Panes)))
			assert.Equal(t, 2*len(k.Panes), k.line(BlocksLine).Count)
		}
		assert.Equal(t, k.Heaviest, heaviest(k.Panes))
	})
}

// meets reports whether an upright edge of a pane touches another pane of the same row.
func meets(panes []Pane, i int, edge length.Length) bool {
	for j, other := range panes {
		if j != i && other.Place.Y == panes[i].Place.Y && (other.Place.X == edge || other.Place.X+other.Place.Width == edge) {
			return true
		}
	}
	return false
}

func heaviest(panes []Pane) int64 {
	most := int64(0)
	for _, p := range panes {
		most = max(most, p.Grams)
	}
	return most
}

// Hours again, from the plainest reading of the table: every row that applies, every condition in turn.
func TestHours_AgreeWithAPlainReadingOfTheTable(t *testing.T) {
	t.Parallel()
	rates := DefaultRates()
	rapid.Check(t, func(t *rapid.T) {
		o := anOpening(t)
		o.Conditions = rapid.SliceOfDistinct(rapid.SampledFrom([]Condition{Lift, Occupied, HardDrill, TightAccess, HeavyDuty}), func(c Condition) Condition { return c }).Draw(t, "conditions")
		k, err := Of(o, Rules{})
		require.NoError(t, err)
		for _, kind := range []Kind{Frame, Glaze, Hang, Punch} {
			own := map[Driver]bool{}
			for _, row := range rates.Rates {
				if row.Kind == kind && row.Type == o.Type {
					own[row.Driver] = true
				}
			}
			hours := 0.0
			for _, row := range rates.Rates {
				if row.Kind == kind && (row.Type == o.Type || row.Type == "" && !own[row.Driver]) {
					hours += row.Hours * k.Quantity(row.Driver)
				}
			}
			for _, c := range k.Conditions {
				switch {
				case c == HardDrill && kind != Frame:
				case c == Ladder:
					hours *= 1.15
				case c == Lift:
					hours *= 1.25
				case c == HardDrill:
					hours *= 1.3
				case c == TightAccess:
					hours *= 1.1
				default:
					hours *= 1.2 // occupied, heavy duty
				}
			}
			b := rates.Hours(kind, k, 1)
			assert.InDelta(t, hours, b.Hours, 1e-9, "%s", kind)
			assert.InDelta(t, math.Ceil(hours*60-1e-6), b.Minutes, 0, "%s", kind)
		}
	})
}
