package importing_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"jambwright/server/importing"
)

func TestRead_TheEncodingMakesNoDifference(t *testing.T) {
	t.Parallel()
	plain, err := os.ReadFile("testdata/sheets/titles.openings.csv")
	require.NoError(t, err)
	plain = bytes.ReplaceAll(plain, []byte("Board room"), []byte("Café ½"))
	want := reading(t, importing.Read(importing.Openings, "a.csv", plain, importing.Options{}))
	utf16, err := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().Bytes(plain)
	require.NoError(t, err)
	ansi, err := charmap.Windows1252.NewEncoder().Bytes(plain)
	require.NoError(t, err)
	for name, data := range map[string][]byte{
		"byte order mark": append([]byte("\ufeff"), plain...), "UTF-16": utf16, "UTF-16 without mark": utf16[2:], "Windows-1252": ansi,
		"CRLF": bytes.ReplaceAll(plain, []byte("\n"), []byte("\r\n")),
	} {
		assert.Equal(t, want, reading(t, importing.Read(importing.Openings, "a.csv", data, importing.Options{})), name)
	}
}

func TestRead_OneFaultForAFileThatIsNoSheet(t *testing.T) {
	t.Parallel()
	for name, data := range map[string]string{
		"empty": "", "pdf": "%PDF-1.7", "no headings": "101,3-0,7-0\n102,3-0,7-0\n",
		"no sizes": "Mark,Type,Level\n101,Sliding,1\n", "no types": "Mark,Level,Width,Height\n101,1,3-0,7-0\n",
	} {
		s := importing.Read(importing.Openings, "x.csv", []byte(data), importing.Options{})
		assert.Zero(t, s.Rows(), name)
		require.Len(t, s.Faults, 1, name)
		assert.NotEmpty(t, s.Faults[0].Remedy, name)
		assert.True(t, strings.HasPrefix(s.Faults[0].Error(), "x.csv"), name)
	}
}

func TestRead_AFaultNamesFileRowColumnValueAndRemedy(t *testing.T) {
	t.Parallel()
	s := importing.Read(importing.Openings, filepath.Join("some", "folder", "rev 3.csv"), []byte("Mark,Type,Width,Height\n101,Sliding,wide,8-0\n"), importing.Options{})
	require.Len(t, s.Faults, 1)
	assert.Equal(t, `rev 3.csv, row 2, column "Width", value "wide": cannot read "wide" as a length; write it as 3'-0", 36" or 914 mm`, s.Faults[0].Error())
}

func TestParseKind_KnowsTheSpellingsOfCommandsAndForms(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]importing.Kind{
		"openings": importing.Openings, "Opening": importing.Openings, "gcdates": importing.GCDates, "gc_dates": importing.GCDates, "gc-dates": importing.GCDates,
		"GC dates": importing.GCDates, "crews": importing.Crews, "handovers": importing.Handovers, "suppliers": importing.Suppliers,
	} {
		got, err := importing.ParseKind(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got)
	}
	_, err := importing.ParseKind("walls")
	require.ErrorContains(t, err, "openings, crews, handovers, suppliers, gcdates and rates")
}

func FuzzRead_NeverPanicsAndPlacesEveryRow(f *testing.F) {
	files, err := filepath.Glob("testdata/sheets/*.csv")
	require.NoError(f, err)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(f, err)
		for i := range importing.Kinds() {
			f.Add(data, i)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte, kind int) {
		kinds := importing.Kinds()
		s := importing.Read(kinds[uint(kind)%uint(len(kinds))], "fuzz.csv", data, importing.Options{})
		for _, o := range s.Openings {
			if o.Mark == "" || o.Type == "" || o.Width <= 0 || o.Height <= 0 || o.Row <= 0 || o.Quantity != 1 {
				t.Fatalf("incomplete opening %+v", o)
			}
		}
		for _, fault := range s.Faults {
			if fault.Message == "" || fault.File == "" {
				t.Fatalf("incomplete fault %+v", fault)
			}
		}
	})
}
