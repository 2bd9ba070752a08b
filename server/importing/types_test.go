package importing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/takeoff"
)

// What people call the types is common practice, not a standard.
func TestReadType_KnowsTheTradesWords(t *testing.T) {
	t.Parallel()
	for kind, words := range map[takeoff.Type][]string{
		takeoff.SlidingFront: {
			"sliding front", "Sliding", "Sliding glass front w/ sidelight", "sliding_front", "Slider", "Barn door", "SLIDING DOOR", "Glazed front - sliding",
			"Sliding front with fixed sidelight", "SGF-2", "bi-parting sliding doors",
		},
		takeoff.HingedFront: {
			"hinged front", "Hinged", "Hinged glass front", "hinged_front", "Swing front", "Hinged office front", "Front, hinged", "Pivot front", "Swing glass front w/ (2) sidelites",
			"Hinged glass door", "Swing door w/ sidelight",
		},
		takeoff.FixedLight: {"fixed light", "Borrowed lite", "BORROWED LT.", "BL", "BL-3", "Fixed", "fixed_light", "Interior window", "Fixed glass", "Sidelight", "Relite"},
		takeoff.DoorFrame: {
			"door and frame", "HM door & frame", "HM", "H.M.", "HM/HM", "Hollow metal door", "Wood door", "WD/HM", "door_frame", "D&F", "Door/Frame", "Door", "Single", "HMD",
			"HM frame w/ sidelite", "Wood door in HM frame", "SCWD",
		},
		takeoff.Pair:       {"pair", "PR", "Pair of doors", "PR HM doors", "Double door", "DBL DR", "HM pair", "Two-leaf door"},
		takeoff.Storefront: {"storefront", "SF", "SF-1", "Store front", "Storefront run", "Aluminum storefront system", "Type SF2"},
	} {
		for _, w := range words {
			got, err := readType(w)
			if assert.NoError(t, err, w) {
				assert.Equal(t, kind, got.kind, w)
			}
		}
	}
}

func TestReadType_RefusesWordsThatFitSeveralTypesOrNone(t *testing.T) {
	t.Parallel()
	for _, w := range []string{"", "Glass front", "Office front", "Glass door", "Swing door", "Pivot door", "Glazed partition", "Pocket door", "Curtain wall", "Teleporter", "A", "Sliding / hinged", "101"} {
		got, err := readType(w)
		require.Error(t, err, "%s gave %s", w, got.kind)
		_, remedy := explain(err, "")
		assert.Equal(t, knownTypes, remedy)
	}
}

func TestReadType_CountsLeavesAndSidelights(t *testing.T) {
	t.Parallel()
	got, err := readType("Sliding front w/ sidelight")
	require.NoError(t, err)
	assert.Equal(t, 1, got.sidelights)
	got, err = readType("Pair of hinged glass fronts with sidelights")
	require.NoError(t, err)
	assert.Equal(t, typeReading{kind: takeoff.HingedFront, leaves: 2, sidelights: 2}, got)
}
