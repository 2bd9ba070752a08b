package played_test

import (
	"hash/fnv"
	"math"
	"math/rand/v2"
	"time"

	"jambwright/scheduler/problem"
)

// truth is what really happens, unseen by the planner. Every draw follows from the seed and a name, so that the same truth can be
// played twice with other plans: a task takes the same hours and a truck the same days whoever waits for them.
type truth struct{ seed uint64 }

// What is drawn, around what the firm reckons with. Every figure is invented.
const (
	hoursSpread = 0.3  // standard deviation of the logarithm of hours over planned hours
	kindShare   = 0.3  // of it that is common to a kind of work
	breakage    = 0.04 // of glazing: a pane breaks while it is set
	brokenLater = 0.03 // others break a pane within a week
	stopped     = 0.05 // of framing: something stands in the way
	lostSignal  = 0.1  // of reports, which come the next morning
)

// daysLate are working days after the promise, each as likely.
var daysLate = []int{0, 0, 0, 0, 1, 0, 2, 3, 5, 8}

// afterPromise are working days by which a truck misses what its supplier promised, each as likely.
var afterPromise = []int{0, 0, 0, 0, 0, 1, 0, 0, 2, 4}

func (t truth) of(name string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(name))
	return rand.New(rand.NewPCG(t.seed, h.Sum64()))
}

// hours is what a task takes over what is planned for it.
func (t truth) hours(key, kind string) float64 {
	z := math.Sqrt(kindShare)*t.of("kind "+kind).NormFloat64() + math.Sqrt(1-kindShare)*t.of("hours "+key).NormFloat64()
	return math.Exp(hoursSpread * z)
}

// happens draws whether something with a chance happens.
func (t truth) happens(chance float64, name string) bool { return t.of(name).Float64() < chance }

// one draws one of a list.
func (t truth) one(list []int, name string) int { return list[t.of(name).IntN(len(list))] }

// lead draws a lead time in days from the triangular distribution of its three figures.
func (t truth) lead(least, likely, most float64, name string) int {
	u, peak := t.of("lead "+name).Float64(), (likely-least)/(most-least)
	if u < peak {
		return int(math.Round(least + math.Sqrt(u*(most-least)*(likely-least))))
	}
	return int(math.Round(most - math.Sqrt((1-u)*(most-least)*(most-likely))))
}

// workday is the n-th working day, Monday to Friday, after a date; for 0 the date itself or the Monday after a weekend.
func workday(d problem.Date, n int) problem.Date {
	at := time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
	weekend := func() bool { return at.Weekday() == time.Saturday || at.Weekday() == time.Sunday }
	for weekend() {
		at = at.AddDate(0, 0, 1)
	}
	for ; n > 0; n-- {
		for at = at.AddDate(0, 0, 1); weekend(); {
			at = at.AddDate(0, 0, 1)
		}
	}
	return problem.DateOf(at)
}
