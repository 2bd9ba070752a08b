package crewing

import (
	"cmp"
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// rule is a priority rule: a name and a key per task, the least first. To add one, write its key and list it in rules.
type rule struct {
	name string
	key  func(r *ranker, t TaskIndex) int64
}

// issuedRule takes the plan in force for its order, and leaves every task where it was as long as it can stay there. It
// is tried before all other rules when there is such a plan, since every change to it costs.
var issuedRule = rule{"issued start", func(r *ranker, t TaskIndex) int64 {
	if line := r.m.issuedOf[t]; line != None {
		return int64(r.m.issued[line].start)
	}
	return int64(r.neededBegin(t))
}}

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
	{"latest finish time", func(r *ranker, t TaskIndex) int64 { return int64(r.dates.LastFinish[t]) }},
	{"latest start time", func(r *ranker, t TaskIndex) int64 { return int64(r.dates.LateBegin[t]) }},
	{"damages-weighted latest finish", (*ranker).weighted},
	{"date by date, earliest first", func(r *ranker, t TaskIndex) int64 { return r.byDate(r.dateRank, t) }},
	{"date by date, dearest work first", func(r *ranker, t TaskIndex) int64 { return r.byDate(r.dearRank, t) }},
	{"minimum slack", func(r *ranker, t TaskIndex) int64 { return int64(r.dates.TotalFloat[t]) }},
	{"greatest remaining path", func(r *ranker, t TaskIndex) int64 { return -r.tail[t] }},
	{"early start", func(r *ranker, t TaskIndex) int64 { return int64(r.dates.EarlyBegin[t]) }},
	{"area by area", (*ranker).byArea},
	{"walking order", func(_ *ranker, t TaskIndex) int64 { return int64(t) }},
}

// ranker holds what priority rules look at.
type ranker struct {
	m       *Model
	dates   *network.Dates
	damages []float64 // per task: damages a day of all GC dates that it is needed for
	tail    []int64   // per task: minutes of the longest path of its followers' work
	area    []int64   // per area: latest finish of the most urgent task in it
	first   []bool    // per task: under way, or needed for a pinned or frozen place
	most    float64   // the largest of damages

	dateRank []int32 // per task: place of the first GC date that needs it among all, earliest date first
	dearRank []int32 // per task: the same by damages for the work that a date needs
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

// rankDates finds for each task the first GC date that needs it, in two orders of the dates: by date, and by damages for
// each minute of work that the date needs (the weighted shortest processing time of Smith 1956, "Various optimizers for
// single-stage production", Naval Research Logistics Quarterly 3, with a date's whole work for a job).
func (r *ranker) rankDates() {
	m := r.m
	n := len(m.GCDates)
	needed := newAncestry(m)
	work := make([]float64, n)
	for i := range m.GCDates {
		for _, t := range needed.of(m.GCDates[i].Tasks) {
			work[i] += float64(m.leastMinutes(t))
		}
	}
	byDate, byDear := make([]int, n), make([]int, n)
	for i := range n {
		byDate[i], byDear[i] = i, i
	}
	slices.SortStableFunc(byDate, func(a, b int) int { return cmp.Compare(m.GCDates[a].Date, m.GCDates[b].Date) })
	slices.SortStableFunc(byDear, func(a, b int) int {
		return cmp.Compare(m.GCDates[b].Damages*(1+work[a]), m.GCDates[a].Damages*(1+work[b]))
	})
	r.dateRank, r.dearRank = make([]int32, m.Tasks()), make([]int32, m.Tasks())
	for t := range r.dateRank {
		r.dateRank[t], r.dearRank[t] = int32(n), int32(n)
	}
	for place := n - 1; place >= 0; place-- {
		for _, t := range needed.of(m.GCDates[byDate[place]].Tasks) {
			r.dateRank[t] = int32(place)
		}
		for _, t := range needed.of(m.GCDates[byDear[place]].Tasks) {
			r.dearRank[t] = int32(place)
		}
	}
}

// byDate takes one date's work after another's, by latest finish within.
func (r *ranker) byDate(rank []int32, t TaskIndex) int64 {
	const apart = int64(1) << 32 // minutes, more than any horizon is long
	return int64(rank[t])*apart + int64(r.dates.LastFinish[t]-r.m.From)
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
