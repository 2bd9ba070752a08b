package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// checkSheet runs import --check on a sheet written to a temporary folder.
func checkSheet(t *testing.T, sheet string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "sheet.csv")
	require.NoError(t, os.WriteFile(file, []byte(sheet), 0o600))
	var out, errs bytes.Buffer
	code = runImport(t.Context(), append(append([]string{}, args...), file), &out, &errs)
	return code, out.String(), errs.String()
}

func TestImport_CheckPrintsRowsAndErrorsAsJSON(t *testing.T) {
	t.Parallel()
	code, stdout, stderr := checkSheet(t, "Mark,Type,Level,Area,Width,Height,Qty\n101-102,Sliding front,L1,East,3'-0\",7'-0\",2\n103,Sliding front,L1,East,wide,7'-0\",1\n",
		"--project", "Harrow Bend", "--check", "--json", "openings")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, stderr, `row 3, column "Width", value "wide"`)
	var report struct {
		Rows []struct {
			Row      int         `json:"row"`
			Mark     string      `json:"mark"`
			Type     string      `json:"type"`
			Level    string      `json:"level"`
			Area     string      `json:"area"`
			Width    json.Number `json:"width_mm"`
			Height   json.Number `json:"height_mm"`
			Quantity int         `json:"quantity"`
		} `json:"rows"`
		Errors []struct {
			Row     int    `json:"row"`
			Column  string `json:"column"`
			Value   string `json:"value"`
			Message string `json:"message"`
		} `json:"errors"`
	}
	require.NoError(t, json.Unmarshal([]byte(stdout), &report))
	require.Len(t, report.Rows, 2, "one element per opening")
	assert.Equal(t, "102", report.Rows[1].Mark)
	assert.Equal(t, 2, report.Rows[1].Row)
	assert.Equal(t, json.Number("914.4"), report.Rows[1].Width)
	assert.Equal(t, json.Number("2133.6"), report.Rows[1].Height)
	assert.Equal(t, 1, report.Rows[1].Quantity)
	require.Len(t, report.Errors, 1)
	assert.Equal(t, "Width", report.Errors[0].Column)
	assert.Equal(t, "wide", report.Errors[0].Value)
}

func TestImport_CheckOfAGoodSheetExitsZeroWithoutAnyDatabase(t *testing.T) {
	t.Parallel()
	code, stdout, stderr := checkSheet(t, "Name,Date,Damages\nTurnover,03/04/2027,1200\n", "gc_dates", "--check", "--dates", "us")
	assert.Equal(t, exitDone, code, stderr)
	assert.Contains(t, stdout, "1 GC dates read, 0 errors")
	code, stdout, _ = checkSheet(t, "Name,Date,Damages\nTurnover,03/04/2027,1200\n", "gcdates", "--check", "--json")
	assert.Equal(t, exitUsage, code, "day and month cannot be told apart")
	assert.Contains(t, stdout, `"rows": []`)
}

func TestImport_RefusesAWrongCommandLine(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{
		{"--check", "walls"}, {"--check"}, {"openings"}, {"--check", "--dates", "fr", "openings"}, {"--check", "openings", "a", "b"}, {"--nonsense", "openings"},
	} {
		code, stdout, stderr := checkSheet(t, "Mark,Type,Size\n1,HM,3070\n", args...)
		assert.Equal(t, exitUsage, code, args)
		assert.Empty(t, stdout)
		assert.NotEmpty(t, stderr)
	}
	var out, errs bytes.Buffer
	assert.Equal(t, exitUsage, runImport(t.Context(), []string{"--check", "openings", "no such file.csv"}, &out, &errs))
}
