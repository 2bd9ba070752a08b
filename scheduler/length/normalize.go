package length

import (
	"strings"
	"unicode"
)

// glyphs maps the typographic characters found in sheets and on drawings to the plain ones the grammar knows. A
// fraction character starts with a space so that 1¾ becomes 1 3/4 and not 13/4.
var glyphs = strings.NewReplacer(
	// Feet: curly and straight single quotes, prime, accents used as primes.
	"’", "'", "‘", "'", "‛", "'", "′", "'", "‵", "'", "´", "'", "`", "'", "ʹ", "'", "ʼ", "'", "＇", "'",
	// Inches.
	"”", `"`, "“", `"`, "‟", `"`, "„", `"`, "″", `"`, "‶", `"`, "ʺ", `"`, "˝", `"`, "＂", `"`, "〞", `"`, "〝", `"`,
	// Dashes and the minus sign.
	"‐", "-", "‑", "-", "‒", "-", "–", "-", "—", "-", "―", "-", "−", "-", "－", "-", "﹣", "-",
	// Slashes.
	"⁄", "/", "∕", "/", "／", "/",
	// Fractions.
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	"⅓", " 1/3", "⅔", " 2/3", "⅕", " 1/5", "⅖", " 2/5", "⅗", " 3/5", "⅘", " 4/5", "⅙", " 1/6", "⅚", " 5/6",
	// Fractions set from superscript and subscript digits.
	"⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9",
	"₀", "0", "₁", "1", "₂", "2", "₃", "3", "₄", "4", "₅", "5", "₆", "6", "₇", "7", "₈", "8", "₉", "9",
	// Invisible characters.
	"\u00ad", "", "\u200b", "", "\u200c", "", "\u200d", "", "\u2060", "", "\ufeff", "", "\u200e", "", "\u200f", "",
	// Square unit characters.
	"㎜", "mm", "㎝", "cm", "㎡", "m2",
)

// Plain returns the text with typographic quotes, primes, dashes, fractions and spaces replaced by the plain characters
// that the grammar of this package knows, runs of white space by one space, and both ends trimmed. Two feet marks in a
// row become one inch mark. Letters keep their case.
func Plain(text string) string {
	text = glyphs.Replace(text)
	var b strings.Builder
	b.Grow(len(text))
	space := false
	for _, r := range text {
		if unicode.IsSpace(r) || unicode.Is(unicode.Zs, r) || unicode.IsControl(r) {
			space = true
			continue
		}
		if space && b.Len() > 0 {
			b.WriteByte(' ')
		}
		space = false
		b.WriteRune(r)
	}
	return strings.ReplaceAll(b.String(), "''", `"`)
}
