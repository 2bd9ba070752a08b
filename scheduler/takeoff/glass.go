package takeoff

import (
	"errors"
	"fmt"
	"math"

	"jambwright/scheduler/length"
)

// Weights of what panes are made of, kilograms a square metre for each millimetre of thickness.
const (
	glassDensity      = 2.5  // soda-lime glass of 2,500 kg/m3, EN 572-1; tempering does not change it
	interlayerDensity = 1.07 // polyvinyl butyral, about 1,070 kg/m3
)

// nominalInches pairs the inch fractions of the trade with the millimetres that the same glass is called: glass is made to
// metric thicknesses, and a quarter inch is 6 mm rather than 6.35.
var nominalInches = [...]struct {
	sixtyFourths int
	millimetres  length.Length
}{
	{6, 2_5}, {8, 3_0}, {10, 4_0}, {12, 5_0}, {16, 6_0}, {20, 8_0}, {24, 10_0}, {32, 12_0}, {40, 16_0}, {48, 19_0}, {64, 25_0},
}

// Nominal returns the metric nominal thickness of a lite given in inches (6 mm for 1/4 in); any other thickness
// is returned as it is.
func Nominal(thickness length.Length) length.Length {
	for _, n := range nominalInches {
		inches := length.Inch * length.Length(n.sixtyFourths) / 64
		if thickness-inches <= 1 && inches-thickness <= 1 { // 3/32 and 5/32 in are no whole number of units
			return n.millimetres * length.Millimetre / 10
		}
	}
	return thickness
}

// thinnestUnit is the thickness up to which a stated thickness of insulating glass can only be of each lite.
const thinnestUnit = 10 * length.Millimetre

// lites is the number of sheets of glass in a pane and the nominal thickness of each, by which the pane weighs. A laminated
// pane counts as one sheet of its nominal thickness.
func (g Glass) lites() (n int, each length.Length) {
	switch {
	case g.Lites > 0:
		return g.Lites, Nominal(g.Thickness)
	case g.Kind != Insulating:
		return 1, Nominal(g.Thickness)
	case g.Thickness <= thinnestUnit:
		return 2, Nominal(g.Thickness)
	}
	air := g.AirSpace
	if air == 0 {
		air = min(length.Inch/2, g.Thickness/2)
	}
	return 2, Nominal((g.Thickness - air) / 2)
}

// assumed fills in the glass of an opening that states no thickness: the rules' own, or its thickness for the make-up that
// is stated.
func (r *Rules) assumed(g Glass) Glass {
	if g.Kind != "" {
		g.Thickness = r.Glass.Thickness
		return g
	}
	own := r.Glass
	own.Safety = own.Safety || g.Safety
	return own
}

// check finds the faults of a make-up.
func (g Glass) check() error {
	var faults []error
	switch g.Kind {
	case "", Monolithic, Laminated, Insulating:
	default:
		faults = append(faults, fmt.Errorf("glass is %q, not monolithic, laminated or insulating", g.Kind))
	}
	if g.Thickness <= 0 || g.Thickness > 100*length.Millimetre {
		faults = append(faults, fmt.Errorf("glass has a thickness of %v a lite; without one its weight is not known", g.Thickness))
	}
	if single := g.kind() == Monolithic; g.Lites < 0 || g.Lites > 10 || single && g.Lites > 1 || !single && g.Lites == 1 {
		faults = append(faults, fmt.Errorf("glass is %s of %d lites", g.kind(), g.Lites))
	}
	if g.Lites == 0 && g.Kind == Insulating && g.Thickness > thinnestUnit && g.AirSpace >= g.Thickness {
		faults = append(faults, fmt.Errorf("an insulating unit %v thick has an air space of %v", g.Thickness, g.AirSpace))
	}
	if g.Interlayer < 0 || g.AirSpace < 0 {
		faults = append(faults, fmt.Errorf("glass has an interlayer of %v and an air space of %v; neither may be negative", g.Interlayer, g.AirSpace))
	}
	return errors.Join(faults...)
}

func (g Glass) kind() GlassKind {
	if g.Kind == "" {
		return Monolithic
	}
	return g.Kind
}

// KilogramsPerSquareMetre is the weight of the make-up: its lites by their nominal thickness and its interlayer.
func (g Glass) KilogramsPerSquareMetre() float64 {
	n, each := g.lites()
	glass := float64(glassDensity * float64(n) * each.FloatMillimetres())
	return glass + float64(interlayerDensity*g.Interlayer.FloatMillimetres())
}

// Weight is the weight of a pane of the area, in whole grams.
func (g Glass) Weight(area Area) int64 {
	return int64(math.Round(g.KilogramsPerSquareMetre() * area.SquareMetres() * 1000))
}

// weightWorking shows where the weight of one pane comes from.
func (g Glass) weightWorking(area Area, grams int64) Working {
	n, each := g.lites()
	lites := ""
	if n > 1 {
		lites = fmt.Sprint(n, " lites x ")
	}
	w := work(area, " x ", density(g.KilogramsPerSquareMetre()), " (2.5 kg/m² a mm x ", lites, each.Millimetres(), " mm of glass")
	if g.Interlayer > 0 {
		w = join("", w, work(" + 1.07 kg/m² a mm x ", g.Interlayer.Millimetres(), " mm of interlayer"))
	}
	return join("", w, work(") = ", weight(grams)))
}
