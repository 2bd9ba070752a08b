package web

import "time"

// ReleasePage shows one release or one remake. GET /material/releases/ID, GET /material/remakes/ID.
type ReleasePage struct {
	Chrome
	ID        string
	Remake    bool
	Name      string
	Code      string
	Project   string
	ProjectID string
	Facts     []Fact
	Drops     []DropPart
	History   []HistoryLine
	Note      string
	EditHref  string // of the form for terms and moves
	Movable   bool   // it holds items that have not come
	Exports   []Choice
}

// DropPart is one drop with what it holds.
type DropPart struct {
	Delivery
	Actions []Choice // what can be written down next; the value is the action
	Items   []ItemLine
}

// ItemLine is one item of one opening.
type ItemLine struct {
	ID         string
	What       string
	OpeningID  string
	Mark       string
	Room       string
	Area       string
	Size       string
	State      string
	DamageHref string // of the report of damage; empty when there is no task to report on
}

// HistoryLine is one change of a release or remake, in words.
type HistoryLine struct {
	At   time.Time
	Text string
}

// MaterialEditPage is the form of one change. GET /material/edit, POST /material/edit shows it again with faults.
type MaterialEditPage struct {
	Chrome
	Form      MaterialForm
	Faults    Faults
	Title     string // what is done to what
	Back      string
	Line      *Delivery // how the drop or remake stands; nil for terms and moves of a whole release
	Items     []ItemLine
	Suppliers []Choice
	Bases     []Choice
	Targets   []Choice
	Lead      string // the supplier's lead in words
}

// MaterialForm is the form as sent. Everything is text: what people typed is what they see.
type MaterialForm struct {
	Do       string   `form:"do"`
	Release  string   `form:"release"`
	Remake   string   `form:"remake"`
	Drop     string   `form:"drop"`
	Version  string   `form:"version"`
	Date     string   `form:"date"`     // ISO 8601: when it happened
	Promised string   `form:"promised"` // ISO 8601: the promised arrival
	Items    []string `form:"item"`
	Name     string   `form:"name"`
	Supplier string   `form:"supplier"`
	Basis    string   `form:"basis"`
	Least    string   `form:"least"`
	Likely   string   `form:"likely"`
	Most     string   `form:"most"`
	Target   string   `form:"target"` // "release.drop", 0 for a new drop; "new" for a new release
	Cause    string   `form:"cause"`
	Source   string   `form:"source"`
	Confirm  string   `form:"confirm"`
}

// Hidden are the form's fields with their values, for a page that asks for its confirmation.
func (f MaterialForm) Hidden() []Choice {
	fields := []Choice{
		{"do", f.Do},
		{"release", f.Release},
		{"remake", f.Remake},
		{"drop", f.Drop},
		{"version", f.Version},
		{"date", f.Date},
		{"promised", f.Promised},
		{"name", f.Name},
		{"supplier", f.Supplier},
		{"basis", f.Basis},
		{"least", f.Least},
		{"likely", f.Likely},
		{"most", f.Most},
		{"target", f.Target},
		{"cause", f.Cause},
		{"source", f.Source},
	}
	for _, item := range f.Items {
		fields = append(fields, Choice{"item", item})
	}
	return fields
}

// Has reports whether an item is ticked.
func (f MaterialForm) Has(id string) bool {
	for _, item := range f.Items {
		if item == id {
			return true
		}
	}
	return false
}

// MaterialCheckPage shows what a change does before it is made. POST /material/edit.
type MaterialCheckPage struct {
	Chrome
	Form   MaterialForm
	Title  string
	Back   string
	Says   []string // what will be written down
	Before []Delivery
	After  []Delivery
	Dates  []DateEffect
	Moved  []MovedTask
	NoPlan bool // nothing can be planned yet, so that dates cannot be compared
}

// Changed lists the GC dates whose forecast changes.
func (p MaterialCheckPage) Changed() (list []DateEffect) {
	for _, d := range p.Dates {
		if v := d.Verdict(); v != "same" {
			list = append(list, d)
		}
	}
	return list
}
