package importing

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
)

func TestRead_TransomsAndButtJoints(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]length.Length{
		`1'-6"`: 18 * length.Inch, "18": 18 * length.Inch, "450 mm": 450 * length.Millimetre, "9": 9 * length.Inch, "": 0, "none": 0, "no": 0,
	} {
		read := Read(Openings, "openings.csv", []byte("Mark,Level,Type,Width,Height,Transom height,Butt joints\n101,1,Storefront,12-0,9-0,\""+strings.ReplaceAll(text, `"`, `""`)+"\",yes\n"), Options{})
		require.Empty(t, read.Faults, text)
		assert.Equal(t, want, read.Openings[0].Transom, text)
		assert.True(t, read.Openings[0].ButtJoints)
	}
	read := Read(Openings, "openings.csv", []byte("Mark,Level,Type,Width,Height,Transom (mm),Butt joints\n101,1,Storefront,12-0,9-0,450,no\n"), Options{})
	require.Empty(t, read.Faults)
	assert.Equal(t, 450*length.Millimetre, read.Openings[0].Transom)
	assert.False(t, read.Openings[0].ButtJoints)
}

// What cannot be a transom, and a word that is neither yes nor no, are told together with their places.
func TestRead_FaultsOfTransomsAndButtJointsAreAllTold(t *testing.T) {
	t.Parallel()
	read := Read(Openings, "openings.csv", []byte("Mark,Level,Type,Width,Height,Transom,Butt joints\n101,1,Storefront,12-0,9-0,9-0,\n102,1,Storefront,12-0,9-0,\"2\"\"\",\n103,1,Storefront,12-0,9-0,yes,\n104,1,Storefront,12-0,9-0,1-6,purple\n105,1,Storefront,12-0,9-0,1-6,x\n"), Options{})
	require.Len(t, read.Faults, 4)
	for i, part := range []string{"as high as the whole opening", "no height of a transom light", "cannot read", "neither yes nor no"} {
		assert.Equal(t, i+2, read.Faults[i].Row)
		assert.Contains(t, read.Faults[i].Error(), part)
	}
	require.Len(t, read.Openings, 1, "the right row is read")
}

// A sheet without the columns takes nothing back.
func TestCompare_TransomsAndButtJointsStayWithoutTheirColumns(t *testing.T) {
	t.Parallel()
	old := Read(Openings, "openings.csv", []byte("Mark,Level,Type,Width,Height,Transom,Butt joints\n101,1,Storefront,12-0,9-0,1-6,x\n"), Options{})
	bare := Read(Openings, "openings.csv", []byte("Mark,Level,Type,Width,Height\n101,1,Storefront,12-0,9-0\n"), Options{})
	difference := Compare(old.Openings, bare.Openings, nil, func(field string) bool { return field != fTransom && field != fButt }, nil)
	require.True(t, difference.Empty())
	difference = Compare(old.Openings, bare.Openings, nil, func(string) bool { return true }, nil)
	require.Len(t, difference.Changed, 1)
	assert.Equal(t, []FieldChange{{Field: "transom", Old: `1'-6"`, New: ""}, {Field: "butt joints", Old: "yes", New: ""}}, difference.Changed[0].Fields)
}

// A front is as wide as its size says, sidelights and all: glass beside the leaf that leaves no leaf is a fault with its place.
func TestRead_SidelightsAsWideAsTheOpeningAreAFault(t *testing.T) {
	t.Parallel()
	read := Read(Openings, "openings.csv", []byte("Mark,Level,Type,Width,Height,Sidelight\n101,1,Hinged front,4-0,8-0,6-0\n102,1,Sliding front,6-0,8-0,(2) 3-0\n103,1,Hinged front,5-0,8-0,1-6\n104,1,Door and frame,3-0,7-0,3-0\n"), Options{})
	require.Len(t, read.Faults, 2)
	for i := range read.Faults {
		assert.Equal(t, i+2, read.Faults[i].Row)
		assert.Contains(t, read.Faults[i].Error(), "as wide as the whole opening")
	}
	assert.Len(t, read.Openings, 2, "a door's size may be the door's own")
}

// Weights hang on the glass: words that say nothing of it are kept and told, a code of the drawings is known to its readers.
func TestRead_GlassThatCannotBeReadIsTold(t *testing.T) {
	t.Parallel()
	read := Read(Openings, "openings.csv", []byte("Mark,Level,Type,Width,Height,Glass\n101,1,Fixed light,4-0,4-0,three parsecs\n102,1,Fixed light,4-0,4-0,GL-2\n103,1,Fixed light,4-0,4-0,10 mm\n104,1,Fixed light,4-0,4-0,tempered\n105,1,Fixed light,4-0,4-0,\n"), Options{})
	require.Empty(t, read.Faults)
	require.Len(t, read.Warnings, 1)
	assert.Equal(t, 2, read.Warnings[0].Row)
	assert.Contains(t, read.Warnings[0].Error(), "neither a kind of glass nor its thickness")
}
