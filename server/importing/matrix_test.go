package importing_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/server/importing"
	"jambwright/server/sheet"
)

// A list in which a remark names a second condition is no matrix, and neither is a heading row with one condition.
func TestMatrix_AListIsNone(t *testing.T) {
	t.Parallel()
	list := importing.Read(importing.Handovers, "list.csv", []byte("Level,Condition,Promised,Remarks\nLevel 2,Walls boarded,2026-12-04,waits for ceiling grid\nLevel 2,Ceiling closed,tbc,after walls boarded\n"), importing.Options{})
	require.Empty(t, list.Faults)
	require.Len(t, list.Handovers, 2)
	require.Len(t, list.Warnings, 1, "tbc in a list is told as well")
	assert.Contains(t, list.Warnings[0].Message, "no date given")
	assert.Nil(t, list.Handovers[1].Promised)
	one := importing.Read(importing.Handovers, "one.csv", []byte("Area,Walls boarded\nLevel 2,2026-12-04\n"), importing.Options{})
	require.NotEmpty(t, one.Faults, "one condition is not told from a list with a heading forgotten")
	other := importing.Read(importing.Crews, "crews.csv", []byte("Area,Walls boarded,Ceiling closed\nLevel 2,2026-12-04,2026-12-11\n"), importing.Options{})
	require.NotEmpty(t, other.Faults, "crews come in no matrix")
}

// The dates of a matrix tell the order of day and month where one of them has a number over 12; otherwise a date that may
// be two is a fault.
func TestMatrix_OrderOfDayAndMonth(t *testing.T) {
	t.Parallel()
	told := importing.Read(importing.Handovers, "m.csv", []byte("Area,Walls boarded,Ceiling closed\nLevel 2,12/04/2026,12/18/2026\n"), importing.Options{})
	require.Empty(t, told.Faults)
	assert.Equal(t, "2026-12-04", told.Handovers[0].Promised.String())
	open := importing.Read(importing.Handovers, "m.csv", []byte("Area,Walls boarded,Ceiling closed\nLevel 2,12/04/2026,12/05/2026\n"), importing.Options{})
	require.Len(t, open.Faults, 2)
	assert.Equal(t, "B2", open.Faults[0].Cell)
	said := importing.Read(importing.Handovers, "m.csv", []byte("Area,Walls boarded,Ceiling closed\nLevel 2,12/04/2026,12/05/2026\n"), importing.Options{DateOrder: importing.DayFirst})
	require.Empty(t, said.Faults)
	assert.Equal(t, "2026-04-12", said.Handovers[0].Promised.String())
}

// The same matrix as a workbook, with its dates as dates and a merged heading, reads as the text does.
func TestMatrix_OfAWorkbook(t *testing.T) {
	t.Parallel()
	rows := [][]string{{"Level", "Zone", "Walls boarded", "Ceiling closed"}, {"Level 2", "East", "2026-12-04", "tbd"}, {"Level 2", "West", "2026-12-07", "2026-12-11"}}
	data, err := sheet.WriteXLSX("readiness", rows, 0)
	require.NoError(t, err)
	s := importing.Read(importing.Handovers, "m.xlsx", data, importing.Options{})
	require.Empty(t, s.Faults)
	require.Len(t, s.Handovers, 3)
	assert.Contains(t, strings.Join(s.Read, "; "), "areas by conditions")
}

// What a matrix leaves empty or open is in the sheet: it is not gone, and no stored date is taken back.
func TestMatrix_SilenceTakesNothingBack(t *testing.T) {
	t.Parallel()
	stored := importing.Read(importing.Handovers, "old.csv", []byte("Area,Walls boarded,Ceiling closed\nLevel 2,2026-12-04,2026-12-11\nLevel 3,2026-12-14,2026-12-21\n"), importing.Options{})
	require.Empty(t, stored.Faults)
	for i := range stored.Handovers {
		stored.Handovers[i].Trade = "Interiors" // known from elsewhere
	}
	fresh := importing.Read(importing.Handovers, "new.csv", []byte("Area,Walls boarded,Ceiling closed\nLevel 2,2026-12-10,tbc\nLevel 3,,2026-12-21\n"), importing.Options{})
	require.Empty(t, fresh.Faults)
	d := importing.Compare(stored.Handovers, fresh.Handovers, nil, fresh.Has, fresh.Unread)
	require.Empty(t, d.Gone)
	require.Len(t, d.Changed, 1)
	require.Len(t, d.Changed[0].Fields, 1)
	assert.Equal(t, importing.FieldChange{Field: "promised", Old: "2026-12-04", New: "2026-12-10"}, d.Changed[0].Fields[0])
	assert.Equal(t, "Interiors", d.Changed[0].New.Trade)
}

func FuzzMatrix_NeverPanicsAndPlacesEveryCell(f *testing.F) {
	for _, seed := range []string{
		"Area,Walls boarded,Ceiling closed\nLevel 2 / East,2026-12-04,tbc\n",
		",,Walls,,Power\nFloor,Zone,Promised,Actual,Promised\nTrade,,A,,B\nLevel 1,,1/2/26,x,done 3 Jan 2027\n",
		"Floor,Floor,Ceiling,Walls\n1,2,3,4\n",
		"Walls,Ceiling\n2026-01-01,2026-01-02\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s := importing.Read(importing.Handovers, "fuzz.csv", data, importing.Options{})
		seen := map[string]bool{}
		for _, h := range s.Handovers {
			if h.Condition == "" || h.Row <= 0 {
				t.Fatalf("incomplete handover %+v", h)
			}
			if seen[h.Key()] {
				t.Fatalf("%s stands twice", h.Key())
			}
			seen[h.Key()] = true
		}
		for _, fault := range append(s.Faults, s.Warnings...) {
			if fault.Message == "" || fault.File == "" {
				t.Fatalf("incomplete fault %+v", fault)
			}
		}
	})
}
