package plan

import (
	"context"
	"fmt"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/crewing"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// Options steer a computation. The zero value plans with a budget that fits the problem's size, and seed 0.
type Options struct {
	Schedules int                   // budget: complete generations of a schedule; 0 means DefaultSchedules
	Seed      uint64                // of the search's random choices
	Stop      func() bool           // a safety net asked between schedules; a plan that it cut short says "time limit"
	Progress  func(done, total int) // told after each schedule
}

const (
	// Placing one task takes about a microsecond, so that this many placed tasks are well under two seconds of search.
	defaultPlacements = 1_000_000
	fewestSchedules   = 12
	mostSchedules     = 20_000
)

// DefaultSchedules is the budget for a number of tasks: as many schedules as take a second or so, and at least every
// priority rule once.
func DefaultSchedules(tasks int) int {
	return max(fewestSchedules, min(mostSchedules, defaultPlacements/max(1, tasks)))
}

// planYears is how far ahead of the data date a plan reaches. A task for which no working time is left by then is not
// planned.
const planYears = 20

// Compute plans a problem. The problem must have passed validation; it is not changed and shares no memory with the
// plan. A cancelled context ends the search early, with the best plan so far, as Stop does. Tasks that cannot be placed
// are part of the plan, not an error. The error says what validation should have refused.
func Compute(ctx context.Context, p *problem.Problem, o Options) (*problem.Plan, error) {
	compiled, err := network.Compile(p)
	if err != nil {
		return nil, fmt.Errorf("plan: %w", err)
	}
	m := longEnough(compiled)
	if o.Schedules <= 0 {
		o.Schedules = DefaultSchedules(len(p.Tasks))
	}
	var passes network.Workspace
	dates := passes.Compute(m.Compiled)
	found := crewing.Search(m, dates, crewing.SearchOptions{
		Schedules: o.Schedules, Seed: o.Seed, Progress: o.Progress,
		Stop: func() bool { return ctx.Err() != nil || o.Stop != nil && o.Stop() },
	})
	w := writer{m: m, s: found.Schedule, dates: dates, bound: found.Bound}
	plan := w.plan()
	plan.Run = problem.Run{Schedules: found.Schedules, Seed: o.Seed, StoppedBy: string(found.StoppedBy)}
	return plan, nil
}

// longEnough is the model over a horizon that holds every task, or over planYears when some task never fits.
func longEnough(c *network.Compiled) *crewing.Model {
	limit := calendar.FromTime(c.Problem.DataDate.AddDate(planYears, 0, 0))
	for {
		m := crewing.NewModel(c)
		if !crewing.NeedsTime(m) || c.To >= limit {
			return m
		}
		longer, ok := c.Extend()
		if !ok {
			return m
		}
		c = longer
	}
}
