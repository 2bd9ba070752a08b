package crewing

import (
	"math/rand/v2"
	"slices"

	"jambwright/scheduler/network"
)

// SearchOptions bound a search. Schedules is the budget, a count of complete generations, forward or backward.
type SearchOptions struct {
	Schedules int
	Seed      uint64
	Stop      func() bool           // nil: never; asked between schedules
	Progress  func(done, total int) // nil: none
	MayExtend bool                  // the caller can try again under a longer horizon: stop when one is needed
	NoBound   bool                  // the schedule alone is wanted: a bound that the search does not need is left at what any schedule meets
}

// StoppedBy says why a search ended.
type StoppedBy string

// The reasons to stop.
const (
	Budget    StoppedBy = "budget"
	Proved    StoppedBy = "proved"
	TimeLimit StoppedBy = "time limit"
)

// Result is what a search found.
type Result struct {
	Schedule  *Schedule
	Bound     Bound
	Schedules int
	StoppedBy StoppedBy
	NeedsTime bool // a task found no working time before the horizon: it may under a longer one. The search ended there.
}

// search is the state of one search.
type search struct {
	m       *Model
	dates   *network.Dates
	w       *Workspace
	o       SearchOptions
	r       *ranker
	rules   []rule // that the search draws from
	rng     *rand.Rand
	bound   *Bound // nil until it is asked for
	best    *Schedule
	done    int
	stopped StoppedBy

	sorter sorter
	keys   []int64
	people population
}

// Search looks for a good schedule: each priority rule with one improvement by justification, then a population that
// breeds from the best lists until the budget is spent, nothing can be better, or Stop says so. The same model, dates,
// seed and budget give the same result on every machine.
func Search(m *Model, dates *network.Dates, o SearchOptions) Result {
	s := newSearch(m, dates, o)
	if s.firstRule(); s.needsTime() && o.MayExtend {
		return Result{Schedule: s.best, Schedules: s.done, StoppedBy: Budget, NeedsTime: true}
	}
	s.tryRules()
	s.refute()
	s.polish()
	s.breed()
	found := Result{Schedule: s.best, Bound: Bound{Makespan: m.DataDate}, Schedules: s.done, StoppedBy: s.stopped}
	if !o.NoBound || s.bound != nil {
		found.Bound = *s.lowerBound()
	}
	return found
}

func newSearch(m *Model, dates *network.Dates, o SearchOptions) *search {
	s := &search{
		m: m, dates: dates, w: NewWorkspace(m), o: o, r: newRanker(m, dates), rng: rand.New(rand.NewPCG(o.Seed, 0x6a616d62)),
		best: newSchedule(m), rules: rules[:], keys: make([]int64, m.Tasks()),
	}
	s.people.limit = populationSize(o.Schedules)
	s.w.giveUpHopeless(dates)
	return s
}

// over reports whether the search must end before it makes another schedule.
func (s *search) over() bool {
	switch {
	case s.stopped != "":
	case s.done > 0 && s.isProved():
		s.stopped = Proved
	case s.done >= max(1, s.o.Schedules):
		s.stopped = Budget
	case s.done > 0 && s.o.Stop != nil && s.o.Stop():
		s.stopped = TimeLimit
	}
	return s.stopped != ""
}

// isProved reports whether nothing can be better than the best schedule.
func (s *search) isProved() bool {
	return s.m.mayBeLeast(&s.best.Score) && s.lowerBound().Reached(&s.best.Score)
}

// lowerBound is the bound on all schedules. It costs as much as some schedules, so that it is not worked out before it is needed.
func (s *search) lowerBound() *Bound {
	if s.bound == nil {
		bound := BoundOf(s.m, s.dates)
		s.bound = &bound
	}
	return s.bound
}

// refute raises the bound on the makespan towards what the rules found, where that costs little beside the search.
func (s *search) refute() {
	if s.over() || s.m.Tasks() > destructiveTasks || s.o.Schedules < destructiveSchedules || s.best.Score.Unplaced > 0 ||
		s.lowerBound().Makespan >= s.best.Score.Makespan {
		return
	}
	r := newRefuter(s.m, s.dates)
	s.bound.raiseMakespan(s.m, r.raise(s.bound.Makespan, s.best.Score.Makespan, func() bool { return s.o.Stop != nil && s.o.Stop() }))
}

// count notes one more schedule.
func (s *search) count() {
	s.done++
	if s.o.Progress != nil {
		s.o.Progress(s.done, s.o.Schedules)
	}
}

// firstRule makes the first schedule. It also settles which pinned and frozen places can be kept.
func (s *search) firstRule() {
	if len(s.m.issued) > 0 {
		s.w.stay(s.asIssued(), false)
	} else {
		s.w.Settle(s.ruled(&rules[0]))
	}
	s.count()
	s.best.copyFrom(s.w.s)
}

func (s *search) needsTime() bool {
	return slices.ContainsFunc(s.best.Failed, func(f Failure) bool { return f.NeedsTime })
}

// tryRules improves the first schedule, and makes and improves one by each further priority rule.
func (s *search) tryRules() {
	if s.over() {
		return
	}
	from := 1
	if len(s.m.issued) > 0 {
		from = 0 // the first schedule was the issued plan's
		s.repair()
	}
	if s.over() {
		return
	}
	first := s.people.newcomer(s.m, s.best)
	s.tryUrgency()
	s.improve(first)
	for i := from; i < len(rules) && !s.over(); i++ {
		s.w.Generate(s.ruled(&rules[i]))
		s.count()
		s.improve(s.people.newcomer(s.m, s.w.s))
	}
}

// tryUrgency makes a schedule by each of the rules for late work, where the first one is late, and improves the best. A large
// problem may have budget for little else.
func (s *search) tryUrgency() {
	if s.best.Score.LatenessCost == 0 {
		return
	}
	s.rules = append(slices.Clip(s.rules), urgencyRules[:]...)
	for i := range urgencyRules {
		if s.over() {
			return
		}
		s.w.Generate(s.ruled(&urgencyRules[i]))
		s.count()
		s.keep(s.people.newcomer(s.m, s.w.s))
	}
	if !s.over() {
		s.improve(s.people.members[0])
	}
}

// repair makes more schedules of the plan in force, unless the first one keeps all of it, each by a rule that a person would
// follow: late work pushes on what comes after it in the issued order, where in the first schedule it lets that go ahead; the
// same with every task on its issued crew; work under way goes first; and all goes on as soon as it can in the issued order, on
// the issued crews or on any. At last what the first one holds gives way to late work (giveWay).
func (s *search) repair() {
	if s.best.Score.Changes == 0 && s.best.Score.Broken == 0 {
		return
	}
	stayed := newSchedule(s.m)
	stayed.copyFrom(s.best)
	for _, rule := range repairs {
		if s.over() {
			return
		}
		list := s.asIssued()
		if rule.sameCrews {
			s.issuedCrews()
		}
		s.w.setTaste(taste{keep: rule.keep, crews: rule.sameCrews})
		var made *Schedule
		if rule.underWay {
			made = s.w.stay(list, true)
		} else {
			made = s.w.Generate(list)
		}
		s.count()
		s.keep(s.people.newcomer(s.m, made))
	}
	s.giveWay(stayed)
}

// repairs are ways to go on with the plan in force: the ones that most often do well come first, for short budgets.
var repairs = [...]struct{ keep, sameCrews, underWay bool }{
	{keep: true}, {keep: true, sameCrews: true}, {keep: true, underWay: true}, {sameCrews: true}, {},
}

// issuedCrews forces every task onto the crew that the plan in force names, as far as that crew may still do it.
func (s *search) issuedCrews() {
	m := s.m
	for i := range m.issued {
		line := &m.issued[i]
		for k, o := range m.Options(line.task) {
			if o.Crew == line.crew {
				s.w.choice[line.task] = int16(k)
			}
		}
	}
}

// ruled is the list of a priority rule, with its taste.
func (s *search) ruled(rule *rule) []TaskIndex {
	s.freeChoice()
	s.r.rank(rule, s.keys)
	s.w.setTaste(rule.taste)
	return s.sorter.sort(s.m, s.keys)
}

// asIssued is the list of the plan in force.
func (s *search) asIssued() []TaskIndex {
	return s.ruled(&issuedRule)
}

// freeChoice forces no task onto a crew and none to its issued place.
func (s *search) freeChoice() {
	for t := range s.w.choice {
		s.w.choice[t] = None
	}
}

// generate makes the schedule of the keys. One in which followers go ahead may come to nothing; then none does.
func (s *search) generate(keys []int64) {
	if s.w.taste.ahead && !s.w.GenerateAhead(s.sorter.sortAhead(s.m, keys), s.dates) {
		s.w.taste.ahead = false
	}
	if !s.w.taste.ahead {
		s.w.Generate(s.sorter.sort(s.m, keys))
	}
	s.count()
}

// improve takes a schedule into the population, and one or two more that justification makes of it.
func (s *search) improve(one *individual) {
	for range 2 {
		s.keep(one)
		if s.over() {
			return
		}
		s.w.justify(one.schedule, s.keys)
		s.count()
		if s.over() {
			return
		}
		s.setChoice(one.schedule)
		s.generate(s.keys)
		better := s.w.s.Score.Better(&one.schedule.Score)
		if !better {
			return
		}
		one = s.people.newcomer(s.m, s.w.s)
	}
	s.keep(one)
}

// keep remembers the best schedule and offers the newcomer a place in the population.
func (s *search) keep(one *individual) {
	if one.schedule.Score.Better(&s.best.Score) {
		s.best.copyFrom(one.schedule)
	}
	s.people.admit(one)
}

// polish moves waiting work of the best schedule to crews that are free sooner, as long as that helps.
func (s *search) polish() {
	for range mostPolish {
		if s.over() || len(s.people.members) == 0 {
			return
		}
		one := s.people.members[0]
		s.setChoice(one.schedule)
		moved := s.w.compact(one.schedule, s.keys)
		s.count()
		if !moved || s.over() {
			return
		}
		s.generate(s.keys)
		better := s.w.s.Score.Better(&one.schedule.Score)
		s.keep(s.people.newcomer(s.m, s.w.s))
		if !better {
			return
		}
	}
}

// mostPolish bounds the rounds of polish.
const mostPolish = 6

// setChoice makes the workspace choose crews as it did for a schedule.
func (s *search) setChoice(from *Schedule) {
	copy(s.w.choice, from.choice)
	s.w.setTaste(from.taste)
}
