package server

import (
	"cmp"
	"slices"
	"strings"

	"jambwright/server/importing"
	"jambwright/server/intake"
	"jambwright/web"
	"jambwright/web/elevation"
)

func questionChoices(q importing.Question) []web.Choice {
	if q.Gone {
		return []web.Choice{{Value: string(importing.Keep), Text: "Keep them"}, {Value: string(importing.Take), Text: "Take them out"}}
	}
	return []web.Choice{{Value: string(importing.Keep), Text: "Keep what is stored"}, {Value: string(importing.Take), Text: "Take what the sheet says"}}
}

func sheetFaults(faults []importing.Fault) []web.SheetFault {
	var list []web.SheetFault
	for _, f := range faults {
		list = append(list, web.SheetFault{
			File: f.File, Row: f.Row, Column: cmp.Or(f.Column, f.Cell), Value: f.Value, Message: f.Message, Remedy: f.Remedy,
		})
	}
	return list
}

// fillRows shows the rows of the sheet's kind.
func fillRows(page *web.ImportPreviewPage, p *importing.Preview) {
	switch p.Sheet.Kind {
	case importing.Openings:
		rowsOf(page, p.Openings, func(o importing.OpeningRow) (int, string) { return o.Row, o.Mark }, func(o importing.OpeningRow) *elevation.Opening {
			input := intake.Geometry(o)
			drawing := elevationOf(o.Mark, input, o.Handing, elevation.Measured, "")
			return &drawing
		})
	case importing.Crews:
		rowsOf(page, p.Crews, func(r importing.CrewRow) (int, string) { return r.Row, r.Name }, nil)
	case importing.Handovers:
		rowsOf(page, p.Handovers, func(r importing.HandoverRow) (int, string) { return r.Row, cellWords("condition", r.Condition) }, nil)
	case importing.Suppliers:
		rowsOf(page, p.Suppliers, func(r importing.SupplierRow) (int, string) { return r.Row, r.Name }, nil)
	case importing.GCDates:
		rowsOf(page, p.GCDates, func(r importing.GCDateRow) (int, string) { return r.Row, r.Name }, nil)
	case importing.Rates:
		rowsOf(page, p.Rates, func(r importing.RateRow) (int, string) { return r.Row, rateSubject(r) }, nil)
	}
}

// rateSubject is what a row of rates is about.
func rateSubject(r importing.RateRow) string {
	if r.Work == "" {
		return "all work"
	}
	return gerund(r.Work)
}

// cellWords writes the names of types and conditions as people say them.
func cellWords(column, value string) string {
	switch column {
	case "type":
		return elevation.Type(value).Name()
	case "condition", "conditions":
		return strings.ReplaceAll(value, "_", " ")
	}
	return value
}

// rowsOf shows a difference row by row, with the columns that any row fills.
func rowsOf[R importing.Row](
	page *web.ImportPreviewPage, d importing.Difference[R], name func(R) (int, string), draw func(R) *elevation.Opening,
) {
	type line struct {
		row R
		was map[string]string
		to  web.RowChange
	}
	var lines []line
	for _, row := range d.New {
		lines = append(lines, line{row: row, to: web.RowNew})
	}
	for _, change := range d.Changed {
		was := map[string]string{}
		for _, f := range change.Fields {
			was[f.Field] = cmp.Or(f.Old, "nothing")
		}
		lines = append(lines, line{row: change.New, was: was, to: web.RowChanged})
	}
	for _, row := range d.Same {
		lines = append(lines, line{row: row, to: web.RowSame})
	}
	slices.SortStableFunc(lines, func(a, b line) int {
		rowA, _ := name(a.row)
		rowB, _ := name(b.row)
		return cmp.Compare(rowA, rowB)
	})
	for _, row := range d.Gone {
		lines = append(lines, line{row: row, to: web.RowGone})
	}
	var columns []string
	for _, l := range lines {
		order, values := importing.Describe(l.row)
		for _, column := range order {
			if values[column] != "" && column != "name" && !slices.Contains(columns, column) {
				columns = append(columns, column)
			}
		}
	}
	page.Columns = columns
	for _, l := range lines {
		_, values := importing.Describe(l.row)
		number, text := name(l.row)
		row := web.PreviewRow{Row: number, Change: l.to, Name: text}
		for _, column := range columns {
			row.Cells = append(row.Cells, cellWords(column, values[column]))
			if l.was != nil {
				row.Was = append(row.Was, cellWords(column, l.was[column]))
			}
		}
		if draw != nil {
			row.Elevation = draw(l.row)
		}
		page.Rows = append(page.Rows, row)
	}
}
