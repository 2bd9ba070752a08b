package recovery

import (
	"context"
	"fmt"
	"strings"
	"time"

	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
)

// DateEffect is a GC date in the base plan and in a trial's. A nil forecast means that work of the date is unplanned.
type DateEffect struct {
	ID     string     `json:"id"`
	Before *time.Time `json:"before"`
	After  *time.Time `json:"after"`
}

// Won is how many minutes sooner the date is, negative when later; 0 where a forecast is missing.
func (d DateEffect) Won() int {
	if d.Before == nil || d.After == nil {
		return 0
	}
	return int(d.Before.Sub(*d.After) / time.Minute)
}

// Figures are what a plan comes to besides its dates.
type Figures struct {
	Damages       float64 `json:"damages"` // of all GC dates
	Changes       int     `json:"changes"` // against the plan in force
	TravelMinutes int     `json:"travel_minutes"`
	IdleMinutes   int     `json:"idle_minutes"`
	Bill          Bill    `json:"bill"`
}

// Trial is a set of moves with what the plan with them comes to.
type Trial struct {
	Moves []Move       `json:"moves"`
	Dates []DateEffect `json:"dates"` // all GC dates, in the problem's order
	Won   int          `json:"won"`   // minutes, of the date in question
	// Cost is what the moves themselves cost: what is paid once and what is paid beyond the work itself. That other crews do
	// the work at other costs is in Figures.
	Cost    float64 `json:"cost"`
	Figures Figures `json:"figures"`
	// Chain is the driving chain of the date in the trial's plan, and Holds the task of it that takes the longest: what
	// binds now.
	Chain []string `json:"chain"`
	Holds string   `json:"holds"`
}

// CostPerDay is the cost of each day of 24 hours won; 0 when nothing was won.
func (t *Trial) CostPerDay() float64 {
	if t.Won <= 0 {
		return 0
	}
	return t.Cost / (float64(t.Won) / (24 * 60))
}

// RefusedError says that the independent checker refused the plan of a trial: a fault of the planner, never of the input.
type RefusedError struct {
	Moves      []Move
	Violations []check.Violation
}

// Error names the first violation.
func (e *RefusedError) Error() string {
	names := make([]string, len(e.Moves))
	for i, m := range e.Moves {
		names[i] = m.Lever()
	}
	return fmt.Sprintf("the checker refused the plan with %s for %d violations, first: %s",
		strings.Join(names, ", "), len(e.Violations), e.Violations[0].Message)
}

// base is what trials are compared with.
type base struct {
	problem *problem.Problem
	plan    *problem.Plan
	figures Figures
	date    int // of the GC date in question
}

// computed plans a problem and has the plan checked.
func computed(ctx context.Context, p *problem.Problem, moves []Move, o Options) (*problem.Plan, error) {
	made, err := plan.Compute(ctx, p, plan.Options{Schedules: o.Schedules, Seed: o.Seed, NoBound: true})
	if err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if violations := check.Plan(p, made); len(violations) > 0 {
		return nil, &RefusedError{moves, violations}
	}
	return made, nil
}

// try plans the problem with moves, staying with the plan in force as any re-plan does.
func (b *base) try(ctx context.Context, moves []Move, o Options) (*Trial, error) {
	made, err := computed(ctx, Apply(b.problem, moves), moves, o)
	if err != nil {
		return nil, err
	}
	return b.trial(moves, made), nil
}

// trial compares a checked plan with the base plan.
func (b *base) trial(moves []Move, made *problem.Plan) *Trial {
	t := &Trial{Moves: moves, Figures: figures(b.problem, moves, made)}
	for i := range made.GCDates {
		t.Dates = append(t.Dates, DateEffect{made.GCDates[i].ID, b.plan.GCDates[i].Forecast, made.GCDates[i].Forecast})
	}
	t.Won = t.Dates[b.date].Won()
	t.Cost = t.Figures.Bill.Prices + t.Figures.Bill.Extra
	t.Chain = made.GCDates[b.date].DrivingChain
	t.Holds = longest(b.problem, made, t.Chain)
	return t
}

func figures(before *problem.Problem, moves []Move, made *problem.Plan) Figures {
	o := made.Objective
	return Figures{
		Damages: o.LatenessCost, Changes: o.Changes, TravelMinutes: o.TravelMinutes, IdleMinutes: o.IdleMinutes,
		Bill: Price(before, moves, made),
	}
}

// longest is the task of a chain that takes the most time from the finish of the one before it to its own.
func longest(p *problem.Problem, made *problem.Plan, chain []string) (holds string) {
	finish := make(map[string]time.Time, len(made.Tasks))
	for i := range made.Tasks {
		finish[made.Tasks[i].ID] = made.Tasks[i].Finish
	}
	from, most := p.DataDate, time.Duration(-1)
	for _, id := range chain {
		if took := finish[id].Sub(from); took > most {
			holds, most = id, took
		}
		from = finish[id]
	}
	return holds
}
