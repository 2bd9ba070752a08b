package ifc

import (
	"bytes"
	"encoding/hex"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// decode turns the control directives of a text (ISO 10303-21, clause on strings) into the letters they stand for:
//
//	\\            a backslash
//	\S\c          the letter 128 places behind c in the page of ISO 8859 in force, part 1 unless \PB\ to \PI\ chose another
//	\X\hh         the letter hh of ISO 8859-1
//	\X2\hhhh\X0\  letters of UTF-16, \X4\hhhhhhhh\X0\ letters by their Unicode number
//	\N\ \T\       a line end, a tab, which become a space
//
// A directive that is none of these, or is cut off, stays as it is written.
func decode(raw []byte) string {
	plain := isASCII(raw)
	if plain && bytes.IndexByte(raw, '\\') < 0 {
		return string(raw)
	}
	if !plain && !utf8.Valid(raw) {
		raw = fromLatin(raw)
	}
	var b strings.Builder
	page := charmap.ISO8859_1
	for len(raw) > 0 {
		if raw[0] != '\\' {
			end := bytes.IndexByte(raw, '\\')
			if end < 0 {
				end = len(raw)
			}
			b.Write(raw[:end])
			raw = raw[end:]
			continue
		}
		letters, used := directive(raw, &page)
		b.WriteString(letters)
		raw = raw[used:]
	}
	return b.String()
}

func isASCII(raw []byte) bool {
	for _, c := range raw {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

func fromLatin(raw []byte) []byte {
	out := make([]byte, 0, len(raw)+len(raw)/4)
	for _, c := range raw {
		out = utf8.AppendRune(out, rune(c))
	}
	return out
}

// pages are the parts of ISO 8859 by the letter that chooses them.
var pages = [...]*charmap.Charmap{
	charmap.ISO8859_1, charmap.ISO8859_2, charmap.ISO8859_3, charmap.ISO8859_4, charmap.ISO8859_5,
	charmap.ISO8859_6, charmap.ISO8859_7, charmap.ISO8859_8, charmap.ISO8859_9,
}

// directive reads the directive that begins with the backslash at the front of raw, and says how many bytes it takes.
func directive(raw []byte, page **charmap.Charmap) (letters string, used int) {
	has := func(prefix string) bool { return bytes.HasPrefix(raw, []byte(prefix)) }
	switch {
	case has(`\\`):
		return `\`, 2
	case has(`\S\`) && len(raw) > 3 && raw[3] < utf8.RuneSelf:
		return string((*page).DecodeByte(raw[3] + 128)), 4
	case has(`\P`) && len(raw) > 3 && raw[3] == '\\' && raw[2] >= 'A' && raw[2] <= 'I':
		*page = pages[raw[2]-'A']
		return "", 4
	case has(`\N\`), has(`\T\`):
		return " ", 3
	case has(`\X2\`), has(`\X4\`):
		if end := bytes.Index(raw, []byte(`\X0\`)); end > 0 {
			if letters, ok := unicodeLetters(raw[4:end], int(raw[2]-'0')); ok {
				return letters, end + 4
			}
		}
	case has(`\X\`) && len(raw) >= 5:
		var code [1]byte
		if _, err := hex.Decode(code[:], raw[3:5]); err == nil {
			return string(rune(code[0])), 5
		}
	}
	return `\`, 1
}

// unicodeLetters decodes the hexadecimal digits of letters that take size bytes each.
func unicodeLetters(digits []byte, size int) (string, bool) {
	code := make([]byte, hex.DecodedLen(len(digits)))
	if _, err := hex.Decode(code, digits); err != nil || len(code)%size != 0 {
		return "", false
	}
	if size == 4 {
		var b strings.Builder
		for ; len(code) > 0; code = code[4:] {
			b.WriteRune(rune(uint32(code[0])<<24 | uint32(code[1])<<16 | uint32(code[2])<<8 | uint32(code[3])))
		}
		return b.String(), true
	}
	units := make([]uint16, len(code)/2)
	for i := range units {
		units[i] = uint16(code[2*i])<<8 | uint16(code[2*i+1])
	}
	return string(utf16.Decode(units)), true
}
