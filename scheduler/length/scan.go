package length

import (
	"fmt"
	"strings"
)

// maxWholeDigits and maxDecimals keep whole*unit and num*unit inside int64: 8 digits of feet are 3.1e14 units, and nine
// decimals of a metre are 1e9 * 1e7. Decimals beyond the ninth are under a hundredth of a unit and are dropped.
const (
	maxWholeDigits = 8
	maxDecimals    = 9
)

// unitNames lists spellings after lower-casing, longer ones before their own beginnings.
var unitNames = []struct {
	name string
	unit Length
}{
	{"millimeters", Millimetre},
	{"millimetres", Millimetre},
	{"millimeter", Millimetre},
	{"millimetre", Millimetre},
	{"centimeters", Centimetre},
	{"centimetres", Centimetre},
	{"centimeter", Centimetre},
	{"centimetre", Centimetre},
	{"meters", Metre},
	{"metres", Metre},
	{"meter", Metre},
	{"metre", Metre},
	{"inches", Inch},
	{"inch", Inch},
	{"feet", Foot},
	{"foot", Foot},
	{"mm", Millimetre},
	{"cm", Centimetre},
	{"in", Inch},
	{"ft", Foot},
	{"m", Metre},
	{"'", Foot},
	{`"`, Inch},
}

// unit reads a unit, its abbreviation point and nothing else. A word that merely begins like a unit (mark, interior)
// is not one.
func (p *parser) unit() (Length, bool) {
	for _, u := range unitNames {
		after, found := strings.CutPrefix(p.rest, u.name)
		if !found || (isLetter(u.name[0]) && after != "" && isLetter(after[0])) {
			continue
		}
		p.rest = after
		if isLetter(u.name[0]) {
			p.take(".")
		}
		return u.unit, true
	}
	return 0, false
}

// mixed reads 36, 36.5, 36 1/2, 36-1/2 or 1/2.
func (p *parser) mixed() (number, error) {
	n, err := p.decimal()
	if err != nil || n.decimal {
		return n, err
	}
	if p.take("/") {
		return p.denominator(0, n)
	}
	before := p.rest
	if !p.space() && !p.take("-") {
		return n, nil
	}
	num, err := p.decimal()
	if err != nil || num.decimal || !p.take("/") {
		p.rest = before // what follows is not a fraction: leave it to the caller
		return n, nil
	}
	return p.denominator(n.whole, num)
}

// denominator reads what follows the stroke of a fraction and checks it.
func (p *parser) denominator(whole int64, num number) (number, error) {
	den, err := p.decimal()
	if err != nil {
		return den, err
	}
	d := den.whole
	if den.decimal || d < 2 || d > 64 || d&(d-1) != 0 {
		return number{}, fmt.Errorf("%w: fractions of an inch have the denominator 2, 4, 8, 16, 32 or 64", ErrNotLength)
	}
	if num.whole >= d {
		return number{}, fmt.Errorf("%w: the fraction %d/%d is not below one", ErrNotLength, num.whole, d)
	}
	return number{whole: whole, num: num.whole, den: d, fraction: true}, nil
}

// decimal reads digits with at most one decimal separator, and thousands separators where they are unmistakable.
func (p *parser) decimal() (number, error) {
	end := 0
	for end < len(p.rest) && (isDigit(p.rest[end]) || (isSeparator(p.rest[end]) && digitFollows(p.rest, end))) {
		end++
	}
	if end == 0 {
		return number{}, p.unread()
	}
	text := p.rest[:end]
	p.rest = p.rest[end:]
	return readDecimal(text)
}

// readDecimal turns 2,134.5 or 2134,5 or 0.915 or .5 into a number.
func readDecimal(text string) (number, error) {
	point := strings.LastIndexAny(text, ".,")
	if point < 0 {
		return wholeNumber(text)
	}
	mark, before, after := text[point:point+1], text[:point], text[point+1:]
	grouped, err := dropThousands(before, mark)
	if err != nil {
		return number{}, fmt.Errorf("%w: %q mixes its separators", err, text)
	}
	if grouped == "" {
		grouped = "0"
	}
	n, err := wholeNumber(grouped)
	if err != nil {
		return n, err
	}
	n.decimal = true
	n.comma3 = mark == "," && len(after) == 3 && grouped == before
	n.den = 1
	for i := 0; i < len(after) && i < maxDecimals; i++ {
		n.num, n.den = n.num*10+int64(after[i]-'0'), n.den*10
	}
	return n, nil
}

// dropThousands removes the separators before the decimal mark; they must be the other mark, three digits apart.
func dropThousands(before, mark string) (string, error) {
	groups := strings.FieldsFunc(before, func(r rune) bool { return r == '.' || r == ',' })
	if len(groups) < 2 {
		return before, nil
	}
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return "", ErrNotLength
		}
	}
	if strings.Contains(before, mark) {
		return "", ErrTwoReadings
	}
	return strings.Join(groups, ""), nil
}

func wholeNumber(digits string) (number, error) {
	if len(digits) > maxWholeDigits {
		return number{}, fmt.Errorf("%w: the number %s has more than %d digits", ErrTooLong, digits, maxWholeDigits)
	}
	n := number{den: 1}
	for i := range len(digits) {
		n.whole = n.whole*10 + int64(digits[i]-'0')
	}
	return n, nil
}

func (p *parser) space() bool { return p.take(" ") }

func (p *parser) take(prefix string) bool {
	after, found := strings.CutPrefix(p.rest, prefix)
	p.rest = after
	return found
}

func digitFollows(s string, i int) bool { return i+1 < len(s) && isDigit(s[i+1]) }
func isDigit(c byte) bool               { return c >= '0' && c <= '9' }
func isLetter(c byte) bool              { return c >= 'a' && c <= 'z' }
func isSeparator(c byte) bool           { return c == '.' || c == ',' }
