package sheet_test

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"pgregory.net/rapid"

	"jambwright/server/sheet"
)

// grid reads a file of one table and returns its texts.
func grid(t *testing.T, data string) [][]string {
	t.Helper()
	tables, err := sheet.Read("test.csv", []byte(data))
	require.NoError(t, err)
	require.Len(t, tables, 1)
	return texts(tables[0])
}

func texts(table sheet.Table) [][]string {
	var rows [][]string
	for _, r := range table.Rows {
		row := make([]string, len(r.Cells))
		for i, c := range r.Cells {
			row[i] = c.Text
		}
		rows = append(rows, row)
	}
	return rows
}

func TestRead_CutsFieldsAsRFC4180AndBeyond(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		name, text string
		want       [][]string
	}{
		// RFC 4180 section 2, rules 5 to 7: fields with commas and quotes are quoted, quotes inside doubled.
		{
			"RFC 4180", "101A,\"3'-0\"\" x 7'-0\"\"\",\"HM, \"\"KD\"\"\",45 MIN\r\n",
			[][]string{{"101A", `3'-0" x 7'-0"`, `HM, "KD"`, "45 MIN"}},
		},
		{"line break in quotes", "a,\"b\nc\",d\ne,f,g\n", [][]string{{"a", "b\nc", "d"}, {"e", "f", "g"}}},
		{"no last line end", "a,b\nc,d", [][]string{{"a", "b"}, {"c", "d"}}},
		{"old line ends", "a,b\rc,d\r", [][]string{{"a", "b"}, {"c", "d"}}},
		{"bare inch marks", "101,36\",84\"\n102,3'-0\",7'-0\"\n", [][]string{{"101", `36"`, `84"`}, {"102", `3'-0"`, `7'-0"`}}},
		{
			"inch marks not doubled inside quotes", "m,s,t,u\n101,\"3'-0\" x 7'-0\"\",\"HM, KD\",x\n",
			[][]string{{"m", "s", "t", "u"}, {"101", `3'-0" x 7'-0"`, "HM, KD", "x"}},
		},
		{
			"bare ditto marks", "m,w,h,t\n101,3-0,7-0,HM\n102,\",\",\"\n103,\",7-0,HM\n",
			[][]string{{"m", "w", "h", "t"}, {"101", "3-0", "7-0", "HM"}, {"102", `"`, `"`, `"`}, {"103", `"`, "7-0", "HM"}},
		},
		{"bare ditto marks in every line", "101,\",\",x\n", [][]string{{"101", `"`, `"`, "x"}}},
		{"ditto mark written by a program", "101,\"\"\"\",\"\"\n", [][]string{{"101", `"`, ""}}},
		{"semicolons with commas inside", "m;size;note\n101;3,5;wood, oak\n102;2,5;steel\n", [][]string{
			{"m", "size", "note"},
			{"101", "3,5", "wood, oak"},
			{"102", "2,5", "steel"},
		}},
		{"tabs", "m\tsize\n101\t3'-0\" x 7'-0\"\n", [][]string{{"m", "size"}, {"101", `3'-0" x 7'-0"`}}},
		{"bars", "m|size|n\n101|36x84|a, b\n", [][]string{{"m", "size", "n"}, {"101", "36x84", "a, b"}}},
		{"separator line", "sep=;\nm;a,b\n", [][]string{{"m", "a,b"}}},
		{"leading zeros and exponents are text", "001,1E2,B-101.1\n", [][]string{{"001", "1E2", "B-101.1"}}},
		{"stray opening quote", "m,n\n\"A\" door,x\n", [][]string{{"m", "n"}, {`"A" door`, "x"}}},
		{"spaces around", " a ,\u00a0b \n", [][]string{{"a", "b"}}},
	} {
		assert.Equal(t, tc.want, grid(t, tc.text), tc.name)
	}
}

func TestRead_NumbersRowsAsTheSpreadsheetProgramDoes(t *testing.T) {
	t.Parallel()
	tables, err := sheet.Read("a.csv", []byte("title\n\n,,\nm,\"two\nlines\"\n101,x\n"))
	require.NoError(t, err)
	var numbers []int
	for _, r := range tables[0].Rows {
		numbers = append(numbers, r.Number)
	}
	assert.Equal(t, []int{1, 4, 5}, numbers, "blank rows count, a quoted line break does not")
}

func TestRead_FindsTheEncoding(t *testing.T) {
	t.Parallel()
	const text = "Mark,Size,Room\r\n101,3′-0½″ × 7′-0″,Café\r\n"
	latin := "Mark,Size,Room\r\n101,3'-0½\" × 7'-0\",Café – “A”\r\n"
	utf16le, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String(text)
	require.NoError(t, err)
	utf16be, err := unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder().String(text)
	require.NoError(t, err)
	ansi, err := charmap.Windows1252.NewEncoder().String(latin)
	require.NoError(t, err)
	for _, tc := range []struct{ name, data, text string }{
		{"UTF-8", text, text},
		{"UTF-8 with byte order mark", "\ufeff" + text, text},
		{"UTF-16 with byte order mark", utf16le, text},
		{"UTF-16 with byte order mark", utf16be, text},
		{"UTF-16", strings.TrimPrefix(utf16le, "\xff\xfe"), text},
		{"UTF-16", strings.TrimPrefix(utf16be, "\xfe\xff"), text},
		{"Windows-1252", ansi, latin},
		{"Windows-1252 under a UTF-8 byte order mark", "\ufeff" + ansi, latin},
	} {
		tables, err := sheet.Read("a.csv", []byte(tc.data))
		require.NoError(t, err, tc.name)
		assert.Equal(t, grid(t, tc.text), texts(tables[0]), tc.name)
		assert.Equal(t, tc.name+", separated by commas", tables[0].Read)
	}
}

func TestRead_RefusesOtherFilesWithTheRemedy(t *testing.T) {
	t.Parallel()
	for _, data := range []string{
		"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 old", "%PDF-1.7", "<html><table><tr><td>101</td></tr></table>",
		"<?xml version=\"1.0\"?><Workbook/>", "PK\x03\x04 broken", "a,b\x00\x01\x02c,d,e,f,g", "", " \n,,\n",
	} {
		_, err := sheet.Read("doors.xls", []byte(data))
		require.ErrorIs(t, err, sheet.ErrUnreadable, "%q", data)
		assert.Contains(t, err.Error(), "doors.xls")
	}
}

// Whatever encoding/csv writes is read back the same, apart from outer white space and a guarding apostrophe; the standard library's writer is the
// reference for RFC 4180.
func TestRead_ReadsBackWhatTheStandardWriterWrites(t *testing.T) {
	t.Parallel()
	field := rapid.StringMatching(`[A-Za-z0-9"×½ x;.-][A-Za-z0-9'", x;.\n-]{0,12}[A-Za-z0-9'"½]`)
	rapid.Check(t, func(t *rapid.T) {
		columns := rapid.IntRange(3, 8).Draw(t, "columns")
		rows := [][]string{}
		for range rapid.IntRange(1, 8).Draw(t, "rows") {
			row := rapid.SliceOfN(field, columns, columns).Draw(t, "row")
			for i := range row {
				row[i] = strings.Trim(row[i], " '\t\n")
			}
			rows = append(rows, row)
		}
		heading := strings.Split("aaa,bbb,ccc,ddd,eee,fff,ggg,hhh", ",")[:columns]
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		for range 9 { // most lines of a file hold no quotes
			require.NoError(t, w.Write(heading))
		}
		require.NoError(t, w.WriteAll(rows))
		tables, err := sheet.Read("a.csv", b.Bytes())
		require.NoError(t, err)
		if tables[0].Read != "UTF-8, separated by commas" {
			return // few lines with many semicolons may be taken for a file separated by semicolons
		}
		require.Equal(t, rows, texts(tables[0])[9:])
	})
}

func FuzzRead_CSVNeverPanics(f *testing.F) {
	for _, seed := range []string{
		"a,b\n1,2\n", "101,\",\",x\n", "\"", "\"\"", "sep=;\na;b", "\ufeffa;b", "\xff\xfea\x00,\x00b\x00", "a\t\"b\nc\"\td", "\"a\n\"\n\"",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		tables, err := sheet.Read("fuzz.csv", data)
		if err != nil {
			return
		}
		for _, table := range tables {
			last := 0
			for _, r := range table.Rows {
				if r.Number <= last || len(r.Cells) > sheet.MaxColumns {
					t.Fatalf("row %d follows row %d with %d cells", r.Number, last, len(r.Cells))
				}
				last = r.Number
			}
		}
	})
}
