package takeoff

import (
	"fmt"
	"strings"

	"jambwright/scheduler/length"
)

// Working is a calculation in plain words and numbers, so that a person can check a quantity by hand. It is data: the
// page decides whether lengths read in feet and inches or in millimetres, and which unit of weight comes first.
type Working []Part

// Part is a piece of text, or an amount to be written in the reader's own units where Measure is set.
type Part struct {
	Text    string
	Measure Measure // "" for text; ByLength, ByArea, ByWeight or ByDensity
	Length  length.Length
	Area    Area
	Grams   int64
	Density float64 // kilograms a square metre
}

// ByDensity is the measure of weight for an area, which only workings use.
const ByDensity Measure = "density"

// Writer writes amounts in one system of units.
type Writer struct {
	Length  func(length.Length) string
	Area    func(Area) string
	Weight  func(grams int64) string
	Density func(kilogramsPerSquareMetre float64) string
}

// poundsPerSquareFoot is what one kilogram a square metre is in pounds a square foot: exact by the foot and pound of 1959.
const poundsPerSquareFoot = 0.3048 * 0.3048 / (gramsPerPound / 1000)

// InFeet writes feet and inches, square feet and pounds, with kilograms behind; small lengths go without feet: 5/16".
func InFeet() Writer {
	return Writer{
		Length: shortFeetInches,
		Area:   func(a Area) string { return fmt.Sprintf("%.3f sq ft", a.SquareFeet()) },
		Weight: func(grams int64) string {
			return fmt.Sprintf("%.2f lb (%.1f kg)", Pounds(grams), float64(grams)/1000)
		},
		Density: func(d float64) string { return fmt.Sprintf("%.4f lb/sq ft", d*poundsPerSquareFoot) },
	}
}

// InMillimetres writes millimetres, square metres and kilograms, with pounds behind. Kilograms are told to the gram, so that people
// counted by hand from a limit are the same number.
func InMillimetres() Writer {
	return Writer{
		Length: millimetres,
		Area:   func(a Area) string { return fmt.Sprintf("%.3f m²", a.SquareMetres()) },
		Weight: func(grams int64) string {
			return fmt.Sprintf("%.3f kg (%.1f lb)", float64(grams)/1000, Pounds(grams))
		},
		Density: func(d float64) string { return fmt.Sprintf("%.3f kg/m²", d) },
	}
}

// shortFeetInches writes what a tape shows as a tape shows it, and anything between two sixteenths, such as a third of a wall, in
// thousandths: a calculation by hand from the rounded length could give another number of screws.
func shortFeetInches(l length.Length) string {
	if l%length.Sixteenth != 0 {
		feet := l / length.Foot
		inches := (l - feet*length.Foot).FloatInches()
		if feet == 0 {
			return fmt.Sprintf("%.3f\"", inches)
		}
		return fmt.Sprintf("%d'-%.3f\"", feet, inches)
	}
	text := l.FeetInches()
	if short, under := strings.CutPrefix(text, "0'-"); under {
		return strings.TrimPrefix(short, "0 ")
	}
	return text
}

func millimetres(l length.Length) string {
	if l%(length.Millimetre/10) != 0 {
		return fmt.Sprintf("%.2f mm", l.FloatMillimetres())
	}
	return l.Millimetres() + " mm"
}

// Text writes the working in one system of units.
func (w Working) Text(write Writer) string {
	var b strings.Builder
	for _, p := range w {
		switch p.Measure {
		case ByLength:
			b.WriteString(write.Length(p.Length))
		case ByArea:
			b.WriteString(write.Area(p.Area))
		case ByWeight:
			b.WriteString(write.Weight(p.Grams))
		case ByDensity:
			b.WriteString(write.Density(p.Density))
		default:
			b.WriteString(p.Text)
		}
	}
	return b.String()
}

// String writes the working in feet and inches.
func (w Working) String() string { return w.Text(InFeet()) }

// Amounts that become parts of their own in a working.
type (
	weight  int64   // grams
	density float64 // kilograms a square metre
)

// work builds a working: lengths, areas, weights and densities become parts of their own, everything else is printed.
func work(pieces ...any) Working {
	var w Working
	var text strings.Builder
	amount := func(p Part) {
		if text.Len() > 0 {
			w = append(w, Part{Text: text.String()})
			text.Reset()
		}
		w = append(w, p)
	}
	for _, piece := range pieces {
		switch v := piece.(type) {
		case length.Length:
			amount(Part{Measure: ByLength, Length: v})
		case Area:
			amount(Part{Measure: ByArea, Area: v})
		case weight:
			amount(Part{Measure: ByWeight, Grams: int64(v)})
		case density:
			amount(Part{Measure: ByDensity, Density: float64(v)})
		default:
			fmt.Fprint(&text, v)
		}
	}
	if text.Len() > 0 {
		w = append(w, Part{Text: text.String()})
	}
	return w
}

// join puts several workings into one, with a separator between them.
func join(separator string, parts ...Working) Working {
	var w Working
	for i, p := range parts {
		if i > 0 && len(p) > 0 && separator != "" {
			w = append(w, Part{Text: separator})
		}
		w = append(w, p...)
	}
	return w
}
