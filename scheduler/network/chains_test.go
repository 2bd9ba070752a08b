package network_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// The network of CPM-1 in testdata: total floats A 0, B 9, C 0, D 11, E 1, F 0, G 1, H 4, I 0.
func hendrickson() *builder {
	b := newBuilder()
	for _, task := range []struct {
		id      string
		minutes int
		after   []string
	}{
		{"A", 4, nil},
		{"B", 3, nil},
		{"C", 8, []string{"A"}},
		{"D", 7, []string{"A"}},
		{"E", 9, []string{"B", "C"}},
		{"F", 12, []string{"B", "C"}},
		{"G", 2, []string{"D", "E"}},
		{"H", 5, []string{"D", "E"}},
		{"I", 6, []string{"F", "G"}},
	} {
		b.fixed(task.id, task.minutes)
		for _, from := range task.after {
			b.link(from, task.id)
		}
	}
	return b
}

func TestNearCriticalChains_LeastFloatFirstEachTaskOnce(t *testing.T) {
	t.Parallel()
	r := compute(t, hendrickson())
	describe := func(within calendar.WorkMinutes) (list [][]string) {
		for _, chain := range r.w.NearCriticalChains(within) {
			list = append(list, ids(r.w.Compiled(), chain.Tasks))
		}
		return list
	}
	require.Equal(t, [][]string{{"A", "C", "F", "I"}}, describe(0))
	require.Equal(t, [][]string{{"A", "C", "F", "I"}, {"E", "G"}}, describe(1))
	require.Equal(t, [][]string{{"A", "C", "F", "I"}, {"B", "E", "G"}, {"H"}}, describe(9))
	require.Equal(t, [][]string{{"A", "C", "F", "I"}, {"B", "E", "G"}, {"D", "H"}}, describe(11))
	// B has nine minutes to spare before E, whose other predecessor is taken.
	require.Equal(t, calendar.WorkMinutes(4), r.w.NearCriticalChains(11)[2].Float)
	require.Empty(t, r.w.NearCriticalChains(-1))
}

func TestNearCriticalChains_CoverTheNearCriticalTasksAndFollowLinks(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := mustCompile(t, drawProblem(t))
		var w network.Workspace
		d := w.Compute(c)
		within := calendar.WorkMinutes(rapid.IntRange(-20, 100).Draw(t, "within"))
		seen := make([]bool, c.Tasks())
		last := calendar.WorkMinutes(-1 << 40)
		for _, chain := range w.NearCriticalChains(within) {
			require.GreaterOrEqual(t, chain.Float, last)
			last = chain.Float
			least := within
			for i, task := range chain.Tasks {
				require.False(t, seen[task])
				seen[task] = true
				least = min(least, d.TotalFloat[task])
				require.True(t, i == 0 || slices.ContainsFunc(c.Incoming(task), func(l network.Link) bool {
					return l.From == chain.Tasks[i-1]
				}))
			}
			require.Equal(t, least, chain.Float)
		}
		for task := range network.TaskIndex(c.Tasks()) {
			require.Equal(t, d.NearCritical(task, within), seen[task])
		}
	})
}

func TestDrivingChain_EndsWithTheTask(t *testing.T) {
	t.Parallel()
	r := compute(t, hendrickson())
	require.Equal(t, []string{"A", "C", "E", "G"}, ids(r.w.Compiled(), r.w.DrivingChain(r.index("G"))))
	require.Equal(t, []string{"A", "C", "F", "I"}, ids(r.w.Compiled(), r.w.LongestPath()))
}

// GAO-16-89G, practice 2, asks of every activity a predecessor that drives its start and a successor that waits for its
// finish.
func TestDanglingTasks_NameTheOpenSide(t *testing.T) {
	t.Parallel()
	b := newBuilder().fixed("first", 1).fixed("only FF in", 1).fixed("only SS out", 1).fixed("last", 1).fixed("dated", 1)
	b.fixed("done", 1).finished("done", "mon 00:00", "mon 00:00")
	b.relate("first", "only FF in", "FF", 0, "always").link("only FF in", "last")
	b.link("first", "only SS out").relate("only SS out", "last", "SS", 0, "always").link("last", "dated")
	date := mustClock("tue 00:00")
	b.task("dated").Deadline = &date
	b.link("dated", "done") // a link into finished work still ties
	c := compiled(t, b)
	require.Equal(t, []network.Dangling{
		{Task: 0, NoPredecessor: true},
		{Task: 1, OpenStart: true},
		{Task: 2, OpenFinish: true},
	}, c.DanglingTasks())
}
