package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// randomDocument writes a random problem and returns its path and its text.
func randomDocument(t *testing.T, seed uint64) (path, text string) {
	t.Helper()
	var document bytes.Buffer
	require.NoError(t, problem.Write(&document, problemtest.Random(seed, problemtest.Everything(40))))
	path = filepath.Join(t.TempDir(), "problem.json")
	require.NoError(t, os.WriteFile(path, document.Bytes(), 0o600))
	return path, document.String()
}

func TestPlanAndCheck_GoTogether(t *testing.T) {
	t.Parallel()
	path, _ := randomDocument(t, 3)
	out := filepath.Join(t.TempDir(), "plan.json")
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, runPlan(t.Context(), []string{"--schedules", "20", path, "--seed", "7", "--out", out}, &stdout, &stderr), stderr.String())
	assert.Empty(t, stdout.String())
	assert.Empty(t, stderr.String())

	require.Equal(t, exitDone, runCheck(t.Context(), []string{path, out}, &stdout, &stderr), "%s%s", &stdout, &stderr)
	assert.Contains(t, stdout.String(), "the plan holds")

	// A plan with a wrong figure breaks a rule, and that is printed.
	text, err := os.ReadFile(out)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(out, []byte(strings.Replace(string(text), `"changes":`, `"changes":1`, 1)), 0o600))
	stdout.Reset()
	assert.Equal(t, exitFailed, runCheck(t.Context(), []string{path, out}, &stdout, &stderr))
	assert.Contains(t, stdout.String(), "objective: changes are")
}

func TestPlan_GivesTheSameBytesForTheSameSeed(t *testing.T) {
	t.Parallel()
	path, _ := randomDocument(t, 5)
	elapsed := regexp.MustCompile(`"elapsed_ms":\d+`)
	var first string
	for i := range 2 {
		var stdout, stderr bytes.Buffer
		require.Equal(t, exitDone, runPlan(t.Context(), []string{path, "--schedules=30", "--seed=9"}, &stdout, &stderr), stderr.String())
		text := elapsed.ReplaceAllString(stdout.String(), "")
		if i == 0 {
			first = text
		}
		assert.Equal(t, first, text)
	}
}

func TestPlan_SaysWhatWouldHaveToGiveForATaskToStartSooner(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "problem.json")
	require.NoError(t, os.WriteFile(path, []byte(`{"version":1,"zone":"America/Chicago","data_date":"2026-12-01T06:00:00-06:00",
		"calendars":[{"id":"days","zone":"America/Chicago","week":{"mon":["07:00-15:30"],"tue":["07:00-15:30"],"wed":["07:00-15:30"]}}],
		"sites":[{"id":"s"}],"crews":[{"id":"Oak","skills":["frame"],"heads":2,"calendar":"days"}],
		"tasks":[{"id":"ceiling","kind":"handover","duration_minutes":0,"calendar":"always","not_before":"2026-12-07T12:00:00-06:00"},
		{"id":"D-204/frame","kind":"frame","site":"s","labour_minutes":240}],
		"links":[{"from":"ceiling","to":"D-204/frame"}]}`), 0o600))
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, runPlan(t.Context(), []string{path, "--why", "D-204/frame"}, &stdout, &stderr), stderr.String())
	assert.JSONEq(t, `{"task":"D-204/frame","crew":"Oak","start":"2026-12-07T12:00:00-06:00","steps":[
		{"causes":[{"kind":"handover","ref":"ceiling","until":"2026-12-07T12:00:00-06:00"}],"from":"2026-12-07T12:00:00-06:00",
		"could":"2026-12-01T07:00:00-06:00","finish":"2026-12-01T09:00:00-06:00"}],
		"floor":{"kind":"calendar","ref":"days","until":"2026-12-01T07:00:00-06:00"}}`, stdout.String())
	stdout.Reset()
	require.Equal(t, exitUsage, runPlan(t.Context(), []string{path, "--why", "nothing"}, &stdout, &stderr))
	assert.Contains(t, stderr.String(), `--why: task "nothing": the plan does not hold this task`)
	assert.Empty(t, stdout.String())
}

func TestPlan_NamesEveryFaultAndWritesNothing(t *testing.T) {
	t.Parallel()
	path, text := randomDocument(t, 1)
	text = strings.Replace(text, `"kind":`, `"kinds":"x","kind":`, 1)
	text = strings.Replace(text, `"heads":`, `"heads":-`, 1)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	out := filepath.Join(t.TempDir(), "plan.json")
	var stdout, stderr bytes.Buffer
	assert.Equal(t, exitUsage, runPlan(t.Context(), []string{path, "--out", out}, &stdout, &stderr))
	assert.Contains(t, stderr.String(), "tasks[0].kinds: unknown field; did you mean kind?\n")
	assert.Contains(t, stderr.String(), "crews[0].heads: crew \"crew 1\" has -")
	assert.Empty(t, stdout.String())
	assert.NoFileExists(t, out)
}

func TestPlanAndCheck_RefuseWrongCommandLines(t *testing.T) {
	t.Parallel()
	path, _ := randomDocument(t, 2)
	for _, args := range [][]string{
		{}, {path, path}, {path, "--schedules", "-1"}, {path, "--schedules", "many"}, {path, "--no-such-flag"}, {filepath.Join(t.TempDir(), "none.json")},
	} {
		var stdout, stderr bytes.Buffer
		assert.Equal(t, exitUsage, runPlan(t.Context(), args, &stdout, &stderr), "%q", args)
		assert.NotEmpty(t, stderr.String(), "%q", args)
		assert.Empty(t, stdout.String(), "%q", args)
	}
	for _, args := range [][]string{{}, {path}, {path, path, path}, {path, path}} {
		var stdout, stderr bytes.Buffer
		assert.Equal(t, exitUsage, runCheck(t.Context(), args, &stdout, &stderr), "%q", args)
		assert.NotEmpty(t, stderr.String(), "%q", args)
	}
}
