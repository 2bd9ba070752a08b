package length

import (
	"errors"
	"fmt"
	"strings"
)

// Faults that callers tell apart. Every error of Parse wraps one of them and holds the text it could not read.
var (
	// ErrNoUnit means a number without a mark or unit, where the caller named no unit for bare numbers.
	ErrNoUnit = errors.New("no unit")
	// ErrTwoReadings means a spelling that can be read as two different lengths.
	ErrTwoReadings = errors.New("two readings are possible")
	// ErrNotLength means text that is no length in any known spelling.
	ErrNotLength = errors.New("not a length")
	// ErrTooLong means a length beyond Longest.
	ErrTooLong = errors.New("too long")
)

// Parse reads one length in any of the usual spellings, in imperial or metric units:
//
//	3'-0"  3'0"  3' 0 1/2"  3'-0-1/2"  3'  3.5'  3 ft 6 in  3-0  3-0 1/2  36"  36 1/2"  36-1/2"  1¾"  36 in.
//	914 mm  914.4mm  91.4 cm  0.915 m  0,915 m  2,134 mm
//
// Typographic quotes, primes, dashes, fractions and spaces count as their plain twins. A dash between two whole numbers
// separates feet from inches (3-0 is 3'-0"), a dash before a fraction separates whole inches from it (1-3/4 is 1 3/4").
// A bare number is counted in the unit bare; bare 0 refuses it with ErrNoUnit. A bare number with a fraction is inches,
// unless bare is Foot.
//
// Inches beside feet stay under 12, fractions have a numerator below a denominator of 2, 4, 8, 16, 32 or 64. A comma
// before exactly three digits separates thousands in millimetres and decimals in metres; with any other unit it is
// refused with ErrTwoReadings.
func Parse(text string, bare Length) (Length, error) {
	plain := strings.ToLower(Plain(text))
	if plain == "" {
		return 0, fmt.Errorf("%q: %w: the text is empty", text, ErrNotLength)
	}
	p := parser{rest: plain}
	l, err := p.length(bare)
	if err != nil {
		return 0, fmt.Errorf("%q: %w", text, err)
	}
	if l > Longest {
		return 0, fmt.Errorf("%q: %w: more than %s m", text, ErrTooLong, "10,000")
	}
	return l, nil
}

// parser consumes rest from the left. It is handed by pointer and lives for one call of Parse.
type parser struct{ rest string }

// number is a non-negative decimal or mixed number: whole + num/den.
type number struct {
	whole    int64
	num, den int64 // 0 <= num < den
	decimal  bool  // written with a decimal point or comma
	fraction bool  // written with a fraction 1/2
	comma3   bool  // the one comma is followed by exactly three digits: thousands or decimals
}

// times returns the number of units rounded to the nearest whole.
func (n number) times(unit Length) Length {
	return Length(n.whole)*unit + Length((n.num*int64(unit)+n.den/2)/n.den)
}

func (p *parser) length(bare Length) (Length, error) {
	first, err := p.mixed()
	if err != nil {
		return 0, err
	}
	p.space()
	unit, ok := p.unit()
	switch {
	case !ok && p.rest == "":
		return bareNumber(first, bare)
	case !ok:
		return p.dashedFeet(first)
	case unit == Foot:
		return p.afterFeet(first)
	}
	return p.last(first, unit)
}

// bareNumber counts a number without unit in the unit the caller named. Nobody writes fractions of a millimetre or metre,
// so a fraction without a unit is in inches unless the caller named feet.
func bareNumber(n number, bare Length) (Length, error) {
	if n.fraction && bare != Foot {
		return settle(n, Inch)
	}
	if bare == 0 {
		return 0, fmt.Errorf("%w: write %s, %s or %s", ErrNoUnit, `36"`, `3'-0"`, "914 mm")
	}
	return settle(n, bare)
}

// dashedFeet reads the rest of 3-0 and 3-0 1/2, with or without a closing inch mark, after the 3.
func (p *parser) dashedFeet(feet number) (Length, error) {
	if !p.take("-") || feet.decimal || feet.fraction {
		return 0, p.unread()
	}
	p.space()
	return p.inches(feet)
}

// afterFeet reads what may follow feet: nothing, a dash or space and inches.
func (p *parser) afterFeet(feet number) (Length, error) {
	p.space()
	p.take("-")
	p.take(",")
	p.space()
	if p.rest == "" {
		return settle(feet, Foot)
	}
	if feet.decimal || feet.fraction {
		return 0, fmt.Errorf("%w: feet with a fraction stand alone, without inches", ErrNotLength)
	}
	return p.inches(feet)
}

// inches reads the closing part of feet and inches, the inch mark being optional.
func (p *parser) inches(feet number) (Length, error) {
	n, err := p.mixed()
	if err != nil {
		return 0, err
	}
	p.space()
	if unit, ok := p.unit(); ok && unit != Inch {
		return 0, fmt.Errorf("%w: feet are followed by inches only", ErrNotLength)
	}
	if n.whole >= 12 {
		return 0, fmt.Errorf("%w: %d inches beside feet; inches stay under 12", ErrNotLength, n.whole)
	}
	rest, err := p.last(n, Inch)
	return feet.times(Foot) + rest, err
}

// last closes the text: nothing may follow.
func (p *parser) last(n number, unit Length) (Length, error) {
	if p.rest != "" {
		return 0, p.unread()
	}
	return settle(n, unit)
}

// settle turns a number and its unit into a length, deciding what a comma before three digits means.
func settle(n number, unit Length) (Length, error) {
	if !n.comma3 {
		return n.times(unit), nil
	}
	switch {
	case unit == Metre || n.whole == 0:
		return n.times(unit), nil
	case unit == Millimetre:
		return number{whole: n.whole*1000 + n.num, den: 1}.times(unit), nil
	}
	return 0, fmt.Errorf("%w: the comma may part thousands or decimals; write the number without it", ErrTwoReadings)
}

func (p *parser) unread() error {
	return fmt.Errorf("%w: cannot read %q; write %s, %s or %s", ErrNotLength, p.rest, `3'-0"`, `36"`, "914 mm")
}
