package crewing

import (
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// rule is a priority rule: a name and a key per task, the least first. To add one, write its key and list it in rules.
type rule struct {
	name string
	key  func(r *ranker, t TaskIndex) int64
}

// rules are tried in this order, so the ones that do best on most problems come first: with a budget of a few schedules
// the rest is never tried. Names are the literature's (Kolisch 1996, "Efficient priority rules for the resource-constrained
// project scheduling problem", Journal of Operations Management 14), but for the last three.
var rules = [...]rule{
	{"latest finish time", func(r *ranker, t TaskIndex) int64 { return int64(r.dates.LastFinish[t]) }},
	{"latest start time", func(r *ranker, t TaskIndex) int64 { return int64(r.dates.LateBegin[t]) }},
	{"damages-weighted latest finish", (*ranker).weighted},
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
}

func newRanker(m *Model, dates *network.Dates) *ranker {
	n := m.Tasks()
	r := &ranker{
		m: m, dates: dates, damages: make([]float64, n), tail: make([]int64, n), area: make([]int64, len(m.setup)),
		first: make([]bool, n),
	}
	r.sumDamages()
	for i := len(m.order) - 1; i >= 0; i-- {
		t := m.order[i]
		for _, l := range m.outOf(t) {
			r.tail[t] = max(r.tail[t], r.tail[l.task]+r.length(l.task))
			r.first[t] = r.first[t] || r.first[l.task] || m.wishes[l.task].start != calendar.Never
		}
		r.first[t] = r.first[t] || m.state[t] == Started
	}
	for a := range r.area {
		r.area[a] = int64(calendar.Never)
	}
	for _, t := range m.order {
		r.area[m.area[t]] = min(r.area[m.area[t]], int64(dates.LastFinish[t]))
	}
	return r
}

// length is the least working minutes of a task.
func (r *ranker) length(t TaskIndex) int64 {
	least := endless
	for _, o := range r.m.Options(t) {
		least = min(least, o.Minutes)
	}
	return int64(least)
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

// byArea keeps the work of an area together, the most urgent area first.
func (r *ranker) byArea(t TaskIndex) int64 {
	a := r.m.area[t]
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
