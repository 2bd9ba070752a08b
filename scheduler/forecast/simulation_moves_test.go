package forecast_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/ledger"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/recovery"
)

// replan is a night's plan of what was reported.
func (w *world) replan(t *testing.T) (*problem.Problem, *problem.Plan) {
	t.Helper()
	p := w.report()
	require.Empty(t, problem.Validate(p))
	made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 8, Seed: 1})
	require.NoError(t, err)
	return p, made
}

// Forty nights of ledgers: in each the parts of a GC date add up to its movement, and over all nights they add up to the way
// from what the first plan said to the day on which the date was done.
func TestLedger_OfEveryNightAddsUpToTheWholeWayInASimulatedFirm(t *testing.T) {
	t.Parallel()
	jobs := uint64(3)
	if testing.Short() {
		jobs = 1
	}
	for seed := range jobs {
		w := newWorld(seed)
		before, planBefore := w.replan(t)
		first := planBefore
		told := make([]int, len(w.dates))
		moved := 0
		for range 40 {
			w.follow(planBefore)
			w.next()
			now, planNow := w.replan(t)
			r, err := ledger.Compute(t.Context(), ledger.Input{Earlier: before, Later: now, EarlierPlan: planBefore, LaterPlan: planNow, Seed: 1})
			require.NoError(t, err)
			for i, d := range r.Dates {
				require.True(t, d.Measured())
				sum := 0
				for _, part := range d.Parts {
					sum += part.Minutes
				}
				require.Equal(t, d.Moved, sum, "job %d, night of %s", seed, w.now)
				told[i] += sum
				moved += max(sum, -sum)
			}
			before, planBefore = now, planNow
		}
		require.True(t, w.isDone(), "job %d", seed)
		for i := range w.dates {
			whole := int(w.doneAt(i).Sub(*first.GCDates[i].Forecast) / time.Minute)
			assert.Equal(t, whole, told[i], "job %d, %s", seed, w.dates[i].ID)
		}
		assert.Greater(t, moved, 10*24*60, "a play in which dates move")
	}
}

// adopt does what moves say from now on: longer hours, another crew, material and walls that come sooner. What the truth holds of
// hours stays as it is.
func (w *world) adopt(p *problem.Problem, moves []recovery.Move) {
	w.moves, w.adopted = moves, problem.DateOf(p.DataDate)
	for _, m := range moves {
		switch m.Kind {
		case recovery.SecondCrew:
			w.crews = append(w.crews, m.NewCrew)
		case recovery.Expedite:
			if t := w.byID[m.Task]; m.By.Before(t.comes) {
				t.comes = m.By
			}
		case recovery.EarlierHandover: // the same lateness, counted from the day that was asked for
			for i := range p.Tasks {
				if p.Tasks[i].ID == m.Task {
					t := w.byID[m.Task]
					t.comes = t.comes.Add(-p.Tasks[i].NotBefore.Sub(m.By))
				}
			}
		}
	}
}

// play plays a job to its end and returns when a date was done. On a night it may adopt moves.
func play(t *testing.T, seed uint64, date, night int, adopt func(w *world, p *problem.Problem, made *problem.Plan)) time.Time {
	t.Helper()
	w := lateWorld(seed)
	for n := range 60 {
		p, made := w.replan(t)
		if n == night {
			adopt(w, p, made)
			_, made = w.replan(t)
		}
		if w.doneAt(date) != nil {
			break
		}
		w.follow(made)
		w.next()
	}
	require.NotNil(t, w.doneAt(date), "job %d", seed)
	return *w.doneAt(date)
}

// lateWorld is a job whose dates are too soon.
func lateWorld(seed uint64) *world {
	w := newWorld(seed)
	for i := range w.dates {
		w.dates[i].Date = w.dates[i].Date.AddDate(0, 0, -14)
	}
	return w
}

// A recovery that is adopted in the middle of a job, against the same truth played without it. Asserted are: that a re-plan of the
// state in which it was found promises the same days to the minute; and that what the jobs win is what was promised them, on
// all jobs together within a third, and that nearly every job wins. A single job differs, since what was promised is of the plan, and
// the truth holds other hours, other material and other walls.
func TestRecovery_AdoptedInASimulatedFirmWinsWhatItPromised(t *testing.T) {
	t.Parallel()
	const night, date = 6, 1
	jobs := uint64(48)
	if testing.Short() {
		jobs = 3
	}
	promised, won, tried, winners := 0.0, 0.0, 0, 0
	for seed := range jobs {
		days := 0.0
		with := play(t, seed, date, night, func(w *world, p *problem.Problem, _ *problem.Plan) {
			days = adoptBest(t, w, p, date)
		})
		if days == 0 {
			continue // nothing to win
		}
		wins := play(t, seed, date, -1, nil).Sub(with).Hours() / 24
		promised, won = promised+days, won+wins
		if tried++; wins > 0 {
			winners++
		}
	}
	t.Logf("%d jobs of %d won: promised %.1f days, won %.1f", winners, tried, promised, won)
	require.Positive(t, tried)
	if !testing.Short() {
		assert.InDelta(t, 1, won/promised, 1.0/3)
		assert.GreaterOrEqual(t, 10*winners, 8*tried)
	}
}

// adoptBest looks for moves and adopts the set that wins most; it returns the days promised, 0 when nothing helps.
func adoptBest(t *testing.T, w *world, p *problem.Problem, date int) (days float64) {
	t.Helper()
	in := recovery.Input{Problem: p, GCDate: w.dates[date].ID, Settings: recovery.DefaultSettings()}
	for i := range p.Tasks {
		if p.Tasks[i].Kind == "lead" {
			in.Supplies = append(in.Supplies, recovery.Supply{Lead: p.Tasks[i].ID, Calendar: problem.Always, LeastMinutes: int(leadLeast), DayMinutes: 1440})
		}
	}
	o := recovery.Options{Schedules: 8, Seed: 1, MostSingles: 12, MostSets: 8}
	found, err := recovery.Find(t.Context(), in, o)
	require.NoError(t, err)
	var best *recovery.Trial
	for _, list := range [][]recovery.Trial{found.Singles, found.Sets} {
		for i := range list {
			if best == nil || list[i].Won > best.Won {
				best = &list[i]
			}
		}
	}
	if best == nil {
		return 0
	}
	w.adopt(p, best.Moves)
	_, made := w.replan(t)
	require.Equal(t, *best.Dates[date].After, *made.GCDates[date].Forecast, "a re-plan promises what the search promised")
	return float64(best.Won) / (24 * 60)
}
