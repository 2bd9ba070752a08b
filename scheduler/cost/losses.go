package cost

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// Loss is crew time that a task costs besides its work, in minutes of the crew's working time.
type Loss struct {
	TravelMinutes int // travel or set-up to come to it
	IdleMinutes   int // without work before it, or while it waits for a limit's hours
}

// Losses tells of each task still to come in a plan what its crew loses for it. The way from the task before, or from
// the crew's home site, belongs to the task that the crew goes to. A crew's time without work belongs to the task that it does
// next, since that one was waited for: what lies between the data date and a crew's first task is the first task's. Time after a
// crew's last task is nobody's and is not counted. The sums over all tasks are the plan's travel and idle minutes. The error
// names a crew whose calendar cannot be read. O(tasks log tasks + days of the plan x crews).
func Losses(p *problem.Problem, plan *problem.Plan) (map[string]Loss, error) {
	w := newWays(p)
	losses := map[string]Loss{}
	sequences := sequencesOf(p, plan)
	for i := range p.Crews {
		crew := &p.Crews[i]
		sequence := sequences[crew.ID]
		if len(sequence) == 0 {
			continue
		}
		working, err := w.timeOf(crew, sequence)
		if err != nil {
			return nil, err
		}
		from := p.DataDate
		for k, t := range sequence {
			move := w.home(crew, t)
			if k > 0 {
				move = w.move(sequence[k-1].ID, t.ID)
			}
			passed := int(working.Count(calendar.FromTime(from), calendar.FromTime(t.Finish)))
			losses[t.ID] = Loss{TravelMinutes: move, IdleMinutes: passed - minutesToCome(t) - move}
			from = t.Finish
		}
	}
	return losses, nil
}

// sequencesOf lists the unfinished tasks of each crew in the order in which it does them.
func sequencesOf(p *problem.Problem, plan *problem.Plan) map[string][]*problem.PlannedTask {
	finished := map[string]bool{}
	for i := range p.Tasks {
		finished[p.Tasks[i].ID] = p.Tasks[i].IsFinished()
	}
	sequences := map[string][]*problem.PlannedTask{}
	for i := range plan.Tasks {
		if t := &plan.Tasks[i]; t.Crew != nil && !finished[t.ID] {
			sequences[*t.Crew] = append(sequences[*t.Crew], t)
		}
	}
	for _, s := range sequences {
		slices.SortStableFunc(s, func(a, b *problem.PlannedTask) int {
			return cmp.Or(begin(a).Compare(begin(b)), a.Finish.Compare(b.Finish))
		})
	}
	return sequences
}

// begin is when the work still to come of a task begins.
func begin(t *problem.PlannedTask) time.Time {
	if t.Resume != nil {
		return *t.Resume
	}
	return t.Start
}

// ways are what crews lose between places.
type ways struct {
	p      *problem.Problem
	tasks  map[string]*problem.Task
	setup  map[string]int    // by area
	travel map[[2]string]int // by pair of sites
	specs  map[string]*problem.Calendar
}

func newWays(p *problem.Problem) *ways {
	w := &ways{
		p: p, tasks: map[string]*problem.Task{}, setup: map[string]int{}, travel: map[[2]string]int{}, specs: map[string]*problem.Calendar{},
	}
	for i := range p.Tasks {
		w.tasks[p.Tasks[i].ID] = &p.Tasks[i]
	}
	for i := range p.Areas {
		w.setup[p.Areas[i].ID] = p.Areas[i].SetupMinutes
	}
	for i := range p.Travel {
		w.travel[[2]string{p.Travel[i].From, p.Travel[i].To}] = p.Travel[i].Minutes
	}
	for i := range p.Calendars {
		w.specs[p.Calendars[i].ID] = &p.Calendars[i]
	}
	return w
}

// timeOf is a crew's working time from the data date to the end of its work.
func (w *ways) timeOf(crew *problem.Crew, sequence []*problem.PlannedTask) (*calendar.Calendar, error) {
	from, to := calendar.FromTime(w.p.DataDate), calendar.FromTime(w.p.DataDate)
	for _, t := range sequence {
		to = max(to, calendar.FromTime(t.Finish))
	}
	working := calendar.FromIntervals([]calendar.Interval{{Start: from, Finish: to}}, from, to)
	if spec := w.specs[crew.Calendar]; spec != nil { // else the clock of every minute
		var err error
		if working, err = calendar.Compile(*spec, from, to); err != nil {
			return nil, fmt.Errorf("hours of crew %s: %w", crew.ID, err)
		}
	}
	away := make([]calendar.Interval, len(crew.Away))
	for i, a := range crew.Away {
		away[i] = calendar.Interval{Start: calendar.FromTime(a.From), Finish: calendar.FromTime(a.To)}
	}
	return working.Without(away), nil
}

// home is the way from a crew's home site to its first task.
func (w *ways) home(crew *problem.Crew, first *problem.PlannedTask) int {
	if site := w.tasks[first.ID].Site; crew.HomeSite != "" && crew.HomeSite != site {
		return w.between(crew.HomeSite, site)
	}
	return 0
}

// move is the travel, or the set-up in another area of the same site, between two tasks of a crew.
func (w *ways) move(from, to string) int {
	a, b := w.tasks[from], w.tasks[to]
	switch {
	case a.Site != b.Site:
		return w.between(a.Site, b.Site)
	case a.Area != b.Area:
		return w.setup[b.Area] // 0 for work without an area
	}
	return 0
}

func (w *ways) between(from, to string) int {
	if minutes, listed := w.travel[[2]string{from, to}]; listed {
		return minutes
	}
	return w.travel[[2]string{to, from}]
}
