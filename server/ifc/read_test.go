package ifc_test

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
	"jambwright/server/ifc"
)

// file puts entities into the frame of a file whose unit is entity #1. The first entity stands in line 6.
func file(entities string) string {
	return "ISO-10303-21;\nHEADER;\nFILE_SCHEMA(('IFC4'));\nENDSEC;\nDATA;\n" + entities + "\nENDSEC;\nEND-ISO-10303-21;\n"
}

// Units of a file, as #1 and what it needs.
const (
	metres      = "#1=IFCUNITASSIGNMENT((#2));#2=IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.);#3=IFCPROJECT('p',$,'P',$,$,$,$,$,#1);\n"
	millimetres = "#1=IFCUNITASSIGNMENT((#2));#2=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);#3=IFCPROJECT('p',$,'P',$,$,$,$,$,#1);\n"
	inches      = "#1=IFCUNITASSIGNMENT((#2));#2=IFCCONVERSIONBASEDUNIT($,.LENGTHUNIT.,'INCH',#4);#3=IFCPROJECT('p',$,'P',$,$,$,$,$,#1);\n" +
		"#4=IFCMEASUREWITHUNIT(IFCLENGTHMEASURE(25.4),#5);#5=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);\n"
	feet = "#1=IFCUNITASSIGNMENT((#2));#2=IFCCONVERSIONBASEDUNIT($,.LENGTHUNIT.,'FOOT',#4);#3=IFCPROJECT('p',$,'P',$,$,$,$,$,#1);\n" +
		"#4=IFCMEASUREWITHUNIT(IFCRATIOMEASURE(0.3048),#5);#5=IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.);\n"
)

func read(t *testing.T, entities string) *ifc.Model {
	t.Helper()
	m, err := ifc.Read(strings.NewReader(file(entities)))
	require.NoError(t, err)
	return m
}

// one reads a file with one opening.
func one(t *testing.T, entities string) ifc.Opening {
	t.Helper()
	m := read(t, entities)
	require.Len(t, m.Openings, 1)
	return m.Openings[0]
}

func faults(t *testing.T, text string) ifc.Faults {
	t.Helper()
	m, err := ifc.Read(strings.NewReader(text))
	assert.Nil(t, m)
	var list ifc.Faults
	require.ErrorAs(t, err, &list)
	require.NotEmpty(t, list)
	return list
}

// The inch is 25.4 mm and the foot 304.8 mm (NIST Handbook 44, appendix C).
func TestRead_SizesCountInTheUnitOfTheFile(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		unit, height, width string
		wantHeight, want    length.Length
	}{
		{metres, "2.032", "0.7619999999999989", 80 * length.Inch, 30 * length.Inch},
		{metres, "2.009999999999999", "1.25", 2010 * length.Millimetre, 1250 * length.Millimetre},
		{millimetres, "2134.", "915", 2134 * length.Millimetre, 915 * length.Millimetre},
		{inches, "84.", "36.0625", 84 * length.Inch, 36*length.Inch + length.Sixteenth},
		{feet, "6.666666666666667", "3.", 80 * length.Inch, 36 * length.Inch},
		{metres, "2.1336", "0.915987499999", 84 * length.Inch, 36*length.Inch + length.Sixteenth},
		{metres, "2.1E0", ".9", 2100 * length.Millimetre, 900 * length.Millimetre},
		{millimetres, "IFCPOSITIVELENGTHMEASURE(2000.004)", "+1000.006", 2000 * length.Millimetre, 1000*length.Millimetre + length.Millimetre/100},
	} {
		o := one(t, c.unit+"#9=IFCDOOR('g',$,'D',$,$,$,$,'101',"+c.height+","+c.width+",.DOOR.,.NOTDEFINED.,$);")
		assert.Equal(t, c.want, o.Width, "%s in %s", c.width, c.unit)
		assert.Equal(t, c.wantHeight, o.Height, "%s in %s", c.height, c.unit)
	}
}

// The units of the imperial example of the IFC documentation (buildingSMART, concept "Project Units"), around a door of 3'-0"
// by 7'-0".
func TestRead_ImperialUnitsOfTheDocumentation(t *testing.T) {
	t.Parallel()
	o := one(t, `#1=IFCPROJECT ('00ZhrqZYLBcgy$rVVaiu2B', $, 'Example project', $, $, $, $, $, #2);
#2=IFCUNITASSIGNMENT ((#6, #7, #10, #13));
#3=IFCSIUNIT (*, .LENGTHUNIT., .MILLI., .METRE.);
#4=IFCSIUNIT (*, .AREAUNIT., $, .SQUARE_METRE.);
#5=IFCSIUNIT (*, .VOLUMEUNIT., $, .CUBIC_METRE.);
#6=IFCSIUNIT (*, .TIMEUNIT., $, .SECOND.);
#7=IFCCONVERSIONBASEDUNIT(#9, .LENGTHUNIT., 'INCH', #8);
#8=IFCMEASUREWITHUNIT(IFCLENGTHMEASURE(25.4), #3);
#9=IFCDIMENSIONALEXPONENTS(1, 0, 0, 0, 0, 0, 0);
#10=IFCCONVERSIONBASEDUNIT(#11, .AREAUNIT., 'SQUARE_FEET', #12);
#11=IFCDIMENSIONALEXPONENTS(2, 0, 0, 0, 0, 0, 0);
#12=IFCMEASUREWITHUNIT(IFCAREAMEASURE(0.09290304), #4);
#13=IFCCONVERSIONBASEDUNIT(#14, .VOLUMEUNIT., 'CUBIC_FEET', #15);
#14=IFCDIMENSIONALEXPONENTS(3, 0, 0, 0, 0, 0, 0);
#15=IFCMEASUREWITHUNIT(IFCVOLUMEMEASURE(0.0283168466), #5);
#16=IFCDOOR('00ZhrqZYLBcgy$rVVaiu2C', $, 'Door-1', $, $, $, $, $, 84., 36., $, $);`)
	assert.Equal(t, "3'-0\"", o.Width.FeetInches())
	assert.Equal(t, "7'-0\"", o.Height.FeetInches())
}

func TestRead_AFileWithoutAUnitOfLengthIsRefused(t *testing.T) {
	t.Parallel()
	door := "#9=IFCDOOR('g',$,'D',$,$,$,$,'101',2.,1.,$,$,$);"
	for name, units := range map[string]string{
		"none":     "",
		"no unit":  "#1=IFCUNITASSIGNMENT((#2));#2=IFCSIUNIT(*,.AREAUNIT.,$,.SQUARE_METRE.);#3=IFCPROJECT('p',$,'P',$,$,$,$,$,#1);",
		"dangling": "#1=IFCUNITASSIGNMENT((#2));#2=IFCCONVERSIONBASEDUNIT($,.LENGTHUNIT.,'INCH',#77);#3=IFCPROJECT('p',$,'P',$,$,$,$,$,#1);",
		"by itself": "#1=IFCUNITASSIGNMENT((#2));#2=IFCCONVERSIONBASEDUNIT($,.LENGTHUNIT.,'INCH',#4);#4=IFCMEASUREWITHUNIT(IFCLENGTHMEASURE(2.),#2);" +
			"#3=IFCPROJECT('p',$,'P',$,$,$,$,$,#1);",
		"second": "#1=IFCUNITASSIGNMENT((#2));#2=IFCSIUNIT(*,.LENGTHUNIT.,$,.SECOND.);#3=IFCPROJECT('p',$,'P',$,$,$,$,$,#1);",
	} {
		list := faults(t, file(units+"\n"+door))
		assert.Contains(t, list.Error(), "unit", name)
		assert.Contains(t, list[0].Remedy, "units", name)
	}
}

func TestRead_OrderCaseLinesAndCommentsMakeNoDifference(t *testing.T) {
	t.Parallel()
	plain := metres +
		"#10=IFCBUILDINGSTOREY('s',$,'Level 2',$,$,$,$,$,.ELEMENT.,3.1);\n" +
		"#11=IFCDOOR('g',$,'Door',$,$,$,$,'77',2.1,0.9,.DOOR.,.SINGLE_SWING_LEFT.,$);\n" +
		"#12=IFCPROPERTYSINGLEVALUE('Mark',$,IFCLABEL('1E2'),$);\n" +
		"#13=IFCPROPERTYSET('x',$,'Identity',$,(#12));\n" +
		"#14=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(#11),#13);\n" +
		"#15=IFCRELCONTAINEDINSPATIALSTRUCTURE('c',$,$,$,(#11),#10);"
	want := one(t, plain)
	assert.Equal(t, "1E2", want.Mark)
	assert.Equal(t, "Level 2", want.Storey)

	lines := strings.Split(plain, "\n")
	for i, j := 0, len(lines)-1; i < j; i, j = i+1, j-1 {
		lines[i], lines[j] = lines[j], lines[i]
	}
	spread := strings.NewReplacer("(", " ( ", ",", " /* a ; ' comment */ , ", "=", "\n = \r\n\t").Replace(plain)
	for name, text := range map[string]string{
		"backwards": strings.Join(lines, "\n"), "spread out": spread, "one line": strings.ReplaceAll(plain, "\n", " "),
		"lower case": strings.NewReplacer("IFCDOOR", "IfcDoor", "IFCREL", "ifcrel", "IFCPROPERTYSET", "IfcPropertySet").Replace(plain),
	} {
		got := one(t, text)
		got.Line = want.Line
		assert.Equal(t, want, got, name)
	}
	byByte, err := ifc.Read(iotest.OneByteReader(strings.NewReader("\ufeff" + file(plain))))
	require.NoError(t, err)
	assert.Equal(t, want, byByte.Openings[0], "one byte at a time")
}

// The directives of ISO 10303-21; the first example is that of the standard's clause on strings, from memory.
func TestRead_TextsAreDecoded(t *testing.T) {
	t.Parallel()
	for written, want := range map[string]string{
		`Don''t`: "Don't", `\X\E9t\X\E9`: "été", `T\S\|r`: "Tür", `\X2\00C400D6\X0\ 3`: "ÄÖ 3", `\X4\0001F6AA\X0\`: "🚪", `\X2\D83DDEAA\X0\`: "🚪",
		`a\\b`: `a\b`, `\PE\\S\P`: "а", `Caf` + "\u00e9": "Café", "Caf\xe9": "Café", `C:\plans`: `C:\plans`, `\X2\00C4`: `\X2\00C4`, `\X\ZZ`: `\X\ZZ`,
		"over\r\ntwo lines": "overtwo lines", `\X2\00C\X0\`: `\X2\00C\X0\`, "001": "001", `/* no comment */`: "/* no comment */", `;`: ";",
	} {
		o := one(t, metres+"#9=IFCDOOR('g',$,'D',$,$,$,$,'"+written+"',2.,1.,$,$,$);")
		assert.Equal(t, want, o.Mark, written)
	}
}

// door is #9 with a tag and a name; more hangs property sets and relations on it.
func door(more string) string {
	return metres + "#9=IFCDOOR('g',$,'Entrance',$,$,$,$,'tag 9',2.1,0.9,$,$,$);#8=IFCDOOR('h',$,'Back',$,$,$,$,'tag 8',2.1,0.9,$,$,$);\n" + more
}

func TestRead_TheMarkIsTheFirstOfPropertyTagAndName(t *testing.T) {
	t.Parallel()
	property := func(id int, name, value string) string {
		return fmt.Sprintf("#%d=IFCPROPERTYSINGLEVALUE('%s',$,%s,$);#%d=IFCPROPERTYSET('x',$,'S%d',$,(#%d));", id, name, value, id+1, id, id)
	}
	to := func(id, set int, doors string) string {
		return fmt.Sprintf("#%d=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(%s),#%d);", id, doors, set)
	}
	for _, c := range []struct{ name, more, mark, from string }{
		{"no property", "", "tag 9", "attribute Tag"},
		{"mark", property(20, "Mark", "IFCLABEL('A101')") + to(30, 21, "#9"), "A101", "property Mark of S20"},
		{"mark before reference", property(20, "Reference", "IFCIDENTIFIER('R')") + to(30, 21, "#9") + property(22, "Mark", "IFCLABEL('A101')") + to(31, 23, "#9"), "A101", "property Mark of S22"},
		{"reference of its own", property(20, "Reference", "IFCIDENTIFIER('R7')") + to(30, 21, "#9"), "R7", "property Reference of S20"},
		{"reference of a type", property(20, "Reference", "IFCIDENTIFIER('R7')") + to(30, 21, "#9,#8"), "tag 9", "attribute Tag"},
		{"placeholder", property(20, "Mark", "IFCLABEL('Mark')") + to(30, 21, "#9"), "tag 9", "attribute Tag"},
		{"empty", property(20, "Mark", "IFCLABEL('')") + to(30, 21, "#9"), "tag 9", "attribute Tag"},
		{"a number", property(20, "Mark", "IFCINTEGER(101)") + to(30, 21, "#9"), "101", "property Mark of S20"},
		{"of the type only", property(20, "Mark", "IFCLABEL('T1')") + "#30=IFCDOORTYPE('t',$,'T',$,$,(#21),$,$,$,.DOOR.,.NOTDEFINED.,$,$);#31=IFCRELDEFINESBYTYPE('r',$,$,$,(#9),#30);", "tag 9", "attribute Tag"},
		{"several sets at once", property(20, "Mark", "IFCLABEL('A101')") + "#30=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(#9),IFCPROPERTYSETDEFINITIONSET((#77,#21)));", "A101", "property Mark of S20"},
	} {
		m := read(t, door(c.more))
		for _, o := range m.Openings {
			if o.Entity == 9 {
				assert.Equal(t, c.mark, o.Mark, c.name)
				assert.Equal(t, c.from, o.MarkFrom, c.name)
			}
		}
	}
	assert.Equal(t, "Entrance", one(t, metres+"#9=IFCDOOR('g',$,'Entrance',$,$,$,$,$,2.1,0.9,$,$,$);").Mark)
}

func TestRead_AMissingSizeComesFromQuantitiesAndSaysSo(t *testing.T) {
	t.Parallel()
	quantities := "#40=IFCQUANTITYLENGTH('Width',$,$,0.9);#41=IFCQUANTITYLENGTH('Height',$,#45,210.);#42=IFCELEMENTQUANTITY('q',$,'Base',$,$,(#40,#41));" +
		"#45=IFCSIUNIT(*,.LENGTHUNIT.,.CENTI.,.METRE.);"
	empty := metres + "#9=IFCDOOR('g',$,'D',$,$,$,$,'1',$,0.,$,$,$);"
	own := one(t, empty+quantities+"#43=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(#9),#42);")
	assert.Equal(t, 900*length.Millimetre, own.Width)
	assert.Equal(t, 2100*length.Millimetre, own.Height, "the quantity has a unit of its own")
	assert.Equal(t, "quantity Width of Base, quantity Height of Base", own.SizeFrom)

	filled := one(t, empty+quantities+"#50=IFCOPENINGELEMENT('o',$,$,$,$,$,$,$,.OPENING.);#51=IFCRELFILLSELEMENT('f',$,$,$,#50,#9);#43=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(#50),#42);")
	assert.Equal(t, 900*length.Millimetre, filled.Width)
	assert.Contains(t, filled.SizeFrom, "IfcOpeningElement")

	none := one(t, empty)
	assert.Zero(t, none.Width)
	assert.Contains(t, none.SizeNote, "OverallWidth: 0 metre is no size")
}

func TestRead_StoreysAreFoundOverSpacesWallsAndAssemblies(t *testing.T) {
	t.Parallel()
	base := metres + "#9=IFCDOOR('g',$,'D',$,$,$,$,'1',2.1,0.9,$,$,$);#10=IFCBUILDINGSTOREY('s',$,'Level 3',$,$,$,$,$,$,6.);#11=IFCSPACE('sp',$,'301',$,$,$,$,'Office',$,$,$);"
	for name, c := range map[string]struct {
		more  string
		rooms []string
	}{
		"in a space":     {"#20=IFCRELCONTAINEDINSPATIALSTRUCTURE('c',$,$,$,(#9),#11);#21=IFCRELAGGREGATES('a',$,$,$,#10,(#11));", []string{"301 Office"}},
		"in a wall":      {"#20=IFCRELFILLSELEMENT('f',$,$,$,#30,#9);#21=IFCRELVOIDSELEMENT('v',$,$,$,#31,#30);#22=IFCRELCONTAINEDINSPATIALSTRUCTURE('c',$,$,$,(#31),#10);", nil},
		"in an assembly": {"#20=IFCRELAGGREGATES('a',$,$,$,#30,(#9));#21=IFCRELAGGREGATES('a',$,$,$,#31,(#30));#22=IFCRELCONTAINEDINSPATIALSTRUCTURE('c',$,$,$,(#31),#10);", nil},
		"by its room":    {"#20=IFCRELSPACEBOUNDARY2NDLEVEL('b',$,$,$,#11,#9,$,.PHYSICAL.,.INTERNAL.,$,$);#21=IFCRELAGGREGATES('a',$,$,$,#10,(#11));", []string{"301 Office"}},
		"room beside the opening": {
			"#20=IFCRELSPACEBOUNDARY('b',$,$,$,#11,#30,$,.VIRTUAL.,.INTERNAL.);#21=IFCRELFILLSELEMENT('f',$,$,$,#30,#9);#22=IFCRELAGGREGATES('a',$,$,$,#10,(#11));",
			[]string{"301 Office"},
		},
	} {
		o := one(t, base+c.more)
		assert.Equal(t, "Level 3", o.Storey, name)
		assert.Equal(t, c.rooms, o.Rooms, name)
	}
	ring := one(t, base+"#20=IFCRELAGGREGATES('a',$,$,$,#30,(#9));#21=IFCRELAGGREGATES('a',$,$,$,#9,(#30));")
	assert.Empty(t, ring.Storey, "what contains itself stands nowhere")
}

func TestRead_StoreysAreSortedByElevationAndToldApart(t *testing.T) {
	t.Parallel()
	m := read(t, metres+
		"#10=IFCBUILDINGSTOREY('a',$,'Level 2',$,$,$,$,$,$,3.1);#11=IFCBUILDINGSTOREY('b',$,'Level 1',$,$,$,$,$,$,0.);#12=IFCBUILDINGSTOREY('c',$,'Basement',$,$,$,$,$,$,-2.8);\n"+
		"#13=IFCBUILDINGSTOREY('d',$,'Level 1',$,$,$,$,$,$,0.5);#14=IFCBUILDINGSTOREY('e',$,$,$,$,$,$,$,$,9.);\n"+
		"#20=IFCBUILDING('f',$,'North',$,$,$,$,$,$,$,$,$);#21=IFCBUILDING('g',$,'South',$,$,$,$,$,$,$,$,$);\n"+
		"#30=IFCRELAGGREGATES('h',$,$,$,#20,(#10,#11,#12,#14));#31=IFCRELAGGREGATES('i',$,$,$,#21,(#13));\n"+
		"#40=IFCDOOR('j',$,'D',$,$,$,$,'up',2.1,0.9,$,$,$);\n#41=IFCDOOR('k',$,'D',$,$,$,$,'down',2.1,0.9,$,$,$);\n"+
		"#50=IFCRELCONTAINEDINSPATIALSTRUCTURE('l',$,$,$,(#40),#10);#51=IFCRELCONTAINEDINSPATIALSTRUCTURE('m',$,$,$,(#41),#12);")
	names := make([]string, len(m.Storeys))
	for i, s := range m.Storeys {
		names[i] = s.Name
	}
	assert.Equal(t, []string{"Basement", "North, Level 1", "South, Level 1", "Level 2", "at 9000 mm"}, names)
	assert.Equal(t, []string{"down", "up"}, []string{m.Openings[0].Mark, m.Openings[1].Mark})
}

func TestRead_PlatesCountAsPanelsOfCurtainWallsOnly(t *testing.T) {
	t.Parallel()
	wall := metres + "#10=IFCCURTAINWALL('w',$,'CW-1',$,$,$,$,'900',$);#11=IFCPLATE('a',$,'P',$,$,$,$,'1',.CURTAIN_PANEL.);#12=IFCPLATE('b',$,'P',$,$,$,$,'2',$);" +
		"#13=IFCPLATE('c',$,'Base plate',$,$,$,$,'3',.SHEET.);#14=IFCDOOR('d',$,'D',$,$,$,$,'4',2.1,0.9,$,$,$);#20=IFCRELAGGREGATES('r',$,$,$,#10,(#11,#12,#14));\n"
	marks := func(m *ifc.Model) (list []string) {
		for _, o := range m.Openings {
			list = append(list, string(o.Class)+" "+o.Mark)
		}
		return list
	}
	bare := read(t, wall)
	assert.Equal(t, []string{"IfcPlate 1", "IfcPlate 2", "IfcDoor 4"}, marks(bare))
	assert.Equal(t, 1, bare.LoosePlates)
	assert.Equal(t, "CW-1", bare.Openings[0].Wall)
	assert.Zero(t, bare.Openings[0].Width)

	length := "#30=IFCQUANTITYLENGTH('Length',$,$,6.);#31=IFCQUANTITYLENGTH('Height',$,$,3.);#32=IFCELEMENTQUANTITY('q',$,'Base',$,$,(#30,#31));#33=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(#10),#32);\n"
	whole := read(t, wall+length)
	assert.Equal(t, []string{"IfcCurtainWall 900", "IfcDoor 4"}, marks(whole), "the wall stands for panels without sizes")
	assert.Equal(t, 2, whole.Openings[0].Panels)
	assert.Equal(t, "6000", whole.Openings[0].Width.Millimetres())

	panel := "#40=IFCPROPERTYSINGLEVALUE('Width',$,IFCLENGTHMEASURE(1.5),$);#41=IFCPROPERTYSINGLEVALUE('Height',$,IFCLENGTHMEASURE(3.),$);#42=IFCPROPERTYSET('x',$,'Dim',$,(#40,#41));#43=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(#11,#12),#42);\n"
	single := read(t, wall+length+panel)
	assert.Equal(t, []string{"IfcPlate 1", "IfcPlate 2", "IfcDoor 4"}, marks(single))
	assert.Equal(t, "1500", single.Openings[0].Width.Millimetres())
}

func TestRead_TheOperationOfTheTypeCountsFirst(t *testing.T) {
	t.Parallel()
	with := func(own, of string) ifc.Opening {
		return one(t, metres+"#9=IFCDOOR('g',$,'D',$,$,$,$,'1',2.1,0.9,.DOOR.,"+own+",$);#10=IFCDOORTYPE('t',$,'T',$,$,$,$,$,$,.DOOR.,"+of+",$,'pivots');#11=IFCRELDEFINESBYTYPE('r',$,$,$,(#9),#10);")
	}
	o := with(".SINGLE_SWING_LEFT.", ".SINGLE_SWING_RIGHT.")
	assert.Equal(t, "SINGLE_SWING_RIGHT", o.Operation)
	assert.Equal(t, "SINGLE_SWING_LEFT", o.Other)
	assert.Equal(t, "SINGLE_SWING_LEFT", with(".SINGLE_SWING_LEFT.", ".NOTDEFINED.").Operation)
	assert.Empty(t, with("$", ".NOTDEFINED.").Operation)
	assert.Equal(t, "pivots", with("$", ".USERDEFINED.").UserWords)
}

func TestRead_ABrokenFileNamesLineAndEntityOfEachFault(t *testing.T) {
	t.Parallel()
	wall := "#20=IFCWALL('a',$,'W',$);\n"
	for _, c := range []struct {
		name, text string
		line       int
		entity     uint32
		says       string
	}{
		{"no semicolon", file(metres + "#9=IFCDOOR('g',$)\n" + wall), 8, 9, `';' is expected`},
		{"no semicolon after what is passed over", file(metres + "#20=IFCWALL('a',$)\n#9=IFCDOOR('g',$);"), 8, 20, "is expected"},
		{"no quote", file(metres + "#9=IFCDOOR('g,$,'D');\n" + wall), 7, 9, "comma or bracket"},
		{"no quote in what is passed over", file(metres + "#20=IFCWALL('a,$,'W');\n" + wall), 7, 20, "a quote may be missing"},
		{"text without end", file(metres + "#9=IFCDOOR('g"), 7, 9, "does not end"},
		{"comment without end", file(metres + "/* never"), 7, 0, "comment"},
		{"no bracket", file(metres + "#20=IFCWALL(('a',$;\n"), 7, 20, "bracket"},
		{"no number", file(metres + "# =IFCWALL();"), 7, 0, "entity number"},
		{"large number", file(metres + "#99999999999=IFCWALL();"), 7, 0, "larger than"},
		{"no such number", file(metres + "#9=IFCDOOR(1.2.3);"), 7, 9, `"1.2.3" is no number`},
		{"cut off", strings.TrimSuffix(file(metres+wall), "END-ISO-10303-21;\n"), 10, 0, "end mark"},
		{"cut off in a statement", "ISO-10303-21;\nDATA;\n#5=IFCWALL('a'", 3, 5, "end of the file"},
		{"entity twice", file(metres + "#9=IFCDOOR('g',$);\n#9=IFCDOOR('g',$);"), 8, 9, "line 7"},
		{"in the header", "ISO-10303-21;\nHEADER;\n#5=IFCWALL();", 3, 5, "outside of the data"},
		{"deep", file(metres + "#9=IFCDOOR(" + strings.Repeat("(", 5000) + ");"), 7, 9, "nested"},
		{"other schema", strings.Replace(file(""), "IFC4", "CONFIG_CONTROL_DESIGN", 1), 3, 0, "not IFC"},
		{"other file", "Mark,Width\n1,2\n", 1, 0, "ISO-10303-21"},
		{"nothing", "", 1, 0, "ISO-10303-21"},
	} {
		list := faults(t, c.text)
		assert.Equal(t, c.line, list[0].Line, "%s: %v", c.name, list)
		assert.Equal(t, c.entity, list[0].Entity, "%s: %v", c.name, list)
		assert.Contains(t, list[0].Message, c.says, c.name)
		assert.NotEmpty(t, list[0].Remedy, c.name)
	}
}

func TestRead_WhatItDoesNotNeedMayBeAnythingTheGrammarAllows(t *testing.T) {
	t.Parallel()
	o := one(t, metres+"#20=IFCBLOBTEXTURE(.T.,.F.,$,$,('a;b'),'PNG',\"089504E\");#21=(IFCA(1)IFCB('x'));#22=IFCX(('it''s',(1.,-2.E-5)),*,.U.,\"0\");\n"+
		"#9=IFCDOOR('g',$,'D',$,$,$,$,'1',2.1,0.9,\"0F\",*,());")
	assert.Equal(t, "1", o.Mark)
	assert.Equal(t, 8, o.Line)
	assert.Contains(t, faults(t, file(metres+"#20=IFCBLOBTEXTURE(\"089504E);")).Error(), "does not end")
}

func TestRead_AllFaultsAtOnceUpToTwenty(t *testing.T) {
	t.Parallel()
	list := faults(t, file(metres+"#9=IFCDOOR(%);\n#10=IFCDOOR($);\n#11=IFCDOOR(%);"))
	require.Len(t, list, 2)
	assert.Equal(t, []int{7, 9}, []int{list[0].Line, list[1].Line})
	assert.Len(t, faults(t, file(metres+strings.Repeat("#9=IFCDOOR(%);\n", 100))), 20)
}

func TestRead_AFailingSourceIsNoFaultOfTheFile(t *testing.T) {
	t.Parallel()
	broken := errors.New("the disk is gone")
	for _, begun := range []string{"", "ISO-10303-21;\nDATA;\n#1=IFCWALL(", file(metres)[:150]} {
		_, err := ifc.Read(io.MultiReader(strings.NewReader(begun), iotest.ErrReader(broken)))
		require.ErrorIs(t, err, broken)
		var list ifc.Faults
		assert.NotErrorAs(t, err, &list)
	}
}
