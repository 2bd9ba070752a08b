package sheet

import (
	"bytes"
	"errors"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// decode turns bytes into text and names the encoding for the preview. A byte order mark decides; without one, zero
// bytes betray UTF-16; text that is valid UTF-8 is UTF-8; anything else is taken as Windows-1252, which spreadsheet
// programs in the Americas and Western Europe write and which assigns a character to nearly every byte, so that no text
// in it can be told from another 8-bit encoding for certain: the preview names it.
func decode(data []byte) (text, name string, err error) {
	switch {
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		return validUTF8(data[3:], "UTF-8 with byte order mark")
	case bytes.HasPrefix(data, []byte("\xff\xfe")):
		return utf16(data, unicode.LittleEndian, "UTF-16 with byte order mark")
	case bytes.HasPrefix(data, []byte("\xfe\xff")):
		return utf16(data, unicode.BigEndian, "UTF-16 with byte order mark")
	}
	if order, ok := zeroBytes(data); ok {
		return utf16(data, order, "UTF-16")
	}
	if bytes.IndexByte(data, 0) >= 0 {
		return "", "", errors.New("it is not text")
	}
	if utf8.Valid(data) {
		return string(data), "UTF-8", nil
	}
	return with(charmap.Windows1252, data, "Windows-1252")
}

// validUTF8 mends a file whose mark promises UTF-8 but which holds other bytes: two programs wrote it.
func validUTF8(data []byte, name string) (string, string, error) {
	if !utf8.Valid(data) {
		return with(charmap.Windows1252, data, "Windows-1252 under a UTF-8 byte order mark")
	}
	return string(data), name, nil
}

func utf16(data []byte, order unicode.Endianness, name string) (string, string, error) {
	return with(unicode.UTF16(order, unicode.UseBOM), data, name)
}

func with(e encoding.Encoding, data []byte, name string) (string, string, error) {
	text, err := e.NewDecoder().Bytes(data)
	if err != nil {
		return "", "", err
	}
	return string(text), name, nil
}

// zeroBytes recognises UTF-16 without a mark: schedules are mostly Latin letters and digits, whose high byte is zero.
// It looks at the first kilobytes, where a title may be but a single foreign letter does not tip the count.
func zeroBytes(data []byte) (unicode.Endianness, bool) {
	sample := data[:min(len(data)&^1, 4096)]
	var even, odd int
	for i := 0; i+1 < len(sample); i += 2 {
		if sample[i] == 0 {
			even++
		}
		if sample[i+1] == 0 {
			odd++
		}
	}
	pairs := len(sample) / 2
	switch {
	case pairs == 0:
		return unicode.LittleEndian, false
	case odd*3 >= pairs*2 && even*10 < pairs:
		return unicode.LittleEndian, true
	case even*3 >= pairs*2 && odd*10 < pairs:
		return unicode.BigEndian, true
	}
	return unicode.LittleEndian, false
}
