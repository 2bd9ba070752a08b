package rcpsp

import (
	"archive/tar"
	"compress/gzip"
	"encoding/csv"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/testdata"
)

// The public instances with 30, 60 and 120 jobs and the best bounds published for them: R. Kolisch and A. Sprecher,
// "PSPLIB - a project scheduling problem library", European Journal of Operational Research 96 (1996). They are not part
// of the repository; the tests look for a folder psplib with j30.tar.gz, j30-best.csv and so on.

// publishedCase is one instance with the best bounds published for its makespan.
type publishedCase struct {
	name         string
	in           *Instance
	lower, upper int32
}

// loadSet reads the instances of a set whose replication number, the one after the underscore, is wanted.
func loadSet(tb testing.TB, set string, replications ...int) []publishedCase {
	tb.Helper()
	folder := testdata.Shared(tb, "psplib")
	bounds := readBounds(tb, filepath.Join(folder, set+"-best.csv"))
	file, err := os.Open(filepath.Join(folder, set+".tar.gz"))
	require.NoError(tb, err)
	defer file.Close()
	unzipped, err := gzip.NewReader(file)
	require.NoError(tb, err)
	var cases []publishedCase
	for archive := tar.NewReader(unzipped); ; {
		entry, err := archive.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(tb, err)
		name, isInstance := strings.CutSuffix(filepath.Base(entry.Name), ".sm")
		_, digits, _ := strings.Cut(name, "_")
		replication, err := strconv.Atoi(digits)
		if !isInstance || err != nil || !slices.Contains(replications, replication) {
			continue
		}
		in, err := Read(archive)
		require.NoError(tb, err, name)
		bound, found := bounds[name]
		require.True(tb, found, "no bounds for %s", name)
		cases = append(cases, publishedCase{name, in, bound[0], bound[1]})
	}
	require.NotEmpty(tb, cases)
	slices.SortFunc(cases, func(a, b publishedCase) int { return strings.Compare(a.name, b.name) })
	return cases
}

func readBounds(tb testing.TB, path string) map[string][2]int32 {
	tb.Helper()
	file, err := os.Open(path)
	require.NoError(tb, err)
	defer file.Close()
	table, err := csv.NewReader(file).ReadAll()
	require.NoError(tb, err)
	bounds := map[string][2]int32{}
	for _, row := range table[1:] {
		lower, err := strconv.ParseInt(row[1], 10, 32)
		require.NoError(tb, err, row)
		upper, err := strconv.ParseInt(row[2], 10, 32)
		require.NoError(tb, err, row)
		bounds[row[0]] = [2]int32{int32(lower), int32(upper)}
	}
	return bounds
}

func TestSolve_AgreesWithThePublishedBounds(t *testing.T) {
	t.Parallel()
	for _, set := range []string{"j30", "j60", "j120"} {
		t.Run(set, func(t *testing.T) {
			t.Parallel()
			for _, c := range loadSet(t, set, 5) {
				result, err := Solve(c.in, Options{Schedules: 300, Seed: 1})
				require.NoError(t, err)
				assert.Empty(t, violations(c.in, result.Starts, result.Makespan), c.name)
				assert.GreaterOrEqual(t, result.Makespan, c.lower, c.name)
				assert.LessOrEqual(t, result.LowerBound, c.upper, "%s: bound above a published makespan", c.name)
				if result.Proved {
					assert.LessOrEqual(t, result.Makespan, c.upper, "%s: proved, but a shorter schedule is published", c.name)
				}
			}
		})
	}
}

// Every tenth of the instances with 30 jobs: all optima are known, and all must be reached. Most are within some hundred
// schedules; the search is stopped there to keep the test short.
func TestSolve_ReachesTheOptimaOfThirtyJobs(t *testing.T) {
	t.Parallel()
	for _, c := range loadSet(t, "j30", 7) {
		best := int32(math.MaxInt32)
		result, err := Solve(c.in, Options{
			Schedules: 50_000,
			Seed:      1,
			Progress:  func(p Progress) { best = p.Makespan },
			Stop:      func() bool { return best <= c.upper },
		})
		require.NoError(t, err)
		assert.Equal(t, c.upper, result.Makespan, c.name)
	}
}
