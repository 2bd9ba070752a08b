package sheet

import (
	"slices"
	"strings"
	"unicode"

	"jambwright/scheduler/length"
)

// Repeat says when a blank cell repeats the cell above it.
type Repeat int

// The rules for blank cells. "Wider" is the heading named by Within, such as the level an area lies in.
const (
	Never                Repeat = iota // a blank is a blank
	Always                             // a blank repeats
	UnlessWiderChanges                 // a blank repeats while the wider column holds the same value as the row above
	OnlyWithBlankOfWider               // a blank repeats only where the wider column is blank too
)

// Heading is one heading a sheet may have, under all the names people give it.
type Heading struct {
	Field  string   // the caller's name for it
	Names  []string // in the form Normalize gives, the surest first: of two columns with the same heading that one counts
	Repeat Repeat
	Within string // Field of the wider heading
	Many   bool   // several columns may have it
}

// Vocabulary is the headings of one kind of sheet. The first is the key: a row that has all others but not the key is
// incomplete, and a heading row is known by having the key.
type Vocabulary []Heading

// Column is one column under a known heading.
type Column struct {
	Index   int
	Field   string
	Heading string        // as written in the sheet, upper and lower part joined: "DOOR W"
	Unit    length.Length // unit of bare numbers, if the heading names one: "WIDTH (MM)"; 0 if not
	FeetIn  bool          // the heading says feet and inches: "W (FT-IN)"
}

// InchPart is added to the field of the second of two columns that share a dimension: Width ft, Width in.
const InchPart = " inch part"

// Letter is the column's letter in the spreadsheet program.
func (c Column) Letter() string { return ColumnName(c.Index) }

// Normalize brings a heading to the form in which names are compared: lower case, punctuation as single spaces, # as
// "no", points of abbreviations dropped (R.O. is ro), & as "and".
func Normalize(text string) string {
	text = strings.ToLower(length.Plain(text))
	text = strings.NewReplacer("#", " no ", "&", " and ", "w/", " with ", "@", " at ").Replace(text)
	runes := []rune(text)
	var b strings.Builder
	word := 0 // letters and digits since the last break
	for i, r := range runes {
		switch {
		case r == '\'' && inside(runes, i):
			// MAT'L and REQ'D are one word
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r > 127:
			b.WriteRune(r)
			word++
		case r == '.' && word == 1:
			word = 0 // R.O. runs together
		case r == '\'' || r == '"':
			b.WriteByte(' ')
			b.WriteRune(r)
			b.WriteByte(' ')
			word = 0
		default:
			b.WriteByte(' ')
			word = 0
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func inside(runes []rune, i int) bool {
	return i > 0 && i+1 < len(runes) && unicode.IsLetter(runes[i-1]) && unicode.IsLetter(runes[i+1])
}

// units lists words that name the unit of a column when they end its heading.
var units = map[string]length.Length{
	"mm": length.Millimetre, "millimeters": length.Millimetre, "millimetres": length.Millimetre, "cm": length.Centimetre,
	"m": length.Metre, "meters": length.Metre, "metres": length.Metre,
	"in": length.Inch, "ins": length.Inch, "inch": length.Inch, "inches": length.Inch, `"`: length.Inch,
	"ft": length.Foot, "feet": length.Foot, "foot": length.Foot, "'": length.Foot,
}

// cutUnit takes units off the end of a normalized heading. Feet followed by inches is a way of writing, not a unit.
func cutUnit(name string) (rest string, unit length.Length, feetIn bool) {
	words := strings.Fields(name)
	end := len(words)
	for end > 0 && units[words[end-1]] != 0 {
		end--
	}
	found := words[end:]
	switch {
	case len(found) == 1:
		unit = units[found[0]]
	case len(found) == 2 && found[0] == "in": // width in feet
		unit = units[found[1]]
	case len(found) == 2 && units[found[0]] == length.Foot && units[found[1]] == length.Inch:
		feetIn = true
	}
	return strings.Join(words[:end], " "), unit, feetIn
}

// fillers are words that a heading may have or not without changing what it names.
var fillers = []string{
	"the", "of", "per", "each", "approx", "est", "required", "reqd", "nominal", "nom", "overall", "finished", "net", "dim",
	"dims", "dimension", "measured", "field", "clear", "actual", "note", "see", "in",
}

// lexicon looks texts up in a vocabulary and remembers the answers: most cells of a list repeat, and every row is asked
// whether it is a heading. It lives for one table.
type lexicon struct {
	vocabulary Vocabulary
	names      map[string]entry
	known      map[string]entry
}

// entry is the heading that a text names; rank orders texts that name the same heading, the surer one first. A nil
// heading means that the text names none.
type entry struct {
	heading *Heading
	rank    int
	unit    length.Length
	feetIn  bool
}

func newLexicon(v Vocabulary) *lexicon {
	l := &lexicon{vocabulary: v, names: map[string]entry{}, known: map[string]entry{}}
	for i := range v {
		for rank, name := range v[i].Names {
			if _, taken := l.names[name]; !taken {
				l.names[name] = entry{heading: &v[i], rank: rank}
			}
		}
	}
	return l
}

// find returns the heading a text names: exactly, without a trailing unit, a word for number, or filler words. No heading holds a
// digit, which spares most cells of a list the closer look.
func (l *lexicon) find(text string) entry {
	if text == "" || len(text) > 80 || strings.ContainsAny(text, "0123456789") {
		return entry{}
	}
	if e, ok := l.known[text]; ok {
		return e
	}
	e := l.look(Normalize(text))
	l.known[text] = e
	return e
}

func (l *lexicon) look(name string) entry {
	if e, ok := l.names[name]; ok {
		return e
	}
	rest, unit, feetIn := cutUnit(name)
	if e, ok := l.names[rest]; ok {
		e.unit, e.feetIn = unit, feetIn
		return e
	}
	if e, ok := l.names[cutNumberWord(rest)]; ok {
		e.unit, e.feetIn = unit, feetIn
		e.rank += len(e.heading.Names)
		return e
	}
	words := slices.DeleteFunc(strings.Fields(rest), func(w string) bool { return slices.Contains(fillers, w) })
	if e, ok := l.names[strings.Join(words, " ")]; ok {
		e.unit, e.feetIn = unit, feetIn
		e.rank += len(e.heading.Names)
		return e
	}
	return entry{}
}

// cutNumberWord takes the word for number off the end: opening mark no.
func cutNumberWord(name string) string {
	for _, word := range []string{" no", " nos", " number", " numbers", " num", " id"} {
		if rest, found := strings.CutSuffix(name, word); found {
			return rest
		}
	}
	return name
}

func (v Vocabulary) field(field string) *Heading {
	for i := range v {
		if v[i].Field == field {
			return &v[i]
		}
	}
	return nil
}

// isUnitOnly reports whether a heading cell holds nothing but a unit: (mm), FT-IN.
func isUnitOnly(text string) bool {
	rest, unit, feetIn := cutUnit(Normalize(text))
	return rest == "" && (unit != 0 || feetIn)
}
