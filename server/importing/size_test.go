package importing

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
)

// readOne reads a sheet of a single opening and returns it with the faults and warnings of its row.
func readOne(t *testing.T, heading, row string) (*OpeningRow, []Fault, []Fault) {
	t.Helper()
	s := Read(Openings, "one.csv", []byte(heading+"\n"+row+"\n"), Options{})
	if len(s.Openings) == 0 {
		return nil, s.Faults, s.Warnings
	}
	require.Len(t, s.Openings, 1)
	return &s.Openings[0], s.Faults, s.Warnings
}

// A size and the wanted reading in inches; 1 in = 25.4 mm exactly. The spellings are common practice on door and opening
// schedules: 3070 is 3'-0" x 7'-0", 2868 is 2'-8" x 6'-8", a pair is written by its leaf or by its opening.
func TestReadSize_SpellingsOfTheTrade(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		size                     string
		width, height, thickness string // inches
		leaves                   int
		leaf                     string
		side                     string
	}{
		{`3'-0" x 7'-0" x 1 3/4"`, "36", "84", "1.75", 1, "36", ""},
		{`3070`, "36", "84", "", 1, "36", ""},
		{`3068`, "36", "80", "", 1, "36", ""},
		{`3080`, "36", "96", "", 1, "36", ""},
		{`2868`, "32", "80", "", 1, "32", ""},
		{`3070 x 1-3/4`, "36", "84", "1.75", 1, "36", ""},
		{`30610`, "36", "82", "", 1, "36", ""},
		{`30100`, "36", "120", "", 1, "36", ""},
		{`PR 3070 HMD`, "72", "84", "", 2, "36", ""},
		{`3070 PR`, "72", "84", "", 2, "36", ""},
		{`6070 PR`, "72", "84", "", 2, "36", ""},
		{`(2) 2'-6" x 8'-10"`, "60", "106", "", 2, "30", ""},
		{`2-3070`, "72", "84", "", 2, "36", ""},
		{`pair of 3-0 x 7-0`, "72", "84", "", 2, "36", ""},
		{`36x84`, "36", "84", "", 1, "36", ""},
		{`36 by 84`, "36", "84", "", 1, "36", ""},
		{`36" × 7'-0"`, "36", "84", "", 1, "36", ""},
		{`3/0 x 6/8`, "36", "80", "", 1, "36", ""},
		{`3'-0"W x 7'-0"H`, "36", "84", "", 1, "36", ""},
		{`7'-0" H x 3'-0" W`, "36", "84", "", 1, "36", ""},
		{`H 7-0 x W 3-0`, "36", "84", "", 1, "36", ""},
		{`3′–0½″ x 7′–0¾″`, "36.5", "84.75", "", 1, "36.5", ""},
		{`3'-0" 7'-0"`, "36", "84", "", 1, "36", ""},
		{`3-0 x 9-0 SL 1-6`, "54", "108", "", 1, "36", "18"},
		{`3-0 x 9-0 w/ 18" SL`, "54", "108", "", 1, "36", "18"},
		{`3'-0" x 7'-0" V.I.F.`, "36", "84", "", 1, "36", ""},
	} {
		o, faults, _ := readOne(t, "Mark|Type|Size", "101|door and frame|"+tc.size)
		if !assert.Empty(t, faults, tc.size) {
			continue
		}
		side := length.Length(0)
		if len(o.Sidelights) > 0 {
			side = o.Sidelights[0].Width
		}
		for name, pair := range map[string][2]any{
			"width": {inch(t, tc.width), o.Width}, "height": {inch(t, tc.height), o.Height}, "thickness": {inch(t, tc.thickness), o.Thickness},
			"leaves": {tc.leaves, o.Leaves}, "leaf": {inch(t, tc.leaf), o.LeafWidth}, "sidelight": {inch(t, tc.side), side},
		} {
			assert.Equal(t, pair[0], pair[1], "%s of %s", name, tc.size)
		}
	}
}

func inch(t *testing.T, text string) length.Length {
	t.Helper()
	if text == "" {
		return 0
	}
	l, err := length.Parse(text, length.Inch)
	require.NoError(t, err)
	return l
}

func TestReadSize_RefusesTwoReadings(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct{ size, message string }{
		{`6070`, "it may be a pair or one wide leaf"},
		{`PR 4070`, "may be the width of one leaf or of the whole pair"},
		{`3-0 x 9-0 SL 1-6 LH`, "LH may be the swing of the door or the side of the sidelight"},
		{`07-Mar`, "turned the size into a date"},
		{`Mar-07`, "turned the size into a date"},
		{`3/7/2026`, "turned the size into a date"},
		{`7'-0" x 3'-0"`, "the wrong way round"},
		{`3 x 7`, "has no unit"},
		{`0.9 x 2.1`, "has no unit"},
		{`36 x 2134`, "by its size it is millimetres, but the other dimension is not"},
		{`3070 x 7'-0"`, "by its size it is millimetres, but the other dimension is not"},
		{`36" x 500"`, "is no size of an opening"},
		{`3'-0"`, "only one dimension"},
		{`1,067" x 84"`, "two ways"},
		{`11080`, "no size of feet and inches"}, // 11'-0" or 1'-10"
		{`1'-10" x 7'-0" x 2" x 3"`, "4 dimensions"},
		{`36"W x 84"W`, "same letter"},
		{`see plan`, "cannot read"},
		{`HM`, "no size in it"},
		{`0070`, "no size of feet and inches"},
		{`-3'-0" x 7'-0"`, "cannot read"},
		{`1" x 84"`, "is no size of an opening"},
	} {
		o, faults, warnings := readOne(t, "Mark|Type|Size", "101|door and frame|"+tc.size)
		if !assert.Len(t, faults, 1, "%s gave %v", tc.size, o) {
			continue
		}
		f := faults[0]
		assert.Contains(t, f.Message, tc.message, tc.size)
		assert.NotEmpty(t, f.Remedy)
		assert.Equal(t, "C2", f.Cell)
		assert.Equal(t, tc.size, f.Value)
		assert.Empty(t, warnings, "a row left out has no warnings")
	}
}

func TestReadSizes_TheHeadingsOrderWins(t *testing.T) {
	t.Parallel()
	for _, heading := range []string{"Mark|Type|Opening (HT x WD)", "Mark|Type|HxW", "Mark|Type|Size (Height x Width)"} {
		o, faults, warnings := readOne(t, heading, `101|door and frame|7'-0" x 3'-0"`)
		require.Empty(t, faults, heading)
		assert.Equal(t, 36*length.Inch, o.Width)
		assert.Equal(t, 84*length.Inch, o.Height)
		require.Len(t, warnings, 1)
		assert.Contains(t, warnings[0].Message, "read height first")
	}
}

func TestReadSizes_ColumnsAndUnits(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct{ heading, row, want string }{
		{"Mark|Type|Width|Height", `1|fixed light|36|84`, "914.4x2133.6"},
		{"Mark|Type|Width|Height", `1|fixed light|914|2134`, "914x2134"},
		{"Mark|Type|W (mm)|H (mm)", `1|fixed light|200|250`, "200x250"},
		{"Mark|Type|W (mm)|H (mm)", `1|fixed light|1 200|2,134`, "1200x2134"},
		{"Mark|Type|Width (m)|Height (m)", `1|fixed light|0.915|2,134`, "915x2134"},
		{"Mark|Type|Width in feet|Height, ft", `1|fixed light|3|7.5`, "914.4x2286"},
		{"Mark|Type|W (ft-in)|H (ft-in)", `1|fixed light|3-0|7-0`, "914.4x2133.6"},
		{"Mark|Type|W (in)|H (in)", `1|fixed light|36 1/2|8`, "927.1x203.2"},
		{"Mark|Type|R.O. Width|R.O. Height", `1|fixed light|36"|84"`, "914.4x2133.6"},
		{"Mark|Type|Door W|Door H|Opening width|Opening height", `1|pair|3'-0"|7'-0"|6'-4"|7'-2"`, "1930.4x2184.4"},
		{"Mark|Type|Opening width|Opening height", `1|pair|3'-0"|7'-0"`, "914.4x2133.6"},
		{"Mark|Type|W|H", `1|pair|3'-0"|7'-0"`, "1828.8x2133.6"},
		{"Mark|Type|Width ft|Width in|Height ft|Height in", `1|fixed light|3|6 1/2|7|0`, "1079.5x2133.6"},
		{"Mark|Type|Width ft|Width in|Height ft|Height in", `1|fixed light|3||7|`, "914.4x2133.6"},
		{"Opening mark #|Type|Nom. W|Nom. H", `1|fixed light|36|84`, "914.4x2133.6"},
		{"Mark|Type|W|H|No. of leaves", `1|door|6'-0"|7'-0"|2`, "1828.8x2133.6"},
	} {
		o, faults, _ := readOne(t, tc.heading, tc.row)
		if assert.Empty(t, faults, tc.heading+" "+tc.row) {
			assert.Equal(t, tc.want, o.Width.Millimetres()+"x"+o.Height.Millimetres(), tc.heading+" "+tc.row)
		}
	}
	_, faults, _ := readOne(t, "Mark|Type|Width|Height", `1|fixed light|36|2134`)
	require.Len(t, faults, 1)
	assert.Equal(t, "Height", faults[0].Column)
}

func TestReadSizes_WarnOfSoftMetric(t *testing.T) {
	t.Parallel()
	o, _, warnings := readOne(t, "Mark|Type|Size", "101|door and frame|915 x 2134 mm")
	assert.Equal(t, 915*length.Millimetre, o.Width, "kept as written")
	require.Len(t, warnings, 1)
	assert.Contains(t, warnings[0].Message, `3'-0" x 7'-0" (914.4 x 2133.6 mm)`)
	for _, quiet := range []string{"914.4 x 2133.6 mm", "920 x 2100 mm", `3'-0" x 7'-0"`} {
		_, _, warnings = readOne(t, "Mark|Type|Size", "101|door and frame|"+quiet)
		assert.Empty(t, warnings, quiet)
	}
}

func TestReadOpening_TheFurtherColumns(t *testing.T) {
	t.Parallel()
	o, faults, warnings := readOne(t, "Mark|Type|Size|Glass|Fire rating|Hand|Sidelight|Hardware set|Release|Supplier|Finish|Room|Remarks|Comments|Thk",
		`101A|HM/HM|3'-0" x 7'-0"|3/8" laminated|1-1/2 HR|rhr|1'-6" L|HW-3|R1|Ninefold|bronze|Store|no sill|see A5|1¾`)
	require.Empty(t, faults)
	require.Empty(t, warnings)
	assert.Equal(t, takeoff.DoorFrame, o.Type)
	assert.Equal(t, takeoff.Laminated, o.GlassKind)
	assert.Equal(t, 6*length.Sixteenth, o.GlassThickness)
	assert.Equal(t, 90, o.FireMinutes)
	assert.Equal(t, "RHR", o.Handing)
	assert.Equal(t, []Sidelight{{Width: 18 * length.Inch, Side: takeoff.Left}}, o.Sidelights)
	assert.Equal(t, "no sill; see A5", o.Notes)
	assert.Equal(t, 28*length.Sixteenth, o.Thickness)
	assert.Equal(t, "1-1/2 HR", o.Raw["Fire rating"])
	assert.Equal(t, []string{"HW-3", "R1", "Ninefold", "bronze", "Store"}, []string{o.HardwareSet, o.Release, o.Supplier, o.Finish, o.Room})
}

func TestFireMinutes_ReadsMinutesAndHours(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]int{
		"45 MIN": 45, "45": 45, "20 min.": 20, "3/4 HR": 45, "1 HR": 60, "1-1/2 HR": 90, "1 1/2 hours": 90, "1½ hr": 90, "1.5 HR": 90,
		"90 MIN LABEL": 90, "3 hr": 180, "NR": 0, "non-rated": 0, "None": 0, "0.75 hr": 45,
	} {
		got, ok := fireMinutes(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"A label", "rated", "4500 min", "hr"} {
		_, ok := fireMinutes(text)
		assert.False(t, ok, text)
	}
}

func FuzzReadSize_WhatIsAcceptedIsPositive(f *testing.F) {
	for _, seed := range []string{`3'-0" x 7'-0" x 1 3/4"`, "PR 3070 HMD", "(2) 2'-6\" x 8'-10\"", "3-0 x 9-0 SL 1-6 LH", "915 x 2134 mm", "07-Mar", "w/ 1-6 sl", "30100", "X"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := readSize(text, sizeContext{})
		if err != nil {
			return
		}
		if len(s.dims) == 0 || len(s.dims) > 3 {
			t.Fatalf("%q has %d dimensions", text, len(s.dims))
		}
		for _, d := range s.dims {
			if d.value < 0 || d.value > length.Longest {
				t.Fatalf("%q holds %v", text, d.value)
			}
		}
		if text = strings.ReplaceAll(strings.ReplaceAll(text, "\n", " "), "|", " "); !strings.Contains(text, `"`) {
			Read(Openings, "f.csv", []byte("Mark|Type|Size\n1|pair|"+text+"\n"), Options{})
		}
	})
}
