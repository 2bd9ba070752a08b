package network_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// drawChange changes one task in both workspaces.
func drawChange(t *rapid.T, c *network.Compiled, workspaces ...*network.Workspace) {
	task := network.TaskIndex(rapid.IntRange(0, c.Tasks()-1).Draw(t, "task"))
	options := len(c.Options(task))
	if options == 0 || rapid.Bool().Draw(t, "release") {
		at := c.DataDate + calendar.Instant(rapid.IntRange(-20, 300).Draw(t, "at"))
		for _, w := range workspaces {
			w.SetRelease(task, at)
		}
		return
	}
	k := rapid.IntRange(0, options-1).Draw(t, "option")
	minutes := calendar.WorkMinutes(rapid.IntRange(0, 80).Draw(t, "minutes"))
	for _, w := range workspaces {
		w.SetMinutes(task, k, minutes)
	}
}

func TestUpdate_EqualsAFullComputation(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := mustCompile(t, drawProblem(t))
		var w, full network.Workspace
		w.Compute(c)
		full.Compute(c)
		for range rapid.IntRange(1, 4).Draw(t, "rounds") {
			for range rapid.IntRange(1, 3).Draw(t, "changes") {
				drawChange(t, c, &w, &full)
			}
			got, want := w.Update(), full.Recompute()
			require.Equal(t, snapshot(want), snapshot(got))
			require.Equal(t, want.Choice, got.Choice)
			require.Equal(t, want.TotalFloat, got.TotalFloat)
			require.Equal(t, want.FreeFloat, got.FreeFloat)
			require.Equal(t, want.ProjectFinish, got.ProjectFinish)
		}
		require.Equal(t, snapshot(full.Compute(c)), snapshot(w.Compute(c)), "computing anew forgets the changes")
	})
}

func TestUpdate_ExtendsTheHorizonLikeAFullComputation(t *testing.T) {
	t.Parallel()
	b := newBuilder().fixed("a", 60).fixed("b", 60).link("a", "b")
	r := compute(t, b)
	const years = 30 * 366 * 1440
	r.w.SetMinutes(0, 0, years)
	r.w.Update()
	require.Equal(t, r.w.Compiled().DataDate+years+60, r.ProjectFinish)
	r.w.SetMinutes(0, 0, 60)
	r.w.Update()
	r.early("b", "mon 01:00", "mon 02:00")
}

func TestUpdate_WithoutAChangeChangesNothing(t *testing.T) {
	t.Parallel()
	r := compute(t, newBuilder().fixed("a", 60))
	r.w.Update()
	r.early("a", "mon 00:00", "mon 01:00")
}

// A float is a promise: a task may begin that much later and the date is met, and not a minute more.
func TestFloatsTo_SaysHowFarATaskMaySlip(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		for i := range p.Tasks { // with a choice of crews a later start can suit another crew
			if task := &p.Tasks[i]; task.LabourMinutes != nil {
				task.DurationMinutes, task.LabourMinutes, task.Calendar = task.LabourMinutes, nil, p.Calendars[0].ID
			}
		}
		if len(p.GCDates) == 0 {
			return
		}
		c := mustCompile(t, p)
		var w network.Workspace
		d := w.Compute(c)
		floats := w.FloatsTo(0, nil)
		for i := range network.TaskIndex(c.Tasks()) {
			require.LessOrEqual(t, d.TotalFloat[i], floats[i], "the project has other dates besides")
		}
		task := network.TaskIndex(rapid.IntRange(0, c.Tasks()-1).Draw(t, "slips"))
		float, slack := floats[task], calendar.ElapsedMinutes(0)
		if slack, _ = d.GCDateFloat(0); float == network.NoFloat || slack < 0 || c.Options(task)[0].Minutes == 0 {
			return
		}
		require.GreaterOrEqual(t, float, calendar.WorkMinutes(0))
		own := c.Calendars[c.Options(task)[0].Calendar]
		begin := own.Position(d.EarlyBegin[task])
		w.SetRelease(task, own.LastAt(begin+float))
		slack, ok := w.Update().GCDateFloat(0)
		require.True(t, ok)
		require.GreaterOrEqual(t, slack, calendar.ElapsedMinutes(0), "task %d may slip by %d", task, float)
		w.SetRelease(task, own.LastAt(begin+float+1))
		slack, _ = w.Update().GCDateFloat(0)
		require.Less(t, slack, calendar.ElapsedMinutes(0), "task %d may not slip by %d", task, float+1)
	})
}

func TestWorkspace_AllocatesNothingWhenUsedAgain(t *testing.T) {
	// Not parallel: the runtime counts the allocations of the whole process.
	b := weekBuilder()
	b.crew("Ash", 2, nil).crew("Birch", 3, nil)
	for i := range 50 {
		id := string(rune('a'+i%26)) + string(rune('a'+i/26))
		b.crewTask(id, 100+i, nil)
		if i > 2 {
			b.relate(b.p.Tasks[i-3].ID, id, "SS", 30, "week").link(b.p.Tasks[i-2].ID, id)
		}
	}
	var w network.Workspace
	c := compiled(t, b)
	w.Compute(c)
	require.Zero(t, testing.AllocsPerRun(10, func() { w.Compute(c) }))

	at := c.DataDate
	w.SetRelease(5, at)
	w.Update()
	require.Zero(t, testing.AllocsPerRun(10, func() {
		at += 60
		w.SetRelease(5, at)
		w.SetMinutes(7, 0, calendar.WorkMinutes(at-c.DataDate))
		w.Update()
	}))
	list := make([]network.LinkIndex, 0, 8)
	require.Zero(t, testing.AllocsPerRun(10, func() { list = w.DrivingLinks(list[:0], 49) }))
}
