package importing

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"jambwright/scheduler/length"
)

// size is what the text of a size, width or height cell says.
type size struct {
	dims       []dim // one, two (width and height in written order) or three (with thickness)
	code       bool  // written as 3070
	pair       bool
	perLeaf    bool // the pair was written by its leaf: (2) 2'-6", pair of 3-0
	pairFirst  bool // PR stands before the size
	sidelights []length.Length
	hand       string // LH, RHR ... found beside the size
	material   string // HM, WD ... found beside the size
	notes      []string
}

// dim is one dimension. bare means that it was written without a unit and none was named; value then counts nothing yet
// and number holds the digits.
type dim struct {
	value  length.Length
	bare   bool
	number string
	tag    byte // 'w', 'h' or 't' where the text says which one it is
	metric bool
	field  string // where it stands, for faults
}

// sizeContext is what the sheet says about the numbers of a cell.
type sizeContext struct {
	unit   length.Length // of bare numbers, 0 when nothing names it
	single bool          // the column holds one dimension, not a size
}

var (
	eatenSize   = regexp.MustCompile(`^(\d{1,2})[- ](jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?(?:[- ]\d{2,4})?$|^(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?[- ]\d{1,4}$|^\d{1,2}/\d{1,2}/\d{4}$|^\d{4}-\d{2}-\d{2}$`)
	codeSize    = regexp.MustCompile(`^\d{4,5}$`)
	slashFeet   = regexp.MustCompile(`^(\d{1,2})/(\d{1,2})$`)
	leafCount   = regexp.MustCompile(`^(?:\(\s*2\s*\)|2\s*@|2\s*ea\b\.?|two\b)\s*`)
	leafCode    = regexp.MustCompile(`^2\s*[-/]\s*(\d{4})\b`) // 2-3070, 2/3070
	withWords   = regexp.MustCompile(`\bw/|\bwith\b|\bplus\b`)
	countAhead  = regexp.MustCompile(`^\(\s*([12])\s*\)\s*`)
	pairWords   = regexp.MustCompile(`(?:^|[\s(])(pr|prs|pair|pairs|dbl|double)\b\.?\s*(of\b)?\)?`)
	sideWords   = regexp.MustCompile(`\+?\s*(\(\s*[12]\s*\))?\s*\b(?:sl|sidelight|sidelite|side light|side lite)s?\b\.?\s*[:@=-]?\s*`)
	handWords   = regexp.MustCompile(`\b(lhra|rhra|lhrb|rhrb|lhr|rhr|lha|rha|lh|rh)\b\.?`)
	metalWords  = regexp.MustCompile(`\b(hm[df]?|hollow metal|scwd|scw|wood|alum|aluminum|al|stl|steel|kd|flush)\b\.?(?:\s*/\s*(?:hm|wd|al|alum)\b)?`)
	woodCode    = regexp.MustCompile(`^(\d{4,5}) wd\b`) // elsewhere wd is the width
	roughWords  = regexp.MustCompile(`\b(v\.?i\.?f\.?|verify in field|verify|typ\.?|typical|nom\.?|nominal|clr\.?|clear|approx\.?|r\.?o\.?|rough opening|max\.?|min\.?|opng\.?|opening|size|door|dr\.?|frame)(?:\s|$|[),;])|\+/-|±|~|\+-`)
	splitter    = regexp.MustCompile(`\s*(?:\bby\b|[x×✕✖*])\s*`)
	tagBefore   = regexp.MustCompile(`^(w|wd|width|h|ht|hgt|height|t|thk)[\s.:=]+`)
	tagAfter    = regexp.MustCompile(`(?:^|[\s"'\d.])(w|wd|wide|width|h|ht|hgt|high|height|t|thk|thick)\.?$`)
	twoFeetInch = regexp.MustCompile(`^(\d+\s*'\s*-?\s*(?:\d+(?:[ -]\d+/\d+)?\s*"?)?|\d+-\d+(?:[ -]\d+/\d+)?"?|\d+(?:[ -]\d+/\d+)?")[\s,/;&]+(\d+\s*'\s*-?\s*(?:\d+(?:[ -]\d+/\d+)?\s*"?)?|\d+-\d+(?:[ -]\d+/\d+)?"?|\d+(?:[ -]\d+/\d+)?")$`)
	wholeUnit   = regexp.MustCompile(`(mm|cm|m|in|inch|inches|ft|feet)\.?$`)
	// 1 200 mm
	spacedThousands = regexp.MustCompile(`^(\d{1,2}) (\d{3})( ?mm\.?)?$`)
	bareNumber      = regexp.MustCompile(`^\d+(?:\.\d+)?$`)
	bareFraction    = regexp.MustCompile(`^\d+[ -]\d+/\d+$`) // 36 1/2, no unit beside it
)

const (
	sizeRemedy   = `write it as 3'-0" x 7'-0", 36" x 84" or 914 x 2134 mm`
	lengthRemedy = `write it as 3'-0", 36" or 914 mm`
)

// remedy is what to write in a column of this kind.
func (c sizeContext) remedy() string {
	if c.single {
		return lengthRemedy
	}
	return sizeRemedy
}

// readSize takes a size cell apart. It leaves bare numbers to be judged together with the row's other dimension.
func readSize(text string, ctx sizeContext) (size, error) {
	var s size
	rest := strings.ToLower(length.Plain(text))
	if eatenSize.MatchString(rest) {
		return s, refuse("format the column as text and type the size again, such as 3'-7\"", "the spreadsheet program has turned the size into a date")
	}
	rest = s.words(rest)
	if err := s.sideLengths(&rest, ctx); err != nil {
		return s, err
	}
	rest = strings.Trim(rest, " ,;:()")
	if rest == "" {
		return s, refuse(ctx.remedy(), "there is no size in it")
	}
	return s, s.dimensions(rest, ctx)
}

// words takes off what stands beside the numbers: pair, handing, material, "verify in field".
func (s *size) words(rest string) string {
	rest = withWords.ReplaceAllString(rest, "+")
	if m := leafCode.FindStringSubmatchIndex(rest); m != nil {
		s.pair, s.perLeaf, rest = true, true, rest[m[2]:]
	}
	if m := leafCount.FindString(rest); m != "" {
		s.pair, s.perLeaf, rest = true, true, rest[len(m):]
	}
	if m := pairWords.FindStringSubmatchIndex(rest); m != nil {
		s.pair = true
		s.pairFirst = strings.TrimSpace(rest[:m[0]]) == ""
		s.perLeaf = s.perLeaf || m[4] >= 0
		rest = rest[:m[0]] + " " + rest[m[1]:]
	}
	if m := handWords.FindStringSubmatch(rest); m != nil {
		s.hand = strings.ToUpper(m[1])
		rest = handWords.ReplaceAllString(rest, " ")
	}
	rest = woodCode.ReplaceAllString(rest, "$1 wood")
	if m := metalWords.FindString(rest); m != "" {
		s.material = strings.ToUpper(m)
		rest = metalWords.ReplaceAllString(rest, " ")
	}
	if m := roughWords.FindString(rest); m != "" {
		s.notes = append(s.notes, strings.ToUpper(strings.Trim(m, " ,;)")))
		rest = roughWords.ReplaceAllString(rest, " ")
	}
	return strings.TrimSpace(rest)
}

// sideLengths takes sidelights off: SL 1-6, (2) SL 1'-0", w/ 18" sidelight.
func (s *size) sideLengths(rest *string, ctx sizeContext) error {
	m := sideWords.FindStringSubmatchIndex(*rest)
	if m == nil {
		return nil
	}
	count := 1
	if m[2] >= 0 && strings.Contains((*rest)[m[2]:m[3]], "2") {
		count = 2
	}
	before, after := strings.TrimSpace((*rest)[:m[0]]), strings.TrimSpace((*rest)[m[1]:])
	text := after
	if text == "" { // 18" SL: the width stands before the word
		if cut := strings.LastIndexAny(before, "+;,/"); cut > 0 {
			text, before = strings.Trim(before[cut:], " +;,/"), strings.TrimRight(before[:cut], " +;,/")
		}
	}
	if m := countAhead.FindStringSubmatch(text); m != nil {
		count, text = number(m[1]), text[len(m[0]):]
	}
	var width length.Length
	if text != "" {
		var err error
		if width, err = length.Parse(text, ctx.unit); err != nil {
			return refuse(`write it as SL 1'-6"`, "cannot read the sidelight's width %q", text)
		}
	}
	*rest = before
	for range count {
		s.sidelights = append(s.sidelights, width)
	}
	return nil
}

// dimensions splits at x, × or by and reads each part.
func (s *size) dimensions(rest string, ctx sizeContext) error {
	parts := slices.DeleteFunc(splitter.Split(rest, -1), func(p string) bool { return p == "" })
	if len(parts) == 0 {
		return refuse(ctx.remedy(), "there is no number in it")
	}
	if _, err := length.Parse(rest, length.Inch); err != nil && len(parts) == 1 {
		if m := twoFeetInch.FindStringSubmatch(rest); m != nil {
			parts = m[1:]
		}
	}
	if codeSize.MatchString(parts[0]) && !ctx.single && !isMetric(ctx.unit) && (len(parts) == 1 || len(parts) == 2 && thin(parts[1])) {
		if err := s.readCode(parts[0]); err != nil {
			return err
		}
		parts = parts[1:]
	}
	if len(parts)+len(s.dims) > 3 {
		return refuse(ctx.remedy(), "it holds %d dimensions", len(parts))
	}
	shared := lastUnit(parts)
	for i, part := range parts {
		d, err := readDim(part, ctx, i+len(s.dims) < 2 || len(parts) < 3)
		if err != nil {
			return err
		}
		if d.bare && shared != 0 && i < len(parts)-1 {
			d.value, err = length.Parse(d.number, shared)
			d.bare, d.metric = false, isMetric(shared)
			if err != nil {
				return err
			}
		}
		s.dims = append(s.dims, d)
	}
	return nil
}

// thin reports whether a part is a door's thickness: under three inches.
func thin(part string) bool {
	l, err := length.Parse(part, length.Inch)
	return err == nil && l < 3*length.Inch
}

// lastUnit is the unit that ends a size and counts for all its numbers: 915 x 2134 mm, 36 x 84". An inch mark after a
// fraction, as in 36 x 84 x 1 3/4", counts too.
func lastUnit(parts []string) length.Length {
	last := parts[max(len(parts)-1, 0):]
	if len(parts) < 2 {
		return 0
	}
	if strings.HasSuffix(last[0], `"`) && !strings.Contains(last[0], "'") {
		return length.Inch
	}
	switch strings.TrimRight(wholeUnit.FindString(last[0]), ".") {
	case "mm":
		return length.Millimetre
	case "cm":
		return length.Centimetre
	case "m":
		return length.Metre
	case "in", "inch", "inches":
		return length.Inch
	case "ft", "feet":
		return length.Foot
	}
	return 0
}

// readDim reads one dimension with its optional letter. In a place for widths and heights 3/0 and 2/8 are feet and
// inches, as door sizes are written; a fraction of an inch would be no opening.
func readDim(part string, ctx sizeContext, opening bool) (dim, error) {
	unit := ctx.unit
	part, tag := cutTag(part)
	if m := spacedThousands.FindStringSubmatch(part); m != nil && (m[3] != "" || unit == length.Millimetre) {
		part = m[1] + m[2] + m[3]
	}
	d := dim{tag: tag, metric: strings.HasSuffix(strings.TrimRight(part, "."), "m")}
	if m := slashFeet.FindStringSubmatch(part); m != nil && opening && number(m[2]) < 12 && number(m[1]) > 0 {
		part = m[1] + "-" + m[2]
	}
	if isMetric(unit) && bareFraction.MatchString(part) {
		return d, refuse(ctx.remedy(), "%q has a fraction, as inches have, but the heading names millimetres", part)
	}
	if unit == 0 && bareNumber.MatchString(part) {
		d.bare, d.number = true, part
		return d, nil
	}
	var err error
	d.value, err = length.Parse(part, unit)
	d.metric = d.metric || bareNumber.MatchString(part) && isMetric(unit)
	switch {
	case errors.Is(err, length.ErrTwoReadings):
		return d, refuse("write the number without the comma", "%q can be read in two ways", part)
	case err != nil:
		return d, refuse(ctx.remedy(), "%s", whyNoLength(part, err))
	}
	return d, nil
}

// whyNoLength keeps the reason of a length's error, without the remedy it has for lengths of any kind.
func whyNoLength(part string, err error) string {
	_, reason, _ := strings.Cut(err.Error(), length.ErrNotLength.Error()+": ")
	reason, _, _ = strings.Cut(reason, "; write")
	if reason == "" || strings.HasPrefix(reason, "cannot read") {
		return fmt.Sprintf("cannot read %q as a length", part)
	}
	return fmt.Sprintf("cannot read %q as a length: %s", part, reason)
}

func cutTag(part string) (rest string, tag byte) {
	part = strings.TrimSpace(part)
	if m := tagBefore.FindString(part); m != "" {
		return strings.TrimSpace(part[len(m):]), m[0]
	}
	if m := tagAfter.FindStringSubmatchIndex(part); m != nil && m[2] > 0 {
		return strings.TrimSpace(part[:m[2]]), part[m[2]]
	}
	return part, 0
}

func isMetric(unit length.Length) bool { return unit%length.Sixteenth != 0 }

// readCode reads the door sizes 3070, 2868, 12070 and 30100: feet and inches of the width, then of the height, without
// marks. Five digits are read in the one way that gives inches under 12 and a height from 6 to 15 feet.
func (s *size) readCode(code string) error {
	var found [][2]length.Length
	for _, cut := range codeCuts(len(code)) {
		w, h := code[:cut], code[cut:]
		width, ok1 := feetInches(w)
		height, ok2 := feetInches(h)
		if ok1 && ok2 && (len(code) == 4 || height >= 6*length.Foot && height <= 15*length.Foot) {
			found = append(found, [2]length.Length{width, height})
		}
	}
	if len(found) != 1 {
		return refuse(sizeRemedy, "the digits %s are no size of feet and inches", code)
	}
	s.code = true
	s.dims = append(s.dims, dim{value: found[0][0]}, dim{value: found[0][1]})
	return nil
}

func codeCuts(digits int) []int {
	if digits == 4 {
		return []int{2}
	}
	return []int{2, 3}
}

// feetInches reads 30 as 3'-0", 120 as 12'-0", 610 as 6'-10" (three digits whose last two are 10 or 11). It refuses 110,
// which may be 11'-0" or 1'-10".
func feetInches(digits string) (length.Length, bool) {
	if digits[0] == '0' {
		return 0, false
	}
	n := number(digits)
	feet, inches := n/10, n%10
	if len(digits) == 3 && (n%100 == 10 || n%100 == 11) {
		if n < 200 {
			return 0, false
		}
		feet, inches = n/100, n%100
	}
	return length.Length(feet)*length.Foot + length.Length(inches)*length.Inch, feet > 0
}
