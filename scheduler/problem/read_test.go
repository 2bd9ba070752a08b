package problem_test

import (
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

// faultsOf reads a document that must be refused and returns its faults, one text each.
func faultsOf(t *testing.T, document string) []string {
	t.Helper()
	_, err := problem.Read(strings.NewReader(document))
	require.Error(t, err)
	var faults problem.Faults
	require.True(t, errors.As(err, &faults), "%v", err)
	texts := make([]string, len(faults))
	for i, f := range faults {
		texts[i] = f.String()
	}
	return texts
}

func fullDocument(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("testdata/every_field.json")
	require.NoError(t, err)
	return string(text)
}

func TestRead_TakesADocumentWithEveryField(t *testing.T) {
	t.Parallel()
	p, err := problem.Read(strings.NewReader(fullDocument(t)))
	require.NoError(t, err)
	assert.Len(t, p.Tasks, 5)
	assert.Equal(t, 0.8, p.Crews[0].ProductivityOf("glaze"))
	assert.Equal(t, problem.Shift{From: 420, To: 720}, p.Calendars[0].Week.Mon[0])
	assert.Equal(t, "2026-03-02T13:00:00Z", p.DataDate.Format("2006-01-02T15:04:05Z07:00"))
	assert.Equal(t, problem.Weights{Lateness: 5, Change: 20, Travel: 0, Early: 0.1}, p.EffectiveWeights(),
		"weights that are left out take their default, a weight of 0 stays 0")
}

// edit replaces text in the full document; the text must be there once.
func edit(t *testing.T, replacements ...string) string {
	t.Helper()
	document := fullDocument(t)
	for i := 0; i < len(replacements); i += 2 {
		require.Equal(t, 1, strings.Count(document, replacements[i]), "%q", replacements[i])
		document = strings.Replace(document, replacements[i], replacements[i+1], 1)
	}
	return document
}

func TestRead_NamesTheFaultAndItsPlace(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, old, new, want string }{
		{
			"unknown field", `"labour_minutes": 480`, `"labour_minutes": 480, "durration_minutes": 4`,
			"tasks[0].durration_minutes: unknown field; did you mean duration_minutes?",
		},
		{
			"unknown field nested", `"pin": {"crew": "birch"`, `"pin": {"crews": "birch"`,
			"tasks[1].pin.crews: unknown field; did you mean crew?",
		},
		{"repeated field", `"heads": 3`, `"heads": 3, "heads": 4`, "crews[0].heads: field is given twice"},
		{"repeated limit", `"hoist": 1`, `"hoist": 1, "hoist": 2`, "tasks[0].uses.hoist: field is given twice"},
		{
			"wrong type", `"labour_minutes": 480`, `"labour_minutes": "480"`,
			`tasks[0].labour_minutes: must be a whole number, got the text "480"`,
		},
		{
			"part of a minute", `"labour_minutes": 480`, `"labour_minutes": 480.5`,
			"tasks[0].labour_minutes: must be a whole number, got the number 480.5",
		},
		{"missing field", `"id": "birch", `, ``, "crews[0].id: required field is missing"},
		{"null field", `"id": "birch"`, `"id": null`, "crews[0].id: required field is missing"},
		{
			"no offset", `"2026-03-20T17:00:00-06:00"`, `"2026-03-20T17:00:00"`,
			`gc_dates[0].date: time "2026-03-20T17:00:00" cannot be used; it has no offset from UTC: write it as 2026-03-20T17:00:00-05:00 with your own offset`,
		},
		{
			"seconds", `"2026-03-20T17:00:00-06:00"`, `"2026-03-20T17:00:30-06:00"`,
			`gc_dates[0].date: time "2026-03-20T17:00:30-06:00" cannot be used; times are on whole minutes: write 2026-03-20T17:00:00-06:00`,
		},
		{
			"date for a time", `"2026-03-20T17:00:00-06:00"`, `"2026-03-20"`,
			`gc_dates[0].date: time "2026-03-20" cannot be used; it has no time of day: write it as 2026-03-20T07:00:00-05:00 with your own offset`,
		},
		{"no such day", `"2026-05-25"`, `"2026-02-30"`, `calendars[0].holidays[0]: date "2026-02-30" is not of the form 2026-11-25`},
		{
			"shift turned round", `"sat": ["07:00-11:00"]`, `"sat": ["11:00-07:00"]`,
			`calendars[0].week.sat[0]: shift "11:00-07:00" must start before it ends, within 00:00 to 24:00`,
		},
		{
			"shift past midnight", `"sat": ["07:00-11:00"]`, `"sat": ["20:00-24:30"]`,
			`calendars[0].week.sat[0]: shift "20:00-24:30" must start before it ends, within 00:00 to 24:00`,
		},
		{
			"shift in words", `"sat": ["07:00-11:00"]`, `"sat": ["7:00-11:00"]`,
			`calendars[0].week.sat[0]: shift "7:00-11:00" is not of the form 07:00-15:30`,
		},
		{"link type", `"type": "SS"`, `"type": "SX"`, `links[1].type: "SX" is not known; write one of FS, SS, FF, SF`},
		{"version", `"version": 1`, `"version": 2`, "version: version 2 is not known; this program reads version 1"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			assert.Contains(t, faultsOf(t, edit(t, row.old, row.new)), row.want)
		})
	}
}

func TestRead_ReportsAllFaultsOfReadingAndMeaningAtOnce(t *testing.T) {
	t.Parallel()
	got := faultsOf(t, edit(t,
		`"labour_minutes": 480`, `"labour_minutes": -1`,
		`"heads": 3`, `"heads": "three"`,
		`"to": "cure"`, `"to": "curé"`,
		`"2026-03-20T17:00:00-06:00"`, `"soon"`,
	))
	assert.Equal(t, []string{
		`crews[0].heads: must be a whole number, got the text "three"`,
		`gc_dates[0].date: time "soon" cannot be used; write an RFC 3339 time such as 2026-11-25T07:00:00-05:00`,
		`tasks[0].labour_minutes: -1 minutes is negative`,
		`links[2].to: unknown task "curé"`,
	}, got)
}

func TestRead_RefusesBrokenSyntaxWithItsLine(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, document, want string }{
		{"empty", " \n", "the document is empty"},
		{"cut off", "{\"version\": 1,\n\"zone\": ", "line 2, column 8: not valid JSON: unexpected end of JSON input"},
		{"trailing", "{}\n{}", "line 2, column 1: not valid JSON: invalid character '{' after top-level value"},
		{"not UTF-8", "{\"zone\": \"\xff\"}", "line 1, column 11: the text is not UTF-8; save it in that encoding"},
		{"not an object", "[1]", "must be an object, got a list"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			assert.Contains(t, faultsOf(t, row.document), row.want)
		})
	}
}

func TestRead_TakesAByteOrderMarkAndWholeNumbersWrittenAsDecimals(t *testing.T) {
	t.Parallel()
	p, err := problem.Read(strings.NewReader("\ufeff" + edit(t, `"labour_minutes": 480`, `"labour_minutes": 4.8e2`)))
	require.NoError(t, err)
	assert.Equal(t, 480, *p.Tasks[0].LabourMinutes)
}

func TestRead_SurvivesDeepNesting(t *testing.T) {
	t.Parallel()
	for _, depth := range []int{9_000, 5_000_000} {
		document := edit(t, `"labour_minutes": 480`, `"labour_minutes": 480, "deep": `+strings.Repeat("[", depth)+strings.Repeat("]", depth))
		_, err := problem.Read(strings.NewReader(document))
		require.Error(t, err)
	}
}
