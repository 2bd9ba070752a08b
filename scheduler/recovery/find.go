package recovery

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"jambwright/scheduler/problem"
)

// Options steer a search. The zero value plans with the planner's default budget and seed 0, on one core, with the limits
// below.
type Options struct {
	Schedules int // budget of each plan, as in plan.Options
	Seed      uint64
	Workers   int // plans made at once; the result does not depend on it

	MostSingles int // moves tried by themselves, nearest to the driving chain first; 0 reads as 28
	MostSets    int // sets looked at; 0 reads as 40
	MostLevers  int // levers that sets are made of; 0 reads as 6

	Progress func(done, total int) // told after each plan, from one goroutine at a time
}

func (o Options) withDefaults() Options {
	o.Workers = max(1, o.Workers)
	o.MostSingles, o.MostSets, o.MostLevers = cmp.Or(o.MostSingles, 28), cmp.Or(o.MostSets, 40), cmp.Or(o.MostLevers, 6)
	return o
}

// Input is what moves are looked for in.
type Input struct {
	Problem  *problem.Problem // valid; not changed
	GCDate   string           // id of the date to win days for
	Supplies []Supply
	Settings Settings
}

// Least is how many minutes of the clock a move must win to help: half a shift. Less is lost in the next field report.
const Least = 4 * 60

// Result is what was found. Its lists are ranked: what wins most for its cost first, what costs nothing before all.
type Result struct {
	Date    DateEffect   `json:"date"` // the base plan's forecast, twice
	Base    Figures      `json:"base"`
	Chain   []string     `json:"chain"`   // driving chain of the base plan
	Holds   string       `json:"holds"`   // the task of it that takes the longest
	Singles []Trial      `json:"singles"` // moves that win something by themselves
	Sets    []Trial      `json:"sets"`    // sets of two and more that win more than each of their moves alone
	Without []Trial      `json:"without"` // moves whose plan wins less than Least
	Not     []NotOffered `json:"not"`     // moves that needed no plan to be found useless
	Untried int          `json:"untried"` // moves that MostSingles left out, all farther from the driving chain
	Plans   int          `json:"plans"`   // made and checked
}

// ErrNoForecast says that the date has none in the base plan, so that nothing can be compared with it.
var ErrNoForecast = errors.New("the date has no forecast, because some of its work cannot be planned")

// Find plans the problem as it is, then with each move near the driving chain of the date, then with sets of them, all with
// the same budget and seed. Every plan is checked. A cancelled context ends it with the context's error.
//
// The cost is that of some dozens of plans.
func Find(ctx context.Context, in Input, o Options) (*Result, error) {
	o = o.withDefaults()
	f := finder{in: in, o: o, ctx: ctx, total: 1 + o.MostSingles + o.MostSets}
	if err := f.begin(); err != nil {
		return nil, err
	}
	date := &f.base.plan.GCDates[f.base.date]
	levers, not := Candidates(in.Problem, f.base.plan, date, in.Supplies, in.Settings)
	r := &Result{
		Date: DateEffect{date.ID, date.Forecast, date.Forecast}, Base: f.base.figures, Chain: date.DrivingChain, Not: not,
		Holds: longest(in.Problem, f.base.plan, date.DrivingChain),
	}
	singles, useless, untried := f.worthTrying(levers)
	r.Untried = untried
	for _, m := range useless {
		r.Not = append(r.Not, NotOffered{Move: m, Holds: r.Holds})
	}
	f.total = 1 + len(singles) + o.MostSets
	trials, err := f.all(singles)
	if err != nil {
		return nil, err
	}
	for _, t := range trials {
		if t.Won >= Least {
			r.Singles = append(r.Singles, *t)
		} else {
			r.Without = append(r.Without, *t)
		}
	}
	if r.Sets, err = f.sets(levers, trials); err != nil {
		return nil, err
	}
	slices.SortStableFunc(r.Singles, Compare)
	slices.SortStableFunc(r.Sets, Compare)
	r.Plans = f.done
	f.total = f.done
	f.tell(f.done)
	return r, nil
}

// Try plans the problem as it is and with a set of moves. Find's trial of the same moves is the same.
func Try(ctx context.Context, in Input, moves []Move, o Options) (*Trial, error) {
	f := finder{in: in, o: o.withDefaults(), ctx: ctx, total: 2}
	if err := f.begin(); err != nil {
		return nil, err
	}
	return f.base.try(ctx, moves, f.o)
}

// Compare ranks trials: days won that cost nothing first, the more the better; then by cost a day won; then by days won.
func Compare(a, b Trial) int {
	free := func(t Trial) int {
		if t.Won > 0 && t.Cost <= 0 {
			return 0
		}
		return 1
	}
	if fa, fb := free(a), free(b); fa != fb || fa == 0 {
		return cmp.Or(cmp.Compare(fa, fb), cmp.Compare(b.Won, a.Won), cmp.Compare(a.Cost, b.Cost))
	}
	return cmp.Or(cmp.Compare(a.CostPerDay(), b.CostPerDay()), cmp.Compare(b.Won, a.Won))
}

// finder is a search while it goes on.
type finder struct {
	in    Input
	o     Options
	ctx   context.Context
	base  base
	done  int
	total int
}

// begin makes the base plan.
func (f *finder) begin() error {
	made, err := computed(f.ctx, f.in.Problem, nil, f.o)
	if err != nil {
		return fmt.Errorf("plan without any move: %w", err)
	}
	at := slices.IndexFunc(made.GCDates, func(d problem.PlannedDate) bool { return d.ID == f.in.GCDate })
	if at < 0 {
		return fmt.Errorf("the problem has no GC date %q", f.in.GCDate)
	}
	if made.GCDates[at].Forecast == nil {
		return ErrNoForecast
	}
	f.base = base{f.in.Problem, made, figures(f.in.Problem, nil, made), at}
	f.tell(1)
	return nil
}

func (f *finder) tell(done int) {
	f.done = done
	if f.o.Progress != nil {
		f.o.Progress(done, f.total)
	}
}

// worthTrying are the moves to try by themselves: of the nearest levers, each lever's levels together, those that could help
// at all.
func (f *finder) worthTrying(levers []Lever) (sets [][]Move, useless []Move, untried int) {
	for _, l := range levers {
		for _, m := range l.Levels {
			switch {
			case len(sets) == f.o.MostSingles:
				untried++
			case f.hopeless([]Move{m}):
				useless = append(useless, m)
			default:
				sets = append(sets, []Move{m})
			}
		}
	}
	return sets, useless, untried
}

// hopeless reports whether no plan with some moves could win Least.
func (f *finder) hopeless(moves []Move) bool {
	bound, ok := soonest(Apply(f.in.Problem, moves), f.in.GCDate)
	return ok && f.base.plan.GCDates[f.base.date].Forecast.Sub(bound) < Least*time.Minute
}

// all tries sets of moves at once on the workers and returns the trials in the same order.
func (f *finder) all(sets [][]Move) ([]*Trial, error) {
	type outcome struct {
		at    int
		trial *Trial
		err   error
	}
	ctx, cancel := context.WithCancel(f.ctx)
	defer cancel()
	next, outcomes := make(chan int, len(sets)), make(chan outcome, len(sets))
	for i := range sets {
		next <- i
	}
	close(next)
	workers := min(f.o.Workers, len(sets))
	for range workers {
		go func() {
			for i := range next {
				trial, err := f.base.try(ctx, sets[i], f.o)
				outcomes <- outcome{i, trial, err}
			}
		}()
	}
	trials, errs := make([]*Trial, len(sets)), make([]error, len(sets))
	for range sets {
		o := <-outcomes
		trials[o.at], errs[o.at] = o.trial, o.err
		if o.err != nil {
			cancel() // the others end at their next look at the context
			continue
		}
		f.tell(f.done + 1)
	}
	if err := f.ctx.Err(); err != nil {
		return nil, err
	}
	return trials, firstFault(errs)
}

// firstFault is the first error that is not only the echo of another one's cancelling.
func firstFault(errs []error) error {
	var echo error
	for _, err := range errs {
		if err != nil && !errors.Is(err, context.Canceled) {
			return err
		}
		echo = cmp.Or(echo, err)
	}
	return echo
}

// sets climbs on the levers that won most for their cost, filled up with the nearest others: on parallel chains only moves
// together win anything. Steps with two moves and more are sets.
func (f *finder) sets(levers []Lever, singles []*Trial) ([]Trial, error) {
	chosen := chosenLevers(levers, singles, f.o.MostLevers)
	tops := make([]int, len(chosen))
	for i, l := range chosen {
		tops[i] = len(l.Levels)
	}
	known := map[string]*Trial{choice(make([]int, len(chosen))).key(): f.base.trial(nil, f.base.plan)}
	for _, t := range singles {
		for lever, l := range chosen {
			if level := slices.Index(l.Levels, t.Moves[0]); level >= 0 {
				c := make(choice, len(chosen))
				c[lever] = level + 1
				known[c.key()] = t
			}
		}
	}
	var failed error
	c := climber{tops: tops, together: 2, known: map[string]value{}, budget: f.o.MostSets, value: func(of []choice) []value {
		values := make([]value, len(of))
		var moves [][]Move
		var planned []int
		for i := range of {
			if set := movesOf(chosen, of[i]); failed == nil && !f.hopeless(set) {
				moves, planned = append(moves, set), append(planned, i)
			}
		}
		trials, err := f.all(moves)
		if err != nil {
			failed = err
			return values
		}
		for n, i := range planned {
			known[of[i].key()] = trials[n]
			values[i] = worth(trials[n])
		}
		return values
	}}
	for key, t := range known {
		c.known[key] = worth(t)
	}
	steps := c.climb()
	if failed != nil {
		return nil, failed
	}
	return worthwhile(steps, known, singles), nil
}

// worth counts days won in steps of Least, so that the climb does not spend on minutes.
func worth(t *Trial) value { return value{int64(max(0, t.Won) / Least), t.Cost} }

// worthwhile are the trials of the steps with two moves and more, each of which wins more than any of its moves alone.
func worthwhile(steps []step, known map[string]*Trial, singles []*Trial) []Trial {
	alone := map[Move]int{}
	for _, t := range singles {
		alone[t.Moves[0]] = t.Won
	}
	var sets []Trial
	for _, s := range steps {
		t := known[s.levels.key()]
		more := len(t.Moves) > 1
		for _, m := range t.Moves {
			more = more && t.Won > alone[m]
		}
		if more {
			sets = append(sets, *t)
		}
	}
	return sets
}

// chosenLevers are the levers for sets, in the order of levers: those that won something, the best first, then the nearest
// to the driving chain.
func chosenLevers(levers []Lever, singles []*Trial, most int) []Lever {
	var winners []*Trial
	for _, t := range singles {
		if t.Won >= Least {
			winners = append(winners, t)
		}
	}
	slices.SortStableFunc(winners, func(a, b *Trial) int { return Compare(*a, *b) })
	names := map[string]bool{}
	choose := func(name string) {
		if len(names) < most {
			names[name] = true
		}
	}
	for _, t := range winners {
		choose(t.Moves[0].Lever())
	}
	for _, l := range levers {
		choose(l.Name)
	}
	var chosen []Lever
	for _, l := range levers {
		if names[l.Name] {
			chosen = append(chosen, l)
		}
	}
	return chosen
}

// movesOf are the moves of a choice of levels.
func movesOf(levers []Lever, c choice) []Move {
	var moves []Move
	for i, level := range c {
		if level > 0 {
			moves = append(moves, levers[i].Levels[level-1])
		}
	}
	return moves
}
