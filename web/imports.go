package web

import "jambwright/web/elevation"

// SheetKind is a kind of sheet that can be read.
type SheetKind struct {
	ID   string // openings, crews, handovers, suppliers, gc_dates
	Name string
	What string // what the sheet tells, in a sentence
}

// SheetKinds lists the sheets in the order a new firm fills them.
func SheetKinds() []SheetKind {
	return []SheetKind{
		{"openings", "Openings", "One line an opening: mark, type, size, level, area, room, glass."},
		{"crews", "Crews", "One line a crew: name, heads, what it can do, hours, home site."},
		{"gc_dates", "GC dates", "One line a date the general contractor holds: area, work, date, damages a day."},
		{"handovers", "Handovers", "One line a condition other trades owe: area, condition, promised date."},
		{"suppliers", "Suppliers", "One line a supplier and item: least, likely and most days from order to delivery."},
		{"rates", "Rates", "One line a rate: kind of work, type of opening, for each of what, labour hours, source. The blank sheet is the table that everybody starts from."},
	}
}

// ImportPage offers to read a sheet. GET /import?project=; its form is POST /import/preview, multipart, with the fields of
// ImportForm and a file named "file".
type ImportPage struct {
	Chrome
	Projects []Choice
	Form     ImportForm
	Faults   Faults
	NoneYet  bool // no project holds anything: the page opens with the three sheets to fill
}

// ImportForm is the form as sent; the file itself is the multipart part "file".
type ImportForm struct {
	Project string `form:"project"`     // id of a project, empty for a new one
	NewName string `form:"new_project"` // name of the new project
	Zone    string `form:"zone"`        // IANA zone of the new project's site
	Kind    string `form:"kind"`
}

// Kinds lists the sheets that can be read.
func (p ImportPage) Kinds() []SheetKind { return SheetKinds() }

// RowChange is what a row of a sheet does to what is stored.
type RowChange string

// The kinds of change.
const (
	RowNew     RowChange = "new"
	RowChanged RowChange = "changed"
	RowSame    RowChange = "same"
	RowGone    RowChange = "gone"
)

// ImportPreviewPage shows what was understood of a sheet before anything is saved. Its form is POST /import/apply with
// token, leave_out=yes (when there are faults) and answer_ID for each question.
type ImportPreviewPage struct {
	Chrome
	Token     string // names the kept upload
	File      string
	Kind      SheetKind
	Project   string
	ProjectID string
	Read      string   // how the file was understood: "sheet Doors, header in row 4, UTF-16, separated by semicolons"
	Columns   []string // headings of the understood cells
	Rows      []PreviewRow
	Faults    []SheetFault
	Warnings  []SheetFault
	Questions []ImportQuestion
	Missing   []string // answers missing at the last try, in words
	Slips     []SheetSlip
	Effect    *TrialEffect // what a plan made with the sheet would move; nil when none was tried
}

// SheetSlip is a date of a handover that a fresh sheet moves.
type SheetSlip struct {
	Row       int
	Area      string
	Condition string
	Text      string // "promise slipped 6 days (Fri 4 Dec to Thu 10 Dec)"
	Later     bool
}

// PreviewRow is one understood thing: an opening, a crew, a date.
type PreviewRow struct {
	Row       int // in the file; 0 for something gone
	Change    RowChange
	Name      string
	Cells     []string           // one for each of Columns
	Was       []string           // for a changed row, one for each of Columns, empty where nothing changed
	Elevation *elevation.Opening // openings only
}

// SheetFault is one cell that cannot be read, or can but looks odd.
type SheetFault struct {
	File    string
	Row     int
	Column  string
	Value   string
	Message string
	Remedy  string
}

// ImportQuestion asks about an opening that has work on it already.
type ImportQuestion struct {
	ID      string
	Text    string
	Choices []Choice
	Answer  string // as sent before
}

// FirstKinds are the three sheets that make a first plan.
func (p ImportPage) FirstKinds() []SheetKind { return SheetKinds()[:3] }

// FirstKinds are the three sheets that make a first plan.
func (p ProjectsPage) FirstKinds() []SheetKind { return SheetKinds()[:3] }

// WasAt is what a cell held before, empty when it has not changed.
func (r PreviewRow) WasAt(column int) string {
	if column >= len(r.Was) {
		return ""
	}
	return r.Was[column]
}

// HasDrawings reports whether the rows are openings.
func (p ImportPreviewPage) HasDrawings() bool {
	for _, row := range p.Rows {
		if row.Elevation != nil {
			return true
		}
	}
	return false
}

// Count is how many rows make a kind of change.
func (p ImportPreviewPage) Count(change RowChange) int {
	n := 0
	for _, row := range p.Rows {
		if row.Change == change {
			n++
		}
	}
	return n
}

// Saves reports whether applying would change anything.
func (p ImportPreviewPage) Saves() bool { return p.Count(RowSame) < len(p.Rows) }

// ProjectsPage lists projects; with none it explains how to begin. GET /projects.
type ProjectsPage struct {
	Chrome
	Projects []ProjectLine
}

// ProjectLine is one project.
type ProjectLine struct {
	ID       string
	Name     string
	Site     string
	Openings int
	Done     int // openings with all work done
	Held     int
	NextDate string // the next GC date and its forecast, in a sentence; may be empty
}
