package importing

import (
	"slices"
	"strconv"
	"strings"

	"jambwright/server/sheet"
)

// collector gathers what is read from one table of a file.
type collector struct {
	file   string
	table  string // name of the worksheet
	level  string // where the worksheet is named after a level
	order  DateOrder
	result sheet.Result

	openings  []OpeningRow
	crews     []CrewRow
	handovers []HandoverRow
	suppliers []SupplierRow
	gcDates   []GCDateRow
	rates     []RateRow
	faults    []Fault
	warnings  []Fault
	keys      []string // of rows that could not be read
}

func (c *collector) has(field string) bool {
	return slices.ContainsFunc(c.result.Columns, func(col sheet.Column) bool { return col.Field == field })
}

// count is how many of the fields have a column.
func (c *collector) count(fields ...string) int {
	n := 0
	for _, f := range fields {
		if c.has(f) {
			n++
		}
	}
	return n
}

func (c *collector) hasAny(fields ...string) bool { return slices.ContainsFunc(fields, c.has) }

func (c *collector) unread(keys ...string) { c.keys = append(c.keys, keys...) }

func (c *collector) tableFault(message, remedy string) {
	c.faults = append(c.faults, Fault{File: c.file, Place: Place{c.table, c.result.Row}, Message: message, Remedy: remedy})
}

func (c *collector) tableWarning(message string) {
	c.warnings = append(c.warnings, Fault{File: c.file, Place: Place{c.table, c.result.Row}, Message: message})
}

// sameHeadings warns of columns left out because one to the left has the same heading.
func (c *collector) sameHeadings() {
	for _, unused := range c.result.Unused {
		if slices.ContainsFunc(c.result.Columns, func(col sheet.Column) bool { return sheet.Normalize(col.Heading) == sheet.Normalize(unused) }) {
			c.tableWarning("two columns are headed " + unused + "; only the first of them is read")
		}
	}
}

// dropWarnings forgets the warnings of a row that is left out: its faults say enough.
func (c *collector) dropWarnings(p Place) {
	c.warnings = slices.DeleteFunc(c.warnings, func(f Fault) bool { return f.Place == p && f.Cell != "" })
}

// row begins the reading of one record.
func (c *collector) row(rec sheet.Record) *rowReader {
	return &rowReader{collector: c, rec: rec, place: Place{Sheet: c.table, Row: rec.Row}}
}

// rowReader reads the cells of one record and notes its faults.
type rowReader struct {
	*collector
	rec    sheet.Record
	place  Place
	failed bool
	pair   bool // the quantity says pairs
}

// text returns a field's text on one line; a cell that a spreadsheet program could not compute, or a ditto mark without
// anything above, is a fault and reads as empty.
func (r *rowReader) text(field string) string {
	cell, _, found := r.rec.Get(field)
	if !found || cell.Kind == sheet.Orphan || r.broken(field, cell) {
		return ""
	}
	return strings.Join(strings.Fields(cell.Text), " ")
}

// broken reports cells without a value of their own, once for each row and field.
func (r *rowReader) broken(field string, cell sheet.Cell) bool {
	switch cell.Kind {
	case sheet.Failed:
		r.fault(field, "the spreadsheet program shows an error here", "mend the formula or write the value")
	case sheet.Uncomputed:
		r.fault(field, "the cell holds a formula without a stored result", "open the file in a spreadsheet program and save it, or write the value")
	default:
		return false
	}
	return true
}

// orphans makes a fault of each of the fields that holds a ditto mark with nothing above it.
func (r *rowReader) orphans(fields ...string) {
	for column, cell := range r.rec.All {
		if cell.Kind == sheet.Orphan && slices.Contains(fields, column.Field) {
			r.add(&r.faults, column, cell.Text, "the ditto mark has nothing above it to repeat", "write the value; nothing is repeated across a heading or a level")
			r.failed = true
		}
	}
}

// joined joins the texts of all columns under one field.
func (r *rowReader) joined(field string) string {
	var texts []string
	for column, cell := range r.rec.All {
		text := strings.Join(strings.Fields(cell.Text), " ")
		if column.Field == field && cell.Kind != sheet.Orphan && blank(text) != "" && !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	return strings.Join(texts, "; ")
}

// fault notes that the field's cell cannot be read and that the row is left out.
func (r *rowReader) fault(field, message, remedy string) {
	cell, column, found := r.rec.Get(field)
	if !found {
		column = sheet.Column{Index: -1, Heading: field}
	}
	r.add(&r.faults, column, cell.Text, message, remedy)
	r.failed = true
}

// refuse notes the error of a reader as a fault.
func (r *rowReader) refuse(field string, err error, otherwise string) {
	message, remedy := explain(err, otherwise)
	r.fault(field, message, remedy)
}

func (r *rowReader) warn(field, message string) {
	cell, column, found := r.rec.Get(field)
	if !found {
		column = sheet.Column{Index: -1, Heading: field}
	}
	r.add(&r.warnings, column, cell.Text, message, "")
}

// add keeps one fault for each cell, the first.
func (r *rowReader) add(list *[]Fault, column sheet.Column, value, message, remedy string) {
	f := Fault{File: r.file, Place: r.place, Column: column.Heading, Value: value, Message: message, Remedy: remedy}
	if column.Index >= 0 {
		f.Cell = column.Letter() + strconv.Itoa(r.place.Row)
	}
	for i := len(*list) - 1; i >= 0 && (*list)[i].Place == f.Place; i-- {
		if (*list)[i].Column == f.Column && ((*list)[i].Message == message || list == &r.faults) {
			return
		}
	}
	*list = append(*list, f)
}

// blank turns the ways of writing nothing into nothing.
func blank(text string) string {
	switch strings.ToLower(strings.Trim(text, " .")) {
	case "-", "--", "---", "–", "—", "n/a", "na", "none", "nil", "tbd", "t.b.d", "?", "n.a", "#n/a", "null", "_":
		return ""
	}
	return text
}

func firstNonEmpty(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}
