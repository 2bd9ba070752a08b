package crewing_test

import (
	"archive/tar"
	"bufio"
	"compress/gzip"
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
	"jambwright/testdata"
)

// Multi-skill project scheduling instances of Myszkowski, Skowroński, Olech and Oślizło, "Hybrid ant colony optimization in
// solving multi-skill resource-constrained project scheduling problem", Soft Computing (2015): each task needs one skill
// at a level and is done by exactly one resource. The bounds beside them were computed (critical path, workload), and the
// upper ones by a plain search: they are no published records.

// sharedData opens a file of the published benchmark sets, which lie outside the repository.
func sharedData(t testing.TB, parts ...string) *os.File {
	file, err := os.Open(testdata.Shared(t, parts...))
	require.NoError(t, err)
	t.Cleanup(func() { file.Close() })
	return file
}

type multiSkillBound struct{ lower, upper int }

func multiSkillBounds(t testing.TB) map[string]multiSkillBound {
	rows, err := csv.NewReader(sharedData(t, "imopse", "imopse-best.csv")).ReadAll()
	require.NoError(t, err)
	bounds := make(map[string]multiSkillBound)
	for _, row := range rows[1:] {
		lower, err := strconv.Atoi(row[7])
		require.NoError(t, err)
		upper, err := strconv.Atoi(row[8])
		require.NoError(t, err)
		bounds[row[0]] = multiSkillBound{lower, upper}
	}
	return bounds
}

// multiSkillProblems reads all instances; a time unit is a minute.
func multiSkillProblems(t testing.TB) map[string]*problem.Problem {
	zipped, err := gzip.NewReader(sharedData(t, "imopse", "imopse.tar.gz"))
	require.NoError(t, err)
	archive := tar.NewReader(zipped)
	problems := make(map[string]*problem.Problem)
	for {
		header, err := archive.Next()
		if err == io.EOF {
			return problems
		}
		require.NoError(t, err)
		if name, ok := strings.CutSuffix(filepath.Base(header.Name), ".def"); ok {
			problems[name] = readMultiSkill(t, archive)
		}
	}
}

func readMultiSkill(t testing.TB, from io.Reader) *problem.Problem {
	p := &problem.Problem{
		Version: problem.Version, Zone: "UTC", DataDate: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC),
		Weights: &problem.Weights{Early: 1},
	}
	section := ""
	for lines := bufio.NewScanner(from); lines.Scan(); {
		fields := strings.Fields(lines.Text())
		switch {
		case len(fields) == 0:
		case fields[0] == "ResourceID" || fields[0] == "TaskID":
			section = fields[0]
		case strings.HasPrefix(fields[0], "="):
			section = ""
		case section == "ResourceID":
			p.Crews = append(p.Crews, problem.Crew{
				ID: fields[0], Heads: 1, Calendar: problem.Always, Skills: levels(t, fields[2:]),
			})
		case section == "TaskID":
			duration, err := strconv.Atoi(fields[1])
			require.NoError(t, err)
			p.Tasks = append(p.Tasks, problem.Task{ID: fields[0], Kind: fields[2] + fields[3], LabourMinutes: &duration})
			for _, from := range fields[4:] {
				p.Links = append(p.Links, problem.Link{From: from, To: fields[0]})
			}
		}
	}
	return p
}

// levels turns "Q3: 2" into the kinds of work Q3:0, Q3:1 and Q3:2.
func levels(t testing.TB, fields []string) (kinds []string) {
	for i := 0; i+1 < len(fields); i += 2 {
		top, err := strconv.Atoi(fields[i+1])
		require.NoError(t, err)
		for level := range top + 1 {
			kinds = append(kinds, fmt.Sprintf("%s%d", fields[i], level))
		}
	}
	return kinds
}

func TestSearch_MultiSkillInstancesLieNearTheirBounds(t *testing.T) {
	t.Parallel()
	schedules, near := 20_000, 0.01
	if testing.Short() {
		schedules, near = 200, 0.03
	}
	bounds := multiSkillBounds(t)
	sum := 0.0
	for name, p := range multiSkillProblems(t) {
		compiled, err := network.Compile(p)
		require.NoError(t, err)
		m := crewing.NewModel(compiled)
		var passes network.Workspace
		found := crewing.Search(m, passes.Compute(compiled), crewing.SearchOptions{Schedules: schedules})
		makespan := int(found.Schedule.Score.Makespan - calendar.FromTime(p.DataDate))
		b := bounds[name]
		t.Logf("%-16s %4d  lower %4d  upper %4d  own bound %4d, %s after %d", name, makespan, b.lower, b.upper,
			found.Bound.Makespan-calendar.FromTime(p.DataDate), found.StoppedBy, found.Schedules)
		require.GreaterOrEqual(t, makespan, b.lower)
		sum += float64(makespan-b.lower) / float64(b.lower)
	}
	require.Less(t, sum/float64(len(bounds)), near, "the average distance from the lower bounds has grown")
	t.Logf("on average %.3f %% above the lower bound", 100*sum/float64(len(bounds)))
}
