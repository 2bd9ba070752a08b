package delays

import (
	"fmt"
	"strings"

	"github.com/xuri/excelize/v2"
)

// The worksheets of a statement.
const (
	sheetAbout  = "Statement"
	sheetLines  = "Lines"
	sheetProofs = "Records"
)

// lineHeadings are the columns of the lines.
func lineHeadings() []any {
	return []any{
		"GC date", "No.", "Cause", "What happened", "From", "Party", "Time and money", "Confirmed", "Moved, minutes", "Moved, days",
		"Alone, minutes", "Concurrent with", "Remark", "Notice",
	}
}

// XLSX writes a report as a workbook: what it is, one row a line, one row a record. Texts are text cells with the mark that keeps a
// spreadsheet program from reading them as formulas when they are edited or saved otherwise.
func XLSX(r *Report) (data []byte, err error) {
	f := excelize.NewFile()
	defer func() {
		if closeErr := f.Close(); err == nil {
			err = closeErr
		}
	}()
	if err := f.SetSheetName("Sheet1", sheetAbout); err != nil {
		return nil, fmt.Errorf("name the first worksheet: %w", err)
	}
	for _, name := range []string{sheetLines, sheetProofs} {
		if _, err := f.NewSheet(name); err != nil {
			return nil, fmt.Errorf("add worksheet %s: %w", name, err)
		}
	}
	w := workbook{file: f}
	w.about(r)
	w.lines(r)
	w.records(r)
	if w.err != nil {
		return nil, fmt.Errorf("write the statement as a workbook: %w", w.err)
	}
	out, err := f.WriteToBuffer()
	if err != nil {
		return nil, fmt.Errorf("write the statement as a workbook: %w", err)
	}
	return out.Bytes(), nil
}

// workbook writes rows until something fails.
type workbook struct {
	file *excelize.File
	err  error
}

// row writes one row; texts are guarded.
func (w *workbook) row(sheet string, number int, cells ...any) {
	for i, cell := range cells {
		if w.err != nil {
			return
		}
		at, err := excelize.CoordinatesToCellName(i+1, number)
		if err != nil {
			w.err = err
			return
		}
		if text, isText := cell.(string); isText {
			w.err = w.file.SetCellStr(sheet, at, guarded(text))
		} else {
			w.err = w.file.SetCellValue(sheet, at, cell)
		}
	}
}

// guarded keeps a text from being run as a formula, as a person would: by an apostrophe in front.
func guarded(text string) string {
	if text != "" && strings.ContainsRune("=+-@\t\r\n", rune(text[0])) {
		return "'" + text
	}
	return text
}

// bold makes a row a heading that stays in view.
func (w *workbook) heading(sheet string, number int, widths ...float64) {
	if w.err != nil {
		return
	}
	style, err := w.file.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
	if err != nil {
		w.err = err
		return
	}
	if w.err = w.file.SetRowStyle(sheet, number, number, style); w.err != nil {
		return
	}
	for i, width := range widths {
		column, err := excelize.ColumnNumberToName(i + 1)
		if err == nil {
			err = w.file.SetColWidth(sheet, column, column, width)
		}
		if err != nil {
			w.err = err
			return
		}
	}
	w.err = w.file.SetPanes(sheet, &excelize.Panes{
		Freeze: true, YSplit: number, TopLeftCell: fmt.Sprintf("A%d", number+1), ActivePane: "bottomLeft",
	})
}

func (w *workbook) about(r *Report) {
	w.row(sheetAbout, 1, r.Title)
	n := 2
	for _, fact := range r.Facts {
		w.row(sheetAbout, n, fact[0], fact[1])
		n++
	}
	for _, text := range []string{Disclaimer, Method} {
		w.row(sheetAbout, n, "", text)
		n++
	}
	for i := range r.Dates {
		d := &r.Dates[i]
		w.row(sheetAbout, n, d.Name, strings.Join(d.Words, " "))
		if n++; d.Sum != "" {
			w.row(sheetAbout, n, "Sum", "Sum: "+d.Sum)
			n++
		}
	}
	w.heading(sheetAbout, 1, 28, 120)
}

func (w *workbook) lines(r *Report) {
	w.row(sheetLines, 1, lineHeadings()...)
	n := 2
	for i := range r.Dates {
		for k := range r.Dates[i].Lines {
			l := &r.Dates[i].Lines[k]
			alone := any("")
			if l.CanStandAlone {
				alone = l.Alone
			}
			w.row(sheetLines, n, r.Dates[i].Name, l.Number, l.Cause, l.Text, l.At, l.Party, l.Standing, l.Confirmed, l.Minutes,
				float64(l.Minutes)/(24*60), alone, l.Concurrent, l.By, l.Notice)
			n++
		}
	}
	w.heading(sheetLines, 1, 26, 5, 18, 60, 24, 20, 24, 30, 12, 12, 12, 40, 40, 30)
}

func (w *workbook) records(r *Report) {
	w.row(sheetProofs, 1, "GC date", "No.", "Record")
	n := 2
	for i := range r.Dates {
		for k := range r.Dates[i].Lines {
			for _, record := range r.Dates[i].Lines[k].Records {
				w.row(sheetProofs, n, r.Dates[i].Name, r.Dates[i].Lines[k].Number, record)
				n++
			}
		}
	}
	w.heading(sheetProofs, 1, 26, 5, 110)
}
