// Package slippage measures how the promises of other trades move, and what came of them.
//
// A promise is a date by which a trade says that an area will be handed over in some condition. It moves: each new
// promise that is later than the one before is a slip, each earlier one is a gain. What counts for our work is the whole
// way from the first promise, which the job was planned by, to the day of the handover:
//
//	first promise   Fri  4 Dec
//	then            Thu 10 Dec    a slip of 6 days
//	then            Mon 14 Dec    a slip of 4 days
//	handed over     Fri 11 Dec    outcome: 7 days late, though 3 days before the last promise
//
// Days are calendar days, since a promise names a day and not hours of work. A condition that is not handed over yet has
// no outcome; its slips so far are counted apart, so that a record is not made better or worse by what is still open.
//
// What this package does not do: it predicts nothing. A forecast may draw from Record.Days, which lists every outcome.
package slippage

import (
	"cmp"
	"math"
	"slices"
	"time"

	"jambwright/scheduler/problem"
)

// Story is what was promised of one condition of one area, and what came of it.
type Story struct {
	Trade     string
	Condition string
	Promises  []problem.Date // in the order in which they were made; a date said twice running is one promise
	Actual    *problem.Date  // nil while it is not handed over
}

// Steps are how far each promise moved from the one before, in calendar days: positive is later. Steps of 0 are left out.
func (s *Story) Steps() []int {
	var steps []int
	for i := 1; i < len(s.Promises); i++ {
		if days := Days(s.Promises[i-1], s.Promises[i]); days != 0 {
			steps = append(steps, days)
		}
	}
	return steps
}

// Slips is how often the promise moved to a later day.
func (s *Story) Slips() int {
	n := 0
	for _, days := range s.Steps() {
		if days > 0 {
			n++
		}
	}
	return n
}

// Moved is how far the promise has moved in all, from the first to the last one, in calendar days.
func (s *Story) Moved() int {
	if len(s.Promises) == 0 {
		return 0
	}
	return Days(s.Promises[0], s.Promises[len(s.Promises)-1])
}

// Outcome is the days from the first promise to the handover, negative when it came early; known is false while it is open
// and when nobody promised anything.
func (s *Story) Outcome() (days int, known bool) {
	if s.Actual == nil || len(s.Promises) == 0 {
		return 0, false
	}
	return Days(s.Promises[0], *s.Actual), true
}

// Record is what became of the promises of one trade, or of one condition whoever owed it.
type Record struct {
	Name       string
	Promised   int // conditions of areas that were promised at all
	HandedOver int // of them, those with an outcome
	Late       int // outcomes after the first promise
	OnTheDay   int
	Early      int
	Open       int    // not handed over yet
	OpenLater  int    // of the open ones, those whose promise stands later than at first
	Slips      int    // how often promises moved to a later day, open ones included
	Days       []int  // every outcome in calendar days, in ascending order
	Spread     Spread // of Days; zero without an outcome
}

// ByTrade gives the record of each trade, by name.
func ByTrade(stories []Story) []Record {
	return by(stories, func(s *Story) string { return s.Trade })
}

// ByCondition gives the record of each condition, by name.
func ByCondition(stories []Story) []Record {
	return by(stories, func(s *Story) string { return s.Condition })
}

func by(stories []Story, name func(*Story) string) []Record {
	records := map[string]*Record{}
	var order []*Record
	for i := range stories {
		s := &stories[i]
		if len(s.Promises) == 0 {
			continue
		}
		r := records[name(s)]
		if r == nil {
			r = &Record{Name: name(s)}
			records[r.Name], order = r, append(order, r)
		}
		r.add(s)
	}
	list := make([]Record, len(order))
	for i, r := range order {
		slices.Sort(r.Days)
		r.Spread = SpreadOf(r.Days)
		list[i] = *r
	}
	slices.SortFunc(list, func(a, b Record) int { return cmp.Compare(a.Name, b.Name) })
	return list
}

func (r *Record) add(s *Story) {
	r.Promised++
	r.Slips += s.Slips()
	days, known := s.Outcome()
	if !known {
		r.Open++
		if s.Moved() > 0 {
			r.OpenLater++
		}
		return
	}
	r.HandedOver++
	r.Days = append(r.Days, days)
	switch {
	case days > 0:
		r.Late++
	case days < 0:
		r.Early++
	default:
		r.OnTheDay++
	}
}

// Spread is how values lie: the least and most of them, the median, and the quartiles, between which the middle half lies.
type Spread struct {
	N                                 int
	Least, Lower, Median, Upper, Most float64
}

// SpreadOf describes values in ascending order.
func SpreadOf(sorted []int) Spread {
	if len(sorted) == 0 {
		return Spread{}
	}
	return Spread{
		N: len(sorted), Least: float64(sorted[0]), Most: float64(sorted[len(sorted)-1]),
		Lower: Percentile(sorted, 0.25), Median: Percentile(sorted, 0.5), Upper: Percentile(sorted, 0.75),
	}
}

// Percentile is the value under which the share p of sorted values lies, by the rule of the NIST/SEMATECH e-Handbook of
// Statistical Methods, section 7.2.6.2: at rank p(N+1), between its two neighbours in proportion; below the first rank the
// least value, beyond the last one the most. It panics without values, as it has nothing to say then.
func Percentile[V int | float64](sorted []V, p float64) float64 {
	n := len(sorted)
	if n == 0 {
		panic("slippage: a percentile of no values")
	}
	whole, part := math.Modf(p * float64(n+1))
	switch k := int(whole); {
	case k < 1:
		return float64(sorted[0])
	case k >= n:
		return float64(sorted[n-1])
	default:
		below, above := float64(sorted[k-1]), float64(sorted[k])
		return below + part*(above-below)
	}
}

// Days counts calendar days from one date to another, negative when the second lies before the first.
func Days(from, to problem.Date) int {
	return int(midnight(to).Sub(midnight(from)) / (24 * time.Hour))
}

// midnight is the start of a date in a zone whose days all have 24 hours.
func midnight(d problem.Date) time.Time {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
}
