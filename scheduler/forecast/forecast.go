package forecast

import (
	"context"
	"fmt"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// Options steer a forecast. The zero value makes as many samples as the P80s need, DefaultLeast to DefaultMost, on one
// worker.
type Options struct {
	Least   int // samples to make in any case; 0 means DefaultLeast, or Most if that is less
	Most    int // samples after which to stop, settled or not; 0 means DefaultMost
	Seed    uint64
	Workers int // samples made at a time, at least 1; the result does not depend on it
	// Spread widens (above 1) or narrows all spreads about their medians, as experience with earlier forecasts asks for; 0
	// means 1. The normal score of each draw is multiplied by it. Chances of damage stay.
	Spread   float64
	Progress func(done, most int) // told after each batch of samples
}

const (
	// DefaultLeast keeps the chance of being met, which no rule watches, within 3 in 100 with 95 % confidence.
	DefaultLeast = 1_000
	// DefaultMost is enough for a P80 known to half a day where the finish varies by some weeks.
	DefaultMost = 20_000

	batchSize = 100 // samples between two looks at the clock and at the stopping rule
)

// Compute forecasts the GC dates of a problem that has passed validation, given a plan of it. The same problem, plan, seed
// and options give the same forecast, whatever the number of workers. A cancelled context ends it with the context's error.
// Neither problem nor plan is changed.
func Compute(ctx context.Context, p *problem.Problem, plan *problem.Plan, o Options) (*Forecast, error) {
	o = o.withDefaults()
	r, err := newRun(p, plan, o)
	if err != nil {
		return nil, fmt.Errorf("forecast: %w", err)
	}
	if len(r.v.quantities) == 0 {
		return r.certain(), nil
	}
	if err := r.sample(ctx); err != nil {
		return nil, fmt.Errorf("forecast: %w", err)
	}
	return r.result(), nil
}

func (o Options) withDefaults() Options {
	if o.Most <= 0 {
		o.Most = max(DefaultMost, o.Least)
	}
	if o.Least <= 0 {
		o.Least = min(DefaultLeast, o.Most)
	}
	o.Most, o.Workers = max(o.Most, o.Least), max(1, o.Workers)
	if o.Spread <= 0 {
		o.Spread = 1
	}
	return o
}

// run is one forecast being made.
type run struct {
	o     Options
	p     *problem.Problem
	plan  *problem.Plan
	m     *crewing.Model // of the widened problem
	v     *varied
	dates []gcDate

	policies  []policy
	originals []crewing.TaskIndex
	tally     *tally
	made      int
	stopped   StoppedBy
}

// gcDate is one GC date with its finishes so far.
type gcDate struct {
	due      calendar.Instant
	damages  float64
	planned  bool               // the plan has a finish for it
	calendar *calendar.Calendar // that the plan's last task of it runs on
	workday  float64            // working minutes of a day of that calendar
	finishes finishes
}

func newRun(p *problem.Problem, plan *problem.Plan, o Options) (*run, error) {
	wide, remakes := widen(p)
	compiled, err := network.Compile(wide)
	if err != nil {
		return nil, err
	}
	var passes network.Workspace
	passes.Compute(compiled)
	compiled = passes.Compiled()
	if longer, ok := compiled.Extend(); ok {
		compiled = longer // samples run on longer than the plan
	}
	m := crewing.NewModel(compiled)
	r := &run{o: o, p: p, plan: plan, m: m, v: vary(p, wide, remakes, m), originals: originalsOf(m, remakes)}
	r.policies = policiesOf(m, plan, remakes)
	r.gcDates()
	r.tally = newTally(r.v, m, r.originals, len(p.Tasks))
	return r, nil
}

// originalsOf names for every task of the widened problem the document's task that it belongs to.
func originalsOf(m *crewing.Model, remakes []remake) []crewing.TaskIndex {
	originals := make([]crewing.TaskIndex, m.Tasks())
	for t := range originals {
		originals[t] = crewing.TaskIndex(t)
	}
	for _, r := range remakes {
		originals[r.order], originals[r.lastly] = crewing.TaskIndex(r.task), crewing.TaskIndex(r.task)
	}
	return originals
}

// policiesOf are the ways to crew a sample, all in the order of the plan's begins: with the crew free for every task, and
// with the plan's crews. Rework comes in as soon as it can, in the place of its task.
func policiesOf(m *crewing.Model, plan *problem.Plan, remakes []remake) []policy {
	keys, free, planned := make([]int64, m.Tasks()), make([]int16, m.Tasks()), make([]int16, m.Tasks())
	for t := range keys {
		keys[t], free[t], planned[t] = int64(calendar.Never), crewing.None, crewing.None
	}
	crews := make(map[string]crewing.CrewIndex, len(m.Problem.Crews))
	for c := range m.Problem.Crews {
		crews[m.Problem.Crews[c].ID] = crewing.CrewIndex(c)
	}
	for i := range plan.Tasks {
		row := &plan.Tasks[i]
		t := m.TaskOf(row.ID)
		if t == crewing.None {
			continue
		}
		begin := row.Start
		if row.Resume != nil {
			begin = *row.Resume
		}
		keys[t] = int64(calendar.FromTime(begin))
		if row.Crew != nil {
			planned[t] = m.OptionOn(t, crews[*row.Crew])
		}
	}
	for _, r := range remakes {
		keys[r.order], keys[r.lastly] = keys[r.task], keys[r.task]
	}
	list := m.ListBy(keys)
	return []policy{{list: list, choice: free}, {list: list, choice: planned}}
}

// gcDates reads each GC date and the calendar that its days are counted on.
func (r *run) gcDates() {
	r.dates = make([]gcDate, len(r.m.GCDates))
	rows := make(map[string]*problem.PlannedTask, len(r.plan.Tasks))
	for i := range r.plan.Tasks {
		rows[r.plan.Tasks[i].ID] = &r.plan.Tasks[i]
	}
	for i := range r.dates {
		compiled := &r.m.GCDates[i]
		d := gcDate{due: compiled.Date, damages: compiled.Damages, planned: true, calendar: r.m.Calendars[network.AlwaysCalendar], workday: minutesPerDay}
		var last *problem.PlannedTask
		for _, id := range r.p.GCDates[i].Tasks {
			row := rows[id]
			if row == nil {
				d.planned = false
				continue
			}
			if last == nil || row.Finish.After(last.Finish) {
				last = row
			}
		}
		if last != nil {
			r.countOn(&d, last)
		}
		r.dates[i] = d
	}
}

const minutesPerDay = 24 * 60

// countOn makes a date count its days on the calendar of a task as planned.
func (r *run) countOn(d *gcDate, last *problem.PlannedTask) {
	t := r.m.TaskOf(last.ID)
	name := r.p.Tasks[t].Calendar
	for _, o := range r.m.Options(t) {
		if o.Crew == crewing.None || last.Crew != nil && r.p.Crews[o.Crew].ID == *last.Crew {
			d.calendar = r.m.Calendars[o.Calendar]
			if o.Crew != crewing.None {
				name = r.p.Crews[o.Crew].Calendar
			}
			d.workday = r.workday(name)
			return
		}
	}
}

// workday is the mean length of the working days of a calendar's week, 24 hours where it has none.
func (r *run) workday(name string) float64 {
	for i := range r.p.Calendars {
		c := &r.p.Calendars[i]
		if c.ID != name {
			continue
		}
		minutes, days := 0, 0
		for _, shifts := range [][]problem.Shift{c.Week.Mon, c.Week.Tue, c.Week.Wed, c.Week.Thu, c.Week.Fri, c.Week.Sat, c.Week.Sun} {
			for _, s := range shifts {
				minutes += s.To - s.From
			}
			days += min(1, len(shifts))
		}
		if days > 0 {
			return float64(minutes) / float64(days)
		}
	}
	return minutesPerDay
}
