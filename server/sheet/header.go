package sheet

import (
	"strings"

	"jambwright/scheduler/length"
)

// header is a recognised heading row, one or two rows deep.
type header struct {
	depth   int
	columns []Column
	grouped int      // columns known by the upper row's group and the lower row's part together
	unused  []string // headings that the vocabulary does not know
}

// leastHeadings is how many known headings beside the key make a heading row.
const leastHeadings = 2

// headerAt decides whether a heading begins at row i. One row is enough when it holds the key and at least two other known
// headings. Two rows are taken together when both read like headings and say more together than alone: an upper row of
// groups (DOOR, FRAME) over a lower row of their parts, or a lower row of units.
func (l *lexicon) headerAt(rows []Row, i, least int) (header, bool) {
	one := l.columns(single(rows[i]))
	if i+1 < len(rows) && rows[i+1].Number == rows[i].Number+1 && l.readsAsHeading(rows[i]) && l.readsAsHeading(rows[i+1]) {
		two := l.columns(joined(rows[i], rows[i+1]))
		below := l.columns(single(rows[i+1]))
		deeper := len(two.columns) > len(one.columns) && len(two.columns) >= len(below.columns) &&
			(len(two.columns) > len(below.columns) || two.grouped > 0) && distinct(rows[i]) > 1
		if l.enough(two, least) && (deeper || unitsOnly(rows[i+1])) {
			two.depth = 2
			return two, true
		}
	}
	one.depth = 1
	return one, l.enough(one, least)
}

func (l *lexicon) enough(h header, least int) bool {
	key := false
	for _, c := range h.columns {
		key = key || c.Field == l.vocabulary[0].Field
	}
	return key && len(h.columns) > least
}

// part is one column's heading: the upper row's text, which may belong to a group, and the lower row's.
type part struct{ upper, lower string }

func single(r Row) []part {
	parts := make([]part, len(r.Cells))
	for i, c := range r.Cells {
		parts[i].lower = c.Text
	}
	return parts
}

// joined pairs two rows. A blank upper cell belongs to the group that began to its left, as long as that group's own
// column and this one have parts below; in a workbook merged cells have been filled already.
func joined(upper, lower Row) []part {
	parts := make([]part, max(len(upper.Cells), len(lower.Cells)))
	group := ""
	for i := range parts {
		up, low := upper.at(i).Text, lower.at(i).Text
		switch {
		case up != "" && low != "":
			group = up
		case up != "":
			group = ""
		}
		if up == "" && low != "" {
			up = group
		}
		if up == low {
			up = ""
		}
		parts[i] = part{up, low}
	}
	return parts
}

// columns looks every part up. Of several columns that claim a heading the one with the surest name has it, then the
// leftmost.
func (l *lexicon) columns(parts []part) header {
	var h header
	taken := map[string]claim{}
	for i, p := range parts {
		text := strings.TrimSpace(p.upper + " " + p.lower)
		if text == "" {
			continue
		}
		e, heading := l.part(p)
		if e.heading == nil {
			h.unused = append(h.unused, oneLine(text))
			continue
		}
		c := Column{Index: i, Field: e.heading.Field, Heading: oneLine(heading), Unit: e.unit, FeetIn: e.feetIn}
		if p.upper != "" && heading == text {
			h.grouped++
		}
		rival, claimed := taken[c.Field]
		switch {
		case !claimed || e.heading.Many:
			taken[c.Field] = claim{position: len(h.columns), rank: e.rank}
			h.columns = append(h.columns, c)
		case h.columns[rival.position].Unit == length.Foot && c.Unit == length.Inch:
			c.Field += InchPart
			h.columns = append(h.columns, c)
		case e.rank < rival.rank:
			h.unused = append(h.unused, h.columns[rival.position].Heading)
			taken[c.Field] = claim{position: rival.position, rank: e.rank}
			h.columns[rival.position] = c
		default:
			h.unused = append(h.unused, oneLine(text))
		}
	}
	return h
}

// claim is a column's hold on a heading: its position among the known columns and how sure its name is.
type claim struct{ position, rank int }

// part tries the most telling reading first: group and part, part alone, upper row alone.
func (l *lexicon) part(p part) (e entry, heading string) {
	both := strings.TrimSpace(p.upper + " " + p.lower)
	for _, text := range []string{both, p.lower, p.upper} {
		if e = l.find(text); e.heading != nil {
			return e, text
		}
	}
	return e, both
}

// readsAsHeading reports whether a row may be part of a heading: it has text, and none of its cells is a number, date or
// ditto mark or holds a digit.
func (l *lexicon) readsAsHeading(r Row) bool {
	any := false
	for _, c := range r.Cells {
		if c.Text == "" {
			continue
		}
		any = true
		if c.Kind != Text {
			return false
		}
		if strings.ContainsAny(c.Text, "0123456789") {
			return false
		}
		if _, ditto := dittoMark(c.Text); ditto && !isUnitOnly(c.Text) {
			return false
		}
	}
	return any
}

func unitsOnly(r Row) bool {
	any := false
	for _, c := range r.Cells {
		if c.Text != "" && !isUnitOnly(c.Text) {
			return false
		}
		any = any || c.Text != ""
	}
	return any
}

// distinct counts the cells with text, a merged block as one.
func distinct(r Row) int {
	n, last := 0, ""
	for _, c := range r.Cells {
		if c.Text != "" && (!c.Copy || c.Text != last) {
			n++
		}
		last = c.Text
	}
	return n
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
