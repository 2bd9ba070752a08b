package sheet

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strings"

	"github.com/xuri/excelize/v2"
)

// neutral keeps a text from being run as a formula when a spreadsheet program opens the file: a text that begins with
// one of = + - @ or a control character gets an apostrophe in front, as a person would type it. Reading takes it off. A number
// below 0 is no formula and stays a number.
func neutral(text string) string {
	if isBelowZero := len(text) > 1 && text[0] == '-' && strings.Trim(text[1:], "0123456789.") == ""; isBelowZero || !isFormula(text) {
		return text
	}
	return "'" + text
}

func isFormula(text string) bool { return text != "" && strings.IndexByte("=+-@\t\r", text[0]) >= 0 }

// unguarded takes off the apostrophe that neutral, or a person, puts on.
func unguarded(text string) string {
	if len(text) > 1 && text[0] == '\'' && isFormula(text[1:]) {
		return text[1:]
	}
	return text
}

// WriteCSV writes rows as RFC 4180 with a byte order mark, by which spreadsheet programs know UTF-8. No text can start a
// formula.
func WriteCSV(rows [][]string) ([]byte, error) {
	b := bytes.NewBufferString("\ufeff")
	w := csv.NewWriter(b)
	w.UseCRLF = true
	for _, row := range rows {
		guarded := make([]string, len(row))
		for i, text := range row {
			guarded[i] = neutral(text)
		}
		if err := w.Write(guarded); err != nil {
			return nil, fmt.Errorf("writing CSV: %w", err)
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// WriteXLSX writes rows as a workbook of one worksheet. Every text is formatted as such, so that a person can type 3-0 or 1E2
// into it, and a number is a number cell; the row heading (index from 0) is bold and stays in view.
func WriteXLSX[T any](name string, rows [][]T, heading int) (data []byte, err error) {
	f := excelize.NewFile()
	defer func() {
		if closeErr := f.Close(); err == nil {
			err = closeErr
		}
	}()
	if err := f.SetSheetName("Sheet1", name); err != nil {
		return nil, fmt.Errorf("naming worksheet %q: %w", name, err)
	}
	text, err := f.NewStyle(&excelize.Style{NumFmt: 49})
	if err != nil {
		return nil, err
	}
	figure, err := f.NewStyle(&excelize.Style{NumFmt: 4}) // #,##0.00
	if err != nil {
		return nil, err
	}
	bold, err := f.NewStyle(&excelize.Style{NumFmt: 49, Font: &excelize.Font{Bold: true}})
	if err != nil {
		return nil, err
	}
	w, err := f.NewStreamWriter(name)
	if err != nil {
		return nil, err
	}
	if err := w.SetColWidth(1, MaxColumns, 16); err != nil {
		return nil, err
	}
	if err := w.SetPanes(&excelize.Panes{
		Freeze: true, YSplit: heading + 1, TopLeftCell: fmt.Sprintf("A%d", heading+2), ActivePane: "bottomLeft",
	}); err != nil {
		return nil, err
	}
	for i, row := range rows {
		style := text
		if i == heading {
			style = bold
		}
		cells := make([]any, len(row))
		for c := range row {
			switch v := any(row[c]).(type) {
			case string:
				cells[c] = excelize.Cell{StyleID: style, Value: v}
			case float64:
				cells[c] = excelize.Cell{StyleID: figure, Value: math.Round(v*100) / 100}
			default:
				cells[c] = v
			}
		}
		if err := w.SetRow(fmt.Sprintf("A%d", i+1), cells); err != nil {
			return nil, fmt.Errorf("writing row %d: %w", i+1, err)
		}
	}
	if err := w.Flush(); err != nil {
		return nil, err
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		return nil, fmt.Errorf("writing the workbook: %w", err)
	}
	return b.Bytes(), nil
}
