package models

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestLevelCode_ReadsTheUsualSpellings(t *testing.T) {
	t.Parallel()
	for name, want := range map[string]string{
		"Level 2": "L2", "LEVEL 02": "L2", "L2": "L2", "2nd floor": "L2", "Floor B1": "LB1", "2": "L2",
		"Mezzanine": "Mezzanine", "Ground floor": "Ground-floor", "Level 2 East": "Level-2-East",
	} {
		require.Equal(t, want, levelCode(name), name)
	}
	require.Equal(t, foldName("Level 2"), foldName("lvl 2"))
	require.NotEqual(t, foldName("Level 2"), foldName("Level 12"))
	require.Equal(t, "North-wing", areaCode("North (wing)"))
}
