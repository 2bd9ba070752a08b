package sheet_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"jambwright/server/sheet"
)

// build makes a workbook in memory.
func build(t testing.TB, fill func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	fill(f)
	b, err := f.WriteToBuffer()
	require.NoError(t, err)
	require.NoError(t, f.Close())
	return b.Bytes()
}

func read(t testing.TB, data []byte) []sheet.Table {
	t.Helper()
	tables, err := sheet.Read("test.xlsx", data)
	require.NoError(t, err)
	return tables
}

func set(t testing.TB, f *excelize.File, name, cell string, value any) {
	t.Helper()
	require.NoError(t, f.SetCellValue(name, cell, value))
}

func style(t testing.TB, f *excelize.File, cell string, s *excelize.Style) {
	t.Helper()
	id, err := f.NewStyle(s)
	require.NoError(t, err)
	require.NoError(t, f.SetCellStyle("Sheet1", cell, cell, id))
}

func custom(format string) *excelize.Style { return &excelize.Style{CustomNumFmt: &format} }

func TestRead_TellsNumbersDatesAndTextApart(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		name   string
		value  any
		format *excelize.Style
		want   sheet.Cell
	}{
		{"text that looks like a number", "007", nil, sheet.Cell{Text: "007"}},
		{"text that looks like an exponent", "1E2", nil, sheet.Cell{Text: "1E2"}},
		{"whole number", 101, nil, sheet.Cell{Text: "101"}},
		{"binary noise", 914.4000000000001, nil, sheet.Cell{Text: "914.4", Kind: sheet.Number}},
		{"leading zeros by format", 7, custom("000"), sheet.Cell{Text: "007", Kind: sheet.Number}},
		{"rounded by format", 2133.6, custom("#,##0"), sheet.Cell{Text: "2133.6", Kind: sheet.Number}},
		{"thousands by format", 2134, custom("#,##0"), sheet.Cell{Text: "2134", Kind: sheet.Number}},
		{"currency", 1800, custom("$#,##0"), sheet.Cell{Text: "1800", Kind: sheet.Number}},
		{"fraction by format", 36.5, custom("# ?/?"), sheet.Cell{Text: "36 1/2", Kind: sheet.Number}},
		{"exponent by format", 100, &excelize.Style{NumFmt: 11}, sheet.Cell{Text: "1.00E+02", Kind: sheet.Number}},
		// Serial numbers by the 1900 system: 46350 is 24 November 2026.
		{"date by built-in format", 46350, &excelize.Style{NumFmt: 14}, sheet.Cell{Text: "2026-11-24", Kind: sheet.Date}},
		{"date by own format", 46388, custom("ddd d-mmm-yy"), sheet.Cell{Text: "2027-01-01", Kind: sheet.Date}},
		{"month and year by format", 46204, custom("mmm-yy"), sheet.Cell{Text: "2026-07-01", Kind: sheet.Date}},
		{"date and time", 46350.5, custom("yyyy-mm-dd hh:mm"), sheet.Cell{Text: "2026-11-24 12:00", Kind: sheet.Date}},
		{"size eaten by the program", time.Date(2026, 3, 7, 0, 0, 0, 0, time.UTC), custom("d-mmm"), sheet.Cell{Text: "2026-03-07", Kind: sheet.Date}},
		{"quoted letters are no date", 36, custom(`0" days"`), sheet.Cell{Text: "36 days", Kind: sheet.Number}},
		{"truth value", true, nil, sheet.Cell{Text: "TRUE"}},
		{"error value", "#N/A", nil, sheet.Cell{Text: "#N/A", Kind: sheet.Failed}},
	} {
		data := build(t, func(f *excelize.File) {
			set(t, f, "Sheet1", "A1", tc.value)
			if tc.format != nil {
				style(t, f, "A1", tc.format)
			}
		})
		assert.Equal(t, tc.want, read(t, data)[0].Rows[0].Cells[0], tc.name)
	}
}

func TestRead_HonoursTheYearDatesCountFrom(t *testing.T) {
	t.Parallel()
	data := build(t, func(f *excelize.File) {
		yes := true
		require.NoError(t, f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}))
		set(t, f, "Sheet1", "A1", 46350-1462) // ECMA-376: the 1904 system is 1,462 days behind
		style(t, f, "A1", &excelize.Style{NumFmt: 14})
	})
	assert.Equal(t, "2026-11-24", read(t, data)[0].Rows[0].Cells[0].Text)
}

func TestRead_FillsMergedBlocks(t *testing.T) {
	t.Parallel()
	data := build(t, func(f *excelize.File) {
		set(t, f, "Sheet1", "B2", "DOOR")
		require.NoError(t, f.MergeCell("Sheet1", "B2", "D2"))
		set(t, f, "Sheet1", "A3", "Level 1")
		require.NoError(t, f.MergeCell("Sheet1", "A3", "A5"))
		set(t, f, "Sheet1", "B3", "x")
		set(t, f, "Sheet1", "B4", "y")
	})
	table := read(t, data)[0]
	assert.Equal(t, [][]string{{"", "DOOR", "DOOR", "DOOR"}, {"Level 1", "x"}, {"Level 1", "y"}}, texts(table))
	assert.Equal(t, 2, table.Rows[0].Number)
	assert.True(t, table.Rows[0].Cells[2].Copy)
}

func TestRead_SaysWhatItDidWithHiddenThings(t *testing.T) {
	t.Parallel()
	data := build(t, func(f *excelize.File) {
		set(t, f, "Sheet1", "A1", "shown")
		set(t, f, "Sheet1", "A2", "hidden")
		require.NoError(t, f.SetRowVisible("Sheet1", 2, false))
		_, err := f.NewSheet("Lists")
		require.NoError(t, err)
		set(t, f, "Lists", "A1", "HM")
		require.NoError(t, f.SetSheetVisible("Lists", false))
	})
	tables := read(t, data)
	require.Len(t, tables, 1)
	assert.Len(t, tables[0].Rows, 2, "hidden rows are read: a filter left on must not drop openings")
	assert.Equal(t, []string{"1 hidden rows were read too, the first is row 2", "hidden worksheets were not read: Lists"}, tables[0].Notes)
}

func TestRead_ComputesFormulasWithoutAResult(t *testing.T) {
	t.Parallel()
	data := build(t, func(f *excelize.File) {
		set(t, f, "Sheet1", "A1", 36)
		require.NoError(t, f.SetCellFormula("Sheet1", "B1", "A1*2"))
		require.NoError(t, f.SetCellFormula("Sheet1", "C1", "NOSUCHFUNCTION(A1)"))
		set(t, f, "Sheet1", "D1", "end")
	})
	table := read(t, data)[0]
	assert.Equal(t, "72", table.Rows[0].Cells[1].Text)
	assert.Equal(t, sheet.Uncomputed, table.Rows[0].Cells[2].Kind)
	assert.Contains(t, table.Notes[0], "1 cells hold formulas without a stored result")
}

func FuzzRead_XLSXNeverPanics(f *testing.F) {
	f.Add(build(f, func(x *excelize.File) {
		set(f, x, "Sheet1", "A1", "Mark")
		set(f, x, "Sheet1", "B2", 46350)
		require.NoError(f, x.MergeCell("Sheet1", "A1", "B1"))
		require.NoError(f, x.SetCellFormula("Sheet1", "C1", "B2+1"))
	}))
	f.Add([]byte("PK\x03\x04"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<20 {
			return
		}
		tables, err := sheet.Read("fuzz.xlsx", data)
		if err == nil && len(tables) == 0 {
			t.Fatal("neither tables nor an error")
		}
	})
}

func BenchmarkRead_XLSX10000Rows(b *testing.B) {
	data := build(b, func(f *excelize.File) {
		w, err := f.NewStreamWriter("Sheet1")
		require.NoError(b, err)
		date, err := f.NewStyle(&excelize.Style{NumFmt: 14})
		require.NoError(b, err)
		for r := 1; r <= 10_000; r++ {
			cell, _ := excelize.CoordinatesToCellName(1, r)
			require.NoError(b, w.SetRow(cell, []any{r, "Level 1", "East", "HM door and frame", `3'-0"`, `7'-0"`, "", 914.4, excelize.Cell{StyleID: date, Value: 46350 + r%300}, "x", "y", "z"}))
		}
		require.NoError(b, w.Flush())
	})
	b.ReportAllocs()
	for b.Loop() {
		read(b, data)
	}
}

func TestRead_WholeNumbersHaveNoPoint(t *testing.T) {
	t.Parallel()
	data := build(t, func(f *excelize.File) {
		require.NoError(t, f.SetCellDefault("Sheet1", "A1", "105.0")) // as some libraries write the number 105
		set(t, f, "Sheet1", "B1", "105.0")                            // a text
	})
	assert.Equal(t, [][]string{{"105", "105.0"}}, texts(read(t, data)[0]))
}
