package plan

import (
	"context"
	"fmt"

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
	NoBound   bool                  // leave the lower bound at what any plan meets: the same plan otherwise, in less time
}

const (
	// Placing one task takes half a microsecond among a few crews and ten times that among sixty.
	defaultPlacements = 1_000_000 // of a small problem, half a second
	largeTasks        = 10_000    // large problems get more, up to three times as many
	firmTasks         = 60_000    // but a firm's whole work is to be planned once before it is improved
	fewestSchedules   = 4
	mostSchedules     = 20_000
)

// DefaultSchedules is the budget for a number of tasks: half a second of search for a small problem, some seconds for a
// large one, and at least the best priority rule with one improvement.
func DefaultSchedules(tasks int) int {
	n := float64(max(1, tasks))
	placements := defaultPlacements * (1 + min(n/largeTasks, 2))
	firm := 1 + n/firmTasks
	return max(fewestSchedules, min(mostSchedules, int(placements/(n*firm*firm*firm))))
}

// planYears is how far ahead of the data date a plan may reach. The horizon grows until all work fits or it reaches that
// far; a task for which no working time is left then is not planned.
const planYears = 20

// Compute plans a problem. The problem must have passed validation; it is not changed and shares no memory with the
// plan. A cancelled context ends the search early, with the best plan so far, as Stop does. Tasks that cannot be placed
// are part of the plan, not an error. The error says what validation should have refused.
func Compute(ctx context.Context, p *problem.Problem, o Options) (*problem.Plan, error) {
	compiled, err := network.Compile(p)
	if err != nil {
		return nil, fmt.Errorf("plan: %w", err)
	}
	if o.Schedules <= 0 {
		o.Schedules = DefaultSchedules(len(p.Tasks))
	}
	limit := compiled.DataDate.Time().AddDate(planYears, 0, 0)
	for {
		var passes network.Workspace
		dates := passes.Compute(compiled)
		compiled = passes.Compiled()
		m := crewing.NewModel(compiled)
		mayExtend := compiled.To.Time().Before(limit)
		found := crewing.Search(m, dates, crewing.SearchOptions{
			Schedules: o.Schedules, Seed: o.Seed, Progress: o.Progress, MayExtend: mayExtend, NoBound: o.NoBound,
			Stop: func() bool { return ctx.Err() != nil || o.Stop != nil && o.Stop() },
		})
		if longer, ok := compiled.Extend(); ok && found.NeedsTime {
			compiled = longer
			continue
		}
		w := writer{m: m, s: found.Schedule, dates: dates, bound: found.Bound}
		plan := w.plan()
		plan.Run = problem.Run{Schedules: found.Schedules, Seed: o.Seed, StoppedBy: string(found.StoppedBy)}
		return plan, nil
	}
}
