package takeoff

import "jambwright/scheduler/length"

// Area is a product of two lengths, in hundred-millionths of a square millimetre: exact, so that areas worked in inches and in
// millimetres are the same number. One int64 holds more than 90,000 square metres.
type Area int64

// Units of area.
const (
	SquareMillimetre Area = Area(length.Millimetre) * Area(length.Millimetre)
	SquareInch       Area = Area(length.Inch) * Area(length.Inch)
	SquareFoot       Area = 144 * SquareInch
	SquareMetre      Area = 1_000_000 * SquareMillimetre
)

// AreaOf multiplies width by height.
func AreaOf(width, height length.Length) Area { return Area(width) * Area(height) }

// SquareMetres is the area as a number for people and for rates.
func (a Area) SquareMetres() float64 { return float64(a) / float64(SquareMetre) }

// SquareFeet is the area as a number for people and for rates.
func (a Area) SquareFeet() float64 { return float64(a) / float64(SquareFoot) }
