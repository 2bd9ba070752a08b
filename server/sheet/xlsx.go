package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Limits on the unpacked size of a workbook and of one worksheet kept in memory.
const (
	unzipLimit    = 256 << 20
	unzipXMLLimit = 64 << 20
	// computeLimit bounds how many formulas without a stored result are computed.
	computeLimit = 2_000
)

// readXLSX reads every visible worksheet. The library that reads workbooks is handed files from strangers; should it
// panic on a broken one, that is an unreadable file, not the end of the server.
func readXLSX(data []byte) (tables []Table, err error) {
	defer func() {
		if r := recover(); r != nil {
			tables, err = nil, fmt.Errorf("the workbook is damaged (%v); open it and save it again", r)
		}
	}()
	file, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		UnzipSizeLimit: unzipLimit, UnzipXMLSizeLimit: unzipXMLLimit,
	})
	if err != nil {
		return nil, fmt.Errorf("it is no workbook a spreadsheet program can open (%w); save it as .xlsx or .csv", err)
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	book := workbook{file: file, formulas: holdsFormulas(file)}
	if props, err := file.GetWorkbookProps(); err == nil && props.Date1904 != nil {
		book.from1904 = *props.Date1904
	}
	for _, name := range file.GetSheetList() {
		if visible, err := file.GetSheetVisible(name); err != nil || !visible {
			book.skipped = append(book.skipped, name)
			continue
		}
		table, err := book.table(name)
		if err != nil {
			return nil, fmt.Errorf("worksheet %q: %w", name, err)
		}
		if len(table.Rows) > 0 {
			tables = append(tables, table)
		}
	}
	if len(tables) == 0 {
		return nil, errors.New("no visible worksheet holds text")
	}
	if len(book.skipped) > 0 {
		tables[0].Notes = append(tables[0].Notes, "hidden worksheets were not read: "+strings.Join(book.skipped, ", "))
	}
	return tables, nil
}

// workbook is an open workbook with what its cells need to be understood.
type workbook struct {
	file     *excelize.File
	from1904 bool // dates count from 1904
	formulas bool // some cell holds a formula
	computed int  // formulas computed so far
	skipped  []string
	formats  map[int]numberFormat
}

// table reads one worksheet. Its values come raw; what looks like a number is then looked at more closely.
func (b *workbook) table(name string) (Table, error) {
	values, hidden, err := b.rows(name)
	if err != nil {
		return Table{}, err
	}
	grid := make([][]Cell, len(values))
	without := 0
	for r := range values {
		grid[r] = make([]Cell, len(values[r]))
		for c, value := range values[r] {
			if value != "" {
				grid[r][c] = b.cell(name, ColumnName(c)+strconv.Itoa(r+1), value)
			} else if b.formulas {
				grid[r][c] = b.formula(name, ColumnName(c)+strconv.Itoa(r+1))
			}
			if grid[r][c].Kind == Uncomputed {
				without++
			}
		}
	}
	t := Table{Name: name, Read: "workbook", Notes: append(sheetNotes(hidden, without), b.hiddenColumns(name, grid)...)}
	if err := b.fillMerged(name, grid); err != nil {
		return t, err
	}
	t.Rows = nonEmpty(grid)
	return t, nil
}

// holdsFormulas looks through the unpacked worksheets, so that empty cells of the common workbook without formulas need
// not be looked up one by one. A worksheet too big to be kept in memory is not looked through and counts as holding some.
func holdsFormulas(file *excelize.File) bool {
	found := false
	file.Pkg.Range(func(path, content any) bool {
		name, _ := path.(string)
		if part, ok := content.([]byte); ok && strings.Contains(strings.ToLower(name), "worksheets/") {
			found = len(part) == 0 || bytes.Contains(part, []byte("<f>")) || bytes.Contains(part, []byte("<f "))
		}
		return !found
	})
	return found
}

// hiddenColumns notes that columns nobody sees were read.
func (b *workbook) hiddenColumns(name string, grid [][]Cell) []string {
	filled := map[int]bool{}
	for _, row := range grid {
		for c := range row {
			filled[c] = filled[c] || row[c].Text != ""
		}
	}
	var hidden []string
	for c := range MaxColumns {
		if !filled[c] {
			continue
		}
		if visible, err := b.file.GetColVisible(name, ColumnName(c)); err == nil && !visible {
			hidden = append(hidden, ColumnName(c))
		}
	}
	if len(hidden) == 0 {
		return nil
	}
	return []string{"hidden columns were read too: " + strings.Join(hidden, ", ")}
}

func sheetNotes(hidden []int, without int) []string {
	var notes []string
	if len(hidden) > 0 {
		notes = append(notes, fmt.Sprintf("%d hidden rows were read too, the first is row %d", len(hidden), hidden[0]))
	}
	if without > 0 {
		notes = append(notes, fmt.Sprintf("%d cells hold formulas without a stored result; open the file in a spreadsheet "+
			"program, save it and read it again", without))
	}
	return notes
}

// rows streams the raw values of a worksheet; index r of the result is row r+1. hidden lists the numbers of hidden rows
// that hold text.
func (b *workbook) rows(name string) (values [][]string, hidden []int, err error) {
	rows, err := b.file.Rows(name)
	if err != nil {
		return nil, nil, err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	number := 0
	for rows.Next() {
		number++
		columns, err := rows.Columns(excelize.Options{RawCellValue: true})
		if err != nil {
			return nil, nil, fmt.Errorf("row %d: %w", number, err)
		}
		if len(columns) == 0 {
			continue
		}
		if number > MaxRows {
			return nil, nil, fmt.Errorf("it has text in row %d, below the %d rows that are read", number, MaxRows)
		}
		for len(values) < number-1 {
			values = append(values, nil)
		}
		values = append(values, columns[:min(len(columns), MaxColumns)])
		if rows.GetRowOpts().Hidden {
			hidden = append(hidden, number)
		}
	}
	return values, hidden, nil
}

// cell decides what a raw value is. Only what looks like a number needs a closer look: is it text after all, and does a
// number format make a date of it or add something a person reads?
func (b *workbook) cell(sheet, name, raw string) Cell {
	text := trim(raw)
	if textKind(text) == Failed {
		return Cell{Text: text, Kind: Failed}
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil || strings.Trim(text, "+-.0123456789eE") != "" { // infinity, hexadecimal, 1_000: text to us
		return Cell{Text: text}
	}
	if kind, err := b.file.GetCellType(sheet, name); err == nil && kind == excelize.CellTypeBool {
		return Cell{Text: map[string]string{"0": "FALSE", "1": "TRUE"}[text]}
	}
	format := b.format(sheet, name)
	if format == plainFormat && len(text) < 15 && !strings.ContainsAny(text, "eE") && !strings.HasSuffix(text, ".0") {
		return Cell{Text: text}
	}
	switch kind, err := b.file.GetCellType(sheet, name); {
	case err == nil && (kind == excelize.CellTypeSharedString || kind == excelize.CellTypeInlineString):
		return Cell{Text: text}
	case format == dateFormat:
		return b.date(value, text)
	}
	shown, err := b.file.GetCellValue(sheet, name)
	if err != nil {
		shown = text
	}
	return Cell{Text: numberText(value, text, trim(shown)), Kind: Number}
}

// numberText chooses between a number and the way its format shows it. Leading zeros, units and scientific notation
// are part of what a person reads; thousands separators, currency signs and rounding are not.
func numberText(value float64, raw, shown string) string {
	bare := strings.Trim(strings.ReplaceAll(shown, ",", ""), "$€£ ")
	_, err := strconv.ParseFloat(bare, 64)
	units := err != nil
	scientific := strings.ContainsAny(bare, "eE")
	padded := len(bare) > 1 && bare[0] == '0' && strings.Trim(bare, "0123456789") == ""
	if shown != "" && (units || scientific || padded) {
		return shown
	}
	return plainNumber(value, raw)
}

// plainNumber takes the binary noise off: spreadsheet programs keep 15 significant digits. Some libraries write the whole
// number 105 as 105.0, which no program shows.
func plainNumber(value float64, raw string) string {
	raw = strings.TrimSuffix(raw, ".0")
	if len(raw) < 15 && !strings.ContainsAny(raw, "eE") {
		return raw
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(value, 'g', 15, 64), 64)
	if err != nil {
		return raw
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// date turns a serial number into ISO 8601, to the nearest minute. A time of day alone is not a date.
func (b *workbook) date(serial float64, raw string) Cell {
	if serial < 1 {
		return Cell{Text: raw, Kind: Number}
	}
	t, err := excelize.ExcelDateToTime(serial, b.from1904)
	if err != nil {
		return Cell{Text: raw, Kind: Number}
	}
	t = t.Add(30e9).Truncate(60e9)
	layout := "2006-01-02 15:04"
	if t.Hour() == 0 && t.Minute() == 0 {
		layout = "2006-01-02"
	}
	return Cell{Text: t.Format(layout), Kind: Date}
}

// formula looks at an empty cell: it may hold a formula whose result was never stored, as files written by programs do.
func (b *workbook) formula(sheet, name string) Cell {
	formula, err := b.file.GetCellFormula(sheet, name)
	if err != nil || formula == "" {
		return Cell{}
	}
	if b.computed++; b.computed > computeLimit {
		return Cell{Kind: Uncomputed}
	}
	value, err := b.file.CalcCellValue(sheet, name, excelize.Options{RawCellValue: true})
	if err != nil || value == "" {
		return Cell{Kind: Uncomputed}
	}
	if serial, err := strconv.ParseFloat(value, 64); err == nil && b.format(sheet, name) == dateFormat {
		return b.date(serial, value)
	}
	return Cell{Text: trim(value), Kind: textKind(trim(value))}
}

// fillMerged copies the top left value of each merged block into the block's other cells within the rows that hold
// text.
func (b *workbook) fillMerged(sheet string, grid [][]Cell) error {
	merges, err := b.file.GetMergeCells(sheet, true)
	if err != nil {
		return fmt.Errorf("merged cells: %w", err)
	}
	for _, m := range merges {
		left, top, err1 := excelize.CellNameToCoordinates(m.GetStartAxis())
		right, bottom, err2 := excelize.CellNameToCoordinates(m.GetEndAxis())
		if err1 != nil || err2 != nil || top > len(grid) || left > len(grid[top-1]) {
			continue
		}
		cell := grid[top-1][left-1]
		if cell.Text == "" {
			continue
		}
		cell.Copy = true
		for r := top; r <= min(bottom, len(grid)); r++ {
			if need := min(right, MaxColumns); len(grid[r-1]) < need && (r == top || len(grid[r-1]) > 0) {
				grid[r-1] = append(grid[r-1], make([]Cell, need-len(grid[r-1]))...)
			}
			for c := left; c <= min(right, len(grid[r-1])); c++ {
				if r != top || c != left {
					grid[r-1][c-1] = cell
				}
			}
		}
	}
	return nil
}

func nonEmpty(grid [][]Cell) []Row {
	var rows []Row
	for r, cells := range grid {
		if slices.ContainsFunc(cells, func(c Cell) bool { return c.Text != "" || c.Kind != Text }) {
			rows = append(rows, Row{Number: r + 1, Cells: cells})
		}
	}
	return rows
}
