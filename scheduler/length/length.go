// Package length holds lengths exactly in both systems of measure that drawings use, reads them in the spellings
// people write and shows them again.
//
// A Length counts ten-thousandths of a millimetre. One inch is 25.4 mm exactly, so one sixteenth of an inch is
// 1.5875 mm, which is 15,875 of these units: whole. Any dimension in sixteenths and any dimension in tenths, hundredths
// or thousandths of a millimetre is therefore a whole number, and sums and differences never round. Finer fractions
// (1/32 and 1/64 in) round to the nearest unit, an error of at most 0.00005 mm.
//
// A worked example: 3'-0 1/2" is 36.5 in x 25.4 = 927.1 mm = 9,271,000 units.
//
//	l, err := length.Parse(`3'-0 1/2"`, 0) // 9271000
//	l.FeetInches()                         // 3'-0 1/2"
//	l.Millimetres()                        // 927.1
//
// What this package does not do: it reads one length, not a size of two or three, and knows nothing about doors. The
// four digits 3070 that mean 3'-0" x 7'-0" on a door schedule are a size, and are read where schedules are read.
package length

import (
	"encoding/json"
	"strconv"
	"strings"
)

// Length is a distance in ten-thousandths of a millimetre. The zero value is no distance. Negative values are valid as
// differences; Parse never returns one.
type Length int64

// Units of length. A bare number handed to Parse is counted in one of these.
const (
	Millimetre Length = 10_000
	Centimetre Length = 10 * Millimetre
	Metre      Length = 1_000 * Millimetre
	Sixteenth  Length = 15_875 // of an inch
	Inch       Length = 16 * Sixteenth
	Foot       Length = 12 * Inch
)

// Longest is the largest length Parse accepts: ten kilometres, far beyond any building, so that a slip of the decimal
// point is refused and sums stay far from overflow.
const Longest = 10_000 * Metre

// FromMillimetres rounds a measured or computed number of millimetres to the nearest unit. It takes the binary noise
// off values such as 761.9999999999989 (762 mm).
func FromMillimetres(mm float64) Length {
	scaled := mm * float64(Millimetre)
	if scaled < 0 {
		return Length(scaled - 0.5)
	}
	return Length(scaled + 0.5)
}

// FloatMillimetres returns the length in millimetres for computing areas and weights.
func (l Length) FloatMillimetres() float64 { return float64(l) / float64(Millimetre) }

// FloatMetres returns the length in metres for computing areas and weights.
func (l Length) FloatMetres() float64 { return float64(l) / float64(Metre) }

// FloatInches returns the length in inches for computing with rules that are stated in inches.
func (l Length) FloatInches() float64 { return float64(l) / float64(Inch) }

// Millimetres returns the exact decimal number of millimetres without trailing zeros: "914.4", "1", "0.7938".
func (l Length) Millimetres() string {
	sign, n := split(l)
	whole, rest := n/uint64(Millimetre), n%uint64(Millimetre)
	if rest == 0 {
		return sign + strconv.FormatUint(whole, 10)
	}
	decimals := strings.TrimRight(strconv.FormatUint(uint64(Millimetre)+rest, 10)[1:], "0")
	return sign + strconv.FormatUint(whole, 10) + "." + decimals
}

// MillimetreNumber returns Millimetres as a number for JSON documents, exact where a float64 could print as
// 914.4000000000001.
func (l Length) MillimetreNumber() json.Number { return json.Number(l.Millimetres()) }

// FeetInches returns the length as feet and inches to the nearest sixteenth: 3'-0", 3'-0 1/2", 0'-1 3/4". A length that
// is not a whole number of sixteenths is marked with a leading ≈.
func (l Length) FeetInches() string {
	sign, sixteenths, exact := nearestSixteenth(l)
	feet, rest := sixteenths/(12*16), sixteenths%(12*16)
	return approximately(exact) + sign + strconv.FormatUint(feet, 10) + "'-" + inches(rest, true)
}

// Inches returns the length as inches to the nearest sixteenth, as thicknesses are written: 36", 1 3/4", 0". It marks
// an inexact result as FeetInches does.
func (l Length) Inches() string {
	sign, sixteenths, exact := nearestSixteenth(l)
	return approximately(exact) + sign + inches(sixteenths, false)
}

// IsWholeSixteenths reports whether the length is a whole number of sixteenths of an inch, hence shown by FeetInches
// without loss.
func (l Length) IsWholeSixteenths() bool { return l%Sixteenth == 0 }

// String returns the exact millimetres with their unit, for messages.
func (l Length) String() string { return l.Millimetres() + " mm" }

func split(l Length) (sign string, magnitude uint64) {
	if l < 0 {
		return "-", -uint64(l)
	}
	return "", uint64(l)
}

// nearestSixteenth rounds half up in magnitude, so that a length and its negative show the same digits.
func nearestSixteenth(l Length) (sign string, sixteenths uint64, exact bool) {
	sign, n := split(l)
	return sign, (n + uint64(Sixteenth)/2) / uint64(Sixteenth), n%uint64(Sixteenth) == 0
}

func approximately(exact bool) string {
	if exact {
		return ""
	}
	return "≈"
}

// inches writes a number of sixteenths as whole inches and a fraction in lowest terms. Beside feet the whole inches are
// always written, 0 included.
func inches(sixteenths uint64, besideFeet bool) string {
	whole, num, den := sixteenths/16, sixteenths%16, uint64(16)
	if num == 0 {
		return strconv.FormatUint(whole, 10) + `"`
	}
	for num%2 == 0 {
		num, den = num/2, den/2
	}
	fraction := strconv.FormatUint(num, 10) + "/" + strconv.FormatUint(den, 10) + `"`
	if whole == 0 && !besideFeet {
		return fraction
	}
	return strconv.FormatUint(whole, 10) + " " + fraction
}
