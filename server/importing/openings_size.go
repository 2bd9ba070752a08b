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

// Bounds between which sizes are believed. A leaf of interior work is 2'-0" to 4'-0" wide; between leafMost and
// pairLeast a width given for a pair may be one leaf's or both leaves'.
const (
	leastSize = 3 * length.Inch
	mostSize  = 150 * length.Foot // of a storefront run
	mostHigh  = 40 * length.Foot
	mostDoor  = 20 * length.Foot // the width of a door and frame or a pair, sidelights included
	leafMost  = 44 * length.Inch
	pairLeast = 56 * length.Inch
	doorLeast = 60 * length.Inch // no door is lower, so a lower "height" is a width
	oneLeaf   = 60 * length.Inch // 5'-0" and over written as 6070 may be a pair
)

// measured is what all size cells of one row say together.
type measured struct {
	width, height, thickness dim
	field                    string // where the width stands, for faults
	heading                  string // of that column
	ordered                  bool   // letters or the heading say which is the width
	lettered                 bool   // letters say so
	size                            // everything beside the numbers
}

// readSizes fills in type, sizes, leaves, sidelights and handing, which bear on each other: a pair doubles the width of
// its leaf, a sidelight stands beside it.
func (r *openingReader) readSizes(row *rowReader, o *OpeningRow) {
	row.orphans(fType, fDescription, fDoorType, fSize, fWidth, fHeight, fDoorWidth, fDoorHeight, fLeafWidth, fLeaves, fQuantity)
	m, ok := r.measure(row)
	kind := r.kindOf(row, m)
	r.thickness(row, o, m)
	if !ok || row.failed {
		return
	}
	o.Type, o.Width, o.Height = kind.kind, m.width.value, m.height.value
	o.Sidelights = r.sidelights(row, kind)
	if !o.Type.IsDoorSized() && sidelightsWidth(o.Sidelights) >= o.Width {
		row.fault(fSidelight, "the sidelights are as wide as the whole opening", `write the width of the glass beside the leaf, such as 1'-6"; the width is the whole opening's`)
	}
	r.leaves(row, o, m, kind)
	r.lights(row, o)
	r.handing(row, o, m)
	r.doubts(row, o, m)
	if len(m.notes) > 0 {
		row.warn(m.field, "beside the size it says "+strings.Join(m.notes, ", "))
	}
}

// measure reads the size column, or the columns for width and height, and settles what bare numbers count.
func (r *openingReader) measure(row *rowReader) (measured, bool) {
	m := measured{}
	var ok bool
	if row.text(fSize) != "" {
		m, ok = r.fromSize(row, fSize)
	} else if width, height := r.pickColumns(row); width != "" || height != "" {
		m, ok = r.fromColumns(row, width, height)
	} else if row.text(fRoughSize) != "" {
		row.warn(fRoughSize, "only the rough opening is given; it is taken as the opening")
		m, ok = r.fromSize(row, fRoughSize)
	} else {
		row.fault(r.sizeField(), "the size is missing", sizeRemedy+`, or a ditto mark to repeat the one above`)
		return m, false
	}
	if !ok {
		return m, false
	}
	if wrong, err := settleBare(&m.width, &m.height); err != nil {
		row.refuse(wrong.field, err, sizeRemedy)
		return m, false
	}
	for i, d := range []dim{m.width, m.height} {
		if d.value < leastSize || d.value > mostSize || i == 1 && d.value > mostHigh {
			row.fault(d.field, fmt.Sprintf("%s (%s) is no size of an opening", d.value.FeetInches(), d.value), sizeRemedy)
			return m, false
		}
	}
	return m, true
}

// sizeField is where a missing size is shown.
func (r *openingReader) sizeField() string {
	for _, f := range []string{fSize, fWidth, fDoorWidth, fRoughSize, fRoughWidth} {
		if r.has(f) {
			return f
		}
	}
	return fSize
}

// pickColumns chooses the columns that hold width and height: the opening's, else the door's, else the rough opening's.
func (r *openingReader) pickColumns(row *rowReader) (width, height string) {
	for _, pair := range [][2]string{{fWidth, fHeight}, {fDoorWidth, fDoorHeight}, {fRoughWidth, fRoughHeight}} {
		if width == "" && blank(row.text(pair[0])) != "" {
			width = pair[0]
		}
		if height == "" && blank(row.text(pair[1])) != "" {
			height = pair[1]
		}
	}
	if width == fRoughWidth || height == fRoughHeight {
		row.warn(fRoughWidth, "only the rough opening is given; it is taken as the opening")
	}
	return width, height
}

// fromSize reads one cell with all dimensions. Letters in the text decide which is which, then the heading, then the
// usual order, width first.
func (r *openingReader) fromSize(row *rowReader, field string) (measured, bool) {
	s, column, ok := r.sizeCell(row, field, false)
	if !ok {
		return measured{}, false
	}
	if len(s.dims) < 2 {
		row.fault(field, "only one dimension is given", sizeRemedy)
		return measured{}, false
	}
	heightFirst, said := headingOrder(column.Heading)
	return r.assign(row, field, s, heightFirst, said)
}

// assign gives each dimension its place.
func (r *openingReader) assign(row *rowReader, field string, s size, heightFirst, said bool) (measured, bool) {
	m := measured{size: s, field: field, width: s.dims[0], height: s.dims[1], ordered: said || s.code}
	_, column, _ := row.rec.Get(field)
	m.heading = column.Heading
	if len(s.dims) == 3 {
		m.thickness = s.dims[2]
	}
	a, b := s.dims[0].tag, s.dims[1].tag
	switch {
	case a == 'w' && b != 'w' || b == 'h' && a != 'h':
		m.ordered, m.lettered = true, true
		return m, true
	case a == 'h' && b != 'h' || b == 'w' && a != 'w':
		m.width, m.height = m.height, m.width
		m.ordered, m.lettered = true, true
		return m, true
	case a != 0 && a == b:
		row.fault(field, "two dimensions have the same letter", sizeRemedy)
		return m, false
	}
	if heightFirst && !s.code {
		m.width, m.height = m.height, m.width
		row.warn(field, fmt.Sprintf("read height first, as the heading %q says", m.heading))
	}
	return m, true
}

var (
	orderWidth  = regexp.MustCompile(`\b(?:w|wd|width|wide)\b|wxh`)
	orderHeight = regexp.MustCompile(`\b(?:h|ht|height|high)\b|hxw`)
)

// headingOrder reads SIZE (W x H) and OPENING HT/WD.
func headingOrder(heading string) (heightFirst, said bool) {
	name := sheet.Normalize(heading)
	w, h := orderWidth.FindStringIndex(name), orderHeight.FindStringIndex(name)
	if w == nil || h == nil {
		if strings.Contains(name, "hxw") {
			return true, true
		}
		return false, strings.Contains(name, "wxh")
	}
	return h[0] < w[0], true
}

// fromColumns reads width and height from their own columns. A cell that holds both, because it is merged over both
// columns or because somebody wrote it so, counts in the order of the columns.
func (r *openingReader) fromColumns(row *rowReader, width, height string) (measured, bool) {
	w, wColumn, okW := r.sizeCell(row, width, true)
	h, hColumn, okH := r.sizeCell(row, height, true)
	same := width != "" && height != "" && row.text(width) == row.text(height)
	switch {
	case okW && len(w.dims) >= 2 && (height == "" || same):
		return r.assign(row, width, w, r.heightColumnFirst(width), true)
	case okH && len(h.dims) >= 2 && width == "":
		return r.assign(row, height, h, r.heightColumnFirst(height), true)
	case width != "" && !okW || height != "" && !okH:
		return measured{}, false
	case width == "":
		return measured{}, r.missing(row, fWidth, fDoorWidth, "width")
	case height == "":
		return measured{}, r.missing(row, fHeight, fDoorHeight, "height")
	case len(w.dims) > 1 || len(h.dims) > 1:
		row.fault(width, "one cell holds a whole size and the other one a dimension as well", "write one dimension in each column")
		return measured{}, false
	}
	m := measured{size: w, field: width, heading: wColumn.Heading, width: w.dims[0], height: h.dims[0], ordered: true}
	m.pair = w.pair || h.pair
	m.notes = append(m.notes, h.notes...)
	if m.width.bare != m.height.bare && (wColumn.Unit == 0) != (hColumn.Unit == 0) {
		row.warn(width, "one of the two columns names a unit and the other does not")
	}
	return m, true
}

// heightColumnFirst reports whether the height's column stands left of the width's.
func (r *openingReader) heightColumnFirst(field string) bool {
	wide, high := fWidth, fHeight
	if field == fDoorWidth || field == fDoorHeight {
		wide, high = fDoorWidth, fDoorHeight
	}
	w, h := -1, -1
	for _, c := range r.result.Columns {
		switch c.Field {
		case wide:
			w = c.Index
		case high:
			h = c.Index
		}
	}
	return h >= 0 && w >= 0 && h < w
}

func (r *openingReader) missing(row *rowReader, field, other, word string) bool {
	if !r.has(field) && r.has(other) {
		field = other
	}
	row.fault(field, "the "+word+" is missing", lengthRemedy+", or a ditto mark to repeat the one above")
	return false
}

// sizeCell reads one size cell. Field "" or an empty cell is not there.
func (r *openingReader) sizeCell(row *rowReader, field string, single bool) (size, sheet.Column, bool) {
	cell, column, found := row.rec.Get(field)
	if field == "" || !found || blank(row.text(field)) == "" {
		return size{}, column, false
	}
	if cell.Kind == sheet.Date {
		row.fault(field, "the spreadsheet program has turned the size into a date", `format the column as text and type the size again, such as 3'-7"`)
		return size{}, column, false
	}
	unit := column.Unit
	if unit == 0 && !column.FeetIn {
		unit = r.unit
	}
	text := cell.Text
	if inches := blank(row.text(field + sheet.InchPart)); inches != "" {
		text = strings.TrimRight(strings.TrimSpace(text), "'") + "'-" + strings.TrimRight(inches, `"`) + `"`
	}
	s, err := readSize(text, sizeContext{unit: unit, single: single})
	if err != nil {
		row.refuse(field, err, lengthRemedy)
		return s, column, false
	}
	for i := range s.dims {
		s.dims[i].field = field
	}
	return s, column, true
}

// settleBare decides what numbers without a unit count, by their size: 12 to 240 can only be inches and 300 to 30,000 only
// millimetres, since nobody builds 36 mm or 2134 in. Smaller numbers may be feet or metres, and a width in inches does
// not stand beside a height in millimetres; both are refused, with the dimension at fault.
func settleBare(dims ...*dim) (wrong *dim, err error) {
	var unit length.Length
	for _, d := range dims {
		if !d.bare && len(dims) > 1 {
			unit = length.Inch
			if d.metric {
				unit = length.Millimetre
			}
		}
	}
	for _, d := range dims {
		if !d.bare {
			continue
		}
		n, err := strconv.ParseFloat(d.number, 64)
		if err != nil {
			return d, err
		}
		guess := length.Length(0)
		switch {
		case n >= 12 && n <= 240:
			guess = length.Inch
		case n >= 300 && n <= 30_000:
			guess = length.Millimetre
		}
		if guess == 0 {
			return d, refuse(lengthRemedy+", or name the unit in the heading", "the number %s has no unit and none can be told from its size", d.number)
		}
		if unit != 0 && unit != guess {
			return d, refuse("write both with their unit, as "+sizeRemedy[len("write it as "):], "%s has no unit: by its size it is %s, but the other dimension is not", d.number, unitName(guess))
		}
		unit = guess
		if d.value, err = length.Parse(d.number, unit); err != nil {
			return d, err
		}
		d.bare, d.metric = false, unit == length.Millimetre
	}
	return nil, nil
}

func unitName(unit length.Length) string {
	if unit == length.Inch {
		return "inches"
	}
	return "millimetres"
}

// thickness reads the leaf's thickness from its column or from the third dimension of a size.
func (r *openingReader) thickness(row *rowReader, o *OpeningRow, m measured) {
	d, field := m.thickness, m.field
	if text := blank(row.text(fThickness)); text != "" {
		_, column, _ := row.rec.Get(fThickness)
		var err error
		if d, err = readDim(strings.ToLower(length.Plain(text)), sizeContext{unit: column.Unit, single: true}, false); err != nil {
			row.fault(fThickness, "it is no thickness", `write it as 1 3/4" or 45 mm`)
			return
		}
		field = fThickness
	}
	if d.bare {
		unit := length.Length(0)
		switch n, err := strconv.ParseFloat(d.number, 64); {
		case err == nil && n <= 4:
			unit = length.Inch
		case err == nil && n >= 20:
			unit = length.Millimetre
		}
		l, err := length.Parse(d.number, unit)
		if err != nil {
			row.fault(field, "the thickness has no unit and none can be told from its size", `write it as 1 3/4" or 45 mm`)
			return
		}
		d.value = l
	}
	o.Thickness = d.value
}

// doubts warns of readings that a person should look at, and refuses the one that is nearly always a slip: a door lower
// than 5'-0" and wider than high, unless letters beside the numbers say so.
func (r *openingReader) doubts(row *rowReader, o *OpeningRow, m measured) {
	door := o.Type != takeoff.FixedLight && o.Type != takeoff.Storefront
	if door && o.Height < doorLeast {
		if !m.ordered || o.Width > o.Height && !m.lettered {
			row.fault(m.field, fmt.Sprintf("a height of %s is too low for a door; width and height may be the wrong way round", o.Height.FeetInches()), `write the width first, or letters: 3'-0"W x 7'-0"H`)
			return
		}
		row.warn(m.field, fmt.Sprintf("a height of %s is low for a door", o.Height.FeetInches()))
	}
	if o.Width > mostDoor && (o.Type == takeoff.DoorFrame || o.Type == takeoff.Pair) {
		row.fault(m.width.field, fmt.Sprintf("%s (%s) is no width of a door", o.Width.FeetInches(), o.Width), lengthRemedy)
		return
	}
	if o.Type == takeoff.DoorFrame && o.Width >= oneLeaf && len(o.Sidelights) == 0 && !row.failed {
		row.warn(m.field, fmt.Sprintf("%s is wide for one leaf without a sidelight", o.Width.FeetInches()))
	}
	if w, h, soft := softMetric(m.width, m.height); soft {
		row.warn(m.field, fmt.Sprintf("kept as written; it is close to %s x %s (%s x %s mm)", w.FeetInches(), h.FeetInches(), w.Millimetres(), h.Millimetres()))
	}
}

// softMetric recognises inch sizes rounded to whole millimetres: both dimensions within 1 mm of whole inches, not on them.
func softMetric(w, h dim) (inchW, inchH length.Length, soft bool) {
	near := func(l length.Length) length.Length { return (l + length.Inch/2) / length.Inch * length.Inch }
	off := func(l length.Length) length.Length { return max(l-near(l), near(l)-l) }
	if !w.metric || !h.metric || off(w.value) == 0 && off(h.value) == 0 {
		return 0, 0, false
	}
	return near(w.value), near(h.value), off(w.value) <= length.Millimetre && off(h.value) <= length.Millimetre
}
