package crewing

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

func neverStop() bool { return false }

// raised is the bound that refuting gives when it looks far beyond what was found, so that a bound above it would show.
func raised(m *Model, r *refuter, bound Bound, found calendar.Instant) calendar.Instant {
	const beyond = 20_000 // two weeks
	return r.raise(bound.Makespan, found+beyond, neverStop)
}

// Three frames of an hour, two crews that always work: the work content fits into an hour and a half, but a crew hangs two of
// them in turn, so that two hours is the least. In any shorter time all three frames would hang in its middle minute.
func TestRefuter_SeesThatWorkIsNotCutInHalves(t *testing.T) {
	t.Parallel()
	hour := 60
	p := &problem.Problem{
		Version: problem.Version, Zone: "UTC", DataDate: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), Sites: []problem.Site{{ID: "s"}},
	}
	for _, id := range []string{"Oak", "Elm"} {
		p.Crews = append(p.Crews, problem.Crew{ID: id, Skills: []string{"frame"}, Heads: 1, Calendar: problem.Always})
	}
	for _, id := range []string{"one", "two", "three"} {
		p.Tasks = append(p.Tasks, problem.Task{ID: id, Kind: "frame", Site: "s", LabourMinutes: &hour})
	}
	m, dates := modelOf(t, p)
	require.EqualValues(t, 90, BoundOf(m, dates).Makespan-m.DataDate)
	require.EqualValues(t, 120, raised(m, newRefuter(m, dates), BoundOf(m, dates), m.DataDate+120)-m.DataDate)
}

// The windows hold every place of the best schedules, whose makespans every crew and minute, or every list with every crew, tell.
func TestRefuter_NeverRefutesTheLeastMakespan(t *testing.T) {
	t.Parallel()
	before, after := 0, 0
	for seed := range uint64(testRounds(300, 60)) {
		m, dates := modelOf(t, problemtest.Random(5_000+seed, problemtest.Tiny(4+int(seed)%3)))
		m.weights = problem.Weights{Early: 1}
		best := enumerate(m)
		if best.Unplaced > 0 {
			continue
		}
		bound := BoundOf(m, dates)
		at := raised(m, newRefuter(m, dates), bound, best.Makespan)
		require.LessOrEqual(t, at, best.Makespan, "seed %d", seed)
		before += countIf(bound.Makespan == best.Makespan)
		after += countIf(at == best.Makespan)
	}
	t.Logf("the bound meets the least makespan %d times, without refuting %d", after, before)
	require.GreaterOrEqual(t, after, before)
}

func TestRefuter_NeverRefutesAnyStartsAndMinutes(t *testing.T) {
	t.Parallel()
	for seed := range uint64(testRounds(30, 6)) {
		p, works := smallProblem(7_000+seed, seed%2 == 0)
		p.Weights = &problem.Weights{Early: 1}
		b := bruteForce{p: p, works: works}
		b.solve()
		if b.best == noneFits {
			continue
		}
		m, dates := modelOf(t, p)
		least := m.DataDate + calendar.Instant(b.best*4) // the brute force weighs a minute of makespan a quarter
		require.LessOrEqual(t, raised(m, newRefuter(m, dates), BoundOf(m, dates), least), least, "seed %d", seed)
	}
}

func testRounds(all, short int) int {
	if testing.Short() {
		return short
	}
	return all
}

// Plans of larger documents, with everything in them or much of it locked, are never shorter than the bound.
func TestRefuter_NeverRefutesAPlan(t *testing.T) {
	t.Parallel()
	for name, options := range map[string]func(int) problemtest.Options{
		"everything": problemtest.Everything, "harsh": problemtest.Harsh, "plain": problemtest.Plain,
	} {
		for seed := range uint64(testRounds(24, 5)) {
			m, dates := modelOf(t, problemtest.Random(seed, options(10+int(seed)*4)))
			found := Search(m, dates, SearchOptions{Schedules: 60, Seed: seed}).Schedule
			if found.Score.Unplaced == 0 {
				at := raised(m, newRefuter(m, dates), BoundOf(m, dates), found.Score.Makespan)
				require.LessOrEqual(t, at, found.Score.Makespan, "%s, seed %d", name, seed)
			}
		}
	}
}

// One place of a piece after another, minute by minute.
func TestWindow_TakesTheLeastOfAllItsPlaces(t *testing.T) {
	t.Parallel()
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 11))
		m, _ := modelOf(t, problemtest.Random(seed, problemtest.Tiny(3)))
		axis := m.crews[0].axis
		a := m.axes[axis]
		w := window{axis: axis, minutes: calendar.WorkMinutes(1 + rng.IntN(900))}
		first := a.position(m.DataDate) + calendar.WorkMinutes(rng.IntN(900))
		w.position = [2]calendar.WorkMinutes{first, first + calendar.WorkMinutes(rng.IntN(900))}
		for i, p := range w.position {
			w.begin[i], w.finish[i] = a.startAt(p), a.finishAt(p+w.minutes)
		}
		from := w.begin[0] + calendar.Instant(rng.IntN(3_000)-1_000)
		to := from + calendar.Instant(1+rng.IntN(3_000))
		worked, held := calendar.WorkMinutes(1<<40), calendar.Instant(1<<40)
		for p := w.position[0]; p <= w.position[1]; p++ {
			worked = min(worked, within(p, p+w.minutes, a.position(from), a.position(to)))
			held = min(held, within(a.startAt(p), a.finishAt(p+w.minutes), from, to))
		}
		require.Equal(t, worked, w.worked(a.position(from), a.position(to)), "seed %d", seed)
		require.LessOrEqual(t, w.held(from, to), held, "seed %d", seed)
	}
}

func countIf(is bool) int {
	if is {
		return 1
	}
	return 0
}

// BenchmarkBoundOf is what the bounds cost that run at every size, the one on joint lateness included.
func BenchmarkBoundOf(b *testing.B) {
	for _, tasks := range []int{1_000, 10_000, 85_000} {
		b.Run(fmt.Sprint(tasks), func(b *testing.B) {
			m, dates := modelOf(b, problemtest.Random(1, problemtest.Everything(tasks)))
			for b.Loop() {
				BoundOf(m, dates)
			}
		})
	}
}

func BenchmarkRefuter(b *testing.B) {
	for _, tasks := range []int{20, 100, 300, destructiveTasks} {
		b.Run(fmt.Sprint(tasks), func(b *testing.B) {
			m, dates := modelOf(b, problemtest.Random(1, problemtest.Plain(tasks)))
			bound, found := BoundOf(m, dates).Makespan, Search(m, dates, SearchOptions{Schedules: 10}).Schedule.Score.Makespan
			for b.Loop() {
				newRefuter(m, dates).raise(bound, found, neverStop)
			}
		})
	}
}
