package recovery

import (
	"cmp"
	"math"
	"slices"
	"time"

	"jambwright/scheduler/problem"
)

// far is the slack of work that no GC date in question follows.
const far = math.MaxInt

// placed is a planned task with what it hangs together with.
type placed struct {
	id     string
	kind   string
	crew   string // "" for fixed work
	begin  int64  // minutes since 1970; of the work still to come
	finish int64
	done   bool
	slack  int // minutes of the clock it could slip in this plan, all else where it is, before the date moves; far if never
}

// slacks measures in a plan how far each task could slip before a GC date would move, in minutes of the clock. Nights and
// weekends between two tasks count as slack, so it is no float but an order in which to look at the work; the driving chain
// itself has none. It looks back along the links and along each crew's sequence.
func slacks(p *problem.Problem, plan *problem.Plan, date *problem.PlannedDate) map[string]*placed {
	tasks := place(p, plan)
	until := date.Forecast.Unix() / 60
	for i := range p.GCDates {
		if p.GCDates[i].ID != date.ID {
			continue
		}
		for _, id := range p.GCDates[i].Tasks {
			if t := tasks[id]; t != nil {
				t.slack = int(until - t.finish)
			}
		}
	}
	for _, id := range date.DrivingChain {
		if t := tasks[id]; t != nil {
			t.slack = 0
		}
	}
	ties := followers(p, tasks)
	order := make([]*placed, 0, len(tasks))
	for _, t := range tasks {
		order = append(order, t)
	}
	// Later work first; work without length may stand beside what it follows, so that a second pass settles the rest.
	slices.SortFunc(order, func(a, b *placed) int {
		return cmp.Or(cmp.Compare(b.begin, a.begin), cmp.Compare(b.finish, a.finish), cmp.Compare(a.id, b.id))
	})
	for range 2 {
		for _, t := range order {
			for _, f := range ties[t.id] {
				if f.to.slack != far {
					t.slack = min(t.slack, f.to.slack+max(0, f.gap))
				}
			}
		}
	}
	return tasks
}

// place reads where the plan puts each task.
func place(p *problem.Problem, plan *problem.Plan) map[string]*placed {
	tasks := make(map[string]*placed, len(plan.Tasks))
	for i := range plan.Tasks {
		row := &plan.Tasks[i]
		t := &placed{id: row.ID, begin: row.Start.Unix() / 60, finish: row.Finish.Unix() / 60, slack: far}
		if row.Resume != nil {
			t.begin = row.Resume.Unix() / 60
		}
		if row.Crew != nil {
			t.crew = *row.Crew
		}
		tasks[row.ID] = t
	}
	for i := range p.Tasks {
		if t := tasks[p.Tasks[i].ID]; t != nil {
			t.kind, t.done = p.Tasks[i].Kind, p.Tasks[i].IsFinished()
		}
	}
	return tasks
}

// follower is a task that another one could push, after a gap in minutes.
type follower struct {
	to  *placed
	gap int
}

// followers lists for each open task what follows it by a link or as its crew's next task.
func followers(p *problem.Problem, tasks map[string]*placed) map[string][]follower {
	ties := map[string][]follower{}
	tie := func(from, to *placed, gap int64) { ties[from.id] = append(ties[from.id], follower{to, int(gap)}) }
	for _, l := range p.Links {
		from, to := tasks[l.From], tasks[l.To]
		if from == nil || to == nil || from.done || to.done {
			continue
		}
		lag := int64(l.LagMinutes)
		switch l.Type {
		case problem.StartToStart:
			tie(from, to, to.begin-from.begin-lag)
		case problem.FinishToFinish:
			tie(from, to, to.finish-from.finish-lag)
		case problem.StartToFinish:
			tie(from, to, to.finish-from.begin-lag)
		default:
			tie(from, to, to.begin-from.finish-lag)
		}
	}
	crews := map[string][]*placed{}
	for i := range p.Tasks {
		if t := tasks[p.Tasks[i].ID]; t != nil && t.crew != "" && !t.done {
			crews[t.crew] = append(crews[t.crew], t)
		}
	}
	for _, work := range crews {
		slices.SortFunc(work, func(a, b *placed) int { return cmp.Or(cmp.Compare(a.begin, b.begin), cmp.Compare(a.id, b.id)) })
		for i := 1; i < len(work); i++ {
			tie(work[i-1], work[i], work[i].begin-work[i-1].finish)
		}
	}
	return ties
}

// at is a minute as an instant.
func at(minute int64) time.Time { return time.Unix(minute*60, 0).UTC() }
