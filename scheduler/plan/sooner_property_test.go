package plan_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// given is a copy of a problem and a plan in which what holds one task can be taken away.
type given struct {
	p    *problem.Problem
	made *problem.Plan
	task int // in the problem
	row  int // in the plan
}

func newGiven(p *problem.Problem, made *problem.Plan, id string) *given {
	g := &given{p: new(*p), made: new(*made)}
	g.p.Tasks, g.p.Links, g.p.Crews = slices.Clone(p.Tasks), slices.Clone(p.Links), slices.Clone(p.Crews)
	g.p.Limits, g.p.Areas, g.p.Issued = slices.Clone(p.Limits), slices.Clone(p.Areas), slices.Clone(p.Issued)
	g.made.Tasks = slices.Clone(made.Tasks)
	g.task = slices.IndexFunc(p.Tasks, func(t problem.Task) bool { return t.ID == id })
	g.row = slices.IndexFunc(made.Tasks, func(t problem.PlannedTask) bool { return t.ID == id })
	return g
}

// give takes one cause away, as a person would in the document.
func (g *given) give(t *testing.T, hold plan.Hold) {
	task := &g.p.Tasks[g.task]
	isLink := func(l problem.Link) bool { return l.To == task.ID && l.From == hold.Ref }
	switch {
	case hold.Kind == problem.ReasonPin && hold.Ref == "issued":
		g.p.Issued = slices.DeleteFunc(g.p.Issued, func(line problem.Issued) bool { return line.Task == task.ID })
	case hold.Kind == problem.ReasonPin:
		task.Pin = &problem.Pin{Crew: task.Pin.Crew}
		if task.Pin.Crew == "" {
			task.Pin = nil
		}
	case hold.Kind == problem.ReasonCrew:
		g.helper(hold.Ref)
	case hold.Kind == problem.ReasonCapacity:
		for i := range g.p.Limits {
			if g.p.Limits[i].ID == hold.Ref {
				g.p.Limits[i].Capacity += task.Uses[hold.Ref]
			}
		}
		for i := range g.p.Areas {
			if g.p.Areas[i].ID == hold.Ref {
				g.p.Areas[i].MaxCrews = new(*g.p.Areas[i].MaxCrews + 1)
			}
		}
	case slices.ContainsFunc(g.p.Links, isLink):
		g.p.Links = slices.DeleteFunc(g.p.Links, isLink)
	default:
		require.Equal(t, task.NotBeforeCause, hold.Ref)
		task.NotBefore = nil
		g.p.Uncertainty = nil // which may let it slip; plans take no notice
	}
}

// helper gives all other unfinished work of a crew to a crew just like it that begins at no home.
func (g *given) helper(crew string) {
	i := slices.IndexFunc(g.p.Crews, func(c problem.Crew) bool { return c.ID == crew })
	helper := g.p.Crews[i]
	helper.ID, helper.HomeSite = crew+" helper", ""
	g.p.Crews = append(g.p.Crews, helper)
	for i := range g.made.Tasks {
		row := &g.made.Tasks[i]
		k := slices.IndexFunc(g.p.Tasks, func(t problem.Task) bool { return t.ID == row.ID })
		task := &g.p.Tasks[k]
		if i == g.row || row.Crew == nil || *row.Crew != crew || task.IsFinished() {
			continue
		}
		row.Crew = &helper.ID
		if task.Status != nil {
			task.Status = new(*task.Status)
			task.Status.Crew = helper.ID
		}
		if task.Pin != nil && task.Pin.Crew != "" {
			task.Pin = &problem.Pin{Crew: helper.ID, Start: task.Pin.Start}
		}
	}
}

// axis is the working time of the task, compiled.
func (g *given) axis(t *testing.T) *calendar.Calendar {
	from := calendar.FromTime(g.p.DataDate.AddDate(-1, 0, 0))
	to := calendar.FromTime(g.p.DataDate.AddDate(8, 0, 0))
	compiled := func(id string) *calendar.Calendar {
		for i := range g.p.Calendars {
			if g.p.Calendars[i].ID == id {
				c, err := calendar.Compile(g.p.Calendars[i], from, to)
				require.NoError(t, err)
				return c
			}
		}
		return calendar.Always(from, to)
	}
	task := &g.p.Tasks[g.task]
	axis := compiled(task.Calendar)
	if crew := g.made.Tasks[g.row].Crew; crew != nil {
		i := slices.IndexFunc(g.p.Crews, func(c problem.Crew) bool { return c.ID == *crew })
		axis = compiled(g.p.Crews[i].Calendar)
		var away []calendar.Interval
		for _, span := range g.p.Crews[i].Away {
			away = append(away, calendar.Interval{Start: calendar.FromTime(span.From), Finish: calendar.FromTime(span.To)})
		}
		axis = axis.Without(away)
	}
	for i := range g.p.Limits {
		if l := &g.p.Limits[i]; l.Calendar != "" && task.Uses[l.ID] > 0 {
			axis = axis.Intersect(compiled(l.Calendar))
		}
	}
	return axis
}

// faults are the rules that the plan breaks with the task moved to a start, those aside that only judge what is written about it.
func (g *given) faults(axis *calendar.Calendar, start calendar.Instant, minutes calendar.WorkMinutes) []check.Violation {
	made := *g.made
	made.Tasks = slices.Clone(g.made.Tasks)
	row := &made.Tasks[g.row]
	finish := start
	row.Segments = nil
	if minutes > 0 {
		finish = axis.Add(start, minutes)
	}
	for _, piece := range axis.Intervals() {
		if from, to := max(piece.Start, start), min(piece.Finish, finish); from < to {
			row.Segments = append(row.Segments, [2]time.Time{from.Time(), to.Time()})
		}
	}
	row.Finish = finish.Time()
	if row.Resume != nil {
		row.Resume = new(start.Time())
	} else {
		row.Start = start.Time()
	}
	return slices.DeleteFunc(check.Plan(g.p, &made), func(v check.Violation) bool {
		switch v.Rule {
		case check.RuleGCDate, check.RuleChain, check.RuleObjective, check.RuleBound, check.RuleNetwork, check.RuleReason, check.RuleUnplanned:
			return true
		case check.RulePin, check.RuleFrozen: // who moved what is no question here
			return v.Task != row.ID || g.p.Tasks[g.task].Pin == nil
		}
		return false
	})
}

func minutesOf(row *problem.PlannedTask) (n calendar.WorkMinutes) {
	for _, s := range row.Segments {
		n += calendar.WorkMinutes(s[1].Sub(s[0]) / time.Minute)
	}
	return n
}

// The checker, which knows nothing of ladders, must find nothing against the task at the instant that a step states, once what
// the steps name is taken out of the document, must find something while any of the named causes is left in, and must find
// something against every earlier start that is tried.
func TestSooner_StepsHoldInACopyOfTheProblemAndNothingLessDoes(t *testing.T) {
	t.Parallel()
	kinds := map[string]problemtest.Options{
		"8 tasks": problemtest.Everything(8), "30 tasks": problemtest.Everything(30), "60 tasks": problemtest.Everything(60),
		"harsh": problemtest.Harsh(30),
	}
	seeds := uint64(12)
	if testing.Short() {
		seeds = 4
		delete(kinds, "60 tasks") // a few of these take most of the time
	}
	var steps, ladders atomic.Int64
	t.Cleanup(func() {
		t.Logf("%d steps of %d ladders", steps.Load(), ladders.Load())
		require.Greater(t, steps.Load(), ladders.Load()/4)
	})
	for name, options := range kinds {
		for seed := range seeds {
			t.Run(fmt.Sprintf("%s seed %d", name, seed), func(t *testing.T) {
				t.Parallel()
				o := options
				o.KeepOrder = seed%2 == 1
				p := problemtest.Random(70_000+seed, o)
				made := planOf(t, p, 12)
				sooner, err := plan.NewSooner(p, made)
				require.NoError(t, err)
				rng := rand.New(rand.NewPCG(seed, 3))
				for i := range made.Tasks {
					if id := made.Tasks[i].ID; rng.IntN(len(made.Tasks)) < 12 {
						n := requireLadder(t, p, made, sooner, id, rng)
						steps.Add(int64(n))
						ladders.Add(1)
					}
				}
			})
		}
	}
}

func planOf(t *testing.T, p *problem.Problem, schedules int) *problem.Plan {
	t.Helper()
	made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: schedules, Seed: 3})
	require.NoError(t, err)
	require.Empty(t, check.Plan(p, made))
	return made
}

func requireLadder(t *testing.T, p *problem.Problem, made *problem.Plan, sooner *plan.Sooner, id string, rng *rand.Rand) int {
	ladder, err := sooner.Ladder(id)
	g := newGiven(p, made, id)
	if p.Tasks[g.task].IsFinished() {
		require.ErrorIs(t, err, plan.ErrFinished)
		return 0
	}
	require.NoError(t, err)
	require.Nil(t, ladder.Late, "task %s", id)
	minutes := minutesOf(&made.Tasks[g.row])
	axis := g.axis(t)
	at := ladder.Start
	if ladder.Free != nil {
		at = *ladder.Free
		require.Empty(t, g.faults(axis, calendar.FromTime(at), minutes), "task %s could start as things are", id)
	}
	for i, step := range ladder.Steps {
		require.True(t, step.From.Equal(at) && step.Could.Before(step.From), "task %s step %d: %+v", id, i, step)
		could := calendar.FromTime(step.Could)
		for k, left := range step.Causes {
			require.False(t, left.Until.After(step.From))
			without := newGiven(p, made, id)
			for _, earlier := range ladder.Steps[:i] {
				for _, hold := range earlier.Causes {
					without.give(t, hold)
				}
			}
			for other, hold := range step.Causes {
				if other != k {
					without.give(t, hold)
				}
			}
			if left.Ref != "issued" && left.Kind != problem.ReasonPin { // kept because somebody wants it, not by a rule
				require.NotEmpty(t, without.faults(axis, could, minutes), "task %s step %d with cause %d left in: %+v", id, i, k, step)
			}
		}
		for _, hold := range step.Causes {
			g.give(t, hold)
		}
		require.Empty(t, g.faults(axis, could, minutes), "task %s step %d: %+v", id, i, step)
		at = step.Could
	}
	requireNothingEarlier(t, g, axis, calendar.FromTime(at), minutes, rng)
	return len(ladder.Steps)
}

// requireNothingEarlier tries starts before the last one that a ladder states, with all that its steps name taken away.
func requireNothingEarlier(t *testing.T, g *given, axis *calendar.Calendar, at calendar.Instant, minutes calendar.WorkMinutes, rng *rand.Rand) {
	dataDate := calendar.FromTime(g.p.DataDate)
	for try := range 6 {
		start := at - 1
		if try > 0 && at-dataDate > 1 {
			start = dataDate + calendar.Instant(rng.Int64N(int64(at-dataDate)))
		}
		if minutes > 0 && axis.Next(start) != start {
			start = axis.Previous(start) - 1
		}
		if start >= dataDate && start < at {
			require.NotEmpty(t, g.faults(axis, start, minutes), "task %s could start at %s, before %s", g.p.Tasks[g.task].ID, start.Time(), at.Time())
		}
	}
}

// Longer hours are tried in the same way: a day off worked, or a crew that is there after all. Other work would go faster then too,
// which is none of the ladder's business.
func TestSooner_LongerHoursHoldInACopyOfTheProblem(t *testing.T) {
	t.Parallel()
	days, aways := 0, 0
	for seed := range uint64(100) {
		p := problemtest.Random(80_000+seed, problemtest.Everything(12))
		made := planOf(t, p, 12)
		sooner, err := plan.NewSooner(p, made)
		require.NoError(t, err)
		for i := range made.Tasks {
			ladder, err := sooner.Ladder(made.Tasks[i].ID)
			if err != nil || ladder.Free != nil || len(ladder.Steps) > 0 && ladder.Steps[0].Causes[0].Ref == "issued" {
				continue
			}
			for _, hours := range ladder.Hours {
				require.True(t, hours.Could.Before(ladder.Start))
				g := newGiven(p, made, ladder.Task)
				if hours.Day != nil {
					days++
					g.work(*hours.Day, hours.Calendars)
				} else {
					aways++
					k := slices.IndexFunc(g.p.Crews, func(c problem.Crew) bool { return c.ID == ladder.Crew })
					g.p.Crews[k].Away = slices.DeleteFunc(slices.Clone(g.p.Crews[k].Away), func(s problem.Span) bool { return slices.Contains(hours.Away, s) })
				}
				faults := g.faults(g.axis(t), calendar.FromTime(hours.Could), minutesOf(&made.Tasks[g.row]))
				faults = slices.DeleteFunc(faults, func(v check.Violation) bool {
					return v.Task != ladder.Task && (v.Rule == check.RuleSegments || v.Rule == check.RuleDuration || v.Rule == check.RuleCalendar)
				})
				require.Empty(t, faults, "seed %d task %s: %+v", seed, ladder.Task, hours)
			}
		}
	}
	require.Greater(t, days, 20)
	require.Greater(t, aways, 5)
}

// work makes a day off a day like the one before it in some calendars, by hand.
func (g *given) work(day problem.Date, calendars []string) {
	g.p.Calendars = slices.Clone(g.p.Calendars)
	for i := range g.p.Calendars {
		c := &g.p.Calendars[i]
		if !slices.Contains(calendars, c.ID) {
			continue
		}
		var like []problem.Shift
		for at := time.Date(day.Year, day.Month, day.Day, 0, 0, 0, 0, time.UTC); len(like) == 0; {
			at = at.AddDate(0, 0, -1)
			like = c.Week.Day(at.Weekday())
			if slices.Contains(c.Holidays, problem.DateOf(at)) {
				like = nil
			}
			for _, e := range c.Exceptions {
				if e.Date == problem.DateOf(at) {
					like = e.Shifts
				}
			}
		}
		c.Exceptions = slices.DeleteFunc(slices.Clone(c.Exceptions), func(e problem.Exception) bool { return e.Date == day })
		c.Exceptions = append(c.Exceptions, problem.Exception{Date: day, Shifts: like})
	}
}

// Planned anew from the copy of the document, with all other work pinned where the plan has it, the task starts at the very instant
// that the step states.
func TestSooner_PlanningTheCopyStartsTheTaskAtTheStatedInstant(t *testing.T) {
	t.Parallel()
	held, steps := 0, 0
	for seed := range uint64(40) {
		o := problemtest.Everything(24)
		o.Finished, o.Frozen, o.Issued, o.Pins, o.Waits = 0, false, 0, 0, 0
		p := problemtest.Random(90_000+seed, o)
		made := planOf(t, p, 12)
		sooner, err := plan.NewSooner(p, made)
		require.NoError(t, err)
		for i := int(seed) % 5; i < len(made.Tasks); i += 5 {
			ladder, err := sooner.Ladder(made.Tasks[i].ID)
			require.NoError(t, err)
			g := newGiven(p, made, ladder.Task)
			for _, step := range ladder.Steps {
				for _, hold := range step.Causes {
					g.give(t, hold)
				}
				again := planOf(t, g.pinned(), 1)
				steps++
				if broken(again) > 0 {
					continue // a pin of other work lost its place while it was generated: nothing is learnt
				}
				held++
				require.True(t, step.Could.Equal(again.Tasks[g.row].Start), "seed %d task %s: %+v, again %s",
					seed, ladder.Task, step, again.Tasks[g.row].Start)
			}
		}
	}
	t.Logf("%d of %d steps planned anew", held, steps)
	require.Greater(t, steps, 100)
	require.Greater(t, 10*held, 9*steps)
}

// pinned holds all work but the task where the plan has it, and the task on its crew.
func (g *given) pinned() *problem.Problem {
	p := new(*g.p)
	p.Tasks = slices.Clone(g.p.Tasks)
	for i := range g.made.Tasks {
		row := &g.made.Tasks[i]
		k := slices.IndexFunc(p.Tasks, func(t problem.Task) bool { return t.ID == row.ID })
		p.Tasks[k].Pin = &problem.Pin{Start: &row.Start}
		if row.Crew != nil {
			p.Tasks[k].Pin.Crew = *row.Crew
		}
		if i == g.row {
			p.Tasks[k].Pin.Start = nil
			if row.Crew == nil {
				p.Tasks[k].Pin = nil
			}
		}
	}
	return p
}
