package network_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

func TestStatus_LetRunAndKeepOrder(t *testing.T) {
	t.Parallel()
	build := func(policy problem.OutOfOrder) *builder {
		b := weekBuilder().fixedOn("frame", 480, "week").fixedOn("glaze", 300, "week").fixedOn("hang", 60, "week")
		b.p.OutOfOrder = policy
		b.p.DataDate = mustClock("mon 12:00")
		b.status("glaze", "mon 07:00", 120)
		b.link("frame", "glaze").link("glaze", "hang").relate("glaze", "frame 2", problem.StartToStart, 0, problem.Always)
		return b.fixedOn("frame 2", 60, "week")
	}
	r := compute(t, build(problem.LetRun))
	r.early("frame", "mon 12:00", "tue 12:00")
	r.early("glaze", "mon 07:00", "mon 14:00") // its remaining two hours run from the data date
	r.early("hang", "mon 14:00", "mon 15:00")
	r.early("frame 2", "mon 12:00", "mon 13:00") // linked from a start that has happened, but not before the data date
	require.Equal(t, mustClock("mon 12:00"), r.EarlyBegin[r.index("glaze")].Time())
	require.Empty(t, r.drivers("glaze"))

	r = compute(t, build(problem.KeepOrder))
	r.early("glaze", "mon 07:00", "tue 14:00") // the rest waits for the frame
	require.Equal(t, mustClock("tue 12:00"), r.EarlyBegin[r.index("glaze")].Time())
	r.early("hang", "tue 14:00", "tue 15:00")
	require.Equal(t, []string{"frame"}, r.drivers("glaze"))
	r.late("frame", "mon 12:00", "tue 12:00")
	r.late("glaze", "mon 07:00", "tue 14:00")
	require.True(t, r.Critical(r.index("glaze")))

	out := r.w.Compiled().OutOfOrder()
	require.Len(t, out, 1)
	require.Equal(t, r.index("frame"), out[0].From)
	require.Equal(t, r.index("glaze"), out[0].To)
}

func TestStatus_FinishedWorkKeepsItsDatesAndHasNoFloat(t *testing.T) {
	t.Parallel()
	b := weekBuilder().fixedOn("frame", 480, "week").fixedOn("glaze", 60, "week").fixedOn("tail", 960, "week")
	b.p.DataDate = mustClock("tue 12:00")
	b.finished("frame", "mon 07:00", "tue 11:30").link("frame", "glaze")
	r := compute(t, b)
	r.early("frame", "mon 07:00", "tue 11:30")
	r.late("frame", "mon 07:00", "tue 11:30")
	r.floats("frame", 0, 0)
	require.False(t, r.Critical(r.index("frame")))
	r.early("glaze", "tue 12:00", "tue 13:00")
	require.Empty(t, r.drivers("glaze"), "what ended before the data date drives nothing")
}

func TestOutOfOrder_LooksAtTheEndsThatALinkJoins(t *testing.T) {
	t.Parallel()
	b := newBuilder().fixed("a", 60).fixed("b", 60).fixed("c", 60)
	b.p.DataDate = mustClock("tue 00:00")
	b.finished("a", "mon 08:00", "mon 10:00").finished("b", "mon 09:00", "mon 12:00").status("c", "mon 09:00", 30)
	b.link("a", "b")                                                // b did not wait for a's finish
	b.relate("a", "b", problem.StartToStart, 60, problem.Always)    // but for its start
	b.relate("b", "c", problem.FinishToFinish, 0, problem.Always)   // c has not finished yet
	b.relate("a", "c", problem.StartToStart, 2*60, problem.Always)  // c started an hour early
	b.relate("a", "b", problem.FinishToFinish, 60, problem.Always)  // kept
	b.relate("a", "b", problem.StartToFinish, 5*60, problem.Always) // b finished an hour early
	list := compiled(t, b).OutOfOrder()
	require.Len(t, list, 3)
	require.Equal(t, network.FinishToStart, list[0].Relation)
	require.Equal(t, network.StartToFinish, list[1].Relation)
	require.Equal(t, network.StartToStart, list[2].Relation)
}
