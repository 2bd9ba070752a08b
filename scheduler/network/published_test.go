package network_test

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// Each file of testdata names its source in its first lines. A line holds a task, its length, its predecessors and the
// published dates and floats, all in minutes from the data date; a dot is a figure that the source does not give.
func TestCompute_EqualsPublishedExamples(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("testdata/cpm_*.txt")
	require.NoError(t, err)
	require.Len(t, files, 9)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			t.Parallel()
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			checkPublished(t, string(text))
		})
	}
}

func checkPublished(t *testing.T, text string) {
	b := newBuilder()
	want := make(map[string][]string)
	for line := range strings.Lines(text) {
		fields := strings.Fields(line)
		if fields[0] == "#" {
			continue
		}
		require.Len(t, fields, 9, "line %q", line)
		minutes, err := strconv.Atoi(fields[1])
		require.NoError(t, err)
		b.fixed(fields[0], minutes)
		if fields[2] != "-" {
			for _, predecessor := range strings.Split(fields[2], ",") {
				addPublishedLink(t, b, predecessor, fields[0])
			}
		}
		want[fields[0]] = fields[3:]
	}
	var w network.Workspace
	c := compiled(t, b)
	d := w.Compute(c)
	for i := range network.TaskIndex(c.Tasks()) {
		got := []calendar.Instant{
			d.EarlyStart(i) - c.DataDate, d.EarlyFinish[i] - c.DataDate, d.LateStart(i) - c.DataDate, d.LateFinish[i] - c.DataDate,
			calendar.Instant(d.TotalFloat[i]), calendar.Instant(d.FreeFloat[i]),
		}
		for k, name := range []string{"early start", "early finish", "late start", "late finish", "total float", "free float"} {
			if figure := want[c.ID(i)][k]; figure != "." {
				require.Equal(t, figure, strconv.Itoa(int(got[k])), "%s of %s", name, c.ID(i))
			}
		}
		require.Equal(t, d.TotalFloat[i] == 0, d.Critical(i))
	}
}

// addPublishedLink reads "B", "B:SS" or "B:FS+3".
func addPublishedLink(t *testing.T, b *builder, text, to string) {
	from, relation, ok := strings.Cut(text, ":")
	if !ok {
		b.link(from, to)
		return
	}
	lag := 0
	if len(relation) > 2 {
		var err error
		lag, err = strconv.Atoi(relation[2:])
		require.NoError(t, err)
	}
	b.relate(from, to, problem.LinkType(relation[:2]), lag, problem.Always)
}

// The construction-scheduling sample of buildingSMART for ISO 16739 (construction-scheduling-task.ifc): a slab and four
// walls in a row, 8 hours each on a calendar of Monday to Friday 08:00-16:00 from Monday 2010-09-20. All are critical.
func TestCompute_EqualsTheOpenStandardsCalendarExample(t *testing.T) {
	t.Parallel()
	b := newBuilder().week("site", "08:00-16:00")
	b.p.DataDate = time.Date(2010, 9, 20, 0, 0, 0, 0, time.UTC)
	names := []string{"Slab #1", "Wall #1", "Wall #2", "Wall #3", "Wall #4"}
	for i, name := range names {
		b.fixedOn(name, 8*60, "site")
		if i > 0 {
			b.link(names[i-1], name)
		}
		if i > 1 {
			b.link(names[0], name)
		}
	}
	var w network.Workspace
	c := compiled(t, b)
	d := w.Compute(c)
	for i := range network.TaskIndex(c.Tasks()) {
		day := time.Date(2010, 9, 20+int(i), 0, 0, 0, 0, time.UTC)
		require.Equal(t, day.Add(8*time.Hour), d.EarlyStart(i).Time())
		require.Equal(t, day.Add(16*time.Hour), d.EarlyFinish[i].Time())
		require.Equal(t, day.Add(8*time.Hour), d.LateStart(i).Time())
		require.Equal(t, day.Add(16*time.Hour), d.LateFinish[i].Time())
		require.True(t, d.Critical(i))
	}
	require.Equal(t, names, ids(c, w.LongestPath()))
}
