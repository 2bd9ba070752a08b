package importing

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
	"jambwright/server/sheet"
)

// openingReader reads the records of one table of openings.
type openingReader struct {
	*collector
	unit     length.Length // of bare numbers, where a title names it
	seen     map[string]Place
	folded   map[string]string // marks of this table by their lower-case form
	doorList bool              // the table has no column for the type, but the title or two columns of a door schedule
}

// readOpenings reads one table. Without a column for marks or sizes there is one fault for the table, not one a row.
func readOpenings(c *collector, seen map[string]Place) {
	r := openingReader{collector: c, seen: seen, folded: map[string]string{}}
	r.unit = titleUnit(c.result.Titles)
	typed := c.has(fType) || c.has(fDescription)
	r.doorList = !typed && (doorTitle(c.result.Titles) || c.count(fDoorType, fMaterial, fHardware, fDoorWidth, fThickness) > 1)
	if !c.hasAny(fSize, fWidth, fDoorWidth, fRoughSize, fRoughWidth) {
		c.tableFault("no column holds the sizes", "name the columns Width and Height, or Size for both in one cell")
		return
	}
	if !typed && !r.doorList {
		c.tableFault("no column holds the type of opening", "add a column Type; "+knownTypes)
		return
	}
	if r.doorList {
		c.tableWarning("no column holds the type of opening; every row is read as a door and frame, or as a pair")
	}
	for _, rec := range c.result.Records {
		r.record(rec)
	}
}

// record reads one row into as many openings as it stands for.
func (r *openingReader) record(rec sheet.Record) {
	row := r.row(rec)
	quantity := r.quantity(row)
	marks := r.marks(row, quantity)
	o := OpeningRow{
		Place: row.place, Level: firstNonEmpty(blank(row.text(fLevel)), rec.Banner.Level, r.level), Area: firstNonEmpty(blank(row.text(fArea)), rec.Banner.Area),
		Room: row.joined(fRoom), HardwareSet: blank(row.text(fHardware)), Release: blank(row.text(fRelease)), Supplier: blank(row.text(fSupplier)),
		Finish: blank(row.text(fFinish)), Notes: row.joined(fNotes), Quantity: 1, Raw: rec.Raw(),
	}
	row.orphans(fLevel, fArea, fRoom, fHardware, fRelease, fSupplier, fFinish, fNotes, fFire, fHanding, fGlass, fThickness, fSidelight, fLeaf, fTransom, fButt)
	r.readSizes(row, &o)
	r.readUpper(row, &o)
	r.readGlass(row, &o)
	r.readFire(row, &o)
	r.readLeafMake(row, &o)
	if row.failed {
		r.dropWarnings(row.place)
		r.unread(marks...)
		return
	}
	for _, mark := range marks {
		o.Mark = mark
		r.openings = append(r.openings, o)
	}
}

// marks reads the mark cell and checks that each mark is new to the file.
func (r *openingReader) marks(row *rowReader, quantity int) []string {
	cell, _, _ := row.rec.Get(fMark)
	switch {
	case cell.Kind == sheet.Orphan:
		row.fault(fMark, "a mark cannot be a ditto mark", "write the mark of this opening")
		return nil
	case cell.Text == "":
		row.fault(fMark, "the mark is missing", "write the opening's mark")
		return nil
	case cell.Kind == sheet.Date:
		row.fault(fMark, "the spreadsheet program has turned the mark into a date", "format the column as text and type the mark again")
		return nil
	}
	marks, numbered, err := readMarks(cell.Text, quantity)
	if err != nil {
		row.refuse(fMark, err, "write one mark a row")
		return nil
	}
	if numbered {
		row.warn(fQuantity, fmt.Sprintf("one mark for %d openings: they are numbered %s to %s", quantity, marks[0], marks[len(marks)-1]))
	}
	for _, m := range marks {
		if first, twice := r.seen[m]; twice {
			row.fault(fMark, fmt.Sprintf("mark %s stands in row %d%s already", m, first.Row, inSheet(first.Sheet)), "give each opening a mark of its own")
			continue
		}
		r.seen[m] = row.place
		lower := strings.ToLower(m)
		if twin, alike := r.folded[lower]; alike {
			row.warn(fMark, fmt.Sprintf("mark %s differs from %s in row %d by capital letters only", m, twin, r.seen[twin].Row))
		}
		r.folded[lower] = m
	}
	return marks
}

func inSheet(name string) string {
	if name == "" {
		return ""
	}
	return " of sheet " + name
}

var quantityText = regexp.MustCompile(`^\(?x?\s*(\d{1,5})(?:\.0+)?\s*x?\)?\s*(?:ea|each|pcs?|pieces?|no|nr|off|sets?|openings?|doors?|pr|prs|pairs?)?\.?$`)

// quantity returns 0 where the sheet gives none. A quantity that cannot be read counts as none after its fault.
func (r *openingReader) quantity(row *rowReader) int {
	text := blank(row.text(fQuantity))
	if text == "" {
		return 0
	}
	m := quantityText.FindStringSubmatch(strings.ToLower(text))
	if m == nil || number(m[1]) == 0 {
		row.fault(fQuantity, "it is no number of openings", "write a whole number from 1, or leave the cell empty for one")
		return 0
	}
	if strings.Contains(strings.ToLower(text), "pr") || strings.Contains(strings.ToLower(text), "pair") {
		row.pair = true
	}
	return number(m[1])
}

// readFire reads 45 MIN, 3/4 HR, 1-1/2 HR, 20. Words that say no rating give none.
func (r *openingReader) readFire(row *rowReader, o *OpeningRow) {
	text := blank(row.text(fFire))
	if text == "" {
		return
	}
	o.FireRating = text
	minutes, ok := fireMinutes(text)
	if !ok {
		row.warn(fFire, "no number of minutes can be read from it; it is kept as written")
	}
	o.FireMinutes = minutes
}

var (
	fireNone  = regexp.MustCompile(`^(?:nr|n/?r|none|no|non[- ]?rated|not rated|unrated|n\.r\.|x|smoke|s|0)$`)
	fireMin   = regexp.MustCompile(`^(\d{2,3})\s*(?:-|–)?\s*(?:m|min|mins|minute|minutes)?\.?(?:\s*(?:label|rated|fire|ul|s))*$`)
	fireHours = regexp.MustCompile(`^(?:(\d)\s*[- ]?\s*)?(?:(\d)/(\d)|(\d)?\.(\d{1,2}))?\s*-?\s*(?:h|hr|hrs|hour|hours)\.?(?:\s*(?:label|rated|fire|ul))*$`)
)

func fireMinutes(text string) (minutes int, ok bool) {
	text = strings.ToLower(length.Plain(text))
	if fireNone.MatchString(text) {
		return 0, true
	}
	if m := fireMin.FindStringSubmatch(text); m != nil {
		return number(m[1]), true
	}
	m := fireHours.FindStringSubmatch(text)
	if m == nil {
		return 0, false
	}
	minutes = 60 * number(m[1])
	switch {
	case m[2] != "" && number(m[3]) > 0:
		minutes += 60 * number(m[2]) / number(m[3])
	case m[5] != "":
		fraction, _ := strconv.ParseFloat(m[4]+"."+m[5], 64)
		minutes += int(60*fraction + 0.5)
	}
	return minutes, minutes > 0
}

var (
	glassCode  = regexp.MustCompile(`^[a-z]{1,5}[- .]?\d{1,3}[a-z]?$|^[a-z]{1,2}$`) // of the drawings, such as GL-2
	glassThick = regexp.MustCompile(`(\d+\s*[- ]\s*\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)\s*("|in\b|inch\b|mm\b)?`)
	glassWords = []struct {
		words *regexp.Regexp
		kind  takeoff.GlassKind
	}{
		{regexp.MustCompile(`insul|\bigu?\b|\bi\.g\.`), takeoff.Insulating},
		{regexp.MustCompile(`lam|acoustic`), takeoff.Laminated},
		{regexp.MustCompile(`temp|\btg\b|mono|float|clear|anneal|\bft\b|tough|wire|cer`), takeoff.Monolithic},
	}
)

// readGlass reads kind and thickness from words such as 3/8" tempered or 1" IGU. A code of the drawings such as GL-2 stays
// a code.
func (r *openingReader) readGlass(row *rowReader, o *OpeningRow) {
	o.Glass = blank(row.text(fGlass))
	lower := strings.ToLower(length.Plain(o.Glass))
	for _, g := range glassWords {
		if g.words.MatchString(lower) {
			o.GlassKind = g.kind
			break
		}
	}
	if m := glassThick.FindStringSubmatch(lower); m != nil && (m[2] != "" || strings.Contains(m[1], "/")) {
		if l, err := length.Parse(m[1]+m[2], length.Inch); err == nil {
			o.GlassThickness = l
		}
	}
	text := blank(row.text(fGlassThick))
	if text == "" {
		if o.Glass != "" && o.GlassKind == "" && o.GlassThickness == 0 && !glassCode.MatchString(lower) {
			row.warn(fGlass, "neither a kind of glass nor its thickness can be read from it; it is kept as written, and weights go by the usual glass")
		}
		return
	}
	_, column, _ := row.rec.Get(fGlassThick)
	l, err := length.Parse(text, column.Unit)
	if err != nil {
		row.refuse(fGlassThick, err, `write it as 3/8" or 10 mm`)
		return
	}
	o.GlassThickness = l
}

var titleUnits = regexp.MustCompile(`(?:dim|size|unit|measure)[a-z]*\b.{0,25}\b(mm|millimet(?:er|re)s?|inch(?:es)?|in\.|feet|met(?:er|re)s)`)

// titleUnit finds "all dimensions in mm" above the headings.
func titleUnit(titles []string) length.Length {
	for _, t := range titles {
		m := titleUnits.FindStringSubmatch(strings.ToLower(t))
		if m == nil {
			continue
		}
		switch m[1][:2] {
		case "mm", "mi":
			return length.Millimetre
		case "in":
			return length.Inch
		case "fe":
			return length.Foot
		case "me":
			return length.Metre
		}
	}
	return 0
}

func doorTitle(titles []string) bool {
	for _, t := range titles {
		if lower := strings.ToLower(t); strings.Contains(lower, "door") && strings.Contains(lower, "schedule") {
			return true
		}
	}
	return false
}
