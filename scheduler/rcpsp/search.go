package rcpsp

import (
	"errors"
	"slices"
)

// Options sets the effort of a search. At least one of Schedules and Stop must be given.
type Options struct {
	// Schedules is the number of complete generations, forward or backward, after which the search ends; 0 sets no limit.
	Schedules int64
	// Expected is the number of schedules the caller expects to have time for before Stop says true. It sizes the search
	// as Schedules does; when it is 0, Schedules is taken, or else 50,000.
	Expected int64
	// Seed chooses the random numbers.
	Seed uint64
	// Stop, when given, is asked before every few schedules; the search ends soon after it says true.
	Stop func() bool
	// Progress, when given, is told of every better schedule. Its value does not share memory with the search.
	Progress func(Progress)
}

// Progress is the state of a search when it has found a better schedule.
type Progress struct {
	Makespan   int32
	LowerBound int32
	Schedules  int64
}

// StopReason says what ended a search.
type StopReason string

// The reasons.
const (
	// StoppedProved means that the makespan equals the lower bound, so no schedule is shorter.
	StoppedProved StopReason = "proved"
	// StoppedSchedules means that the schedule limit was reached.
	StoppedSchedules StopReason = "schedules"
	// StoppedAsked means that the stop function said so.
	StoppedAsked StopReason = "asked"
)

// Result is the best schedule found.
type Result struct {
	// Starts holds one start per job, in periods from 0. The caller owns it.
	Starts       []int32
	Makespan     int32
	CriticalPath int32
	// LowerBound is the best bound proved; no schedule is shorter.
	LowerBound int32
	// Proved is true when Makespan equals LowerBound.
	Proved bool
	// Schedules counts the complete generations made; of those abandoned, the part that was built.
	Schedules int64
	Stopped   StopReason
}

// ErrNoLimit refuses a search that would never have to end.
var ErrNoLimit = errors.New("a search needs a schedule limit or a stop function")

// defaultExpected sizes the search when only a stop function is given.
const defaultExpected = 50_000

// stopInterval is the number of schedules between two calls of the stop function: well under a millisecond of work on
// the public instances, and a clock read every 16 schedules costs less than one percent.
const stopInterval = 16

// Solve searches for a short schedule and always returns a feasible one, at the least that of a priority rule.
func Solve(in *Instance, options Options) (Result, error) {
	if options.Schedules <= 0 && options.Stop == nil {
		return Result{}, ErrNoLimit
	}
	s := newSearch(in, options)
	s.run()
	return s.result(), nil
}

// search is the state shared by the parts of one run.
type search struct {
	in      *Instance
	options Options
	*generator
	lister *lister
	chance *random

	critical  int32
	bound     int32
	best      []int32
	makespan  int32
	stopped   StopReason
	nextCheck int64
}

func newSearch(in *Instance, options Options) *search {
	s := &search{
		in:        in,
		options:   options,
		generator: newGenerator(in),
		lister:    newLister(in),
		chance:    newRandom(options.Seed),
		best:      make([]int32, in.Jobs()),
		critical:  in.CriticalPath(),
		makespan:  1<<31 - 1,
	}
	s.bound = max(s.critical, in.EnergyBound())
	return s
}

// done reports whether the search must end, and why.
func (s *search) done() bool {
	switch {
	case s.stopped != "":
	case s.makespan <= s.bound:
		s.stopped = StoppedProved
	case s.options.Schedules > 0 && s.schedules() >= s.options.Schedules:
		s.stopped = StoppedSchedules
	case s.schedules() >= s.nextCheck:
		s.nextCheck = s.schedules() + stopInterval
		s.isAskedToStop()
	}
	return s.stopped != ""
}

func (s *search) isAskedToStop() bool {
	if s.options.Stop != nil && s.options.Stop() {
		s.stopped = StoppedAsked
	}
	return s.stopped != ""
}

// offer keeps a forward schedule if it is better than the best so far.
func (s *search) offer(start []int32, makespan int32) {
	if makespan >= s.makespan {
		return
	}
	s.makespan = makespan
	copy(s.best, start)
	if s.options.Progress != nil {
		s.options.Progress(Progress{Makespan: makespan, LowerBound: s.bound, Schedules: s.schedules()})
	}
}

func (s *search) result() Result {
	return Result{
		Starts:       slices.Clone(s.best),
		Makespan:     s.makespan,
		CriticalPath: s.critical,
		LowerBound:   s.bound,
		Proved:       s.makespan == s.bound,
		Schedules:    s.schedules(),
		Stopped:      s.stopped,
	}
}

// run evolves one population after another; each starts from nothing, because the one before had stopped moving.
func (s *search) run() {
	p := newPopulation(s)
	p.begin(&p.members[0], true)
	if !s.done() {
		s.bound = raise(s.in, s.bound, s.makespan, s.isAskedToStop)
	}
	for ready := 1; s.stopped == ""; ready = 0 {
		p.evolve(ready)
	}
}

// expected returns the number of schedules by which the population is sized.
func (s *search) expected() int64 {
	switch {
	case s.options.Expected > 0 && s.options.Schedules > 0:
		return min(s.options.Expected, s.options.Schedules)
	case s.options.Expected > 0:
		return s.options.Expected
	case s.options.Schedules > 0:
		return s.options.Schedules
	}
	return defaultExpected
}
