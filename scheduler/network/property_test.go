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

// drawWeek gives two days of the week shifts of up to half an hour each.
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
	return problem.Week{Mon: list, Thu: list}
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
		d, o := w.Compute(c), solveSlowly(c, 3)
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

func TestCompute_DoesNotDependOnTheOrderOfTheDocument(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		var one, other network.Workspace
		a := one.Compute(mustCompile(t, p))
		shuffled := *p
		shuffled.Tasks = rapid.Permutation(p.Tasks).Draw(t, "tasks again")
		shuffled.Links = rapid.Permutation(p.Links).Draw(t, "links again")
		b := other.Compute(mustCompile(t, &shuffled))
		for i := range p.Tasks {
			k := other.Compiled().TaskOf(p.Tasks[i].ID)
			require.Equal(t, a.EarlyBegin[i], b.EarlyBegin[k])
			require.Equal(t, a.EarlyFinish[i], b.EarlyFinish[k])
			require.Equal(t, a.LateBegin[i], b.LateBegin[k])
			require.Equal(t, a.LateFinish[i], b.LateFinish[k])
			require.Equal(t, a.TotalFloat[i], b.TotalFloat[k])
			require.Equal(t, a.FreeFloat[i], b.FreeFloat[k])
		}
	})
}

// With several crews to choose from, the crew that then finishes first may have started earlier; finishes and the first
// possible starts never come earlier.
func TestForwardPass_AnotherLinkNeverMakesDatesEarlier(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		if len(p.Links) == 0 {
			return
		}
		var one, other network.Workspace
		with := one.Compute(mustCompile(t, p))
		fewer := *p
		drop := rapid.IntRange(0, len(p.Links)-1).Draw(t, "drop")
		fewer.Links = slices.Delete(slices.Clone(p.Links), drop, drop+1)
		without := other.Compute(mustCompile(t, &fewer))
		for i := range p.Tasks {
			require.GreaterOrEqual(t, with.EarlyFinish[i], without.EarlyFinish[i])
			require.GreaterOrEqual(t, with.FirstStart[i], without.FirstStart[i])
			if len(one.Compiled().Options(network.TaskIndex(i))) == 1 {
				require.GreaterOrEqual(t, with.EarlyBegin[i], without.EarlyBegin[i])
			}
		}
	})
}

func TestFloats_FreeFloatNeverExceedsTotalFloat(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		oneCalendarWithoutDates(p)
		var w network.Workspace
		d := w.Compute(mustCompile(t, p))
		for i := range p.Tasks {
			require.LessOrEqual(t, d.FreeFloat[i], d.TotalFloat[i])
			require.GreaterOrEqual(t, d.FreeFloat[i], calendar.WorkMinutes(0))
		}
		if index := slices.Index(d.EarlyFinish, d.ProjectFinish); index >= 0 && p.Tasks[index].Status == nil {
			require.True(t, d.Critical(network.TaskIndex(index)), "what finishes last has no float")
		}
	})
}

// oneCalendarWithoutDates makes every task fixed work on the same calendar and takes out deadlines and GC dates.
func oneCalendarWithoutDates(p *problem.Problem) {
	p.GCDates = nil
	for i := range p.Tasks {
		task := &p.Tasks[i]
		if task.LabourMinutes != nil {
			task.DurationMinutes, task.LabourMinutes = task.LabourMinutes, nil
		}
		task.Calendar, task.Deadline = p.Calendars[0].ID, nil
	}
	for i := range p.Links {
		p.Links[i].LagCalendar = p.Calendars[0].ID
	}
}

func TestDrivers_ChainBackFromTheLastFinish(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		var w network.Workspace
		d := w.Compute(mustCompile(t, p))
		on, path := w.OnLongestPath(), w.LongestPath()
		if len(path) == 0 {
			return // everything is held
		}
		require.Equal(t, d.ProjectFinish, d.EarlyFinish[path[len(path)-1]])
		for _, task := range path {
			require.True(t, on[task])
		}
		if state := w.Compiled().State[path[0]]; state != network.Done {
			require.True(t, w.ReleaseDrives(path[0]) || hasFinishBoundOnly(&w, path[0]), "nothing holds %d", path[0])
		}
	})
}

// hasFinishBoundOnly reports whether a task begins where a bound before the data date, but on its finish, still lets
// it: the release cannot drive it then, and such a bound does not count as a driver.
func hasFinishBoundOnly(w *network.Workspace, t network.TaskIndex) bool {
	return slices.ContainsFunc(w.Compiled().Incoming(t), func(l network.Link) bool { return l.Relation.BoundsFinish() })
}

func TestCompute_MovesWithWholeWeeks(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		var one, other network.Workspace
		a := one.Compute(mustCompile(t, p))
		weeks := rapid.IntRange(1, 20).Draw(t, "weeks")
		b := other.Compute(mustCompile(t, movedByDays(p, 7*weeks)))
		moved := calendar.Instant(weeks * 7 * 1440)
		for i := range p.Tasks {
			if a.Placed(network.TaskIndex(i)) {
				require.Equal(t, a.EarlyBegin[i]+moved, b.EarlyBegin[i])
				require.Equal(t, a.EarlyFinish[i]+moved, b.EarlyFinish[i])
				require.Equal(t, a.LateBegin[i]+moved, b.LateBegin[i])
				require.Equal(t, a.LateFinish[i]+moved, b.LateFinish[i])
			}
		}
		require.Equal(t, a.TotalFloat, b.TotalFloat)
		require.Equal(t, a.FreeFloat, b.FreeFloat)
	})
}

func movedByDays(p *problem.Problem, days int) *problem.Problem {
	moved := *p
	later := func(t *time.Time) *time.Time {
		if t == nil {
			return nil
		}
		at := t.AddDate(0, 0, days)
		return &at
	}
	moved.DataDate = *later(&p.DataDate)
	moved.Tasks, moved.Crews, moved.GCDates = slices.Clone(p.Tasks), slices.Clone(p.Crews), slices.Clone(p.GCDates)
	for i := range moved.Tasks {
		task := &moved.Tasks[i]
		task.NotBefore, task.Deadline = later(task.NotBefore), later(task.Deadline)
		if task.Pin != nil {
			task.Pin = &problem.Pin{Crew: task.Pin.Crew, Start: later(task.Pin.Start)}
		}
		if task.Status != nil {
			status := *task.Status
			status.Started, status.Finished = *later(&status.Started), later(status.Finished)
			task.Status = &status
		}
	}
	for i := range moved.Crews {
		moved.Crews[i].Away = slices.Clone(p.Crews[i].Away)
		for k := range moved.Crews[i].Away {
			away := &moved.Crews[i].Away[k]
			away.From, away.To = *later(&away.From), *later(&away.To)
		}
	}
	for i := range moved.GCDates {
		moved.GCDates[i].Date = *later(&moved.GCDates[i].Date)
	}
	return &moved
}
