package pattern_test

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
)

var update = flag.Bool("update", false, "rewrite the golden networks; read the difference line by line")

// TestBuild_GivesTheGoldenNetworks compares whole problems, written as text, with files that were read line by line.
func TestBuild_GivesTheGoldenNetworks(t *testing.T) {
	t.Parallel()
	for name, firm := range map[string]pattern.Firm{
		"one_front": oneFront(),
		"all_types": testFirm(),
		"trouble":   troubledFirm(),
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p, x, err := pattern.Build(firm)
			require.NoError(t, err)
			got := network(p, x)
			file := filepath.Join("testdata", name+".txt")
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, string(want), got)
		})
	}
}

// oneFront is the test firm with its sliding front only.
func oneFront() pattern.Firm {
	f := testFirm()
	f.Projects[0].Openings = f.Projects[0].Openings[:1]
	f.Projects[0].GCDates = f.Projects[0].GCDates[:1]
	return f
}

// network writes a problem as text: a line a task, a line a link, the dates and the notes.
func network(p *problem.Problem, x *pattern.Index) string {
	var b strings.Builder
	for i := range p.Tasks {
		fmt.Fprintln(&b, taskLine(&p.Tasks[i], &x.Tasks[i]))
	}
	b.WriteString("\n")
	for _, l := range p.Links {
		fmt.Fprintf(&b, "%s -> %s", l.From, l.To)
		if l.LagMinutes != 0 {
			fmt.Fprintf(&b, " +%d on %s", l.LagMinutes, l.Calendar())
		}
		b.WriteString("\n")
	}
	b.WriteString("\n")
	for _, d := range p.GCDates {
		fmt.Fprintf(&b, "gc %s %s %v: %s\n", d.ID, local(d.Date), d.Damages(), strings.Join(d.Tasks, " "))
	}
	for _, n := range x.Notes {
		fmt.Fprintf(&b, "note %s: %s\n", n.Kind, n.Text)
	}
	return b.String()
}

func taskLine(t *problem.Task, e *pattern.Entry) string {
	parts := []string{t.ID, t.Kind}
	add := func(format string, args ...any) { parts = append(parts, fmt.Sprintf(format, args...)) }
	if t.LabourMinutes != nil {
		add("labour %d heads %d", *t.LabourMinutes, t.MinHeads)
	} else {
		add("fixed %d on %s", *t.DurationMinutes, t.Calendar)
	}
	for _, limit := range slices.Sorted(maps.Keys(t.Uses)) {
		add("uses %s", limit)
	}
	if t.NotBefore != nil {
		add("not before %s", local(*t.NotBefore))
	}
	if s := t.Status; s != nil && s.Finished != nil {
		add("finished %s", local(*s.Finished))
	} else if s != nil {
		add("started %s remaining %d", local(s.Started), *s.RemainingMinutes)
	}
	if t.Waits {
		add("waits")
	}
	if e.Gear {
		add("gear")
	}
	if t.NotBeforeCause != "" {
		add("because %q", t.NotBeforeCause)
	}
	return strings.Join(parts, ", ")
}

func local(t time.Time) string {
	zone, _ := time.LoadLocation("America/Chicago")
	return t.In(zone).Format("Mon 2006-01-02 15:04")
}
