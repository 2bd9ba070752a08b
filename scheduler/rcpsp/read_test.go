package rcpsp

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRead_TakesEveryNumberOfAPublishedFile(t *testing.T) {
	t.Parallel()
	in := readTestInstance(t)
	assert.Equal(t, 32, in.Jobs())
	assert.Equal(t, []int32{12, 13, 4, 12}, in.Capacity)
	assert.Equal(t, int32(8), in.Duration[1])
	assert.Equal(t, []int32{4, 0, 0, 0}, in.Request[4:8])
	assert.Equal(t, []int32{5, 10, 14}, in.Successors(1), "jobs 6, 11 and 15 of the file")
	assert.Equal(t, []int32{28, 29, 30}, in.Predecessors(31), "jobs 29, 30 and 31 of the file")
	horizon := int32(0)
	for _, d := range in.Duration {
		horizon += d
	}
	assert.Equal(t, int32(158), horizon, "the horizon printed in the file's header is the sum of all durations")
	assert.Equal(t, int32(38), in.CriticalPath(), "the MPM time printed in the file")
}

func testFile(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "j301_1.sm"))
	require.NoError(t, err)
	return string(text)
}

func TestRead_RefusesWithTheLine(t *testing.T) {
	t.Parallel()
	cases := []struct{ name, old, new, want string }{
		{"unknown successor", "   5        1          1          20", "   5        1          1          40", "line 23: job 5: successor 40 does not exist, jobs run from 1 to 32"},
		{"backward successor", "   5        1          1          20", "   5        1          1          4", "line 23: job 5: successor 4 does not have a higher number"},
		{"successor twice", "   5        1          1          20", "   5        1          2          20 20", "line 23: job 5: successor 20 is listed twice"},
		{"wrong successor count", "   5        1          1          20", "   5        1          2          20", "line 23: 4 numbers, wanted 5"},
		{"no successor", "   5        1          1          20", "   5        1          0", "line 23: job 5: no successor; only the sink, job 32, may have none"},
		{"no predecessor", "   1        1          3           2   3   4", "   1        1          2           2   3", "line 22: job 4: no predecessor; only the source, job 1, may have none"},
		{"two modes", "   5        1          1          20", "   5        2          1          20", "line 23: job 5: 2 modes or mode 2, only a single mode 1 is read"},
		{"jobs out of order", "   5        1          1          20", "   6        1          1          20", "line 23: job number 6, wanted 5"},
		{"not a number", "  5      1     3       3    0    0    0", "  5      1     x       3    0    0    0", "line 59: \"x\" is not a whole number from 0 to 1073741824"},
		{"negative request", "  5      1     3       3    0    0    0", "  5      1     3       -3    0    0    0", "line 59: \"-3\" is not a whole number from 0 to 1073741824"},
		{"more than the capacity", "  5      1     3       3    0    0    0", "  5      1     3       0    0    5    0", "line 59: job 5 asks for 5 units of resource 3, which has 4"},
		{"dummy with a duration", "  1      1     0       0    0    0    0", "  1      1     1       0    0    0    0", "line 55: job 1 is a dummy and needs duration 0, got 1"},
		{"too few capacities", "   12   13    4   12", "   12   13    4", "line 90: 3 capacities for 4 resources"},
		{"consumable resource", "nonrenewable              :  0", "nonrenewable              :  1", "line 10: \"- nonrenewable\" is \"1\", wanted a whole number from 0 to 0"},
		{"no jobs", "):  32", "):  ", "line 6: no number after \"jobs (incl. supersource/sink )\""},
		{"missing section", "REQUESTS/DURATIONS:", "REQUESTS", "no section \"REQUESTS/DURATIONS:\""},
		{"job missing", " 32      1     0       0    0    0    0\n", "", "section \"REQUESTS/DURATIONS:\" has 31 lines of data, wanted 32"},
		{"section twice", "REQUESTS/DURATIONS:", "PRECEDENCE RELATIONS:", "line 52: section \"PRECEDENCE RELATIONS:\" is given twice"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			text := testFile(t)
			require.Equal(t, 1, strings.Count(text, c.old), "the text to replace must be there once")
			_, err := Read(strings.NewReader(strings.Replace(text, c.old, c.new, 1)))
			var fault *ReadError
			require.ErrorAs(t, err, &fault)
			assert.Contains(t, strings.Split(err.Error(), "\n"), c.want)
		})
	}
}

func TestRead_ReportsAllFaultsInOrderOfLines(t *testing.T) {
	t.Parallel()
	text := testFile(t)
	for _, change := range [][2]string{
		{"   5        1          1          20", "   5        1          1          40"},
		{"  5      1     3       3    0    0    0", "  5      1     x       y    0    0    0"},
		{"   12   13    4   12", "   12   13    4   -1"},
	} {
		text = strings.Replace(text, change[0], change[1], 1)
	}
	_, err := Read(strings.NewReader(text))
	var fault *ReadError
	require.ErrorAs(t, err, &fault)
	var lines []int
	for _, f := range fault.Faults {
		lines = append(lines, f.Line)
	}
	assert.Equal(t, []int{23, 59, 59, 90}, lines)
}

type brokenSource struct{}

func (brokenSource) Read([]byte) (int, error) { return 0, errors.New("disk on fire") }

func TestRead_PassesOnAReadFault(t *testing.T) {
	t.Parallel()
	_, err := Read(brokenSource{})
	assert.ErrorContains(t, err, "disk on fire")
}

func TestNewInstance_RefusesAllFaultsAtOnce(t *testing.T) {
	t.Parallel()
	_, err := NewInstance([]int32{1, -2, 0}, []int32{2}, [][]int32{{0}, {3}, {0, 0}}, [][]int32{{1}, {1, 7}, nil})
	require.Error(t, err)
	for _, want := range []string{
		"job 2: negative duration -2",
		"job 2: asks for 3 units of resource 1, which has 2",
		"job 3: 2 requests for 1 resources",
		"jobs 1 and 3 are the dummy source and sink and need duration 0, got 1 and 0",
		"job 2: successor 2 does not have a higher number",
		"job 2: successor 8 does not exist, jobs run from 1 to 3",
		"job 3: no predecessor; only the source, job 1, may have none",
	} {
		assert.Contains(t, strings.Split(err.Error(), "\n"), want)
	}
}

// write prints an instance in the file format, to check that what is accepted survives a round.
func write(in *Instance) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s:  %d\n%s: %d R\n%s: 0 N\n%s: 0 D\n****\n%s\njobnr. #modes #successors successors\n",
		jobsLabel, in.Jobs(), renewableLabel, len(in.Capacity), nonrenewable, doublyLabel, relationsHeading)
	for job := range in.Jobs() {
		fmt.Fprintf(&b, "%d 1 %d", job+1, len(in.Successors(job)))
		for _, next := range in.Successors(job) {
			fmt.Fprintf(&b, " %d", next+1)
		}
		b.WriteByte('\n')
	}
	fmt.Fprintf(&b, "****\n%s\njobnr. mode duration units\n----\n", requestsHeading)
	for job := range in.Jobs() {
		fmt.Fprintf(&b, "%d 1 %d %s\n", job+1, in.Duration[job], strings.Trim(fmt.Sprint(in.units(int32(job))), "[]"))
	}
	fmt.Fprintf(&b, "****\n%s\nR 1\n%s\n****\n", capacitiesHeading, strings.Trim(fmt.Sprint(in.Capacity), "[]"))
	return b.Bytes()
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(testFile(f)))
	f.Add([]byte("jobs (incl. supersource/sink ): 2\n- renewable: 1\n- nonrenewable: 0\n- doubly constrained: 0\n****\n" +
		"PRECEDENCE RELATIONS:\nt\n1 1 1 2\n2 1 0\n****\nREQUESTS/DURATIONS:\nt\n-\n1 1 0 0\n2 1 0 0\n****\nRESOURCEAVAILABILITIES:\nR 1\n3\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		in, err := Read(bytes.NewReader(text))
		if err != nil {
			return
		}
		again, err := Read(bytes.NewReader(write(in)))
		require.NoError(t, err)
		require.Equal(t, in, again)
	})
}
