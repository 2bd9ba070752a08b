package problem

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// walker reads a JSON text in one pass, field by field against a schema, and collects every fault with its place
// instead of stopping at the first. It walks only text that encoding/json found valid, so it never meets broken syntax
// and its own code is about meaning. The schema bounds its recursion; unknown values are skipped without recursion.
type walker struct {
	data   []byte
	pos    int
	path   []step // where the value at pos stands
	faults Faults
	texts  map[string]string // one copy of each text: identifiers come up many times
}

// step is one level of a place: a field name, or an index when the name is empty.
type step struct {
	name  string
	index int
}

var byteOrderMark = []byte("\xef\xbb\xbf")

// newWalker checks the syntax of the whole text.
func newWalker(data []byte) (*walker, error) {
	data = bytes.TrimPrefix(data, byteOrderMark)
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, Faults{{Message: "the document is empty"}}
	}
	if at := invalidUTF8(data); at >= 0 {
		return nil, Faults{{Place: lineAndColumn(data, at), Message: "the text is not UTF-8", Remedy: "save it in that encoding"}}
	}
	if !json.Valid(data) {
		return nil, syntaxFault(data)
	}
	return &walker{data: data, texts: map[string]string{}}, nil
}

func syntaxFault(data []byte) Faults {
	var raw json.RawMessage
	err := json.Unmarshal(data, &raw)
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		return Faults{{Place: lineAndColumn(data, int(syntax.Offset)-1), Message: "not valid JSON: " + syntax.Error()}}
	}
	return Faults{{Message: fmt.Sprintf("not valid JSON: %v", err)}}
}

func invalidUTF8(data []byte) int {
	if utf8.Valid(data) {
		return -1
	}
	for at := 0; ; {
		r, size := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && size <= 1 {
			return at
		}
		at += size
	}
}

func lineAndColumn(data []byte, offset int) string {
	before := data[:min(max(offset, 0), len(data))]
	line := bytes.Count(before, []byte{'\n'})
	column := utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])
	return fmt.Sprintf("line %d, column %d", line+1, column+1)
}

func (w *walker) fault(message, remedy string) {
	w.faults = append(w.faults, Fault{Place: w.place(), Message: message, Remedy: remedy})
}

func (w *walker) place() string {
	var place strings.Builder
	for _, s := range w.path {
		switch {
		case s.name == "":
			place.WriteString("[" + strconv.Itoa(s.index) + "]")
		case place.Len() == 0:
			place.WriteString(s.name)
		default:
			place.WriteString("." + s.name)
		}
	}
	return place.String()
}

func (w *walker) enter(s step) { w.path = append(w.path, s) }
func (w *walker) leave()       { w.path = w.path[:len(w.path)-1] }

// peek moves to the next token and returns its first byte, 0 at the end of the text.
func (w *walker) peek() byte {
	for w.pos < len(w.data) {
		switch c := w.data[w.pos]; c {
		case ' ', '\t', '\r', '\n':
			w.pos++
		default:
			return c
		}
	}
	return 0
}

// accept steps over a punctuation byte if it comes next.
func (w *walker) accept(c byte) bool {
	if w.peek() != c {
		return false
	}
	w.pos++
	return true
}

// skip steps over one whole value and returns its text.
func (w *walker) skip() []byte {
	c, from := w.peek(), w.pos
	switch c {
	case '"':
		w.skipText()
	case '{', '[':
		w.skipNested()
	default:
		for w.pos < len(w.data) && !strings.ContainsRune(",]} \t\r\n", rune(w.data[w.pos])) {
			w.pos++
		}
	}
	return w.data[from:w.pos]
}

func (w *walker) skipText() {
	for w.pos++; w.data[w.pos] != '"'; w.pos++ {
		if w.data[w.pos] == '\\' {
			w.pos++
		}
	}
	w.pos++
}

func (w *walker) skipNested() {
	for depth := 0; ; {
		switch w.peek() {
		case '"':
			w.skipText()
			continue
		case '{', '[':
			depth++
		case '}', ']':
			depth--
		}
		w.pos++
		if depth == 0 {
			return
		}
	}
}

// wrongType steps over a value that is not what the schema wants and reports it.
func (w *walker) wrongType(want string) {
	w.fault("must be "+want+", got "+describe(w.skip()), "")
}

// describe words a JSON value for a message, shortened to a readable length.
func describe(raw []byte) string {
	const longest = 40
	text := string(raw)
	if len(text) > longest {
		text = strings.ToValidUTF8(text[:longest], "") + "..."
	}
	switch raw[0] {
	case '"':
		return "the text " + text
	case '{':
		return "an object"
	case '[':
		return "a list"
	case 't', 'f', 'n':
		return text
	}
	return "the number " + text
}

// text reads a text value.
func (w *walker) text() string {
	if w.peek() != '"' {
		w.wrongType("text")
		return ""
	}
	from := w.pos
	w.skipText()
	raw := w.data[from:w.pos]
	if known, ok := w.texts[string(raw)]; ok {
		return known
	}
	text := string(raw[1 : len(raw)-1])
	if bytes.IndexByte(raw, '\\') >= 0 {
		if err := json.Unmarshal(raw, &text); err != nil {
			w.fault("text cannot be read: "+err.Error(), "")
		}
	}
	w.texts[string(raw)] = text
	return text
}

// identifier reads the text that names a thing. Blank ones are refused: no message could point at them.
func (w *walker) identifier() string {
	before := len(w.faults)
	text := w.text()
	if strings.TrimSpace(text) == "" && len(w.faults) == before {
		w.fault("must not be blank", "")
	}
	return text
}

func (w *walker) isNumber() bool {
	c := w.peek()
	return c == '-' || '0' <= c && c <= '9'
}

// whole reads a whole number; 90.0 and 9e1 are whole too.
func (w *walker) whole() int {
	if !w.isNumber() {
		w.wrongType("a whole number")
		return 0
	}
	raw := string(w.skip())
	if n, err := strconv.ParseInt(raw, 10, 64); err == nil {
		return int(n)
	}
	const exact = 1 << 53
	n, err := strconv.ParseFloat(raw, 64)
	if err != nil || n != float64(int64(n)) || n > exact || n < -exact {
		w.fault("must be a whole number, got "+describe([]byte(raw)), "")
		return 0
	}
	return int(n)
}

// seed reads a whole number from 0 to 2^64-1.
func (w *walker) seed() uint64 {
	if !w.isNumber() {
		w.wrongType("a whole number")
		return 0
	}
	raw := w.skip()
	n, err := strconv.ParseUint(string(raw), 10, 64)
	if err != nil {
		w.fault("must be a whole number from 0 to 18446744073709551615, got "+describe(raw), "")
	}
	return n
}

// number reads a number with decimals.
func (w *walker) number() float64 {
	if !w.isNumber() {
		w.wrongType("a number")
		return 0
	}
	raw := w.skip()
	n, err := strconv.ParseFloat(string(raw), 64)
	if err != nil {
		w.fault("is out of range: "+describe(raw), "")
		return 0
	}
	return n
}

// boolean reads true or false.
func (w *walker) boolean() bool {
	switch w.peek() {
	case 't', 'f':
		return w.skip()[0] == 't'
	}
	w.wrongType("true or false")
	return false
}

// instant reads an RFC 3339 time on a whole minute, in UTC.
func (w *walker) instant() time.Time {
	if w.peek() != '"' {
		w.wrongType("a time such as \"2026-11-25T07:00:00-05:00\"")
		return time.Time{}
	}
	text := w.text()
	t, remedy := parseInstant(text)
	if remedy != "" {
		w.fault(fmt.Sprintf("time %q cannot be used", text), remedy)
	}
	return t
}

// parseInstant returns the time in UTC, or what to write instead.
func parseInstant(text string) (t time.Time, remedy string) {
	if err := t.UnmarshalText([]byte(text)); err == nil {
		switch {
		case t.Second() != 0 || t.Nanosecond() != 0:
			return time.Time{}, "times are on whole minutes: write " + t.Truncate(time.Minute).Format(time.RFC3339)
		case t.Year() < FirstYear || t.Year() > LastYear:
			return time.Time{}, fmt.Sprintf("the year must lie in %d to %d", FirstYear, LastYear)
		}
		return t.UTC(), ""
	}
	for _, layout := range []string{"2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02 15:04"} {
		if local, err := time.Parse(layout, text); err == nil {
			return time.Time{}, "it has no offset from UTC: write it as " + local.Format("2006-01-02T15:04:05") + "-05:00 with your own offset"
		}
	}
	if day, err := time.Parse(time.DateOnly, text); err == nil {
		return time.Time{}, "it has no time of day: write it as " + day.Format(time.DateOnly) + "T07:00:00-05:00 with your own offset"
	}
	return time.Time{}, "write an RFC 3339 time such as 2026-11-25T07:00:00-05:00"
}
