package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/forecast"
)

// twoCoins is a chain of two tasks of one or two hours, each as likely, due after three hours.
const twoCoins = `{"version":1,"zone":"America/Chicago","data_date":"2026-03-02T07:00:00-06:00",
"tasks":[{"id":"a","kind":"frame","duration_minutes":60,"calendar":"always"},{"id":"b","kind":"frame","duration_minutes":60,"calendar":"always"}],
"links":[{"from":"a","to":"b"}],
"gc_dates":[{"id":"g","tasks":["b"],"date":"2026-03-02T10:00:00-06:00","damages_per_day":24}],
"uncertainty":{"spreads":[{"id":"hours","kinds":["frame"],"minutes":{"values":[60,120],"chances":[0.5,0.5]}}]}}`

func document(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "problem.json")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

// Worked by hand: 2, 3 or 4 hours with chances 1/4, 1/2, 1/4.
func TestForecast_OfTwoCoins(t *testing.T) {
	t.Parallel()
	path := document(t, twoCoins)
	out := filepath.Join(t.TempDir(), "forecast.json")
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, runForecast(t.Context(), []string{path, "--samples", "10000", "--seed=4", "--out", out}, &stdout, &stderr), stderr.String())
	assert.Empty(t, stdout.String()+stderr.String())
	text, err := os.ReadFile(out)
	require.NoError(t, err)
	var f forecast.Forecast
	require.NoError(t, json.Unmarshal(text, &f))
	d := f.GCDates[0]
	assert.Equal(t, 10_000, f.Samples)
	assert.Equal(t, "2026-03-02T09:00:00-06:00", d.P10.Format("2006-01-02T15:04:05Z07:00"), "in the document's zone")
	assert.Equal(t, "10:00", d.P50.Format("15:04"))
	assert.Equal(t, "11:00", d.P80.Format("15:04"))
	assert.Equal(t, "11:00", d.P90.Format("15:04"))
	assert.InDelta(t, 0.75, *d.Chance, 0.02)
	assert.InDelta(t, 0.25, d.ExpectedDamages, 0.02, "an hour at 24 a day, every fourth time")
	assert.Equal(t, "09:00", d.Plan.Format("15:04"), "the plan stays beside it")
}

func TestForecast_GivesTheSameBytesForTheSameSeedOnOneCoreAndTwo(t *testing.T) {
	path, _ := randomDocument(t, 5)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Contains(t, string(text), `"uncertainty"`)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	var first string
	for _, cores := range []int{1, 2, 2} {
		runtime.GOMAXPROCS(cores)
		var stdout, stderr bytes.Buffer
		require.Equal(t, exitDone, runForecast(t.Context(), []string{path, "--samples=300", "--seed=9", "--schedules=30"}, &stdout, &stderr), stderr.String())
		if first == "" {
			first = stdout.String()
		}
		assert.Equal(t, first, stdout.String(), "on %d cores", cores)
	}
}

func TestForecast_WithoutUncertaintyIsThePlanAndSaysSo(t *testing.T) {
	t.Parallel()
	text, _, _ := strings.Cut(twoCoins, ",\n\"uncertainty\"")
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, runForecast(t.Context(), []string{document(t, text+"}")}, &stdout, &stderr), stderr.String())
	var f forecast.Forecast
	require.NoError(t, json.Unmarshal(stdout.Bytes(), &f))
	assert.Equal(t, forecast.Certain, f.StoppedBy)
	assert.Equal(t, []string{"nothing is uncertain: the forecast is the plan"}, f.Notes)
	assert.Equal(t, f.GCDates[0].Plan, f.GCDates[0].P80)
	assert.InDelta(t, 1, *f.GCDates[0].Chance, 0)
}

func TestForecast_NamesEveryFaultAndWritesNothing(t *testing.T) {
	t.Parallel()
	text := strings.Replace(twoCoins, `"chances":[0.5,0.5]`, `"chances":[0.5,0.4]`, 1)
	text = strings.Replace(text, `"kinds":["frame"]`, `"kinds":["framing"],"cause":{}`, 1)
	out := filepath.Join(t.TempDir(), "forecast.json")
	var stdout, stderr bytes.Buffer
	assert.Equal(t, exitUsage, runForecast(t.Context(), []string{document(t, text), "--out", out}, &stdout, &stderr))
	assert.Contains(t, stderr.String(), "uncertainty.spreads[0].cause: unknown field; did you mean causes?\n")
	assert.Contains(t, stderr.String(), `uncertainty.spreads[0].kinds[0]: unknown kind of task "framing"`)
	assert.Contains(t, stderr.String(), "uncertainty.spreads[0].minutes.chances: they add up to 0.9, not 1")
	assert.Empty(t, stdout.String())
	assert.NoFileExists(t, out)
	for _, args := range [][]string{{}, {"--samples", "-1", document(t, twoCoins)}, {filepath.Join(t.TempDir(), "none.json")}} {
		assert.Equal(t, exitUsage, runForecast(t.Context(), args, &stdout, &stderr), "%q", args)
	}
}
