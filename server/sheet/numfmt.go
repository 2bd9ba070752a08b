package sheet

import (
	"strings"
)

// numberFormat is what the number format of a cell makes of its number.
type numberFormat int

const (
	plainFormat numberFormat = iota // no format
	otherFormat                     // decimals, units, leading zeros, currency
	dateFormat
)

// format returns the number format of a cell, remembering each style.
func (b *workbook) format(sheet, name string) numberFormat {
	style, err := b.file.GetCellStyle(sheet, name)
	if err != nil {
		return otherFormat
	}
	if f, known := b.formats[style]; known {
		return f
	}
	f := otherFormat
	if s, err := b.file.GetStyle(style); err == nil {
		f = classify(s.NumFmt, s.CustomNumFmt)
	}
	if b.formats == nil {
		b.formats = map[int]numberFormat{}
	}
	b.formats[style] = f
	return f
}

// classify tells date formats apart. The built-in numbers are those of ECMA-376 part 1, section 18.8.30: 14 to 22 are
// dates and times (18 to 21 times of day only), 27 to 36 and 50 to 58 dates in East Asian versions, 45 to 47 spans of
// time.
func classify(builtin int, custom *string) numberFormat {
	if custom != nil && *custom != "" {
		if dateLetters(*custom) {
			return dateFormat
		}
		if strings.EqualFold(*custom, "general") {
			return plainFormat
		}
		return otherFormat
	}
	switch {
	case builtin == 0 || builtin == 49: // general, text
		return plainFormat
	case builtin >= 14 && builtin <= 17, builtin == 22, builtin >= 27 && builtin <= 36, builtin >= 50 && builtin <= 58:
		return dateFormat
	}
	return otherFormat
}

// dateLetters reports whether a custom format shows a day or a year outside quoted text, brackets and escapes. A month
// alone does not count: m is also minutes.
func dateLetters(format string) bool {
	section, _, _ := strings.Cut(format, ";")
	quoted, bracket := false, false
	for i := 0; i < len(section); i++ {
		switch c := section[i]; {
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '\\' || c == '_' || c == '*':
			i++
		case c == '[':
			bracket = true
		case c == ']':
			bracket = false
		case bracket:
		case c == 'd' || c == 'D' || c == 'y' || c == 'Y':
			return true
		}
	}
	return false
}
