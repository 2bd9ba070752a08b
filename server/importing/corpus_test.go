package importing_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/server/importing"
)

var update = flag.Bool("update", false, "rewrite the expected readings of testdata/sheets; read the difference line by line")

// reading is what the corpus keeps of a report: rows by their few telling fields are enough to check by hand, faults
// and warnings whole.
func reading(t *testing.T, s *importing.Sheet) string {
	t.Helper()
	report := importing.NewReport(s)
	var b bytes.Buffer
	section := func(name string, items []any) {
		for _, item := range items {
			text, err := json.Marshal(item)
			require.NoError(t, err)
			var fields map[string]any
			require.NoError(t, json.Unmarshal(text, &fields))
			delete(fields, "file")
			text, err = json.Marshal(fields)
			require.NoError(t, err)
			text = bytes.ReplaceAll(bytes.ReplaceAll(bytes.ReplaceAll(text, []byte(`\u0026`), []byte("&")), []byte(`\u003c`), []byte("<")), []byte(`\u003e`), []byte(">"))
			b.WriteString(name + " " + string(text) + "\n")
		}
	}
	section("row", report.Rows)
	section("error", anyList(report.Errors))
	section("warning", anyList(report.Warnings))
	section("passed", anyList(report.Passed))
	return b.String()
}

func anyList[T any](list []T) []any {
	out := make([]any, len(list))
	for i := range list {
		out[i] = list[i]
	}
	return out
}

// kindOf is the kind of sheet that a file of the corpus is named after: titles.openings.csv.
func kindOf(t *testing.T, path string) importing.Kind {
	t.Helper()
	parts := strings.Split(filepath.Base(path), ".")
	kind, err := importing.ParseKind(parts[1])
	require.NoError(t, err)
	return kind
}

func corpus(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("testdata/sheets/*.csv")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 12)
	return files
}

// The sheets of the corpus are invented after what schedules on drawings look like; the expected readings beside them
// were checked by hand, row by row: inches times 25.4.
func TestRead_UnderstandsTheCorpus(t *testing.T) {
	t.Parallel()
	for _, file := range corpus(t) {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		got := reading(t, importing.Read(kindOf(t, file), file, data, importing.Options{}))
		golden := strings.TrimSuffix(file, ".csv") + ".txt"
		if *update {
			require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
			continue
		}
		want, err := os.ReadFile(golden)
		require.NoError(t, err)
		assert.Equal(t, string(want), got, file)
	}
}
