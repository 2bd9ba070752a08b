package importing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What leaves are made of, in the words of schedules (common practice). Fronts have leaves of glass unless the sheet says otherwise,
// doors solid ones.
func TestRead_WhatTheLeafIsMadeOf(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		heading, kind, text string
		want                LeafMake
	}{
		{"Leaf", "Hinged front", "solid wood", SolidLeaf},
		{"Leaf", "Hinged front", "SCW", SolidLeaf},
		{"Leaf material", "Sliding front", "HM", SolidLeaf},
		{"Door leaf", "Storefront", "wood, half lite", SolidLeaf},
		{"Leaf", "Hinged front", "glass", UsualLeaf},
		{"Leaf", "Hinged front", "", UsualLeaf},
		{"Leaf", "Hinged front", "typical", UsualLeaf},
		{"Leaf construction", "Door and frame", "all-glass", GlassLeaf},
		{"Slab", "Pair", "solid core", UsualLeaf},
		{"Leaf", "Fixed light", "solid wood", UsualLeaf},
		{"Door material", "Hinged front", "WD", SolidLeaf},
		{"Door material", "Hinged front", "AL", UsualLeaf},
		{"Material", "Door and frame", "HM", UsualLeaf},
	} {
		sheet := "Mark,Level,Type,Width,Height," + c.heading + "\n101,1,\"" + c.kind + "\",6-0,8-0,\"" + c.text + "\"\n"
		read := Read(Openings, "openings.csv", []byte(sheet), Options{})
		require.Empty(t, read.Faults, "%v", c)
		require.Len(t, read.Openings, 1)
		assert.Equal(t, c.want, read.Openings[0].Leaf, "%v", c)
	}
}

func TestRead_ALeafOfNothingKnownIsAFault(t *testing.T) {
	t.Parallel()
	read := Read(Openings, "openings.csv", []byte("Mark,Level,Type,Width,Height,Leaf\n101,1,Hinged front,6-0,8-0,purple\n102,1,Hinged front,6-0,8-0,wood\n"), Options{})
	require.Len(t, read.Faults, 1)
	fault := read.Faults[0]
	assert.Equal(t, 2, fault.Row)
	assert.Contains(t, fault.Error(), "solid wood, hollow metal or glass")
	require.Len(t, read.Openings, 1, "the other row is read")
}
