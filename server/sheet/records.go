package sheet

import (
	"slices"
	"strings"
)

// Result is what was found in one table under one vocabulary.
type Result struct {
	Titles  []string // texts above the first heading row, in order
	Records []Record
	Passed  []Passed // rows left out on purpose: titles, totals, notes, page footers
	Columns []Column // of the first heading row
	Unused  []string // its headings that the vocabulary does not know
	Row     int      // number of the first heading row; 0 when none was found
}

// Record is one row of data with what it repeats filled in.
type Record struct {
	Row     int
	Banner  Banner // opened above it
	columns []Column
	cells   []Cell // by position in columns, dittos and repeating blanks resolved
	written []Cell // by position in columns, as they stand in the file
}

// Passed is a row that was left out, and why.
type Passed struct {
	Row  int
	Text string
	Why  string
}

// Get returns the first cell under a field and its column. Without such a column it returns false.
func (r Record) Get(field string) (Cell, Column, bool) {
	for i, c := range r.columns {
		if c.Field == field {
			return r.cells[i], c, true
		}
	}
	return Cell{}, Column{}, false
}

// Text returns the text of the first cell under a field, "" without such a column.
func (r Record) Text(field string) string {
	c, _, _ := r.Get(field)
	return c.Text
}

// All calls yield for each column with its resolved cell, left to right.
func (r Record) All(yield func(Column, Cell) bool) {
	for i, c := range r.columns {
		if !yield(c, r.cells[i]) {
			return
		}
	}
}

// Raw returns the row as it stands in the file by its known headings.
func (r Record) Raw() map[string]string {
	raw := make(map[string]string, len(r.columns))
	for i, c := range r.columns {
		if r.written[i].Text != "" {
			raw[c.Heading] = r.written[i].Text
		}
	}
	return raw
}

// Records finds the heading rows of a table and returns the records below them. When no row has the key and two other
// known headings, the key and one other are enough. Row 0 in the result means that no heading row was found; nothing
// else is then set but Titles.
func Records(t Table, v Vocabulary) Result {
	words := newLexicon(v)
	for least := leastHeadings; least > 0; least-- {
		for i := range t.Rows {
			if h, ok := words.headerAt(t.Rows, i, least); ok {
				w := walker{rows: t.Rows, vocabulary: v, words: words, least: least}
				w.result.Titles = titles(t.Rows[:i])
				w.preamble(t.Rows[:i])
				w.open(h, i)
				w.walk(i + h.depth)
				return w.result
			}
		}
	}
	return Result{Titles: titles(t.Rows)}
}

func titles(rows []Row) []string {
	var texts []string
	for _, r := range rows {
		for _, c := range r.Cells {
			if text := oneLine(c.Text); text != "" && (len(texts) == 0 || texts[len(texts)-1] != text) {
				texts = append(texts, text)
			}
		}
	}
	return texts
}

// walker goes down the rows of a table.
type walker struct {
	rows       []Row
	vocabulary Vocabulary
	words      *lexicon
	least      int
	columns    []Column
	above      []Cell // resolved cells of the record above, nil right below a heading or banner
	banner     Banner
	ended      bool // NOTES or a grand total has ended the list; only whole records go on with it
	result     Result
}

// preamble takes a banner standing above the first heading row.
func (w *walker) preamble(rows []Row) {
	for _, r := range rows {
		if distinct(r) != 1 {
			continue
		}
		if b, ok := readBanner(firstText(r)); ok && b.Level != "" {
			w.banner = b
		}
	}
}

// open starts a block under a heading row.
func (w *walker) open(h header, at int) {
	w.columns = h.columns
	w.above = nil
	w.ended = false
	if w.result.Row == 0 {
		w.result.Row, w.result.Columns, w.result.Unused = w.rows[at].Number, h.columns, h.unused
	}
}

func (w *walker) walk(i int) {
	for i < len(w.rows) {
		if h, ok := w.words.headerAt(w.rows, i, max(w.least, len(w.columns)/2)); ok {
			w.open(h, i)
			i += h.depth
			continue
		}
		w.row(w.rows[i])
		i++
	}
}

// row sorts one row: banner, row without a meaning of its own, or record.
func (w *walker) row(r Row) {
	cells := w.pick(r)
	if b, ok := w.bannerOf(r, cells); ok {
		w.enter(b)
		return
	}
	why := w.passOver(r, cells)
	if i, ok := w.groupOf(r, cells); ok && (why == "" || why == loneText) {
		w.group(i, cells[i])
		return
	}
	if why != "" {
		w.result.Passed = append(w.result.Passed, Passed{Row: r.Number, Text: rowText(r), Why: why})
		return
	}
	resolved := w.resolve(cells)
	w.above = resolved
	w.result.Records = append(w.result.Records, Record{
		Row: r.Number, Banner: w.banner, columns: w.columns, cells: resolved, written: cells,
	})
}

func (w *walker) pick(r Row) []Cell {
	cells := make([]Cell, len(w.columns))
	for i, c := range w.columns {
		cells[i] = r.at(c.Index)
	}
	return cells
}

// bannerOf recognises a banner: the row's only text, or its first text where nothing else but counts and remarks stands
// in known columns.
func (w *walker) bannerOf(r Row, cells []Cell) (Banner, bool) {
	if distinct(r) > 2 {
		return Banner{}, false
	}
	b, ok := readBanner(firstText(r))
	if ok && distinct(r) == 2 && filled(cells) > 1 {
		return Banner{}, false
	}
	return b, ok
}

// enter opens a level or an area; a new level closes the area.
func (w *walker) enter(b Banner) {
	if b.Level != "" {
		w.banner = b
	} else {
		w.banner.Area = b.Area
	}
	w.above = nil
	w.ended = false
}

// groupOf recognises a row whose only cell stands in a column that repeats by being blank, such as an area on a line of
// its own above its openings. It returns the position of that column.
func (w *walker) groupOf(r Row, cells []Cell) (int, bool) {
	text := firstText(r)
	if filled(r.Cells) != 1 || len(strings.Fields(text)) > 3 || w.ended {
		return 0, false
	}
	for i, c := range cells {
		if c.Text == text && w.vocabulary.field(w.columns[i].Field) != nil && w.vocabulary.field(w.columns[i].Field).Repeat != Never {
			return i, true
		}
	}
	return 0, false
}

// group makes a lone value the one that blanks below repeat. What stood above it holds no longer, but for the wider
// columns.
func (w *walker) group(i int, c Cell) {
	above := make([]Cell, len(w.columns))
	within := w.vocabulary.field(w.columns[i].Field).Within
	for j := range w.columns {
		if w.above != nil && within != "" && w.columns[j].Field == within {
			above[j] = w.above[j]
		}
	}
	above[i] = c
	w.above = above
}

const loneText = "lone text"

// passOver says why a row is no record, or "".
func (w *walker) passOver(r Row, cells []Cell) string {
	first, n := firstText(r), distinct(r)
	key := cells[w.keyPosition()].Text
	switch {
	case isTotal(first) && (key == "" || key == first):
		w.ended = w.ended || isGrandTotal(first)
		return "total"
	case n <= 3 && slices.ContainsFunc(r.Cells, func(c Cell) bool { return isPage(c.Text) }):
		return "page heading"
	case key == "" && onlyNumbers(r):
		return "total without a name"
	case voidRow(r, n):
		return "marked as not used"
	case endsList(first) && n <= 2:
		w.ended = true
		return "note"
	case isNote(first) && n <= 2:
		return "note"
	case w.ended && (n < 3 || key == ""):
		return "below the end of the list"
	case n == 1 && (key == "" || isSentence(first)):
		return loneText
	}
	return ""
}

func (w *walker) keyPosition() int {
	for i, c := range w.columns {
		if c.Field == w.vocabulary[0].Field {
			return i
		}
	}
	return 0
}

// resolve fills in ditto marks and repeating blanks. Wider headings stand before the narrower ones in the vocabulary, not
// necessarily in the sheet, so a blank looks at what its wider cell holds as written.
func (w *walker) resolve(cells []Cell) []Cell {
	resolved := make([]Cell, len(cells))
	for i, c := range cells {
		_, ditto := dittoMark(c.Text)
		switch {
		case ditto && w.above != nil && w.above[i].Text != "":
			resolved[i] = w.above[i]
		case ditto:
			resolved[i] = Cell{Text: c.Text, Kind: Orphan}
		case c.Text == "" && c.Kind == Text && w.above != nil && w.repeats(i, cells):
			resolved[i] = w.above[i]
		default:
			resolved[i] = c
		}
	}
	return resolved
}

func (w *walker) repeats(i int, cells []Cell) bool {
	h := w.vocabulary.field(w.columns[i].Field)
	if h == nil || w.above[i].Kind == Orphan || h.Repeat == Never {
		return false
	}
	if h.Repeat == Always {
		return true
	}
	for j, c := range w.columns {
		if c.Field != h.Within {
			continue
		}
		_, ditto := dittoMark(cells[j].Text)
		blank := cells[j].Text == "" || ditto
		return blank || h.Repeat == UnlessWiderChanges && strings.EqualFold(cells[j].Text, w.above[j].Text)
	}
	return true
}

// voidRow reports whether a row only says that its mark is not used.
func voidRow(r Row, n int) bool {
	if n > 3 {
		return false
	}
	for _, c := range r.Cells {
		if isVoid(c.Text) {
			return true
		}
	}
	return false
}

func firstText(r Row) string {
	for _, c := range r.Cells {
		if c.Text != "" {
			return c.Text
		}
	}
	return ""
}

func rowText(r Row) string {
	var texts []string
	last := ""
	for _, c := range r.Cells {
		if c.Text != "" && (!c.Copy || c.Text != last) {
			texts = append(texts, oneLine(c.Text))
		}
		last = c.Text
	}
	return strings.Join(texts, " | ")
}

func filled(cells []Cell) int {
	n := 0
	for _, c := range cells {
		if c.Text != "" {
			n++
		}
	}
	return n
}

// onlyNumbers reports whether a row holds a single whole number: the sum under a list.
func onlyNumbers(r Row) bool {
	n := 0
	for _, c := range r.Cells {
		if c.Text == "" {
			continue
		}
		if n++; n > 1 || len(c.Text) > 6 || strings.Trim(c.Text, "0123456789") != "" {
			return false
		}
	}
	return n > 0
}

// isSentence reports whether a lone text reads as words rather than as a mark: three words, or no digit and more than
// three letters.
func isSentence(text string) bool {
	return len(strings.Fields(text)) >= 3 || len(text) > 3 && !strings.ContainsAny(text, "0123456789")
}
