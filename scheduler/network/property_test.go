package network_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// drawProblem makes documents of up to nine tasks on calendars of many short shifts, so that a walk minute by minute
// stays cheap while gaps, lags and pauses meet in every way.
func drawProblem(t *rapid.T) *problem.Problem {
	b := newBuilder()
	b.p.DataDate = monday.Add(time.Duration(rapid.IntRange(0, 90).Draw(t, "data date")) * time.Minute)
	calendars := []string{problem.Always}
	for i := range rapid.IntRange(1, 3).Draw(t, "calendars") {
		id := fmt.Sprintf("calendar %d", i)
		b.p.Calendars = append(b.p.Calendars, problem.Calendar{ID: id, Zone: "UTC", Week: drawWeek(t)})
		calendars = append(calendars, id)
	}
	named := rapid.SampledFrom(calendars)
	for i := range rapid.IntRange(1, 3).Draw(t, "crews") {
		b.crew(fmt.Sprintf("crew %d", i), rapid.IntRange(1, 3).Draw(t, "heads"), func(crew *problem.Crew) {
			crew.Calendar = named.Draw(t, "crew calendar")
			if rapid.Bool().Draw(t, "is away") {
				from := monday.Add(time.Duration(rapid.IntRange(0, 200).Draw(t, "away")) * time.Minute)
				crew.Away = []problem.Span{{From: from, To: from.Add(50 * time.Minute)}}
			}
		})
	}
	n := rapid.IntRange(1, 9).Draw(t, "tasks")
	for i := range n {
		drawTask(t, b, fmt.Sprintf("task %d", i), named)
	}
	drawLinks(t, b, n, named)
	if rapid.Bool().Draw(t, "has a gc date") {
		b.p.GCDates = []problem.GCDate{{ID: "date", Tasks: []string{"task 0"}, Date: drawInstant(t, "gc date")}}
	}
	b.p.OutOfOrder = rapid.SampledFrom([]problem.OutOfOrder{problem.LetRun, problem.KeepOrder}).Draw(t, "out of order")
	return b.problem()
}

// drawWeek gives every day the same shifts, each up to half an hour long.
func drawWeek(t *rapid.T) problem.Week {
	var list []problem.Shift
	for from := rapid.IntRange(0, 20).Draw(t, "first"); from < 1440; {
		to := min(1440, from+rapid.IntRange(1, 30).Draw(t, "shift"))
		list = append(list, problem.Shift{From: from, To: to})
		from = to + rapid.IntRange(1, 40).Draw(t, "gap")
		if len(list) == 6 { // repeat what has been drawn over the day
			for shift := 0; list[len(list)-1].To+from <= 1440; shift++ {
				list = append(list, problem.Shift{From: list[shift].From + from, To: list[shift].To + from})
			}
			break
		}
	}
	return problem.Week{Mon: list, Tue: list, Wed: list, Thu: list, Fri: list, Sat: list, Sun: list}
}

func drawInstant(t *rapid.T, label string) time.Time {
	return monday.Add(time.Duration(rapid.IntRange(-60, 400).Draw(t, label)) * time.Minute)
}

func drawTask(t *rapid.T, b *builder, id string, named *rapid.Generator[string]) {
	minutes := rapid.IntRange(0, 40).Draw(t, "minutes")
	if rapid.Bool().Draw(t, "is crew work") {
		b.crewTask(id, minutes, nil)
	} else {
		b.fixedOn(id, minutes, named.Draw(t, "calendar"))
	}
	task := b.task(id)
	switch rapid.IntRange(0, 9).Draw(t, "special") {
	case 0:
		when := drawInstant(t, "not before")
		task.NotBefore = &when
	case 1:
		when := drawInstant(t, "deadline")
		task.Deadline = &when
	case 2:
		when := drawInstant(t, "pin")
		task.Pin = &problem.Pin{Start: &when}
	case 3:
		left := rapid.IntRange(0, 30).Draw(t, "remaining")
		task.Status = &problem.Status{Started: monday.Add(-10 * time.Minute), RemainingMinutes: &left}
	case 4:
		finished := b.p.DataDate
		task.Status = &problem.Status{Started: monday.Add(-20 * time.Minute), Finished: &finished}
	case 5:
		task.Waits = rapid.IntRange(0, 3).Draw(t, "waits") == 0
	}
}

func drawLinks(t *rapid.T, b *builder, n int, named *rapid.Generator[string]) {
	if n < 2 {
		return
	}
	place := rapid.Permutation(identity(n)).Draw(t, "order") // so that the document's order is not the topological one
	for range rapid.IntRange(0, 2*n).Draw(t, "links") {
		to := rapid.IntRange(1, n-1).Draw(t, "to")
		from := rapid.IntRange(0, to-1).Draw(t, "from")
		relation := rapid.SampledFrom([]problem.LinkType{"", "FS", "SS", "FF", "SF"}).Draw(t, "relation")
		b.relate(fmt.Sprintf("task %d", place[from]), fmt.Sprintf("task %d", place[to]), relation,
			rapid.IntRange(-30, 30).Draw(t, "lag"), named.Draw(t, "lag calendar"))
	}
}

func identity(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

func mustCompile(t require.TestingT, p *problem.Problem) *network.Compiled {
	c, err := network.Compile(p)
	require.NoError(t, err)
	return c
}

func TestCompute_AgreesWithRepeatedRelaxation(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := mustCompile(t, drawProblem(t))
		var w network.Workspace
		d, o := w.Compute(c), solveSlowly(c)
		require.Equal(t, o.begin, d.EarlyBegin, "early begin")
		require.Equal(t, o.finish, d.EarlyFinish, "early finish")
		require.Equal(t, o.first, d.FirstStart, "first start")
		require.Equal(t, o.lateBegin, d.LateBegin, "late begin")
		require.Equal(t, o.lateFinish, d.LateFinish, "late finish")
		require.Equal(t, o.latest, d.LastFinish, "last finish")
		require.Equal(t, o.total, d.TotalFloat, "total float")
		require.Equal(t, o.free, d.FreeFloat, "free float")
	})
}

// snapshot copies what a later use of the workspace would overwrite.
func snapshot(d *network.Dates) [][]calendar.Instant {
	return [][]calendar.Instant{
		slices.Clone(d.EarlyBegin), slices.Clone(d.EarlyFinish), slices.Clone(d.FirstStart),
		slices.Clone(d.LateBegin), slices.Clone(d.LateFinish), slices.Clone(d.LastFinish),
	}
}
