package ifc_test

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
	"jambwright/server/ifc"
	"jambwright/testdata"
)

// sample opens a published IFC file of the shared data.
func sample(t *testing.T, name string) *ifc.Model {
	t.Helper()
	file, err := os.Open(testdata.Shared(t, "ifc", name))
	require.NoError(t, err)
	defer file.Close()
	model, err := ifc.Read(file)
	require.NoError(t, err)
	return model
}

// like is what openings are counted by.
type like struct {
	class         ifc.Class
	width, height string
	storey        string
	operation     string
}

// The Duplex Apartment of buildingSMART International's sample test files (2020, CC BY 4.0), IFC 2x3, metres, without its
// shapes. Counts, sizes, storeys and operations were read off the text of the file by hand; 0762 x 2032 mm is a door of
// 2'-6" x 6'-8". The file carries noise such as 0.7619999999999989 m.
func TestRead_DuplexApartmentHasItsDoorsAndWindows(t *testing.T) {
	t.Parallel()
	m := sample(t, "duplex-a-doors-windows-subset.ifc")
	assert.Equal(t, "IFC2X3", m.Schema)
	assert.Equal(t, "metre", m.Unit)
	got := map[like]int{}
	for _, o := range m.Openings {
		got[like{o.Class, o.Width.Millimetres(), o.Height.Millimetres(), o.Storey, o.Operation}]++
	}
	assert.Equal(t, map[like]int{
		{ifc.Door, "1250", "2010", "Level 1", "SINGLE_SWING_RIGHT"}: 2,
		{ifc.Door, "762", "2032", "Level 1", "SINGLE_SWING_LEFT"}:   2,
		{ifc.Door, "762", "2032", "Level 2", "SINGLE_SWING_RIGHT"}:  2,
		{ifc.Door, "864", "2032", "Level 2", "SINGLE_SWING_RIGHT"}:  4,
		{ifc.Door, "864", "2032", "Level 2", "SINGLE_SWING_LEFT"}:   2,
		{ifc.Door, "813", "2420", "Level 1", "SINGLE_SWING_LEFT"}:   2,
		{ifc.Window, "4835", "2420", "Level 1", ""}:                 2,
		{ifc.Window, "2800", "2410", "Level 2", ""}:                 4,
		{ifc.Window, "750", "2200", "Level 1", ""}:                  2,
		{ifc.Window, "750", "2200", "Level 2", ""}:                  2,
		{ifc.Window, "819", "759", "Level 2", ""}:                   12,
		{ifc.Window, "1172.54", "634.8", "Roof", ""}:                2,
	}, got, "14 doors and 24 windows")
	names := make([]string, len(m.Storeys))
	for i, s := range m.Storeys {
		names[i] = s.Name
	}
	assert.Equal(t, []string{"T/FDN", "Level 1", "Level 2", "Roof"}, names, "from the bottom up")
}

func TestRead_DuplexApartmentMarksAndRoomsAreThoseOfItsPropertySetsAndBoundaries(t *testing.T) {
	t.Parallel()
	m := sample(t, "duplex-a-doors-windows-subset.ifc")
	byMark := map[string]ifc.Opening{}
	for _, o := range m.Openings {
		byMark[o.Mark] = o
		assert.Contains(t, o.MarkFrom, "property Mark of ")
		assert.Empty(t, o.FireRating, "the file holds the placeholder Fire Rating")
	}
	require.Len(t, byMark, 38, "each mark is its own")
	for _, mark := range []string{"A101", "A102", "A104", "A202", "A203", "A204", "A205", "B101", "B102", "B104", "B202", "B203", "B204", "B205"} {
		assert.Equal(t, ifc.Door, byMark[mark].Class, mark)
	}
	assert.Equal(t, []string{"A201 Hallway", "A203 Bedroom 2"}, byMark["A203"].Rooms, "a door joins two rooms")
	assert.Equal(t, []string{"A101 Foyer"}, byMark["A101"].Rooms)
	assert.EqualValues(t, 6652, byMark["A101"].Entity)
	assert.Equal(t, 1090, byMark["A101"].Line)
}

// The example "wall with opening and window" of the IFC 4 specification (ISO 16739), CC BY 4.0, in millimetres.
func TestRead_SpecificationWindowIsAThousandMillimetresSquare(t *testing.T) {
	t.Parallel()
	m := sample(t, "wall-with-opening-and-window.ifc")
	require.Len(t, m.Openings, 1)
	o := m.Openings[0]
	assert.Equal(t, ifc.Window, o.Class)
	assert.Equal(t, 1000*length.Millimetre, o.Width)
	assert.Equal(t, 1000*length.Millimetre, o.Height)
	assert.Equal(t, "SINGLE_PANEL", o.Operation)
	assert.Equal(t, "Default Building Storey", o.Storey)
	assert.Equal(t, "attribute Name", o.MarkFrom)
}

// A door of the buildingSMART validation rules' tests (rule BLT001, MIT licence), IFC 4.3: no size, no tag, no name.
func TestRead_DoorWithoutDimensionsHasNoneInvented(t *testing.T) {
	t.Parallel()
	m := sample(t, "door-without-dimensions.ifc")
	require.Len(t, m.Openings, 1)
	o := m.Openings[0]
	assert.Zero(t, o.Width)
	assert.Zero(t, o.Height)
	assert.Empty(t, o.Mark)
	assert.Equal(t, "USERDEFINED", o.Operation)
	assert.Equal(t, "TestDoor", o.UserWords)
}

// The construction scheduling example of the IFC 4 specification (ISO 16739), CC BY 4.0: inches by conversion, no openings.
func TestRead_ConstructionSchedulingExampleCountsInInches(t *testing.T) {
	t.Parallel()
	m := sample(t, "construction-scheduling-task.ifc")
	assert.Equal(t, "inch", m.Unit)
	assert.Empty(t, m.Openings)
}
