package importing

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"jambwright/server/sheet"
)

// Options are what the person reading a file may say about it.
type Options struct {
	DateOrder DateOrder
}

// Sheet is what was understood of one file. Exactly one of the row slices is in use, by Kind.
type Sheet struct {
	Kind Kind
	File string
	Read []string // how each table was understood, for people

	Openings  []OpeningRow
	Crews     []CrewRow
	Handovers []HandoverRow
	Suppliers []SupplierRow
	GCDates   []GCDateRow
	Rates     []RateRow

	Faults   []Fault
	Warnings []Fault
	Passed   []PassedRow
	Unused   []string // headings that were not understood
	Unread   []string // keys of rows with faults: they are in the file, so not gone
	given    map[string]bool
}

// PassedRow is a row left out on purpose: a title, a total, a note.
type PassedRow struct {
	Place
	Text string
	Why  string
}

// Rows is how many rows were understood.
func (s *Sheet) Rows() int {
	return len(s.Openings) + len(s.Crews) + len(s.Handovers) + len(s.Suppliers) + len(s.GCDates) + len(s.Rates)
}

// Has reports whether a column for the field stood in the file. What a sheet has no column for it does not change.
func (s *Sheet) Has(field string) bool { return s.given[field] }

// ParseKind reads the name of a kind of sheet as commands and forms give it: openings, gcdates, gc_dates, GC dates.
func ParseKind(text string) (Kind, error) {
	plain := strings.NewReplacer("_", "", "-", "", " ", "").Replace(strings.ToLower(text))
	for _, k := range Kinds() {
		if plain == string(k) || plain+"s" == string(k) {
			return k, nil
		}
	}
	return "", fmt.Errorf("%q is no kind of sheet; the kinds are openings, crews, handovers, suppliers, gcdates and rates", text)
}

// Read reads a whole file, a sheet or a building model. What cannot be read is listed in Faults, row by row, never returned
// as an error; a file that is no sheet at all is a single fault without a row.
func Read(kind Kind, name string, data []byte, options Options) *Sheet {
	if isModel(name, data[:min(len(data), modelHead)]) {
		s, err := readModel(kind, name, bytes.NewReader(data))
		if err != nil {
			s = &Sheet{Kind: kind, File: filepath.Base(name), Faults: []Fault{{File: filepath.Base(name), Message: err.Error()}}}
		}
		return s
	}
	s := &Sheet{Kind: kind, File: filepath.Base(name), given: map[string]bool{}}
	tables, err := sheet.Read(name, data)
	if err != nil {
		s.Faults = append(s.Faults, Fault{File: s.File, Message: err.Error(), Remedy: "save the list as .xlsx or .csv"})
		return s
	}
	seen := map[string]Place{}
	var headless []string
	for _, table := range tables {
		result := sheet.Records(table, vocabulary(kind))
		if kind == Handovers {
			// A row of a list whose remarks name another condition looks like the head of a matrix, but has headings above it.
			if m, found := findMatrix(table); found && (result.Row == 0 || result.Row >= table.Rows[m.head].Number) {
				s.matrix(table, m, options, seen)
				continue
			}
		}
		if result.Row == 0 {
			headless = append(headless, table.Name)
			s.notes(table)
			continue
		}
		s.table(table, result, options, seen)
	}
	s.withoutHeadings(headless, len(tables))
	return s
}

// readers read one table of a kind; seen holds the keys met so far in the whole file.
var readers = map[Kind]func(c *collector, seen map[string]Place){
	Openings: readOpenings, Crews: readCrews, Handovers: readHandovers, Suppliers: readSuppliers, GCDates: readGCDates,
	Rates: readRates,
}

// matrix reads a table of areas by conditions.
func (s *Sheet) matrix(t sheet.Table, m matrix, options Options, seen map[string]Place) {
	c := collector{file: s.File, table: t.Name, order: options.DateOrder}
	if sheet.LevelName(t.Name) {
		c.level = t.Name
	}
	readMatrix(&c, t, m, seen)
	s.Handovers = append(s.Handovers, c.handovers...)
	s.Faults = append(s.Faults, c.faults...)
	s.Warnings = append(s.Warnings, c.warnings...)
	s.Unread = append(s.Unread, c.keys...)
	for _, column := range m.columns {
		s.given[column.field] = true
	}
	number := t.Rows[m.head].Number
	text := fmt.Sprintf("%s, areas by conditions, conditions in row %d", t.Read, number)
	if t.Name != "" {
		text = fmt.Sprintf("sheet %s, areas by conditions, conditions in row %d", t.Name, number)
	}
	s.Read = append(s.Read, text)
	s.notes(t)
	if len(c.handovers)+len(c.faults)+len(c.warnings) == 0 {
		s.Faults = append(s.Faults, Fault{
			File: s.File, Place: Place{Sheet: t.Name, Row: number}, Message: "there are conditions but no dates below them",
			Remedy: "write the dates below the conditions, one row for each area",
		})
	}
}

func (s *Sheet) table(t sheet.Table, result sheet.Result, options Options, seen map[string]Place) {
	c := collector{file: s.File, table: t.Name, order: options.DateOrder, result: result}
	if sheet.LevelName(t.Name) {
		c.level = t.Name
	}
	c.sameHeadings()
	readers[s.Kind](&c, seen)
	s.Openings = append(s.Openings, c.openings...)
	s.Crews = append(s.Crews, c.crews...)
	s.Handovers = append(s.Handovers, c.handovers...)
	s.Suppliers = append(s.Suppliers, c.suppliers...)
	s.GCDates = append(s.GCDates, c.gcDates...)
	s.Rates = append(s.Rates, c.rates...)
	s.Faults = append(s.Faults, c.faults...)
	s.Warnings = append(s.Warnings, c.warnings...)
	s.Unread = append(s.Unread, c.keys...)
	for _, p := range result.Passed {
		s.Passed = append(s.Passed, PassedRow{Place: Place{Sheet: t.Name, Row: p.Row}, Text: p.Text, Why: p.Why})
	}
	for _, u := range result.Unused {
		if !slices.Contains(s.Unused, u) {
			s.Unused = append(s.Unused, u)
		}
	}
	for _, col := range result.Columns {
		s.given[col.Field] = true
	}
	s.Read = append(s.Read, understood(t, result))
	s.notes(t)
	if result.Records == nil && len(result.Passed) == 0 {
		s.Faults = append(s.Faults, Fault{
			File: s.File, Place: Place{Sheet: t.Name, Row: result.Row}, Message: "there are headings but no rows below them",
			Remedy: "write the rows below the headings, or leave this sheet out",
		})
	}
}

// notes passes on what a person should know about a table, whether it has the headings of this list or not.
func (s *Sheet) notes(t sheet.Table) {
	for _, note := range t.Notes {
		s.Warnings = append(s.Warnings, Fault{File: s.File, Place: Place{Sheet: t.Name}, Message: note})
	}
}

// understood says in a line how a table was read.
func understood(t sheet.Table, result sheet.Result) string {
	text := fmt.Sprintf("%s, headings in row %d", t.Read, result.Row)
	if t.Name != "" {
		text = fmt.Sprintf("sheet %s, headings in row %d", t.Name, result.Row)
	}
	return text
}

// withoutHeadings reports tables in which no heading row was found: a fault when nothing else was read, else rows passed
// over, since workbooks hold covers and lists beside the schedule.
func (s *Sheet) withoutHeadings(names []string, tables int) {
	if len(names) == tables {
		s.Faults = append(s.Faults, Fault{File: s.File, Message: "no row of headings was found", Remedy: headingRemedy[s.Kind]})
		return
	}
	for _, name := range names {
		s.Passed = append(s.Passed, PassedRow{Place: Place{Sheet: name}, Text: name, Why: "worksheet without the headings of this list"})
	}
}

var headingRemedy = map[Kind]string{
	Openings:  "name the columns Mark, Type, Level, Area, Width, Height, or fill in the blank sheet",
	Crews:     "name the columns Crew, Heads, Skills, or fill in the blank sheet",
	Handovers: "name the columns Level, Area, Condition, Promised, or fill in the blank sheet",
	Suppliers: "name the columns Supplier, Supplies, Lead time, or fill in the blank sheet",
	Rates:     "name the columns Work, Type, For each, Hours, or fill in the blank sheet",
	GCDates:   "name the columns Name, Level, Work complete, Date, or fill in the blank sheet",
}
