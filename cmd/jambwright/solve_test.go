package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// publishedInstance is instance 1 of parameter setting 1 with 30 jobs of Kolisch and Sprecher, "PSPLIB - a project
// scheduling problem library", European Journal of Operational Research 96 (1996); its optimum is 43, its critical path 38.
var publishedInstance = filepath.Join("..", "..", "scheduler", "rcpsp", "testdata", "j301_1.sm")

func TestSolve_PrintsOneObjectWithTheNamedFields(t *testing.T) {
	t.Parallel()
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, runSolve(t.Context(), []string{publishedInstance, "--schedules", "3000", "--seed", "4"}, &stdout, &stderr), stderr.String())
	assert.Empty(t, stderr.String())
	decoder := json.NewDecoder(&stdout)
	var fields map[string]any
	require.NoError(t, decoder.Decode(&fields))
	assert.False(t, decoder.More(), "exactly one object")
	assert.Equal(t, "j301_1", fields["instance"])
	assert.InDelta(t, 43, fields["makespan"], 0)
	assert.InDelta(t, 38, fields["critical_path"], 0)
	assert.Equal(t, fields["lower_bound"] == fields["makespan"], fields["proved"])
	starts, isList := fields["starts"].([]any)
	require.True(t, isList)
	assert.Len(t, starts, 32, "one start per job, the dummies included")
	assert.InDelta(t, 0, starts[0], 0)
	assert.InDelta(t, 43, starts[31], 0, "the sink starts at the makespan")
	for _, name := range []string{"schedules", "elapsed_ms"} {
		assert.Contains(t, fields, name)
	}
	assert.Len(t, fields, 8)
}

func TestSolve_HoldsATimeLimit(t *testing.T) {
	t.Parallel()
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, runSolve(t.Context(), []string{"--time", "30ms", publishedInstance}, &stdout, &stderr), stderr.String())
	var result solved
	require.NoError(t, json.Unmarshal(stdout.Bytes(), &result))
	assert.GreaterOrEqual(t, result.Makespan, int32(43))
}

func TestSolve_RefusesWithTheReason(t *testing.T) {
	t.Parallel()
	broken := filepath.Join(t.TempDir(), "broken.sm")
	require.NoError(t, os.WriteFile(broken, []byte("jobs (incl. supersource/sink ): x\n"), 0o600))
	cases := []struct {
		name string
		args []string
		want string
	}{
		{"no file", nil, "want 1 file names, got 0"},
		{"absent file", []string{"absent.sm"}, "absent.sm: no such file"},
		{"broken file", []string{broken}, "line 1: \"jobs (incl. supersource/sink )\" is \"x\""},
		{"no instance", []string{filepath.Join("..", "..", "go.mod")}, "give a single-mode file of the library"},
		{"bounds for a file", []string{publishedInstance, "--best", "best.csv"}, "--best and --only are for a directory"},
		{"pattern for a file", []string{publishedInstance, "--only", "j30*"}, "--best and --only are for a directory"},
		{"directory without bounds", []string{t.TempDir()}, "a directory needs --best"},
		{"no workers", []string{"--workers", "0", publishedInstance}, "--workers 0"},
		{"negative count", []string{"--schedules", "-1", publishedInstance}, "--schedules is -1"},
		{"unknown flag", []string{"--fast", publishedInstance}, "-fast"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var stdout, stderr bytes.Buffer
			assert.Equal(t, exitUsage, runSolve(t.Context(), c.args, &stdout, &stderr))
			assert.Empty(t, stdout.String())
			assert.Contains(t, stderr.String(), c.want)
		})
	}
}

// setOf lays out a directory with copies of the published instance and a table of bounds for them.
func setOf(t *testing.T, bounds map[string]string) (dir, best string) {
	t.Helper()
	dir = t.TempDir()
	text, err := os.ReadFile(publishedInstance)
	require.NoError(t, err)
	table := "instance,lower_bound,upper_bound\n"
	for name, row := range bounds {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name+".sm"), text, 0o600))
		table += name + "," + row + "\n"
	}
	best = filepath.Join(t.TempDir(), "best.csv")
	require.NoError(t, os.WriteFile(best, []byte(table), 0o600))
	return dir, best
}

// With the optimum 43 against the bounds 43 and 40 the deviations are 0 and 7.5 %; from the critical path 38 both are
// 13.158 %.
func TestSolveSet_PrintsDeviationsFromCriticalPathAndBest(t *testing.T) {
	t.Parallel()
	dir, best := setOf(t, map[string]string{"a_1": "43,43", "a_2": "38,40", "b_1": "43,43"})
	for _, workers := range []string{"1", "2"} {
		var stdout, stderr bytes.Buffer
		args := []string{dir, "--best", best, "--schedules", "3000", "--only", "a_*.sm", "--workers", workers}
		require.Equal(t, exitDone, runSolve(t.Context(), args, &stdout, &stderr), stderr.String())
		lines := map[string]string{}
		for line := range strings.Lines(stdout.String()) {
			name, value, _ := strings.Cut(line, "  ")
			lines[name] = strings.TrimSpace(value)
		}
		assert.Equal(t, "2", lines["instances"])
		assert.Equal(t, "13.158 %", lines["average from critical path"])
		assert.Equal(t, "3.750 %", lines["average from best known"])
		assert.Equal(t, "1", lines["at best known"])
		assert.Equal(t, "a_2 43/40 (+7.50 %), a_1 43/43 (+0.00 %)", lines["worst five"])
		assert.Equal(t, "3000 schedules", lines["limits per instance"])
	}
}

func TestSolveSet_RefusesAMakespanBelowAPublishedLowerBound(t *testing.T) {
	t.Parallel()
	dir, best := setOf(t, map[string]string{"a_1": "44,45"})
	var stdout, stderr bytes.Buffer
	assert.Equal(t, exitFailed, runSolve(t.Context(), []string{dir, "--best", best, "--schedules", "3000"}, &stdout, &stderr))
	assert.Contains(t, stderr.String(), "makespan 43 is below the published lower bound 44")
}

func TestSolveSet_RefusesFaultyBounds(t *testing.T) {
	t.Parallel()
	for row, want := range map[string]string{
		"43,x":  `bounds "43" and "x" are not whole numbers from 0 on in order`,
		"44,43": `bounds "44" and "43" are not whole numbers from 0 on in order`,
	} {
		dir, best := setOf(t, map[string]string{"a_1": row})
		var stdout, stderr bytes.Buffer
		assert.Equal(t, exitUsage, runSolve(t.Context(), []string{dir, "--best", best}, &stdout, &stderr))
		assert.Contains(t, stderr.String(), want)
	}
}

// Nothing is solved when something is wrong with the set, and all of it is told: what cannot be read, what has no bounds, and rows.
func TestSolveSet_TellsEveryFaultBeforeItSolves(t *testing.T) {
	t.Parallel()
	dir, best := setOf(t, map[string]string{"a_1": "43,43", "a_2": "43,43"})
	require.NoError(t, os.WriteFile(filepath.Join(dir, "b_1.sm"), []byte("jobs (incl. supersource/sink ): x\n"), 0o600))
	require.NoError(t, os.WriteFile(best, []byte("instance,lower_bound,upper_bound\na_1,43,43\n"), 0o600))
	var stdout, stderr bytes.Buffer
	assert.Equal(t, exitUsage, runSolve(t.Context(), []string{dir, "--best", best, "--schedules", "1000000000"}, &stdout, &stderr))
	assert.Empty(t, stdout.String())
	for _, want := range []string{
		"no row for instance a_2: add one, or leave the file out by --only", "no row for instance b_1", "b_1.sm cannot be read",
	} {
		assert.Contains(t, stderr.String(), want)
	}

	require.NoError(t, os.WriteFile(best, []byte("instance,lower_bound,upper_bound\na_1,43\na_2,43,43\na_2,43,43\nb_1,-1,2\n"), 0o600))
	stderr.Reset()
	assert.Equal(t, exitUsage, runSolve(t.Context(), []string{dir, "--best", best}, &stdout, &stderr))
	for _, want := range []string{"row 2: 2 columns, want", "row 4: instance a_2 is listed twice", `row 5: bounds "-1" and "2"`} {
		assert.Contains(t, stderr.String(), want)
	}
}

func TestSolveSet_StopsWhenInterrupted(t *testing.T) {
	t.Parallel()
	dir, best := setOf(t, map[string]string{"a_1": "43,43"})
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	var stdout, stderr bytes.Buffer
	assert.Equal(t, exitFailed, runSolve(ctx, []string{dir, "--best", best}, &stdout, &stderr))
	assert.Contains(t, stderr.String(), "not solved")
}
