package sheet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"jambwright/scheduler/length"
	"jambwright/server/sheet"
)

// small is a vocabulary as an importer would have one.
var small = sheet.Vocabulary{
	{Field: "mark", Names: []string{"mark", "door no", "opening no"}},
	{Field: "level", Names: []string{"level", "floor"}, Repeat: sheet.Always},
	{Field: "area", Names: []string{"area", "zone"}, Repeat: sheet.UnlessWiderChanges, Within: "level"},
	{Field: "type", Names: []string{"type"}, Repeat: sheet.Always},
	{Field: "width", Names: []string{"width", "w", "door w"}},
	{Field: "height", Names: []string{"height", "h", "door h", "ht"}},
	{Field: "door type", Names: []string{"door type"}},
	{Field: "frame type", Names: []string{"frame type"}},
	{Field: "notes", Names: []string{"notes", "remarks"}, Many: true},
}

func records(t *testing.T, text string) sheet.Result {
	t.Helper()
	tables, err := sheet.Read("test.csv", []byte(text))
	require.NoError(t, err)
	return sheet.Records(tables[0], small)
}

// line shows a record as row, level and area (banner in brackets) and the given fields.
func line(r sheet.Record, fields ...string) string {
	parts := []string{}
	if r.Banner != (sheet.Banner{}) {
		parts = append(parts, "["+r.Banner.Level+"/"+r.Banner.Area+"]")
	}
	for _, f := range fields {
		c, _, _ := r.Get(f)
		if c.Kind == sheet.Orphan {
			c.Text = "orphan"
		}
		parts = append(parts, c.Text)
	}
	return strings.Join(parts, " ")
}

func lines(result sheet.Result, fields ...string) []string {
	var out []string
	for _, r := range result.Records {
		out = append(out, line(r, fields...))
	}
	return out
}

func TestRecords_FindsTheHeadingBelowTitles(t *testing.T) {
	t.Parallel()
	got := records(t, "HARROW BEND\nOpening schedule rev 3,,,\n\nDoor #,W (mm),Height [FT-IN],Colour\n101,914,7-0,red\n")
	assert.Equal(t, 4, got.Row)
	assert.Equal(t, []string{"HARROW BEND", "Opening schedule rev 3"}, got.Titles)
	assert.Equal(t, []sheet.Column{
		{Index: 0, Field: "mark", Heading: "Door #"},
		{Index: 1, Field: "width", Heading: "W (mm)", Unit: length.Millimetre},
		{Index: 2, Field: "height", Heading: "Height [FT-IN]", FeetIn: true},
	}, got.Columns)
	assert.Equal(t, []string{"Colour"}, got.Unused)
	assert.Equal(t, []string{"101 914 7-0"}, lines(got, "mark", "width", "height"))
	assert.Equal(t, map[string]string{"Door #": "101", "W (mm)": "914", "Height [FT-IN]": "7-0"}, got.Records[0].Raw())
}

func TestRecords_ReadsHeadingsTwoRowsDeep(t *testing.T) {
	t.Parallel()
	want := []string{"201 3-0 7-0 F HM1 no sill"}
	fields := []string{"mark", "width", "height", "door type", "frame type", "notes"}
	csv := records(t, "SCHEDULE,,,,,\nMARK,DOOR,,,FRAME,REMARKS\n,W,H,TYPE,TYPE,\n201,3-0,7-0,F,HM1,no sill\n")
	assert.Equal(t, want, lines(csv, fields...))
	assert.Equal(t, "DOOR TYPE", csv.Columns[3].Heading)

	data := build(t, func(f *excelize.File) {
		for i, row := range [][]any{
			{"SCHEDULE"},
			{"MARK", "DOOR", nil, nil, "FRAME", "REMARKS"},
			{nil, "W", "H", "TYPE", "TYPE"},
			{"201", "3-0", "7-0", "F", "HM1", "no sill"},
		} {
			cell, _ := excelize.CoordinatesToCellName(1, i+1)
			require.NoError(t, f.SetSheetRow("Sheet1", cell, &row))
		}
		for _, m := range [][2]string{{"A1", "F1"}, {"A2", "A3"}, {"B2", "D2"}, {"F2", "F3"}} {
			require.NoError(t, f.MergeCell("Sheet1", m[0], m[1]))
		}
	})
	assert.Equal(t, want, lines(sheet.Records(read(t, data)[0], small), fields...))
}

func TestRecords_TakesUnitsFromARowOfTheirOwn(t *testing.T) {
	t.Parallel()
	got := records(t, "Mark,Width,Height\n,(mm),(mm)\n101,914,2134\n")
	require.Len(t, got.Records, 1)
	assert.Equal(t, length.Millimetre, got.Columns[1].Unit)
}

func TestRecords_RepeatsWhatDittosAndBlanksRepeat(t *testing.T) {
	t.Parallel()
	got := records(t, `mark,level,area,type,width,height
101,L1,East,HM,3-0,7-0
102,,,,"""",DO
103,do.,-do-,〃,'',ditto
104,L2,,,,
105,L2,West,WD,2-8,
106,L2,,same,“,"
`)
	assert.Equal(t, []string{
		"101 L1 East HM 3-0 7-0",
		"102 L1 East HM 3-0 7-0",
		"103 L1 East HM 3-0 7-0",
		"104 L2  HM  ", // a new level closes the area; sizes never repeat by being blank
		"105 L2 West WD 2-8 ",
		"106 L2 West WD 2-8 orphan", // the height above is missing
	}, lines(got, "mark", "level", "area", "type", "width", "height"))
}

func TestRecords_AValueOnALineOfItsOwnHoldsForTheRowsBelow(t *testing.T) {
	t.Parallel()
	got := records(t, "level,area,mark,type,width\nPodium,,,,\n,East,,,\n,,101,HM,3-0\n,,102,,3-0\n,West,,,\n,,103,HM,3-0\n,,104,,\"\nTower,,,,\n,,201,HM,3-0\n")
	assert.Equal(t, []string{
		"101 Podium East HM 3-0", "102 Podium East HM 3-0", "103 Podium West HM 3-0", "104 Podium West HM 3-0", "201 Tower  HM 3-0",
	}, lines(got, "mark", "level", "area", "type", "width"))
	assert.Empty(t, got.Passed)
}

func TestRecords_NeverRepeatsAcrossABannerOrHeading(t *testing.T) {
	t.Parallel()
	got := records(t, "mark,level,type,width\nLEVEL 1,,,\n101,,HM,3-0\nLEVEL 2,,,\n201,,,\"\nmark,level,type,width\n202,,\",\"\n")
	assert.Equal(t, []string{"[LEVEL 1/] 101  HM 3-0", "[LEVEL 2/] 201   orphan", "[LEVEL 2/] 202  orphan orphan"},
		lines(got, "mark", "level", "type", "width"))
}

func TestRecords_SortsBannersTotalsNotesAndVoidRowsFromRecords(t *testing.T) {
	t.Parallel()
	got := records(t, `mark,type,width,height
"LEVEL 2 - EAST WING",,,
201,HM,3-0,7-0
202,NOT USED,,
 -- Zone B -- ,,,
203,HM,3-0,7-0
LEVEL 2 TOTAL: 2,,,
,,,3
mark,type,width,height
Level 3 (continued),,,
301,HM,3-0,7-0
302,,,
,HM,3-0,7-0
Total,,6,
NOTES:,,,
HM,hollow metal,,
1. Verify all sizes in field.,,,
Page 2 of 2,,,
`)
	assert.Equal(t, []string{
		"[LEVEL 2/EAST WING] 201", "[LEVEL 2/Zone B] 203", "[Level 3/] 301", "[Level 3/] 302", "[Level 3/] ",
	}, lines(got, "mark"), "a mark alone and a row without a mark stay: they are incomplete, not notes")
	var passed []string
	for _, p := range got.Passed {
		passed = append(passed, p.Why)
	}
	assert.Equal(t, []string{
		"marked as not used", "total", "total without a name", "total", "note", "below the end of the list",
		"below the end of the list", "page heading",
	}, passed)
}

func TestRecords_FollowsANewColumnOrderUnderARepeatedHeading(t *testing.T) {
	t.Parallel()
	got := records(t, "mark,width,height,type\n101,3-0,7-0,HM\nmark,type,height,width\n102,WD,8-0,2-8\n")
	assert.Equal(t, []string{"101 HM 3-0 7-0", "102 WD 2-8 8-0"}, lines(got, "mark", "type", "width", "height"))
}

func TestRecords_WithoutAHeadingSaysSo(t *testing.T) {
	t.Parallel()
	got := records(t, "101,3-0,7-0\n102,3-0,7-0\n")
	assert.Zero(t, got.Row)
	assert.Empty(t, got.Records)
}

func TestLevelName_KnowsLevelsFromOtherNames(t *testing.T) {
	t.Parallel()
	for _, yes := range []string{"Level 2", "LEVEL TWO", "L2", "2nd Floor", "Second floor", "Mezzanine", "Floor 12", "Lvl. 3", "Basement", "-- LEVEL 4 --", "Level 2 (cont'd)", "GROUND FLOOR", "Level B"} {
		assert.True(t, sheet.LevelName(yes), yes)
	}
	for _, no := range []string{"Sheet1", "Openings", "Board room", "101", "Lobby 2", "Level best effort", "East wing", "L", ""} {
		assert.False(t, sheet.LevelName(no), no)
	}
}

func TestColumnName_CountsAsSpreadsheetsDo(t *testing.T) {
	t.Parallel()
	for index, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		assert.Equal(t, want, sheet.ColumnName(index))
	}
}
