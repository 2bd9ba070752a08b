package importing

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadMarks_SpellsOutRangesAndLists(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		text     string
		quantity int
		want     string
	}{
		{"101", 0, "101"},
		{"101", 1, "101"},
		{"1E2", 0, "1E2"},
		{"001", 0, "001"},
		{"B-101.1", 0, "B-101.1"},
		{"D-204", 0, "D-204"},
		{"101-106", 0, "101 102 103 104 105 106"},
		{"101-106", 6, "101 102 103 104 105 106"},
		{"101–103", 0, "101 102 103"},
		{"101 - 103", 0, "101 102 103"},
		{"101 thru 103", 0, "101 102 103"},
		{"101 to 103", 0, "101 102 103"},
		{"101A-C", 0, "101A 101B 101C"},
		{"101A-101C", 0, "101A 101B 101C"},
		{"101a-c", 0, "101a 101b 101c"},
		{"A101-A103", 3, "A101 A102 A103"},
		{"D-201-203", 0, "D-201 D-202 D-203"},
		{"D-201 thru D-203", 0, "D-201 D-202 D-203"},
		{"101.1-101.3", 0, "101.1 101.2 101.3"},
		{"098-101", 0, "098 099 100 101"},
		{"A-C", 3, "A B C"},
		{"101-1", 0, "101-1"},     // not ascending: door 1 of room 101
		{"106-101", 0, "106-101"}, // not ascending
		{"101C-A", 0, "101C-A"},
		{"99-101", 0, "99-101"}, // not as many digits
		{"101, 102 & 105", 0, "101 102 105"},
		{"101,103-105", 4, "101 103 104 105"},
		{"101A, B, C", 0, "101A 101B 101C"},
		{"101; 102", 0, "101 102"},
		{"101\n102", 0, "101 102"},
		{"101/102", 2, "101 102"},
		{"A201/A203", 1, "A201/A203"}, // the door between two rooms
		{"01-04", 4, "01 02 03 04"},
		{"01-04", 1, "01-04"}, // floor 1, door 4
		{"101-106 (6)", 0, "101 102 103 104 105 106"},
		{"101 (existing)", 0, "101 (existing)"},
		{"114", 3, "114/1 114/2 114/3"},
	} {
		got, _, err := readMarks(tc.text, tc.quantity)
		if assert.NoError(t, err, tc.text) {
			assert.Equal(t, tc.want, strings.Join(got, " "), "%s with quantity %d", tc.text, tc.quantity)
		}
	}
}

func TestReadMarks_RefusesWhatDoesNotAddUp(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		text     string
		quantity int
		message  string
	}{
		{"101-106", 5, "names 6 marks, but the quantity is 5"},
		{"101-106", 1, "names 6 marks, but the quantity is 1"},
		{"101, 102", 3, "names 2 marks"},
		{"101/102", 0, "it may be one mark or 2"},
		{"01-04", 0, "it may be one mark or 4"},
		{"A-C", 0, "it may be one mark or 3"},
		{"1.00E+02", 0, "read the mark as a number"},
		{"1E+02", 0, "read the mark as a number"},
		{"1000-9999", 0, "more than 500"},
		{"101,,102", 0, "has a gap"},
		{"101", 501, "more than 500"},
	} {
		marks, _, err := readMarks(tc.text, tc.quantity)
		require.ErrorContains(t, err, tc.message, "%s with quantity %d gave %v", tc.text, tc.quantity, marks)
		_, remedy := explain(err, "")
		assert.NotEmpty(t, remedy)
	}
}

func FuzzReadMarks_ExpansionIsBounded(f *testing.F) {
	for _, seed := range []string{"101-106", "101A-C", "D-201 thru D-203", "101/102", "a,b,c", "1-99999999999999999999", "101A, B"} {
		f.Add(seed, 0)
		f.Add(seed, 3)
	}
	f.Fuzz(func(t *testing.T, text string, quantity int) {
		marks, _, err := readMarks(text, max(quantity, 0))
		if err == nil && (len(marks) == 0 || len(marks) > maxExpansion) {
			t.Fatalf("%q with quantity %d gave %d marks", text, quantity, len(marks))
		}
	})
}
