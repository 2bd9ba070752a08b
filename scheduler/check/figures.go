package check

import (
	"math"

	"jambwright/scheduler/problem"
)

func (c *checker) checkGCDates() {
	planned := map[string]*problem.PlannedDate{}
	known := indexOf(len(c.p.GCDates), func(i int) string { return c.p.GCDates[i].ID })
	for i := range c.plan.GCDates {
		d := &c.plan.GCDates[i]
		if _, ok := known[d.ID]; !ok || planned[d.ID] != nil {
			c.report(RuleGCDate, "", "GC date %q is given twice or is not in the problem", d.ID)
		}
		planned[d.ID] = d
	}
	for i := range c.p.GCDates {
		want := &c.p.GCDates[i]
		got := planned[want.ID]
		if got == nil {
			c.report(RuleGCDate, "", "GC date %q has no forecast in the plan", want.ID)
			continue
		}
		if forecast, ok := c.forecast(want); ok {
			c.checkForecast(want, got, forecast)
		} else if got.Forecast != nil || got.FloatMinutes != 0 || got.LateDays != 0 || len(got.DrivingChain) > 0 {
			c.report(RuleGCDate, "", "GC date %q waits for unplanned work, so it has no forecast, float, lateness or chain", want.ID)
		}
	}
}

// forecast is the latest finish of a GC date's tasks; ok is false when one of them is not planned.
func (c *checker) forecast(d *problem.GCDate) (latest minute, ok bool) {
	for i, id := range d.Tasks {
		w := &c.work[c.tasks[id]]
		if w.planned == nil {
			return 0, false
		}
		if i == 0 || w.finish > latest {
			latest = w.finish
		}
	}
	return latest, true
}

func lateDays(d *problem.GCDate, forecast minute) float64 {
	return float64(max(0, forecast-minuteOf(d.Date))) / minutesPerDay
}

func (c *checker) checkForecast(want *problem.GCDate, got *problem.PlannedDate, forecast minute) {
	if got.Forecast == nil {
		c.report(RuleGCDate, "", "GC date %q has no forecast, its tasks finish at %s", want.ID, c.text(forecast))
		return
	}
	if given := minuteOf(*got.Forecast); given != forecast {
		c.report(RuleGCDate, "", "GC date %q is forecast for %s, its tasks finish at %s", want.ID, c.text(given), c.text(forecast))
		return
	}
	if float := int64(minuteOf(want.Date) - forecast); int64(got.FloatMinutes) != float {
		c.report(RuleGCDate, "", "GC date %q has a float of %d minutes, given as %d", want.ID, float, got.FloatMinutes)
	}
	if late := lateDays(want, forecast); !near(got.LateDays, late) {
		c.report(RuleGCDate, "", "GC date %q is %v days late, given as %v", want.ID, late, got.LateDays)
	}
	c.checkChain(want, got, forecast)
}

// checkChain checks that the chain holds planned tasks and ends with one that makes the forecast.
func (c *checker) checkChain(want *problem.GCDate, got *problem.PlannedDate, forecast minute) {
	if len(got.DrivingChain) == 0 {
		c.report(RuleChain, "", "GC date %q has no driving chain", want.ID)
		return
	}
	for _, id := range got.DrivingChain {
		if task, ok := c.tasks[id]; !ok || c.work[task].planned == nil {
			c.report(RuleChain, id, "drives GC date %q but is not planned", want.ID)
			return
		}
	}
	last := got.DrivingChain[len(got.DrivingChain)-1]
	for _, id := range want.Tasks {
		if id == last && c.work[c.tasks[id]].finish == forecast {
			return
		}
	}
	c.report(RuleChain, last, "ends the driving chain of GC date %q but does not make its forecast %s", want.ID, c.text(forecast))
}

// near allows for the order in which a sum of decimals was added up.
func near(a, b float64) bool {
	return math.Abs(a-b) <= 1e-9*max(1, math.Abs(a), math.Abs(b))
}

func (c *checker) checkObjective() {
	got, want := c.plan.Objective, c.objective()
	if !near(got.LatenessCost, want.LatenessCost) {
		c.report(RuleObjective, "", "lateness costs %v, given as %v", want.LatenessCost, got.LatenessCost)
	}
	for _, figure := range []struct {
		name      string
		got, want int
	}{
		{"changes", got.Changes, want.Changes},
		{"travel_minutes", got.TravelMinutes, want.TravelMinutes},
		{"idle_minutes", got.IdleMinutes, want.IdleMinutes},
	} {
		if figure.got != figure.want {
			c.report(RuleObjective, "", "%s are %d, given as %d", figure.name, figure.want, figure.got)
		}
	}
	if !got.Makespan.Equal(want.Makespan) {
		c.report(RuleObjective, "", "makespan is %s, given as %s", c.text(minuteOf(want.Makespan)), c.text(minuteOf(got.Makespan)))
	}
	if !near(got.Total, want.Total) {
		c.report(RuleObjective, "", "total is %v, given as %v", want.Total, got.Total)
	}
}

func (c *checker) objective() (o problem.Objective) {
	for i := range c.p.GCDates {
		d := &c.p.GCDates[i]
		damages := 1.0
		if d.DamagesPerDay != nil {
			damages = *d.DamagesPerDay
		}
		if forecast, ok := c.forecast(d); ok {
			o.LatenessCost += damages * lateDays(d, forecast)
		}
	}
	o.Changes = c.changes()
	for crew := range c.p.Crews {
		travel, idle := c.crewLosses(crew)
		o.TravelMinutes += travel
		o.IdleMinutes += idle
	}
	makespan := c.makespan()
	o.Makespan = makespan.time()
	weights := problem.DefaultWeights()
	if c.p.Weights != nil {
		weights = *c.p.Weights
	}
	o.Total = weights.Lateness*o.LatenessCost + weights.Change*float64(o.Changes) +
		weights.Travel*(float64(o.TravelMinutes+o.IdleMinutes)+c.flow()/flowShare) +
		weights.Early*float64(max(0, makespan-c.dataDate))
	return o
}

// flowShare is how many minutes of flow weigh as much as one of an idle crew.
const flowShare = 20

// flow is the sum of the finishes of unfinished work in minutes from the data date.
func (c *checker) flow() (sum float64) {
	for i := range c.work {
		if c.live(i) {
			sum += float64(c.work[i].finish - c.dataDate)
		}
	}
	return sum
}

// makespan is the latest finish of what is planned, done work too; the data date when nothing is.
func (c *checker) makespan() minute {
	latest, found := c.dataDate, false
	for i := range c.work {
		if w := &c.work[i]; w.planned != nil && (!found || w.finish > latest) {
			latest, found = w.finish, true
		}
	}
	return latest
}

// changes counts the issued lines that the plan leaves; what has been reported is no change of plan.
func (c *checker) changes() (count int) {
	for _, line := range c.p.Issued {
		task := c.tasks[line.Task]
		w := &c.work[task]
		switch {
		case c.p.Tasks[task].Status != nil:
		case w.planned == nil, w.start != minuteOf(line.Start):
			count++
		case line.Crew != "" && (w.planned.Crew == nil || *w.planned.Crew != line.Crew):
			count++
		}
	}
	return count
}

// crewLosses is a crew's time on the move, the way from home included, and its idle time between the data date and its
// last finish.
func (c *checker) crewLosses(crew int) (travel, idle int) {
	sequence := c.sequences[crew]
	if len(sequence) == 0 {
		return 0, 0
	}
	last, worked, moves := c.dataDate, int64(0), c.homeMinutes(crew, sequence[0])
	for i, task := range sequence {
		w := &c.work[task]
		last = max(last, w.finish)
		worked += w.axis.minutes(w.begin, w.finish)
		if i > 0 {
			moves += c.moveMinutes(sequence[i-1], task)
		}
	}
	return moves, int(c.crewTime[crew].minutes(c.dataDate, last)-worked) - moves
}

func (c *checker) checkBound() {
	bound, got := &c.plan.LowerBound, &c.plan.Objective
	if bound.LatenessCost > got.LatenessCost && !near(bound.LatenessCost, got.LatenessCost) {
		c.report(RuleBound, "", "lateness cost %v lies under its lower bound %v", got.LatenessCost, bound.LatenessCost)
	}
	if bound.Makespan.After(got.Makespan) {
		c.report(RuleBound, "", "makespan %s lies before its lower bound %s", c.text(minuteOf(got.Makespan)), c.text(minuteOf(bound.Makespan)))
	}
	if bound.LatenessCostProved && !near(bound.LatenessCost, got.LatenessCost) {
		c.report(RuleBound, "", "lateness cost %v is given as proved, its bound is %v", got.LatenessCost, bound.LatenessCost)
	}
	if bound.MakespanProved && !bound.Makespan.Equal(got.Makespan) {
		c.report(RuleBound, "", "makespan %s is given as proved, its bound is %s", c.text(minuteOf(got.Makespan)), c.text(minuteOf(bound.Makespan)))
	}
	if bound.Proved && (!bound.LatenessCostProved || !bound.MakespanProved) {
		c.report(RuleBound, "", "the plan is given as proved, but not both of its figures are")
	}
}
