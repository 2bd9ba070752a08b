package importing

import (
	"fmt"
	"regexp"
	"strings"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
	"jambwright/server/sheet"
)

// kindOf decides on the type: the type column, else the description, else the door's type or material; where there is
// only a door schedule, a door and frame. Letters such as F or N in a schedule titled so are door elevations.
func (r *openingReader) kindOf(row *rowReader, m measured) typeReading {
	field, text := fType, blank(row.text(fType))
	if text == "" {
		field, text = fDescription, blank(row.text(fDescription))
	}
	kind, err := readType(text)
	if err != nil && field == fType {
		if other, otherErr := readType(row.text(fDescription)); otherErr == nil {
			kind, err = other, nil
		}
	}
	if err != nil && (r.doorList || text != "" && len(text) <= 3 && doorTitle(r.result.Titles)) {
		kind, err = r.doorKind(row), nil
	}
	if err != nil && text == "" && (m.pair || m.code && m.material != "") {
		kind, err = typeReading{kind: takeoff.DoorFrame}, nil
	}
	if err != nil {
		if text == "" && !r.has(fType) {
			field = fDescription
		} else if text == "" {
			field = fType
		}
		row.refuse(field, err, knownTypes)
		return kind
	}
	if kind.kind == takeoff.DoorFrame && (m.pair || row.pair || kind.leaves == 2) {
		kind.kind = takeoff.Pair
	}
	return kind
}

func (r *openingReader) doorKind(row *rowReader) typeReading {
	for _, field := range []string{fDoorType, fMaterial} {
		if kind, err := readType(row.text(field)); err == nil {
			return kind
		}
	}
	return typeReading{kind: takeoff.DoorFrame}
}

// leaves settles how many leaves there are and how wide each is, and from a leaf's width the opening's.
func (r *openingReader) leaves(row *rowReader, o *OpeningRow, m measured, kind typeReading) {
	o.Leaves = r.leafCount(row, o, m, kind)
	o.LeafWidth = r.leafSize(row, fLeafWidth)
	o.LeafHeight = r.leafSize(row, fLeafHeight)
	if o.LeafWidth == 0 && m.field != fDoorWidth {
		o.LeafWidth = r.leafSize(row, fDoorWidth)
	}
	if row.failed {
		return
	}
	switch {
	case len(m.sidelights) > 0:
		r.addSidelights(row, o, m)
	case o.Type == takeoff.Pair || m.perLeaf && o.Leaves == 2:
		r.pairWidth(row, o, m)
	case o.Type == takeoff.DoorFrame && m.code && o.Width >= oneLeaf && o.Leaves == 1 && len(o.Sidelights) == 0 && row.text(fLeaves) == "":
		row.fault(m.field, "it may be a pair or one wide leaf", "write 6070 PR for a pair whose opening is 6'-0\", PR 3070 for two leaves of 3'-0\", or the width in feet and inches")
	case o.Type == takeoff.DoorFrame && o.LeafWidth == 0 && len(o.Sidelights) == 0 && !outerHeading(m.heading):
		o.LeafWidth, o.LeafHeight = o.Width, firstNonZero(o.LeafHeight, o.Height)
	}
}

var (
	solidWords = regexp.MustCompile(`\b(?:solid|wood|wd|scw|sc|particle|mineral|veneer|timber|oak|maple|birch|h\.?m|hollow|steel|metal|flush|mdf|plam|laminate)\b`)
	glazedWord = regexp.MustCompile(`\b(?:glass|gl|glazed|all[- ]glass|full[- ]lite|full[- ]light|fg|stile|rail|rails)\b`)
	usualWords = regexp.MustCompile(`^(?:std|standard|typ|typical|usual|n/?a|none|same)\.?$`)
)

// readLeafMake reads what the leaves are made of. A column of the leaf itself decides; one of the door's material does so for fronts and
// storefronts only, since on a door it tells solid leaves apart. A solid leaf with a light in it is solid: its light arrives in it.
func (r *openingReader) readLeafMake(row *rowReader, o *OpeningRow) {
	text := strings.ToLower(blank(row.text(fLeaf)))
	own := text != ""
	doorSized := o.Type.IsDoorSized()
	if !own && !doorSized {
		text = strings.ToLower(blank(row.text(fMaterial)))
	}
	made := UsualLeaf
	switch {
	case text == "" || usualWords.MatchString(text) || o.Type == takeoff.FixedLight:
		return
	case solidWords.MatchString(text):
		made = SolidLeaf
	case glazedWord.MatchString(text):
		made = GlassLeaf
	case own:
		row.fault(fLeaf, "it does not say what the leaf is made of", "write solid wood, hollow metal or glass, or leave the cell empty for what is usual for the type")
		return
	}
	if made == SolidLeaf && !doorSized || made == GlassLeaf && doorSized {
		o.Leaf = made
	}
}

func firstNonZero(a, b length.Length) length.Length {
	if a != 0 {
		return a
	}
	return b
}

var outerWords = regexp.MustCompile(`\b(?:opening|opng|frame|overall|unit|rough|ro|masonry)\b`)

// outerHeading reports whether a heading says that its widths are over all and not of a leaf.
func outerHeading(heading string) bool { return outerWords.MatchString(sheet.Normalize(heading)) }

func (r *openingReader) leafCount(row *rowReader, o *OpeningRow, m measured, kind typeReading) int {
	text := blank(row.text(fLeaves))
	if text == "" {
		switch {
		case o.Type == takeoff.Pair || kind.leaves == 2 || m.pair:
			return 2
		case o.Type == takeoff.FixedLight || o.Type == takeoff.Storefront:
			return 0
		}
		return 1
	}
	q := quantityText.FindStringSubmatch(strings.ToLower(text))
	if q == nil || number(q[1]) > 8 {
		row.fault(fLeaves, "it is no number of leaves", "write 1 or 2")
		return 0
	}
	n := number(q[1])
	switch {
	case o.Type == takeoff.DoorFrame && n == 2:
		o.Type = takeoff.Pair
	case o.Type == takeoff.Pair && n != 2, o.Type == takeoff.DoorFrame && n > 2:
		row.fault(fLeaves, fmt.Sprintf("%d leaves do not fit the type", n), "a door and frame has 1 leaf, a pair 2")
	}
	return n
}

func (r *openingReader) leafSize(row *rowReader, field string) length.Length {
	s, _, ok := r.sizeCell(row, field, true)
	if !ok {
		return 0
	}
	d := s.dims[0]
	if _, err := settleBare(&d); err != nil || len(s.dims) > 1 {
		row.fault(field, "it is no width or height of a leaf", lengthRemedy)
		return 0
	}
	return d.value
}

// pairWidth decides whether the width given for a pair is the opening's or one leaf's.
func (r *openingReader) pairWidth(row *rowReader, o *OpeningRow, m measured) {
	w := o.Width
	switch {
	case m.perLeaf || !outerHeading(m.heading) && w <= leafMost && o.LeafWidth == 0 || m.pairFirst && m.code && w <= leafMost:
		o.Width, o.LeafWidth = 2*w, w
		if !m.perLeaf && !m.pair {
			row.warn(m.field, fmt.Sprintf("read as the width of one leaf of the pair; the opening is then %s wide", o.Width.FeetInches()))
		}
	case o.LeafWidth != 0 && o.LeafWidth < w, outerHeading(m.heading):
	case w < pairLeast:
		row.fault(m.field, fmt.Sprintf("%s may be the width of one leaf or of the whole pair", w.FeetInches()), `write (2) 2'-0" for the leaves, or the opening's width under a heading Opening width`)
		return
	}
	if o.LeafWidth == 0 && len(o.Sidelights) == 0 {
		o.LeafWidth = o.Width / 2
	}
	o.LeafHeight = firstNonZero(o.LeafHeight, o.Height)
}

// addSidelights adds the sidelights written in the size cell, 3-0 x 9-0 SL 1-6, to the door's width. The mullions between
// are not known and not counted.
func (r *openingReader) addSidelights(row *rowReader, o *OpeningRow, m measured) {
	leaves := max(o.Leaves, 1)
	if o.Type == takeoff.Pair && m.pairFirst || m.perLeaf {
		o.Width *= length.Length(leaves)
	}
	o.LeafWidth, o.LeafHeight = o.Width/length.Length(leaves), o.Height
	o.Sidelights = o.Sidelights[:0]
	total := o.Width
	for _, w := range m.sidelights {
		o.Sidelights = append(o.Sidelights, Sidelight{Width: w})
		total += w
	}
	if total > o.Width {
		o.Width = total
		row.warn(m.field, fmt.Sprintf("the width is door and sidelights together, %s, without the mullions between them", total.FeetInches()))
	}
}

var (
	sideCount = regexp.MustCompile(`^\(?([1-4])\)?$`)
	sideBoth  = regexp.MustCompile(`^(?:both|b|2 sides|each side|ea side|both sides|l&r|l/r|l & r|lr|pair|pr|2x)$`)
	sideYes   = regexp.MustCompile(`^(?:y|yes|x|true|✓|✔|•|one)$`)
	sideNo    = regexp.MustCompile(`^(?:no|n|false|0|0'-0"|0")$`)
	sideMany  = regexp.MustCompile(`^\(?\s*([1-4])\s*\)?\s*[@x×]?\s+(.+)$|^\(([1-4])\)\s*(.+)$`)
	sideWord  = regexp.MustCompile(`(?i)\b(left|right|lh|rh|l|r)\b[.:]?`)
)

// sidelights reads the sidelight columns, else what the type's words say.
func (r *openingReader) sidelights(row *rowReader, kind typeReading) []Sidelight {
	var lights []Sidelight
	given := false
	for column, cell := range row.rec.All {
		if column.Field != fSidelight || blank(cell.Text) == "" || cell.Kind == sheet.Orphan {
			continue
		}
		given = true
		more, err := readSidelight(cell.Text, column, r.unit)
		if err != nil {
			row.refuse(fSidelight, err, `write the width as 1'-6", or (2) 1'-6", or left or right after it`)
			return nil
		}
		lights = append(lights, more...)
	}
	if !given {
		for range kind.sidelights {
			lights = append(lights, Sidelight{})
		}
	}
	return lights
}

// sidelightsWidth is what sidelights take together, as far as their widths are given.
func sidelightsWidth(lights []Sidelight) (sum length.Length) {
	for _, l := range lights {
		sum += l.Width
	}
	return sum
}

// readSidelight reads 1'-6", (2) 1'-6", 1'-6" L, left, both, yes, 2. A bare number from 1 to 4 counts sidelights unless the
// heading names a unit or a width.
func readSidelight(text string, column sheet.Column, titleUnit length.Length) ([]Sidelight, error) {
	text = strings.ToLower(length.Plain(text))
	side := sideOf(sheet.Normalize(column.Heading))
	counted := column.Unit == 0 && !strings.Contains(sheet.Normalize(column.Heading), "width")
	switch {
	case sideNo.MatchString(text):
		return nil, nil
	case sideYes.MatchString(text):
		return []Sidelight{{Side: side}}, nil
	case sideBoth.MatchString(text):
		return []Sidelight{{Side: takeoff.Left}, {Side: takeoff.Right}}, nil
	case counted && sideCount.MatchString(text):
		return make([]Sidelight, number(sideCount.FindStringSubmatch(text)[1])), nil
	}
	n := 1
	if m := sideMany.FindStringSubmatch(text); m != nil && !strings.HasPrefix(m[2], "/") {
		if rest := firstNonEmpty(m[2], m[4]); !strings.Contains(rest, "/") || strings.ContainsAny(rest, `'"`) {
			n, text = number(firstNonEmpty(m[1], m[3])), rest
		}
	}
	if word := sideOf(text); word != "" {
		side = word
		text = strings.Trim(sideWord.ReplaceAllString(text, " "), " -,;:")
	}
	light := Sidelight{Side: side}
	if text != "" {
		s, err := readSize(text, sizeContext{unit: firstNonZero(column.Unit, titleUnit), single: true})
		if err != nil {
			return nil, err
		}
		light.Width = s.dims[0].value
		if d := s.dims[0]; d.bare {
			if err := settleBareSide(&d); err != nil {
				return nil, err
			}
			light.Width = d.value
		}
	}
	lights := make([]Sidelight, n)
	for i := range lights {
		lights[i] = light
	}
	return lights, nil
}

// settleBareSide is settleBare for sidelights, which start at 6 in.
func settleBareSide(d *dim) error {
	if n := number(strings.SplitN(d.number, ".", 2)[0]); n >= 6 && n < 12 {
		l, err := length.Parse(d.number, length.Inch)
		d.value, d.bare = l, false
		return err
	}
	_, err := settleBare(d)
	return err
}

func sideOf(text string) takeoff.Side {
	switch strings.Trim(sideWord.FindString(text), ".:") {
	case "left", "lh", "l":
		return takeoff.Left
	case "right", "rh", "r":
		return takeoff.Right
	}
	return ""
}

// wideLight is a width from which a single pane is unlikely: common stock sheets of glass are 130 in long.
const wideLight = 130 * length.Inch

var lightWords = regexp.MustCompile(`\b(\d{1,2})[ -]?(?:lites?|lights?|lts?|bays?|panels?)\b`)

// lights reads how many lights stand side by side, from a column or from words such as "storefront, 4 lites".
func (r *openingReader) lights(row *rowReader, o *OpeningRow) {
	if text := blank(row.text(fLights)); text != "" {
		o.Lights = row.count(fLights, 1, 99, "write how many lights stand side by side")
		return
	}
	if o.Type != takeoff.Storefront && o.Type != takeoff.FixedLight {
		return
	}
	for _, field := range []string{fType, fDescription} {
		if m := lightWords.FindStringSubmatch(strings.ToLower(row.text(field))); m != nil {
			o.Lights = number(m[1])
		}
	}
	if o.Lights == 0 && o.Width > wideLight {
		row.warn(fType, fmt.Sprintf("the number of lights is not given, so it counts as one pane %s wide; write the number in a column Lights", o.Width.FeetInches()))
	}
}

// handing takes the handing column, else what stands beside the size. Beside a size with a sidelight LH may mean the swing
// or the side of the sidelight, and nobody is to guess.
func (r *openingReader) handing(row *rowReader, o *OpeningRow, m measured) {
	o.Handing = strings.ToUpper(blank(row.text(fHanding)))
	if m.hand == "" || m.hand == o.Handing {
		return
	}
	if len(m.sidelights) > 0 {
		row.fault(m.field, fmt.Sprintf("%s may be the swing of the door or the side of the sidelight", m.hand), "write the swing in a column Hand and the sidelight as SL 1'-6\" left or right")
		return
	}
	if o.Handing != "" {
		row.fault(m.field, fmt.Sprintf("it says %s, but the handing column says %s", m.hand, o.Handing), "correct the one or the other")
		return
	}
	o.Handing = m.hand
}
