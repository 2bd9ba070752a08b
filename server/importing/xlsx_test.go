package importing_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"jambwright/server/importing"
)

// workbook builds an XLSX file in memory from rows of values; nil leaves a cell empty.
func workbook(t testing.TB, rows [][]any, more func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	for i, row := range rows {
		for c, v := range row {
			if v == nil {
				continue
			}
			cell, err := excelize.CoordinatesToCellName(c+1, i+1)
			require.NoError(t, err)
			require.NoError(t, f.SetCellValue("Sheet1", cell, v))
		}
	}
	if more != nil {
		more(f)
	}
	b, err := f.WriteToBuffer()
	require.NoError(t, err)
	require.NoError(t, f.Close())
	return b.Bytes()
}

func format(t testing.TB, f *excelize.File, numberFormat string, cells ...string) {
	t.Helper()
	id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &numberFormat})
	require.NoError(t, err)
	for _, c := range cells {
		require.NoError(t, f.SetCellStyle("Sheet1", c, c, id))
	}
}

func merge(t testing.TB, f *excelize.File, ranges ...[2]string) {
	t.Helper()
	for _, r := range ranges {
		require.NoError(t, f.MergeCell("Sheet1", r[0], r[1]))
	}
}

// summary shows an opening as mark, type, place and size in millimetres.
func summary(s *importing.Sheet) []string {
	var lines []string
	for _, o := range s.Openings {
		lines = append(lines, o.Mark+" "+string(o.Type)+" "+o.Level+"/"+o.Area+" "+o.Width.Millimetres()+"x"+o.Height.Millimetres())
	}
	return lines
}

func TestRead_AWorkbookWithMergedTitlesHeadingsAndLevels(t *testing.T) {
	t.Parallel()
	data := workbook(t, [][]any{
		{"HARROW BEND - DOOR AND FRAME SCHEDULE"},
		{},
		{"LEVEL", "MARK", "OPENING", nil, "TYPE", "QTY"},
		{nil, nil, "HT", "WD"},
		{"Level 1", 101, 84, 36, "HM", 1},
		{nil, 102, 84, 36.5, "HM", 1},
		{nil, "103A-B", `7'-0"`, `3'-0"`, "HM", 2},
		{"Level 2", nil, nil, nil, nil, nil},
		{nil, 201, `7'-0" x 3'-0"`, nil, "HM", 1},
		{"NOTES: verify in field"},
	}, func(f *excelize.File) {
		merge(t, f, [2]string{"A1", "F2"}, [2]string{"A3", "A4"}, [2]string{"B3", "B4"}, [2]string{"C3", "D3"}, [2]string{"E3", "E4"},
			[2]string{"F3", "F4"}, [2]string{"A5", "A7"}, [2]string{"A8", "F8"}, [2]string{"C9", "D9"}, [2]string{"A10", "F10"})
	})
	s := importing.Read(importing.Openings, "doors.xlsx", data, importing.Options{})
	require.Empty(t, s.Faults)
	// 84 in = 2133.6 mm, 36 in = 914.4 mm, 36.5 in = 927.1 mm
	assert.Equal(t, []string{
		"101 door_frame Level 1/ 914.4x2133.6", "102 door_frame Level 1/ 927.1x2133.6", "103A door_frame Level 1/ 914.4x2133.6",
		"103B door_frame Level 1/ 914.4x2133.6", "201 door_frame Level 2/ 914.4x2133.6",
	}, summary(s))
	assert.Equal(t, 7, s.Openings[3].Row)
}

func TestRead_RefusesWhatASpreadsheetProgramHasEaten(t *testing.T) {
	t.Parallel()
	eaten := time.Date(2026, time.March, 7, 0, 0, 0, 0, time.UTC)
	data := workbook(t, [][]any{
		{"Mark", "Type", "Size", "Qty"},
		{"101", "HM", eaten, 1},
		{eaten, "HM", "3070", 1},
		{100, "HM", "3070", 1},
		{"104", "HM", "3070", nil},
		{7, "HM", "3070", 1},
	}, func(f *excelize.File) {
		format(t, f, "d-mmm", "C2", "A3")
		format(t, f, "0.00E+00", "A4")
		format(t, f, "000", "A6")
		require.NoError(t, f.SetCellFormula("Sheet1", "D5", "NOSUCHFUNCTION(1)"))
	})
	s := importing.Read(importing.Openings, "doors.xlsx", data, importing.Options{})
	var places []string
	for _, f := range s.Faults {
		assert.NotEmpty(t, f.Remedy)
		places = append(places, f.Cell)
	}
	assert.Equal(t, []string{"C2", "A3", "A4", "D5"}, places)
	assert.Equal(t, []string{"007 door_frame / 914.4x2133.6"}, summary(s), "zeros that a format shows belong to the mark")
}

func TestRead_ReadsEveryWorksheetThatHoldsTheList(t *testing.T) {
	t.Parallel()
	data := workbook(t, [][]any{{"Cover"}, {"Prepared by", "Lin Okafor"}}, func(f *excelize.File) {
		for _, sheet := range [][2]string{{"Level 1", "101"}, {"Level 2", "201"}} {
			name, mark := sheet[0], sheet[1]
			_, err := f.NewSheet(name)
			require.NoError(t, err)
			require.NoError(t, f.SetSheetRow(name, "A2", &[]any{"Mark", "Type", "Width", "Height"}))
			require.NoError(t, f.SetSheetRow(name, "A3", &[]any{mark, "Sliding front", `5'-0"`, `8'-0"`}))
			require.NoError(t, f.SetSheetRow(name, "A4", &[]any{"DUP", "Sliding front", `5'-0"`, `8'-0"`}))
		}
	})
	s := importing.Read(importing.Openings, "all.xlsx", data, importing.Options{})
	assert.ElementsMatch(t, []string{
		"101 sliding_front Level 1/ 1524x2438.4", "201 sliding_front Level 2/ 1524x2438.4", "DUP sliding_front Level 1/ 1524x2438.4",
	}, summary(s))
	require.Len(t, s.Faults, 1)
	assert.Contains(t, s.Faults[0].Message, "stands in row 4 of sheet Level 1 already")
	require.Len(t, s.Passed, 1)
	assert.Equal(t, "Sheet1", s.Passed[0].Text)
}

func TestRead_DatesOfAWorkbook(t *testing.T) {
	t.Parallel()
	rows := [][]any{
		{"Level", "Condition", "Promised", "Actual"},
		{"Level 1", "Walls boarded", time.Date(2026, time.December, 3, 0, 0, 0, 0, time.UTC), nil},
		{"Level 2", "Walls boarded", 46350, nil},
		{"Level 3", "Walls boarded", "03/04/2026", nil},
	}
	s := importing.Read(importing.Handovers, "h.xlsx", workbook(t, rows, func(f *excelize.File) { format(t, f, "m/d/yyyy", "C2") }), importing.Options{})
	require.Len(t, s.Handovers, 2)
	assert.Equal(t, "2026-12-03", s.Handovers[0].Promised.String(), "a date cell needs no guess")
	assert.Equal(t, "2026-11-24", s.Handovers[1].Promised.String())
	require.Len(t, s.Faults, 1)
	assert.Contains(t, s.Faults[0].Message, "it may be 4 March or 3 April")
	us := importing.Read(importing.Handovers, "h.xlsx", workbook(t, rows, nil), importing.Options{DateOrder: importing.MonthFirst})
	assert.Empty(t, us.Faults)
}

func BenchmarkRead_10000Rows(b *testing.B) {
	rows := [][]any{{"Mark", "Type", "Level", "Area", "Room", "Width", "Height", "Qty", "Glass", "Hand", "HW Set", "Remarks"}}
	for i := range 10_000 {
		rows = append(rows, []any{i + 1000, "Hinged front w/ sidelight", "Level 1", "East", "Office", `4'-9 1/2"`, `9'-0"`, 1, `3/8" tempered`, "LH", "HW-2", ""})
	}
	data := workbook(b, rows, nil)
	b.ReportAllocs()
	for b.Loop() {
		s := importing.Read(importing.Openings, "big.xlsx", data, importing.Options{})
		if len(s.Openings) != 10_000 || len(s.Faults) > 0 {
			b.Fatalf("%d openings, faults %v", len(s.Openings), s.Faults[:min(3, len(s.Faults))])
		}
	}
}
