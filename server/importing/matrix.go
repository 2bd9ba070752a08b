package importing

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"jambwright/scheduler/problem"
	"jambwright/server/sheet"
)

// A matrix of handovers has areas down, conditions across and dates in its cells, as general contractors keep it:
//
//	           | Walls boarded        | Ceiling closed | Floor finished
//	           | Promised  | Actual   |                |
//	Level 2    |           |          |                |                  a level alone holds for the rows below
//	East       | 4 Dec 26  | 7 Dec 26 | tbc            | 18 Dec 26
//
// A condition may span columns whose second heading row says which date they hold; one without holds what was promised. A
// cell without a date says so (tbc), says nothing, or is a fault.

// matrixColumn is one column of dates.
type matrixColumn struct {
	index     int
	heading   string // as written, both heading rows
	condition string
	group     int    // the same for all columns of one condition, from 0
	field     string // fPromised, fForecast or fActual
}

// matrix is where the parts of a matrix lie in its table.
type matrix struct {
	head    int // row index of the conditions
	below   int // row index of the first area
	columns []matrixColumn
	groups  int
	place   map[string]int // index of the columns of level, area, room and trade, as far as there are any
}

// findMatrix looks for a heading row that names two usual conditions or more and holds no date. A list of handovers has one
// condition a row, so it is none.
func findMatrix(t sheet.Table) (m matrix, found bool) {
	for i := range t.Rows {
		if m, found = matrixAt(t.Rows, i); found {
			return m, true
		}
	}
	return m, false
}

func matrixAt(rows []sheet.Row, i int) (m matrix, found bool) {
	usual, places := map[string]bool{}, true
	for _, c := range rows[i].Cells {
		if c.Kind == sheet.Date {
			return m, false
		}
		if _, err := parseDate(c, MonthFirst); err == nil {
			return m, false
		}
		if places = places && placeField(c.Text) != ""; places {
			continue // a column headed Floor names the level where only such columns stand before it
		}
		if name, _ := headedCondition(c.Text); isUsual(name) {
			usual[name] = true
		}
	}
	if len(usual) < 2 {
		return m, false
	}
	m = matrix{head: i, below: i + 1, place: map[string]int{}}
	var fields []string // of the second heading row, by column
	if i+1 < len(rows) {
		fields = m.secondHeadings(rows[i+1])
	}
	if fields != nil {
		m.below++
	}
	m.readHeadings(rows[i], fields)
	return m, len(m.columns) > 0 && m.columns[0].index > 0 // areas stand to the left of the dates
}

// readHeadings takes the columns apart: what names the area, what holds dates of a condition.
func (m *matrix) readHeadings(head sheet.Row, fields []string) {
	spanning, places, groups := "", true, map[string]int{}
	for k := range max(len(head.Cells), len(fields)) {
		text, field := "", ""
		if k < len(head.Cells) {
			text = strings.Join(strings.Fields(head.Cells[k].Text), " ")
		}
		if k < len(fields) {
			field = fields[k]
		}
		name, own := headedCondition(text)
		if places = places && placeField(text) != ""; places {
			m.names(text, k)
			continue
		}
		switch {
		case isUsual(name):
			spanning = name
		case text == "" && spanning != "" && field != "":
			name = spanning // a second date of the condition to the left
		case spanning == "" || text == "" || m.names(text, k):
			m.names(text, k)
			continue
		default:
			spanning = name // a condition in the sheet's own words
		}
		if _, known := groups[name]; !known {
			groups[name] = len(groups)
		}
		m.columns = append(m.columns, matrixColumn{
			group: groups[name], index: k, heading: strings.TrimSpace(text + " " + field), condition: name, field: firstNonEmpty(field, own, fPromised),
		})
	}
	m.groups = len(groups)
}

// names notes a column that names the place, the trade or remarks; it reports whether it is one.
func (m *matrix) names(text string, index int) bool {
	field := placeField(text)
	if _, twice := m.place[field]; field != "" && !twice {
		m.place[field] = index
	}
	return field != ""
}

// placeField is what of a row's place a heading names, or its trade or remarks; "" for nothing of it.
func placeField(text string) string {
	return headedField(text, fLevel, fArea, fRoom, fTrade, fNotes)
}

// headedField is the one of some fields that a heading names.
func headedField(text string, fields ...string) string {
	plain := sheet.Normalize(text)
	for _, known := range handoverHeadings {
		if slices.Contains(fields, known.Field) && slices.Contains(known.Names, plain) {
			return known.Field
		}
	}
	return ""
}

// secondHeadings reads a row below the conditions that says which dates its columns hold; nil when it is no such row.
func (m *matrix) secondHeadings(row sheet.Row) []string {
	fields, dated := make([]string, len(row.Cells)), false
	for k, c := range row.Cells {
		field := dateField(c.Text)
		switch {
		case field != "":
			fields[k], dated = field, true
		case strings.TrimSpace(c.Text) != "" && !m.names(c.Text, k):
			return nil
		}
	}
	if !dated {
		return nil
	}
	return fields
}

// dateField is which of a handover's dates a heading names; "" for none.
func dateField(text string) string { return headedField(text, fPromised, fForecast, fActual) }

// headedCondition reads a heading such as "Walls boarded" or "Walls boarded, actual". Words that belong to a condition, as
// in "Flooring complete", say nothing of the date.
func headedCondition(text string) (condition, field string) {
	plain := strings.Join(strings.Fields(text), " ")
	if at := strings.LastIndexAny(plain, " ,-–(/:"); at > 0 && !ownWord.MatchString(plain[at:]) {
		if field = dateField(strings.Trim(plain[at:], " ,-–()/:")); field != "" {
			if rest := strings.Trim(plain[:at], " ,-–(/:"); isUsual(conditionOf(rest)) {
				return conditionOf(rest), field
			}
		}
	}
	return conditionOf(plain), ""
}

var ownWord = regexp.MustCompile(`(?i)(?:done|completed?|finished|ready|accepted|received)\)?$`)

// readMatrix reads a table of areas by conditions. What stands in the grid without a date is there, so that it is not gone.
func readMatrix(c *collector, t sheet.Table, m matrix, seen map[string]Place) {
	r := matrixReader{collector: c, matrix: m, level: c.level, trades: map[int]string{}}
	for _, column := range m.columns {
		for _, row := range t.Rows[m.below:] {
			if column.index < len(row.Cells) && r.order == DateOrderUnknown {
				r.order = orderOf(row.Cells[column.index].Text)
			}
		}
	}
	for _, row := range t.Rows[m.below:] {
		r.row(row, seen)
	}
}

// matrixReader goes down the rows of a matrix.
type matrixReader struct {
	*collector
	matrix
	level  string
	trades map[int]string // by column, where a row names them
}

// row reads one area.
func (r *matrixReader) row(row sheet.Row, seen map[string]Place) {
	cell := func(k int) sheet.Cell {
		if k < len(row.Cells) {
			return row.Cells[k]
		}
		return sheet.Cell{}
	}
	level, area, trade := r.placeOf(cell)
	if strings.EqualFold(firstNonEmpty(area, level), "trade") {
		for _, column := range r.columns {
			r.trades[column.index] = blank(cell(column.index).Text)
		}
		return
	}
	empty := !slices.ContainsFunc(r.columns, func(c matrixColumn) bool { return strings.TrimSpace(cell(c.index).Text) != "" })
	if level != "" {
		r.level = level
	}
	if empty {
		return // a level alone, a remark, a rule
	}
	place := Place{Sheet: r.table, Row: row.Number}
	if level == "" {
		level = r.level
	}
	if level == "" && area == "" {
		r.faults = append(r.faults, Fault{
			File: r.file, Place: place, Message: "the row has dates but names no area", Remedy: "write the level or area to the left of the dates",
		})
		return
	}
	// The dates of one condition stand in one row, whatever their columns.
	made, refused := make([]*HandoverRow, r.groups), make([]bool, r.groups)
	for _, column := range r.columns {
		if made[column.group] == nil {
			made[column.group] = &HandoverRow{
				Place: place, Level: level, Area: area, Condition: column.condition, Trade: firstNonEmpty(trade, r.trades[column.index]),
			}
		}
		if !r.date(made[column.group], column, cell(column.index)) {
			refused[column.group] = true
		}
	}
	for i, h := range made {
		r.keep(h, refused[i], seen)
	}
}

// keep takes a row unless a cell of it is at fault, it stands above already or it has no date.
func (r *matrixReader) keep(h *HandoverRow, refused bool, seen map[string]Place) {
	key := h.Key()
	first, twice := seen[key]
	dated := h.Promised != nil || h.Forecast != nil || h.Actual != nil
	switch {
	case twice && dated:
		r.faults = append(r.faults, Fault{
			File: r.file, Place: h.Place, Value: joinedArea(h.Level, h.Area),
			Message: fmt.Sprintf("%s of this area stands in row %d%s already", strings.ReplaceAll(h.Condition, "_", " "), first.Row, inSheet(first.Sheet)),
			Remedy:  "keep one row for each area",
		})
		r.unread(key)
	case refused || !dated:
		r.unread(key)
	default:
		seen[key] = h.Place
		r.handovers = append(r.handovers, *h)
	}
}

func joinedArea(level, area string) string {
	if level == "" || area == "" {
		return level + area
	}
	return level + " / " + area
}

// placeOf reads what names the area of a row. Without headings of its own, what stands left of the dates is a level or an
// area, or both in one cell: "Level 2 / East", "Level 2 - East".
func (r *matrixReader) placeOf(cell func(int) sheet.Cell) (level, area, trade string) {
	text := func(field string) string {
		k, known := r.place[field]
		if !known {
			return ""
		}
		return blank(strings.Join(strings.Fields(cell(k).Text), " "))
	}
	level, trade = text(fLevel), text(fTrade)
	area = strings.TrimSpace(text(fArea) + " " + text(fRoom))
	if _, headed := r.place[fLevel]; headed {
		return level, area, trade
	}
	if area == "" {
		for k := range r.columns[0].index {
			if t := blank(strings.Join(strings.Fields(cell(k).Text), " ")); t != "" && t != trade {
				area = t
				break
			}
		}
	}
	level, area = splitArea(area)
	return level, area, trade
}

var areaParts = regexp.MustCompile(`\s*(?:/|,|–|—|\s-\s|:)\s*`)

// splitArea takes a level off the front of a text: "Level 2 / East" is East of Level 2.
func splitArea(text string) (level, area string) {
	if sheet.LevelName(text) {
		return text, ""
	}
	if at := areaParts.FindStringIndex(text); at != nil && sheet.LevelName(text[:at[0]]) {
		return text[:at[0]], strings.TrimSpace(text[at[1]:])
	}
	return "", text
}

var (
	// undecided are the ways of writing that a date is still to come.
	undecided = regexp.MustCompile(`(?i)^\(?(?:t\.?\s?b\.?\s?[cdanr]\.?|to be (?:confirmed|determined|advised|announced|decided)|pending|hold|on hold|unknown|\?+)\)?$`)
	// cameWords are the ways of writing that something was handed over.
	cameWords = regexp.MustCompile(`(?i)^(?:done|complete[d]?|finished|handed over|turned over|accepted|actual|yes|ok|x|✓|✔|100 ?%)\b?[ :,.(-]*|[ ,(]+(?:done|complete[d]?|handed over|actual|a)\)?$|^[✓✔]\s*`)
)

// noDate is said of a cell that announces a date without giving one.
const noDate = "no date given: it stays as it is stored, and waits without a date where none is"

// date reads a cell into its date; it reports whether the cell is no fault.
func (r *matrixReader) date(h *HandoverRow, column matrixColumn, cell sheet.Cell) bool {
	text := strings.Join(strings.Fields(cell.Text), " ")
	at := Fault{File: r.file, Place: h.Place, Cell: sheet.ColumnName(column.index) + itoa(h.Row), Column: column.heading, Value: text}
	refuse := func(message, remedy string) bool {
		at.Message, at.Remedy = message, remedy
		r.faults = append(r.faults, at)
		return false
	}
	switch {
	case cell.Kind == sheet.Failed:
		return refuse("the spreadsheet program shows an error here", "mend the formula or write the value")
	case cell.Kind == sheet.Uncomputed:
		return refuse("the cell holds a formula without a stored result", "open the file in a spreadsheet program and save it, or write the value")
	case undecided.MatchString(text):
		at.Message = noDate
		r.warnings = append(r.warnings, at)
		return true
	case cell.Kind != sheet.Date && blank(text) == "":
		return true
	}
	field := column.field
	d, err := parseDate(cell, r.order)
	if err == nil {
		h.setDate(field, &d)
		return true
	}
	if came := cameWords.FindStringIndex(text); came != nil {
		rest := strings.Trim(text[:came[0]]+text[came[1]:], " ,()")
		if rest == "" {
			return refuse("it says that this was handed over, but not on which day", "write the day, such as 2026-11-25")
		}
		if d, err = parseDate(sheet.Cell{Text: rest}, r.order); err == nil {
			h.setDate(fActual, &d)
			return true
		}
		message, remedy := explain(err, "write it as 2026-11-25, 25 Nov 2026 or November 25, 2026")
		return refuse(message, remedy)
	}
	message, remedy := explain(err, "write it as 2026-11-25, 25 Nov 2026 or November 25, 2026; or tbc when there is none yet")
	return refuse(message, remedy)
}

// setDate sets one of the dates by the name of its column.
func (h *HandoverRow) setDate(field string, d *problem.Date) {
	switch field {
	case fForecast:
		h.Forecast = d
	case fActual:
		h.Actual = d
	default:
		h.Promised = d
	}
}
