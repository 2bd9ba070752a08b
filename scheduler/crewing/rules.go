package crewing

import (
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// rule is a priority rule: a name and a key per task, the least first. To add one, write its key and list it in rules.
type rule struct {
	name  string
	key   func(r *ranker, t TaskIndex) int64
	taste taste
}

// issuedRule takes the plan in force for its order, and leaves every task where it was as long as it can stay there. It
// is tried before all other rules when there is such a plan, since every change to it costs.
var issuedRule = rule{"issued start", func(r *ranker, t TaskIndex) int64 {
	if line := r.m.issuedOf[t]; line != None {
		return int64(r.m.issued[line].start)
	}
	return int64(r.neededBegin(t))
}, taste{keep: true}}

// neededBegin is the latest begin that leaves the followers of a task at their issued starts, roughly.
func (r *ranker) neededBegin(t TaskIndex) calendar.Instant {
	m := r.m
	begin := r.dates.LateBegin[t]
	for _, l := range m.outOf(t) {
		line := m.issuedOf[l.task]
		if line == None {
			continue
		}
		at := m.issued[line].start
		if l.lag != 0 {
			at = m.Calendars[l.axis].LatestWithAdd(at, l.lag)
		}
		if l.relation&fromStart == 0 {
			at -= calendar.Instant(m.leastMinutes(t))
		}
		begin = min(begin, at)
	}
	return begin
}

// rules are tried in this order, so the ones that do best on most problems come first: with a budget of a few schedules
// the rest is never tried. Names are the literature's (Kolisch 1996, "Efficient priority rules for the resource-constrained
// project scheduling problem", Journal of Operations Management 14), but for those of GC dates
// and areas.
var rules = [...]rule{
	{"latest finish time", func(r *ranker, t TaskIndex) int64 { return int64(r.dates.LastFinish[t]) }, taste{}},
	{"latest start time", func(r *ranker, t TaskIndex) int64 { return int64(r.dates.LateBegin[t]) }, taste{demand: 1}},
	{"damages-weighted latest finish", (*ranker).weighted, taste{demand: 2, move: 1}},
	{"date by date, earliest first", byDate(earliestFirst), taste{demand: 3, move: 1}},
	{"date by date, dearest work first", byDate(dearestFirst), taste{demand: 4, move: 2}},
	{"minimum slack", func(r *ranker, t TaskIndex) int64 { return int64(r.dates.TotalFloat[t]) }, taste{move: 2}},
	{"greatest remaining path", func(r *ranker, t TaskIndex) int64 { return -r.tail[t] }, taste{demand: 1, move: 3}},
	{"early start", func(r *ranker, t TaskIndex) int64 { return int64(r.dates.EarlyBegin[t]) }, taste{demand: 2, move: 3}},
	{"area by area", (*ranker).byArea, taste{demand: 3}},
	{"walking order", func(_ *ranker, t TaskIndex) int64 { return int64(t) }, taste{demand: 4}},
}

// urgencyRules are for more work than the dates leave time for.
var urgencyRules = [...]rule{
	{"date by date, most urgent first", byDate(urgentFirst), taste{demand: 4, move: 4}},
	{"date by date, most urgent first, looking less far", byDate(pressingFirst), taste{demand: 4, move: 3}},
	{"date by date, most urgent first, ready or not", byDate(unreadyFirst), taste{demand: 2, move: 4}},
}

// dateOrder is an order of the GC dates.
type dateOrder uint8

const (
	earliestFirst dateOrder = iota
	dearestFirst
	urgentFirst
	pressingFirst
	unreadyFirst
	dateOrders
)

// ranker holds what priority rules look at.
type ranker struct {
	m       *Model
	dates   *network.Dates
	damages []float64 // per task: damages a day of all GC dates that it is needed for
	tail    []int64   // per task: minutes of the longest path of its followers' work
	area    []int64   // per area: latest finish of the most urgent task in it
	first   []bool    // per task: under way, or needed for a pinned or frozen place
	most    float64   // the largest of damages

	dateRank [dateOrders][]int32 // per task: place of the first GC date that needs it among all in that order
}

func newRanker(m *Model, dates *network.Dates) *ranker {
	n := m.Tasks()
	r := &ranker{
		m: m, dates: dates, damages: make([]float64, n), tail: make([]int64, n), area: make([]int64, len(m.setup)),
		first: make([]bool, n),
	}
	r.sumDamages()
	r.rankDates()
	for i := len(m.order) - 1; i >= 0; i-- {
		t := m.order[i]
		for _, l := range m.outOf(t) {
			r.tail[t] = max(r.tail[t], r.tail[l.task]+m.leastMinutes(l.task))
			r.first[t] = r.first[t] || r.first[l.task] || m.wishes[l.task].start != calendar.Never
		}
		r.first[t] = r.first[t] || m.state[t] == Started
	}
	for a := range r.area {
		r.area[a] = int64(calendar.Never)
	}
	for _, t := range m.order {
		a := m.places[m.place[t]].area
		r.area[a] = min(r.area[a], int64(dates.LastFinish[t]))
	}
	return r
}

// sumDamages walks back from the tasks of each GC date.
func (r *ranker) sumDamages() {
	m := r.m
	seen := make([]int32, m.Tasks())
	var stack []TaskIndex
	for i := range m.GCDates {
		stack = append(stack[:0], m.GCDates[i].Tasks...)
		for len(stack) > 0 {
			t := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			if seen[t] == int32(i+1) {
				continue
			}
			seen[t] = int32(i + 1)
			r.damages[t] += m.GCDates[i].Damages
			r.most = max(r.most, r.damages[t])
			for _, l := range m.into(t) {
				stack = append(stack, l.task)
			}
		}
	}
}

// weighted brings work for dear dates forward: each tenth of the highest damages counts as half a day of urgency.
func (r *ranker) weighted(t TaskIndex) int64 {
	key := int64(r.dates.LastFinish[t])
	if r.most > 0 {
		key -= int64(10 * r.damages[t] / r.most * minutesPerDay / 2)
	}
	return key
}

// rankDates finds for each task the first GC date that needs it, in each order of the dates.
func (r *ranker) rankDates() {
	m := r.m
	needed := newAncestry(m)
	loads := r.loads(needed)
	orders := [dateOrders][]int{byDue(loads), byCost(loads)}
	for i, s := range sights {
		orders[int(urgentFirst)+i] = urgent(loads, s)
	}
	for o := range r.dateRank {
		r.dateRank[o] = make([]int32, m.Tasks())
		for t := range r.dateRank[o] {
			r.dateRank[o][t] = int32(len(loads))
		}
	}
	lists := make([][]TaskIndex, len(loads))
	for i := range lists {
		lists[i] = slices.Clone(needed.of(m.GCDates[i].Tasks))
	}
	for o, order := range orders {
		for place, date := range slices.Backward(order) {
			for _, t := range lists[date] {
				r.dateRank[o][t] = int32(place)
			}
		}
	}
}

// byDate takes one date's work after another's, by latest finish within.
func byDate(o dateOrder) func(r *ranker, t TaskIndex) int64 {
	const apart = int64(1) << 32 // minutes, more than any horizon is long
	return func(r *ranker, t TaskIndex) int64 {
		return int64(r.dateRank[o][t])*apart + int64(r.dates.LastFinish[t]-r.m.From)
	}
}

// byArea keeps the work of an area together, the most urgent area first.
func (r *ranker) byArea(t TaskIndex) int64 {
	a := r.m.places[r.m.place[t]].area
	return r.area[a]<<12 | int64(a)&0xfff
}

// rank fills the keys of a rule. Work under way and work that pinned or frozen places wait for come before all else.
func (r *ranker) rank(rule *rule, keys []int64) {
	const ahead = int64(calendar.Never) // further than any key of the rules that count in minutes
	for _, t := range r.m.order {
		keys[t] = rule.key(r, t)
		if r.first[t] {
			keys[t] = min(keys[t], keys[t]-ahead)
		}
	}
}
