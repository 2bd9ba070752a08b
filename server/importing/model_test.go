package importing_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
	"jambwright/server/importing"
	"jambwright/testdata"
)

// publishedModel reads a published IFC file of the shared data.
func publishedModel(t *testing.T, name string) *importing.Sheet {
	t.Helper()
	data, err := os.ReadFile(testdata.Shared(t, "ifc", name))
	require.NoError(t, err)
	return importing.Read(importing.Openings, name, data, importing.Options{})
}

// model is an IFC 4 file in the given unit; the first entity of the text stands in line 3.
func model(unit, entities string) *importing.Sheet {
	text := "ISO-10303-21;HEADER;FILE_SCHEMA(('IFC4'));ENDSEC;DATA;#1=IFCPROJECT('p',$,'P',$,$,$,$,$,#2);#2=IFCUNITASSIGNMENT((#3));\n" + unit + "\n" +
		entities + "\nENDSEC;END-ISO-10303-21;"
	return importing.Read(importing.Openings, "tower.ifc", []byte(text), importing.Options{})
}

const (
	inMetres = "#3=IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.);#5=IFCBUILDINGSTOREY('s',$,'Level 1',$,$,$,$,$,.ELEMENT.,0.);"
	inInches = "#3=IFCCONVERSIONBASEDUNIT($,.LENGTHUNIT.,'INCH',#4);#4=IFCMEASUREWITHUNIT(IFCLENGTHMEASURE(0.0254),#6);#6=IFCSIUNIT(*,.LENGTHUNIT.,$,.METRE.);" +
		"#5=IFCBUILDINGSTOREY('s',$,'Level 1',$,$,$,$,$,.ELEMENT.,0.);"
)

// placed puts entities on the storey.
func placed(entities ...int) string {
	refs := make([]string, len(entities))
	for i, e := range entities {
		refs[i] = fmt.Sprintf("#%d", e)
	}
	return "#999=IFCRELCONTAINEDINSPATIALSTRUCTURE('c',$,$,$,(" + strings.Join(refs, ",") + "),#5);"
}

// modelDoor is entity #10 on its storey, of height before width.
func modelDoor(size, operation, name string) string {
	return "#10=IFCDOOR('g',$,'" + name + "',$,$,$,$,'D1'," + size + ",.DOOR.," + operation + ",$);" + placed(10)
}

func texts(faults []importing.Fault) string {
	lines := make([]string, len(faults))
	for i := range faults {
		lines[i] = faults[i].Error()
	}
	return strings.Join(lines, "\n")
}

// The Duplex Apartment of buildingSMART International's sample test files (2020, CC BY 4.0): 14 doors and 24 windows. The
// type of the two skylights is named 1180 x 1170mm while their attributes are 0.6348 m high and 1.1725 m wide.
func TestRead_DuplexApartmentBecomesRows(t *testing.T) {
	t.Parallel()
	s := publishedModel(t, "duplex-a-doors-windows-subset.ifc")
	assert.Empty(t, s.Faults)
	require.Len(t, s.Openings, 38)
	types, levels := map[takeoff.Type]int{}, map[string]int{}
	byMark := map[string]importing.OpeningRow{}
	for _, o := range s.Openings {
		types[o.Type]++
		levels[o.Level]++
		byMark[o.Mark] = o
	}
	assert.Equal(t, map[takeoff.Type]int{takeoff.DoorFrame: 14, takeoff.FixedLight: 24}, types)
	assert.Equal(t, map[string]int{"Level 1": 10, "Level 2": 26, "Roof": 2}, levels)
	a203 := byMark["A203"]
	assert.Equal(t, 864*length.Millimetre, a203.Width)
	assert.Equal(t, 2032*length.Millimetre, a203.Height)
	assert.Equal(t, "RH", a203.Handing)
	assert.Equal(t, 1, a203.Leaves)
	assert.Equal(t, "A201 Hallway; A203 Bedroom 2", a203.Room)
	assert.Equal(t, 1948, a203.Row, "the line of its entity")
	assert.Equal(t, "#8386 IfcDoor", a203.Raw["Entity"])

	warnings := texts(s.Warnings)
	assert.Contains(t, warnings, `column "Name", value "33, 34": the name "1180 x 1170mm" says another size than the attributes; these count, 1172.54 mm wide and 634.8 mm high`)
	assert.Contains(t, warnings, "LH is RHR")
	assert.Len(t, s.Warnings, 4, "one for each text: %s", warnings)
	require.Len(t, s.Read, 1)
	assert.Contains(t, s.Read[0], "IFC2X3, lengths in metre, rounded to 0.01 mm or 1/16 in, 14 doors, 24 windows, storeys from the bottom up: T/FDN, Level 1, Level 2, Roof")
}

// The example of the IFC 4 specification (ISO 16739) and a test file of the buildingSMART validation rules (MIT licence).
func TestRead_PublishedWindowAndDoorWithoutSize(t *testing.T) {
	t.Parallel()
	s := publishedModel(t, "wall-with-opening-and-window.ifc")
	assert.Empty(t, s.Faults)
	require.Len(t, s.Openings, 1)
	assert.Equal(t, takeoff.FixedLight, s.Openings[0].Type)
	assert.Equal(t, 1000*length.Millimetre, s.Openings[0].Width)
	assert.Equal(t, 1000*length.Millimetre, s.Openings[0].Height)

	s = publishedModel(t, "door-without-dimensions.ifc")
	assert.Empty(t, s.Openings)
	require.Len(t, s.Faults, 2)
	assert.Contains(t, texts(s.Faults), "the size is missing")
	assert.Contains(t, texts(s.Faults), "the mark is missing")
	for _, f := range s.Faults {
		assert.Equal(t, 28, f.Row)
		assert.Equal(t, "#21", f.Cell)
		assert.NotEmpty(t, f.Remedy)
	}
}

func TestRead_OperationsOfModelsBecomeTypes(t *testing.T) {
	t.Parallel()
	for operation, want := range map[string]struct {
		kind    takeoff.Type
		leaves  int
		handing string
	}{
		"SINGLE_SWING_LEFT": {takeoff.DoorFrame, 1, "LH"}, "SINGLE_SWING_RIGHT": {takeoff.DoorFrame, 1, "RH"}, "SWING_FIXED_LEFT": {takeoff.DoorFrame, 1, "LH"},
		"DOUBLE_DOOR_SINGLE_SWING": {takeoff.Pair, 2, ""}, "DOUBLE_PANEL_SINGLE_SWING": {takeoff.Pair, 2, ""}, "DOUBLE_PANEL_DOUBLE_SWING": {takeoff.Pair, 2, "DOUBLE ACTING"},
		"SLIDING_TO_RIGHT": {takeoff.SlidingFront, 1, "RIGHT"}, "DOUBLE_DOOR_SLIDING": {takeoff.SlidingFront, 2, ""},
	} {
		s := model(inMetres, modelDoor("2.1,1.8", "."+operation+".", "Door"))
		require.Len(t, s.Openings, 1, "%s: %s", operation, texts(s.Faults))
		o := s.Openings[0]
		assert.Equal(t, want.kind, o.Type, operation)
		assert.Equal(t, want.leaves, o.Leaves, operation)
		assert.Equal(t, want.handing, o.Handing, operation)
		assert.Equal(t, "1800", o.Width.Millimetres(), operation)
		if want.kind == takeoff.Pair {
			assert.Equal(t, "900", o.LeafWidth.Millimetres(), operation)
		}
		_, err := takeoff.Of(takeoff.Opening{
			Type: o.Type, Width: o.Width, Height: o.Height, Leaves: o.Leaves, LeafWidth: o.LeafWidth, Sidelights: make([]takeoff.Sidelight, len(o.Sidelights)),
		}, takeoff.DefaultRules())
		assert.NoError(t, err, operation)
	}
	for _, operation := range []string{"FOLDING_TO_LEFT", "DOUBLE_DOOR_FOLDING", "REVOLVING", "ROLLINGUP", "LIFTING_HORIZONTAL", "SOMETHING_NEW"} {
		s := model(inMetres, modelDoor("2.1,0.9", "."+operation+".", "Door"))
		assert.Empty(t, s.Openings, operation)
		require.Len(t, s.Faults, 1, operation)
		assert.Equal(t, operation, s.Faults[0].Value)
		assert.Contains(t, s.Faults[0].Remedy, "sliding front, hinged front", operation)
		assert.Equal(t, []string{"D1"}, s.Unread, "it is in the file, so not gone")
	}
}

func TestRead_DoorsWithoutOperationAreReadByTheirWordsOrRefused(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, size string
		kind       takeoff.Type // "" is a fault
		says       string
	}{
		{"Flush door, single", "2.1,1.6", takeoff.DoorFrame, "by their names"},
		{"Double flush", "2.1,1.8", takeoff.Pair, "by their names"},
		{"Sliding glass", "2.4,2.4", takeoff.SlidingFront, "by their names"},
		{"Entrance", "2.1,0.9", takeoff.DoorFrame, "under 5'-0\""},
		{"Double glazed entrance", "2.1,0.9", takeoff.DoorFrame, "under 5'-0\""},
		{"Entrance", "2.1,1.6", "", "a pair or one wide leaf"},
		{"Sliding double swing pair", "2.1,1.8", "", "fits two types"},
		{"Bi-Fold closet", "2.1,0.9", "", "bi fold"},
		{"Overhead door", "2.1,2.4", "", "overhead"},
	} {
		s := model(inMetres, modelDoor(c.size, ".NOTDEFINED.", c.name))
		if c.kind == "" {
			assert.Empty(t, s.Openings, c.name)
			assert.Contains(t, texts(s.Faults), c.says, c.name)
			continue
		}
		require.Len(t, s.Openings, 1, "%s: %s", c.name, texts(s.Faults))
		assert.Equal(t, c.kind, s.Openings[0].Type, c.name)
		assert.Contains(t, texts(s.Warnings), c.says, c.name)
	}
}

func TestRead_DoorsWithoutOperationAreReadByTheirPanels(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		panels []string
		kind   takeoff.Type
		leaves int
		says   string
	}{
		{[]string{"SWINGING", "SWINGING"}, takeoff.Pair, 2, "from the panels"},
		{[]string{"SLIDING"}, takeoff.SlidingFront, 1, "from the panels"},
		{[]string{"SWINGING", "FIXEDPANEL"}, takeoff.DoorFrame, 1, "a fixed panel stands beside"},
		{[]string{"FOLDING", "FOLDING"}, takeoff.DoorFrame, 1, "under 5'-0\""},
		{[]string{"NOTDEFINED"}, takeoff.DoorFrame, 1, "under 5'-0\""},
	} {
		sets, refs := "", make([]string, len(c.panels))
		for i, panel := range c.panels {
			sets += fmt.Sprintf("#%d=IFCDOORPANELPROPERTIES('p',$,'P',$,$,.%s.,$,.NOTDEFINED.,$);", 50+i, panel)
			refs[i] = fmt.Sprintf("#%d", 50+i)
		}
		s := model(inMetres, modelDoor("2.1,0.9", ".NOTDEFINED.", "Ingang")+sets+
			"#40=IFCDOORTYPE('t',$,'T',$,$,("+strings.Join(refs, ",")+"),$,$,$,.DOOR.,.NOTDEFINED.,$,$);#41=IFCRELDEFINESBYTYPE('r',$,$,$,(#10),#40);")
		require.Len(t, s.Openings, 1, texts(s.Faults))
		assert.Equal(t, c.kind, s.Openings[0].Type, c.panels)
		assert.Equal(t, c.leaves, s.Openings[0].Leaves, c.panels)
		assert.Contains(t, texts(s.Warnings), c.says, c.panels)
	}
}

func TestRead_SizesOfModelsAreDoubtedAsThoseOfSheets(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		unit, size, name string
		fault            bool
		says             string
	}{
		{inMetres, "0.9,2.1", "D", true, "wrong way round"},
		{inMetres, "2100.,900.", "D", true, "the unit of the model may be wrong"},
		{inMetres, "$,0.9", "D", true, "the height is missing"},
		{inMetres, "2.1,-1.", "D", true, "-1 metre is no size"},
		{inMetres, "1.4,0.9", "D", false, "low for a door"},
		{inMetres, "2.134,0.914", "D", false, "close to 3'-0\" x 7'-0\""},
		{inMetres, "2.134,0.864", "0914 x 2134mm", false, "says another size"},
		{inMetres, "2.134,0.914", "2134 x 914 mm", false, "the other way round"},
		{inInches, "84.,36.", `32" x 84"`, false, "says another size"},
	} {
		s := model(c.unit, modelDoor(c.size, ".SINGLE_SWING_LEFT.", c.name))
		if c.fault {
			assert.Contains(t, texts(s.Faults), c.says)
			assert.Empty(t, s.Openings)
			continue
		}
		assert.Empty(t, s.Faults, c.size)
		assert.Contains(t, texts(s.Warnings), c.says, c.size)
	}
	exact := model(inInches, modelDoor("84.,36.", ".SINGLE_SWING_LEFT.", `3''-0" x 7''-0"`))
	require.Len(t, exact.Openings, 1)
	assert.Equal(t, `3'-0"`, exact.Openings[0].Width.FeetInches())
	assert.Len(t, exact.Warnings, 2, "mark and hand only: %s", texts(exact.Warnings))
}

func TestRead_TwoOpeningsOfAModelWithOneMarkAreAFault(t *testing.T) {
	t.Parallel()
	s := model(inMetres, "#10=IFCDOOR('g',$,'D',$,$,$,$,'9',2.1,0.9,.DOOR.,.SINGLE_SWING_LEFT.,$);\n#11=IFCWINDOW('h',$,'W',$,$,$,$,'9',1.,1.,$,$,$);"+placed(10, 11))
	require.Len(t, s.Openings, 1)
	require.Len(t, s.Faults, 1)
	assert.Equal(t, 4, s.Faults[0].Row)
	assert.Contains(t, s.Faults[0].Message, "line 3 already")
}

func TestRead_CurtainWallsBecomePanelsOrAStorefront(t *testing.T) {
	t.Parallel()
	wall := "#10=IFCCURTAINWALL('w',$,'CW-1',$,$,$,$,'CW-1',$);#11=IFCPLATE('a',$,'P',$,$,$,$,'P1',$);#12=IFCPLATE('b',$,'P',$,$,$,$,'P2',$);#20=IFCRELAGGREGATES('r',$,$,$,#10,(#11,#12));" + placed(10)
	s := model(inMetres, wall+"#30=IFCQUANTITYLENGTH('Length',$,$,6.);#31=IFCQUANTITYLENGTH('Height',$,$,3.);#32=IFCELEMENTQUANTITY('q',$,'Base',$,$,(#30,#31));#33=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(#10),#32);")
	require.Len(t, s.Openings, 1, texts(s.Faults))
	assert.Equal(t, takeoff.Storefront, s.Openings[0].Type)
	assert.Equal(t, "Level 1", s.Openings[0].Level)
	assert.Contains(t, texts(s.Warnings), "how many lights stand side by side")

	s = model(inMetres, wall+"#40=IFCPROPERTYSINGLEVALUE('Width',$,IFCLENGTHMEASURE(1.5),$);#41=IFCPROPERTYSINGLEVALUE('Height',$,IFCLENGTHMEASURE(3.),$);#42=IFCPROPERTYSET('x',$,'Dim',$,(#40,#41));#43=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(#11,#12),#42);")
	require.Len(t, s.Openings, 2, texts(s.Faults))
	assert.Equal(t, takeoff.FixedLight, s.Openings[1].Type)
	assert.Contains(t, texts(s.Warnings), "one by one as fixed lights")

	s = model(inMetres, wall)
	assert.Empty(t, s.Openings)
	assert.Len(t, s.Faults, 2)
	assert.Contains(t, texts(s.Faults), "the size is missing")
}

func TestRead_AModelIsKnownByItsBeginningOrItsName(t *testing.T) {
	t.Parallel()
	body := "HEADER;FILE_SCHEMA(('IFC4'));ENDSEC;DATA;" + strings.ReplaceAll(inMetres, "\n", "") + "#1=IFCPROJECT('p',$,'P',$,$,$,$,$,#2);#2=IFCUNITASSIGNMENT((#3));" +
		modelDoor("2.1,0.9", ".SINGLE_SWING_LEFT.", "D") + "ENDSEC;END-ISO-10303-21;"
	for name, text := range map[string]string{"x.ifc": "ISO-10303-21;" + body, "X.IFC": "\ufeffISO-10303-21;" + body, "-": "\r\niso-10303-21;" + body, "list.csv": "ISO-10303-21;" + body} {
		assert.Len(t, importing.Read(importing.Openings, name, []byte(text), importing.Options{}).Openings, 1, name)
		s, err := importing.ReadFrom(importing.Openings, name, strings.NewReader(text), importing.Options{})
		require.NoError(t, err)
		assert.Len(t, s.Openings, 1, name)
	}
	for _, c := range []struct {
		kind             importing.Kind
		name, text, says string
	}{
		{importing.Crews, "x.ifc", "ISO-10303-21;" + body, "holds openings, not crews"},
		{importing.Openings, "x.ifc", "Mark,Type\n", "ISO-10303-21"},
		{importing.Openings, "x.ifczip", "PK\x03\x04", "text form"},
		{importing.Openings, "x.ifc", "ISO-10303-21;DATA;\n#1=IFCDOOR('a);", "row 2"},
		{importing.Openings, "x.ifc", "ISO-10303-21;HEADER;FILE_SCHEMA(('IFC4'));ENDSEC;DATA;" + inMetres + "#1=IFCPROJECT('p',$,'P',$,$,$,$,$,#2);#2=IFCUNITASSIGNMENT((#3));ENDSEC;END-ISO-10303-21;", "no doors"},
	} {
		s := importing.Read(c.kind, c.name, []byte(c.text), importing.Options{})
		assert.Zero(t, s.Rows(), c.says)
		require.NotEmpty(t, s.Faults, c.says)
		assert.Contains(t, texts(s.Faults), c.says)
		assert.NotEmpty(t, s.Faults[0].Remedy, c.says)
	}
	sheet, err := importing.ReadFrom(importing.Openings, "x.csv", strings.NewReader("Mark,Type,Width,Height\n101,Sliding front,9-0,8-0\n"), importing.Options{})
	require.NoError(t, err)
	assert.Len(t, sheet.Openings, 1)
}

func TestRead_AModelsFireRatingIsReadAndItsPlaceholderIsNot(t *testing.T) {
	t.Parallel()
	door := modelDoor("2.1,0.9", ".SINGLE_SWING_LEFT.", "D")
	own := "#51=IFCPROPERTYSET('x',$,'Common',$,(#50));#52=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(#10),#51);"
	ofType := "#51=IFCPROPERTYSET('x',$,'Common',$,(#50));#40=IFCDOORTYPE('t',$,'T',$,$,(#51),$,$,$,.DOOR.,.NOTDEFINED.,$,$);#41=IFCRELDEFINESBYTYPE('r',$,$,$,(#10),#40);"
	for _, c := range []struct {
		value, on, rating string
		minutes           int
		warned            bool
	}{
		{"90 MIN", own, "90 MIN", 90, false},
		{"3/4 HR", ofType, "3/4 HR", 45, false},
		{"EI30-S200", own, "EI30-S200", 0, true},
		{"Fire Rating", own, "", 0, false},
		{"FireRating", ofType, "", 0, false},
		{"", own, "", 0, false},
	} {
		s := model(inMetres, door+"#50=IFCPROPERTYSINGLEVALUE('FireRating',$,IFCLABEL('"+c.value+"'),$);"+c.on)
		require.Len(t, s.Openings, 1, texts(s.Faults))
		assert.Equal(t, c.rating, s.Openings[0].FireRating)
		assert.Equal(t, c.minutes, s.Openings[0].FireMinutes, c.value)
		assert.Equal(t, c.warned, strings.Contains(texts(s.Warnings), "no number of minutes"), c.value)
	}
}

func TestRead_WhatAModelSaysBesideTheTypeIsShown(t *testing.T) {
	t.Parallel()
	glazed := "#50=IFCPROPERTYSINGLEVALUE('GlazingAreaFraction',$,IFCPOSITIVERATIOMEASURE(0.7),$);#51=IFCPROPERTYSET('x',$,'Common',$,(#50));#52=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(#10),#51);"
	door := func(operation string) string { return modelDoor("2.1,0.9", operation, "D") }
	window := func(predefined, partitioning string) string {
		return "#10=IFCWINDOW('g',$,'W',$,$,$,$,'W1',1.,1.," + predefined + "," + partitioning + ",$);" + placed(10)
	}
	sash := "#50=IFCWINDOWPANELPROPERTIES('p',$,$,$,.SIDEHUNGLEFTHAND.,.LEFT.,$,$,$);#51=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(#10),#50);"
	fixed := strings.Replace(sash, "SIDEHUNGLEFTHAND", "FIXEDCASEMENT", 1)
	for _, c := range []struct{ entities, says, silent string }{
		{door(".SINGLE_SWING_LEFT.") + glazed, "partly of glass", ""},
		{door(".SLIDING_TO_LEFT."), "does not say that it is of glass", "LH is RHR"},
		{door(".SLIDING_TO_LEFT.") + glazed, "", "of glass"},
		{modelDoor("2.1,0.9", ".SLIDING_TO_LEFT.", "Glazed slider"), "", "of glass"},
		{door(".SINGLE_SWING_LEFT.") + "#40=IFCDOORTYPE('t',$,'T',$,$,$,$,$,$,.DOOR.,.SLIDING_TO_LEFT.,$,$);#41=IFCRELDEFINESBYTYPE('r',$,$,$,(#10),#40);", "the door says SINGLE_SWING_LEFT, its type SLIDING_TO_LEFT", ""},
		{window(".SKYLIGHT.", "$"), "a skylight is read as a fixed light", ""},
		{window("$", ".DOUBLE_PANEL_VERTICAL."), "divided (DOUBLE_PANEL_VERTICAL)", ""},
		{window("$", ".SINGLE_PANEL.") + sash, "the window opens (SIDEHUNGLEFTHAND)", "does not say whether"},
		{window("$", ".SINGLE_PANEL.") + fixed, "", "opens"},
		{strings.Replace(door(".SINGLE_SWING_LEFT."), placed(10), "", 1), "no storey", ""},
		{door(".SINGLE_SWING_LEFT.") + "#60=IFCBUILDINGSTOREY('s',$,'Level 1',$,$,$,$,$,.ELEMENT.,4.);", "several storeys have the same name", ""},
	} {
		s := model(inMetres, c.entities)
		require.Len(t, s.Openings, 1, texts(s.Faults))
		assert.Contains(t, texts(s.Warnings), c.says, c.entities)
		if c.silent != "" {
			assert.NotContains(t, texts(s.Warnings), c.silent, c.entities)
		}
	}
	gate := model(inMetres, "#10=IFCDOOR('g',$,'D',$,$,$,$,'D1',2.1,0.9,.TRAPDOOR.,.NOTDEFINED.,$);"+placed(10))
	assert.Empty(t, gate.Openings)
	assert.Contains(t, texts(gate.Faults), `value "TRAPDOOR"`)
}

func TestCompare_AModelKeepsWhatOnlySheetsKnow(t *testing.T) {
	t.Parallel()
	s := model(inMetres, modelDoor("2.1,0.9", ".SINGLE_SWING_LEFT.", "D"))
	require.Len(t, s.Openings, 1)
	stored := s.Openings[0]
	stored.HardwareSet, stored.Area, stored.Room, stored.FireRating, stored.FireMinutes = "HW-3", "Zone A", "101", "45 MIN", 45
	same := importing.Compare([]importing.OpeningRow{stored}, s.Openings, nil, s.Has, s.Unread)
	assert.True(t, same.Empty(), "%+v", same.Changed)
	stored.Width = 30 * length.Inch
	changed := importing.Compare([]importing.OpeningRow{stored}, s.Openings, map[string]bool{"D1": true}, s.Has, s.Unread)
	require.Len(t, changed.Changed, 1)
	assert.Equal(t, []importing.FieldChange{{Field: "width", Old: `2'-6"`, New: "900 mm"}}, changed.Changed[0].Fields)
	assert.Equal(t, "HW-3", changed.Changed[0].New.HardwareSet)
	assert.Len(t, changed.Questions, 1)
}

func FuzzRead_ModelsNeverPanicAndPlaceEveryRow(f *testing.F) {
	f.Add(modelDoor("2.1,0.9", ".SINGLE_SWING_LEFT.", "Sliding 0914 x 2134mm"))
	f.Add(modelDoor("$,1.8", ".NOTDEFINED.", `Double 3''-0" x 7''-0"`))
	f.Add("#10=IFCCURTAINWALL('w',$,'CW',$,$,$,$,'1',$);#11=IFCPLATE('a',$,'P',$,$,$,$,'2',$);#20=IFCRELAGGREGATES('r',$,$,$,#10,(#11));" + placed(10))
	f.Fuzz(func(t *testing.T, entities string) {
		s := model(inMetres, entities)
		for _, o := range s.Openings {
			if o.Mark == "" || o.Type == "" || o.Width <= 0 || o.Height <= 0 || o.Row <= 0 || o.Quantity != 1 {
				t.Fatalf("incomplete opening %+v", o)
			}
		}
		for _, fault := range append(s.Faults, s.Warnings...) {
			if fault.Message == "" || fault.File == "" {
				t.Fatalf("incomplete fault %+v", fault)
			}
		}
	})
}
