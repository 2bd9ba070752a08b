package importing

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// Row is what all kinds of rows have in common.
type Row interface {
	OpeningRow | CrewRow | HandoverRow | SupplierRow | GCDateRow | RateRow
	Key() string
}

// FieldChange is one field of a changed row, in words: from what to what.
type FieldChange struct {
	Field    string
	Old, New string
}

// Changed is a row that is stored and stands in the sheet with other values. New is complete: what the sheet has no
// column for it takes from Old.
type Changed[R Row] struct {
	Old, New R
	Fields   []FieldChange
}

// Question is a change or removal that bears on work already begun and that nobody but a person should decide. ID names
// it in the answers.
type Question struct {
	ID   string
	Key  string
	Gone bool // the row is no longer in the sheet; otherwise it changed
	Text string
}

// Difference is what a sheet would do to the stored rows of its kind. Each slice is in the order of the sheet, Gone in the
// order of the stored rows.
type Difference[R Row] struct {
	New     []R
	Changed []Changed[R]
	Same    []R
	Gone    []R
	// Questions holds one for each changed or gone row that has work on it, and one for all other gone rows together.
	Questions []Question
}

// Empty reports whether the sheet would change nothing.
func (d Difference[R]) Empty() bool { return len(d.New)+len(d.Changed)+len(d.Gone) == 0 }

// AllGone is the ID of the question whether rows that are no longer in the sheet, and have no work on them, are removed.
const AllGone = "gone"

// Compare sets the rows of a sheet against the stored ones. has says which columns stood in the sheet: a field without a
// column keeps its stored value. unread are keys of rows in the sheet that could not be read; they are not gone. hasWork
// marks the keys of stored rows with work on them, which are asked about. Neither slice is changed.
func Compare[R Row](existing, incoming []R, hasWork map[string]bool, has func(field string) bool, unread []string) Difference[R] {
	var d Difference[R]
	stored := make(map[string]R, len(existing))
	for _, old := range existing {
		stored[old.Key()] = old
	}
	present := map[string]bool{}
	for _, k := range unread {
		present[k] = true
	}
	fields := fieldsOf[R]()
	for _, row := range incoming {
		present[row.Key()] = true
		old, known := stored[row.Key()]
		if !known {
			d.New = append(d.New, row)
			continue
		}
		merged, changes, weighty := merge(fields, old, row, has)
		if len(changes) == 0 {
			d.Same = append(d.Same, merged)
			continue
		}
		d.Changed = append(d.Changed, Changed[R]{Old: old, New: merged, Fields: changes})
		if weighty && hasWork[row.Key()] {
			d.Questions = append(d.Questions, Question{ID: "changed:" + row.Key(), Key: row.Key(), Text: changeText(row.Key(), changes)})
		}
	}
	d.gone(existing, present, hasWork)
	return d
}

func (d *Difference[R]) gone(existing []R, present, hasWork map[string]bool) {
	idle := 0
	for _, old := range existing {
		k := old.Key()
		if present[k] {
			continue
		}
		d.Gone = append(d.Gone, old)
		if !hasWork[k] {
			idle++
			continue
		}
		d.Questions = append(d.Questions, Question{ID: "gone:" + k, Key: k, Gone: true, Text: k + " is no longer in the sheet, but work has been done on it"})
	}
	if idle > 0 {
		d.Questions = append(d.Questions, Question{ID: AllGone, Gone: true, Text: strconv.Itoa(idle) + " rows without work on them are no longer in the sheet"})
	}
}

func changeText(key string, changes []FieldChange) string {
	parts := make([]string, len(changes))
	for i, c := range changes {
		parts[i] = c.Field + " " + orNothing(c.Old) + " to " + orNothing(c.New)
	}
	return key + " has work on it and the sheet changes " + strings.Join(parts, ", ")
}

func orNothing(text string) string {
	if text == "" {
		return "nothing"
	}
	return text
}

// field is one comparable field of a row: how it reads, how it is taken over, which column of the sheet it comes from,
// and whether a change of it bears on work already done.
type field[R any] struct {
	name    string
	columns []string
	text    func(*R) string
	take    func(dst, src *R)
	weighty bool
	quiet   bool // an empty cell says nothing: what is stored stays
}

// merge lays a sheet's row over the stored one and lists what changes. Place and raw texts always come from the sheet.
func merge[R Row](fields []field[R], old, row R, has func(string) bool) (merged R, changes []FieldChange, weighty bool) {
	merged = row
	for _, f := range fields {
		before, after := f.text(&old), f.text(&row)
		if before == after {
			f.take(&merged, &old) // equal in words: keep the stored value itself
			continue
		}
		if after == "" && (f.quiet || !slices.ContainsFunc(f.columns, has)) {
			f.take(&merged, &old)
			continue
		}
		changes = append(changes, FieldChange{Field: f.name, Old: before, New: after})
		weighty = weighty || f.weighty
	}
	return merged, changes, weighty
}

// fieldsOf returns the comparable fields of a kind of row.
func fieldsOf[R Row]() []field[R] {
	var fields any
	switch any(*new(R)).(type) {
	case OpeningRow:
		fields = openingFields
	case CrewRow:
		fields = crewFields
	case HandoverRow:
		fields = handoverFields
	case SupplierRow:
		fields = supplierFields
	case GCDateRow:
		fields = gcDateFields
	case RateRow:
		fields = rateFields
	}
	return fields.([]field[R])
}

// Describe returns the fields of a row in words, by their names, empty ones left out, and the order to show them in.
func Describe[R Row](row R) (names []string, values map[string]string) {
	values = map[string]string{}
	for _, f := range fieldsOf[R]() {
		names = append(names, f.name)
		if text := f.text(&row); text != "" {
			values[f.name] = text
		}
	}
	return names, values
}

// quietly makes a field whose empty cells say nothing.
func quietly[R any](f field[R]) field[R] {
	f.quiet = true
	return f
}

// words makes a field of plain text.
func words[R any](name string, weighty bool, at func(*R) *string, columns ...string) field[R] {
	if len(columns) == 0 {
		columns = []string{name}
	}
	return field[R]{
		name: name, columns: columns, weighty: weighty,
		text: func(r *R) string { return *at(r) },
		take: func(dst, src *R) { *at(dst) = *at(src) },
	}
}

// shown makes a field of any type with its own way of being shown.
func shown[R, V any](name string, weighty bool, at func(*R) *V, show func(V) string, columns ...string) field[R] {
	if len(columns) == 0 {
		columns = []string{name}
	}
	return field[R]{
		name: name, columns: columns, weighty: weighty,
		text: func(r *R) string { return show(*at(r)) },
		take: func(dst, src *R) { *at(dst) = *at(src) },
	}
}

func showLength(l length.Length) string {
	switch {
	case l == 0:
		return ""
	case l.IsWholeSixteenths():
		return l.FeetInches()
	}
	return l.String()
}

func showInt(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

func showYes(yes bool) string {
	if yes {
		return "yes"
	}
	return ""
}

func showDate(d *problem.Date) string {
	if d == nil {
		return ""
	}
	return d.String()
}

func showNumber(v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'f', -1, 64)
}

// showFactor shows a factor; 1 says the same as none.
func showFactor(v *float64) string {
	if v == nil || *v == 1 {
		return ""
	}
	return showNumber(v)
}

func showKinds(kinds []takeoff.Kind) string {
	parts := make([]string, len(kinds))
	for i, k := range kinds {
		parts[i] = string(k)
	}
	return strings.Join(parts, ", ")
}

func showList(list []string) string { return strings.Join(list, ", ") }

func showSidelights(list []Sidelight) string {
	var parts []string
	for _, s := range list {
		parts = append(parts, strings.TrimSpace(orUnknown(showLength(s.Width))+" "+string(s.Side)))
	}
	return strings.Join(parts, ", ")
}

func orUnknown(text string) string {
	if text == "" {
		return "width not given"
	}
	return text
}

// showAway lists absences by date, so that their order in the sheet does not count.
func showAway(list []Away) string {
	parts := map[string]bool{}
	for _, a := range list {
		parts[a.From.String()+" to "+a.To.String()] = true
	}
	return strings.Join(slices.Sorted(maps.Keys(parts)), ", ")
}
