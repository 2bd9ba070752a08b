package importing

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func TestRead_RefusesAFractionUnderAHeadingInMillimetres(t *testing.T) {
	t.Parallel()
	for _, width := range []string{"900½", "36 1/2"} {
		_, faults, _ := readOne(t, "Mark|Type|Width (mm)|Height (mm)", "101|fixed light|"+width+"|2100")
		require.Len(t, faults, 1, width)
		assert.Contains(t, faults[0].Message, "as inches have")
	}
	o, faults, _ := readOne(t, "Mark|Type|Width (mm)|Height (mm)", `101|fixed light|36 1/2"|2100`)
	require.Empty(t, faults)
	assert.Equal(t, `3'-0 1/2"`, o.Width.FeetInches(), "a unit of its own comes before the heading's")
}

func TestReadMarks_AsksAboutARangeThatDoesNotAscendWhenThereAreSeveral(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"130-128", "99-101"} {
		_, _, err := readMarks(text, 3)
		require.ErrorContains(t, err, "may be a range of marks", text)
	}
}

func TestRead_RefusesASheetThatEndsWithItsHeadings(t *testing.T) {
	t.Parallel()
	s := Read(Openings, "empty.csv", []byte("Mark,Type,Width,Height\n"), Options{})
	require.Len(t, s.Faults, 1, "as a revised sheet it would take every opening out")
	assert.Contains(t, s.Faults[0].Message, "no rows below")
	assert.NotEmpty(t, s.Faults[0].Remedy)
}

func TestRead_NamesHiddenWorksheetsBehindACover(t *testing.T) {
	t.Parallel()
	f := excelize.NewFile()
	require.NoError(t, f.SetCellValue("Sheet1", "A1", "Cover"))
	for _, name := range []string{"Level 1", "Old"} {
		_, err := f.NewSheet(name)
		require.NoError(t, err)
		require.NoError(t, f.SetSheetRow(name, "A1", &[]any{"Mark", "Type", "Size"}))
		require.NoError(t, f.SetSheetRow(name, "A2", &[]any{name + " 1", "fixed light", "36x84"}))
	}
	require.NoError(t, f.SetSheetVisible("Old", false))
	var data bytes.Buffer
	require.NoError(t, f.Write(&data))
	s := Read(Openings, "book.xlsx", data.Bytes(), Options{})
	require.Len(t, s.Openings, 1)
	require.Len(t, s.Warnings, 1)
	assert.Contains(t, s.Warnings[0].Message, "hidden worksheets were not read: Old")
}

func TestConditionOf_KeepsPaintedWallsApartFromBoardedOnes(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "walls_boarded", conditionOf("Walls boarded"))
	assert.Equal(t, "walls painted", conditionOf("walls painted"))
}

func TestReadSuppliers_SaysThatALeadTimeWithoutAUnitCountsWorkingDays(t *testing.T) {
	t.Parallel()
	for heading, warnings := range map[string]int{"Lead time": 1, "Lead time (weeks)": 0, "Lead days": 0} {
		s := Read(Suppliers, "s.csv", []byte("Supplier|Supplies|"+heading+"\nKiln|frames|12\n"), Options{})
		require.Empty(t, s.Faults, heading)
		assert.Len(t, s.Warnings, warnings, heading)
	}
}

func TestReadType_ASidelightOfItsOwnHasNoOtherBesideIt(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]int{"Sidelight": 0, "Hinged front with sidelight": 1} {
		r, err := readType(text)
		require.NoError(t, err)
		assert.Equal(t, want, r.sidelights, text)
	}
}

func TestReadOpenings_SaysWhenALongRunCountsAsOnePane(t *testing.T) {
	t.Parallel()
	_, faults, warnings := readOne(t, "Mark|Type|Width|Height", `101|storefront|24'-0"|9'-0"`)
	require.Empty(t, faults)
	require.Len(t, warnings, 1)
	assert.Contains(t, warnings[0].Message, "one pane 24'-0\" wide")
	_, _, warnings = readOne(t, "Mark|Type|Width|Height|Lights", `101|storefront|24'-0"|9'-0"|6`)
	assert.Empty(t, warnings)
}

func TestRead_NamesColumnsThatShareAHeadingAndHiddenOnes(t *testing.T) {
	t.Parallel()
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetRow("Sheet1", "A1", &[]any{"Mark", "Type", "Width", "Width", "Height"}))
	require.NoError(t, f.SetSheetRow("Sheet1", "A2", &[]any{"101", "fixed light", `9'-9"`, `3'-0"`, `7'-0"`}))
	require.NoError(t, f.SetColVisible("Sheet1", "C", false))
	var data bytes.Buffer
	require.NoError(t, f.Write(&data))
	s := Read(Openings, "book.xlsx", data.Bytes(), Options{})
	require.Len(t, s.Warnings, 2)
	assert.Contains(t, s.Warnings[0].Message, "two columns are headed Width")
	assert.Contains(t, s.Warnings[1].Message, "hidden columns were read too: C")
}

func TestReadType_ALetterOfALegendIsNotAMissingType(t *testing.T) {
	t.Parallel()
	_, err := readType("A")
	require.ErrorContains(t, err, "not known")
	_, err = readType("")
	require.ErrorContains(t, err, "missing")
}
