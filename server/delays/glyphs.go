package delays

import (
	"encoding/binary"
	"errors"
	"strings"
)

// glyphs are the characters that a font can draw. A PDF prints a box for any other one without a word, so texts are checked
// first.
type glyphs struct{ segments []segment }

// segment is a run of characters of the font's table, both ends included.
type segment struct {
	from, to uint16
	// Characters of the run whose glyph is 0 are missing all the same: delta and offsets say which glyph each has.
	delta, offset uint16
	at            int // of offset in the table
}

var errFont = errors.New("the font has no table of characters in the format that is read")

// readGlyphs reads the character table of a TrueType font: subtable format 4 of "cmap" (ISO/IEC 14496-22, Open Font Format).
func readGlyphs(font []byte) (*glyphs, []byte, error) {
	cmap := fontTable(font, "cmap")
	if len(cmap) < 4 {
		return nil, nil, errFont
	}
	u16 := binary.BigEndian.Uint16
	for i := range int(u16(cmap[2:])) {
		record := 4 + 8*i
		if record+8 > len(cmap) {
			break
		}
		at := int(binary.BigEndian.Uint32(cmap[record+4:]))
		if at+14 > len(cmap) || u16(cmap[at:]) != 4 {
			continue
		}
		table := cmap[at:]
		n := int(u16(table[6:])) / 2
		if 16+8*n > len(table) {
			continue
		}
		g := &glyphs{}
		for k := range n {
			g.segments = append(g.segments, segment{
				to: u16(table[14+2*k:]), from: u16(table[16+2*n+2*k:]), delta: u16(table[16+4*n+2*k:]),
				offset: u16(table[16+6*n+2*k:]), at: 16 + 6*n + 2*k,
			})
		}
		return g, table, nil
	}
	return nil, nil, errFont
}

// fontTable finds a table of a font file.
func fontTable(font []byte, tag string) []byte {
	if len(font) < 12 {
		return nil
	}
	for i := range int(binary.BigEndian.Uint16(font[4:])) {
		record := 12 + 16*i
		if record+16 > len(font) || string(font[record:record+4]) != tag {
			continue
		}
		from := int(binary.BigEndian.Uint32(font[record+8:]))
		length := int(binary.BigEndian.Uint32(font[record+12:]))
		if from+length <= len(font) {
			return font[from : from+length]
		}
	}
	return nil
}

// face is a font with what it can draw.
type face struct {
	glyphs *glyphs
	table  []byte
}

func newFace(font []byte) (*face, error) {
	g, table, err := readGlyphs(font)
	return &face{glyphs: g, table: table}, err
}

// has reports whether the font draws a character.
func (f *face) has(r rune) bool {
	if r > 0xffff {
		return false
	}
	c := uint16(r)
	for _, s := range f.glyphs.segments {
		if c < s.from || c > s.to {
			continue
		}
		if s.offset == 0 {
			return c+s.delta != 0
		}
		at := s.at + int(s.offset) + 2*int(c-s.from)
		return at+2 <= len(f.table) && binary.BigEndian.Uint16(f.table[at:]) != 0
	}
	return false
}

// printable is text with every character that the font lacks written as [U+1F600], so that nothing vanishes unseen. Line
// breaks stay, other control characters become spaces.
func (f *face) printable(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '\n':
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			b.WriteByte(' ')
		case f.has(r):
			b.WriteRune(r)
		default:
			b.WriteString(codePoint(r))
		}
	}
	return b.String()
}

func codePoint(r rune) string {
	const digits = "0123456789ABCDEF"
	text := ""
	for n := uint32(r); n > 0 || len(text) < 4; n >>= 4 {
		text = string(digits[n&0xf]) + text
	}
	return "[U+" + text + "]"
}
