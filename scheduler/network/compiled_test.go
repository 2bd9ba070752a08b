package network_test

import (
	"errors"
	"testing"
	_ "time/tzdata" // the tests must not depend on the zone database of the machine

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

func ids(c *network.Compiled, tasks []network.TaskIndex) []string {
	names := make([]string, 0, len(tasks))
	for _, t := range tasks {
		names = append(names, c.ID(t))
	}
	return names
}

func TestCompile_ListsARingInTheOrderOfItsLinks(t *testing.T) {
	t.Parallel()
	b := newBuilder().fixed("a", 1).fixed("b", 1).fixed("c", 1).fixed("d", 1).fixed("e", 1)
	b.link("a", "b").link("b", "c").link("d", "c").link("c", "e").link("c", "b").link("e", "d")
	_, err := network.Compile(b.problem())
	var cycle *network.CycleError
	require.True(t, errors.As(err, &cycle))
	require.Contains(t, [][]string{{"b", "c"}, {"c", "e", "d"}}, cycle.Tasks)
	require.ErrorContains(t, err, "ring")

	_, err = network.Compile(newBuilder().fixed("a", 1).fixed("b", 1).link("b", "b").problem())
	require.True(t, errors.As(err, &cycle))
	require.Equal(t, []string{"b"}, cycle.Tasks)
}

func TestCompile_OrdersPredecessorsFirst(t *testing.T) {
	t.Parallel()
	b := newBuilder().fixed("a", 1).fixed("b", 1).fixed("c", 1).link("c", "b").link("b", "a")
	c := compiled(t, b)
	require.Equal(t, []string{"c", "b", "a"}, ids(c, c.Order))
}

func TestCompile_ReportsAllMissingNamesAtOnce(t *testing.T) {
	t.Parallel()
	b := newBuilder().fixed("a", 1).link("a", "ghost")
	b.p.Tasks[0].Calendar = "nights"
	b.p.Tasks[0].Uses = map[string]int{"crane": 1}
	b.p.GCDates = []problem.GCDate{{ID: "level 2", Tasks: []string{"spook"}}}
	_, err := network.Compile(b.problem())
	for _, want := range []string{`"ghost"`, `"nights"`, `"crane"`, `"spook"`} {
		require.ErrorContains(t, err, want)
	}
}

func TestCompile_GivesEachEligibleCrewItsOwnMinutes(t *testing.T) {
	t.Parallel()
	b := newBuilder().crewTask("frame 1", 480, nil).crewTask("frame 2", 480, func(task *problem.Task) {
		task.Pin = &problem.Pin{Crew: "Birch"}
	}).crewTask("frame 3", 480, func(task *problem.Task) { task.MinHeads = 3 })
	b.crew("Ash", 2, nil).crew("Birch", 3, func(crew *problem.Crew) {
		crew.Productivity = map[string]float64{"frame": 0.8}
	}).crew("Cedar", 2, func(crew *problem.Crew) { crew.Skills = []string{"glaze"} })
	c := compiled(t, b)
	require.Equal(t, []network.Option{{Crew: 0, Minutes: 240}, {Crew: 1, Minutes: 200}}, c.Options(0))
	require.Equal(t, []network.Option{{Crew: 1, Minutes: 200}}, c.Options(1), "pinned to Birch")
	require.Equal(t, []network.Option{{Crew: 1, Minutes: 200}}, c.Options(2), "needs three heads")
	require.Empty(t, c.PinMisfit)
}

func TestCompile_KeepsAPinToACrewThatCannotDoTheWorkAsAMisfit(t *testing.T) {
	t.Parallel()
	b := newBuilder().crewTask("frame 1", 480, func(task *problem.Task) { task.Pin = &problem.Pin{Crew: "Cedar"} })
	b.crew("Ash", 2, nil).crew("Cedar", 2, func(crew *problem.Crew) { crew.Skills = []string{"glaze"} })
	c := compiled(t, b)
	require.Equal(t, []network.TaskIndex{0}, c.PinMisfit)
	require.Equal(t, []network.Option{{Crew: 0, Minutes: 240}}, c.Options(0))
}

func TestCompile_CutsACrewsTimeToItsLimitsAndItsAbsence(t *testing.T) {
	t.Parallel()
	b := newBuilder().week("days", "07:00-15:00").week("hoist hours", "06:00-12:00")
	b.crew("Ash", 1, func(crew *problem.Crew) {
		crew.Calendar = "days"
		crew.Away = []problem.Span{{From: clock(t, "mon 08:00"), To: clock(t, "mon 09:00")}}
	})
	b.crewTask("lift", 60, func(task *problem.Task) { task.Uses = map[string]int{"hoist": 1} })
	b.crewTask("set", 60, func(task *problem.Task) { task.Uses = map[string]int{"hoist": 0} })
	b.p.Limits = []problem.Limit{{ID: "hoist", Capacity: 1, Calendar: "hoist hours"}}
	c := compiled(t, b)
	monday := func(task network.TaskIndex) calendar.WorkMinutes {
		return c.Calendars[c.Options(task)[0].Calendar].Count(instant(t, "mon 00:00"), instant(t, "tue 00:00"))
	}
	require.Equal(t, calendar.WorkMinutes(4*60), monday(0), "07:00-12:00 less an hour away")
	require.Equal(t, calendar.WorkMinutes(7*60), monday(1))
	require.Equal(t, []network.Use{{Limit: 0, Units: 1}}, c.Uses(0))
	require.Empty(t, c.Uses(1), "no units are no use")
}

func TestCompile_HoldsWhatFollowsATaskThatWaits(t *testing.T) {
	t.Parallel()
	build := func(policy problem.OutOfOrder) *network.Compiled {
		b := newBuilder()
		b.p.OutOfOrder = policy
		b.fixed("w", 10).fixed("next", 10).fixed("under way", 10).fixed("done", 10).fixed("after", 10).fixed("free", 10)
		b.p.Tasks[0].Waits = true
		b.status("under way", "mon 00:00", 5).finished("done", "mon 00:00", "mon 01:00")
		b.link("w", "next").link("w", "under way").link("w", "done").link("under way", "after").link("done", "free")
		return compiled(t, b)
	}
	heldBy := func(c *network.Compiled) []string {
		var held []string
		for task := range network.TaskIndex(c.Tasks()) {
			if holder := c.HeldBy(task); holder != network.None {
				held = append(held, c.ID(task)+" by "+c.ID(holder))
			}
		}
		return held
	}
	require.Equal(t, []string{"w by w", "next by w"}, heldBy(build(problem.LetRun)))
	require.Equal(t, []string{"w by w", "next by w", "under way by w", "after by w"}, heldBy(build(problem.KeepOrder)))
}

func TestExtend_DoublesTheReachAndEndsSomewhere(t *testing.T) {
	t.Parallel()
	c := compiled(t, newBuilder().fixed("a", 1))
	longer, ok := c.Extend()
	require.True(t, ok)
	require.Equal(t, 2*(c.To-c.DataDate), longer.To-longer.DataDate)
	require.Equal(t, 2*(c.DataDate-c.From), longer.DataDate-longer.From)
	for n := 0; ok; n++ {
		require.Less(t, n, 10)
		longer, ok = longer.Extend()
	}
	require.Less(t, longer.To-longer.DataDate, calendar.Instant(65*366*24*60))
}
