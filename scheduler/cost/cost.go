// Package cost adds up what crew work was to take, what it has taken and what is still to come, in hours and money, for any
// grouping of tasks: projects, GC dates, areas.
//
// Words. Hours are labour hours: three people for an hour are three. Planned is what the rates say of a task, whatever has
// happened since. Spent is what foremen reported, at the rate of the crew that reported it; a finished task without reported hours
// counts as planned and is counted as such. To come is the working time that the plan still has for a task. Travel is the crew's
// way and set-up to the task, extra what long days and second crews cost beyond the work (see recovery.Shares), both still to come.
// The forecast at completion is spent, to come, travel and extra. Idle is the crew's time without work before the task (see Losses); it is told beside
// the forecast and is not in it, since a crew without work may be lent or sent home.
//
//	frame D-204: planned 3 h, reported 2 h, 1.5 h to come, a quarter of an hour's set-up for two: forecast 4 h
//
// Conventions. A crew's cost an hour is the whole crew's, so that an hour of one head costs it over the crew's heads. Work of a crew
// that the problem does not know costs the average of all crews.
//
// What this package does not do: travel and idle time gone by, material and damages are not in its sums.
package cost

import (
	"maps"
	"slices"
	"time"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/recovery"
)

// Sum is what some tasks come to. Hours are labour hours but for the minutes, which are of crews.
type Sum struct {
	Tasks, Done  int
	WithoutHours int // finished tasks of which no hours were reported: they count as planned

	PlannedHours, SpentHours, ToComeHours float64
	Planned, Spent, ToCome                float64 // money

	TravelMinutes, IdleMinutes int // of crews, as plans state them
	TravelHours, IdleHours     float64
	Travel, Idle               float64 // money

	OvertimeHours float64 // in ToComeHours and LostHours: beyond ordinary days
	LostHours     float64 // paid, in which nothing is done
	Extra         float64 // money: premiums and lost hours
}

// ForecastHours are the hours at completion.
func (s *Sum) ForecastHours() float64 {
	return s.SpentHours + s.ToComeHours + s.TravelHours + s.LostHours
}

// Forecast is the cost at completion.
func (s *Sum) Forecast() float64 { return s.Spent + s.ToCome + s.Travel + s.Extra }

// task is one task of crew work as a sum takes it.
type task struct {
	planned, toCome int            // labour minutes
	reported        map[string]int // labour minutes by crew
	done            bool
	perHour         float64 // of one head
	heads           int
	loss            Loss
	share           recovery.Share
}

func (s *Sum) add(t task, r *rates) {
	spent := 0
	for _, crew := range slices.Sorted(maps.Keys(t.reported)) { // in order: sums of floats depend on it
		minutes, perHour := t.reported[crew], t.perHour
		if crew != "" {
			perHour = r.of(crew)
		}
		spent += minutes
		s.spend(minutes, perHour)
	}
	if t.done {
		s.Done++
		if spent == 0 {
			s.WithoutHours++
			s.spend(t.planned, t.perHour)
		}
	}
	s.Tasks++
	s.TravelMinutes += t.loss.TravelMinutes
	s.IdleMinutes += t.loss.IdleMinutes
	for _, part := range []struct {
		minutes      int
		hours, money *float64
	}{
		{t.planned, &s.PlannedHours, &s.Planned},
		{t.toCome, &s.ToComeHours, &s.ToCome},
		{t.loss.TravelMinutes * t.heads, &s.TravelHours, &s.Travel},
		{t.loss.IdleMinutes * t.heads, &s.IdleHours, &s.Idle},
	} {
		hours := float64(part.minutes) / 60
		*part.hours += hours
		*part.money += hours * t.perHour
	}
	s.OvertimeHours += t.share.OvertimeHours * float64(t.heads)
	s.LostHours += t.share.LostHours * float64(t.heads)
	s.Extra += t.share.Extra
}

func (s *Sum) spend(minutes int, perHour float64) {
	hours := float64(minutes) / 60
	s.SpentHours += hours
	s.Spent += hours * perHour
}

// Input is what sums are made of.
type Input struct {
	Problem *problem.Problem // with the moves in force in it
	Plan    *problem.Plan
	// Reported is labour minutes by task and by the crew that reported them; "" reads as the crew that the plan names.
	Reported map[string]map[string]int
	// Begun is the labour minutes that work under way was planned with, by task: of work that is stopped the problem holds what is
	// left. A task that it does not name has the problem's.
	Begun map[string]int
	Moves []recovery.Move // in force
}

// Of sums the crew work of a plan by group; groups names those that a task counts in, none to leave it out. Work that the plan
// leaves out is in the plan's list of unplanned tasks and counts with its planned hours as still to come, at the average cost.
// The error names a crew whose calendar cannot be read. O(tasks x groups), and the cost of Losses.
func Of(in Input, groups func(task string) []string) (map[string]*Sum, error) {
	losses, err := Losses(in.Problem, in.Plan)
	if err != nil {
		return nil, err
	}
	shares, _ := recovery.Shares(recovery.WithoutLongerHours(in.Problem), in.Moves, in.Plan)
	rates := newRates(in.Problem.Crews)
	placed := make(map[string]*problem.PlannedTask, len(in.Plan.Tasks))
	for i := range in.Plan.Tasks {
		placed[in.Plan.Tasks[i].ID] = &in.Plan.Tasks[i]
	}
	sums := map[string]*Sum{}
	for i := range in.Problem.Tasks {
		t := &in.Problem.Tasks[i]
		if !t.IsCrewWork() {
			continue
		}
		one := task{
			planned: *t.LabourMinutes, reported: in.Reported[t.ID], done: t.IsFinished(), perHour: rates.average,
			loss: losses[t.ID], share: shares[t.ID],
		}
		if whole, begun := in.Begun[t.ID]; begun && !one.done {
			one.planned = whole
		}
		switch now := placed[t.ID]; {
		case now != nil:
			crew := crewOf(t, now)
			one.heads, one.perHour = rates.heads(crew), rates.of(crew)
			one.toCome = minutesToCome(now) * one.heads
		case !one.done:
			one.toCome = *t.LabourMinutes
		}
		for _, name := range groups(t.ID) {
			if sums[name] == nil {
				sums[name] = &Sum{}
			}
			sums[name].add(one, &rates)
		}
	}
	return sums, nil
}

// crewOf is who did or does a task, "" when nobody said.
func crewOf(t *problem.Task, now *problem.PlannedTask) string {
	if now.Crew != nil {
		return *now.Crew
	}
	if t.Status != nil {
		return t.Status.Crew
	}
	return ""
}

// minutesToCome is the crew's working time that the plan still has for a task.
func minutesToCome(t *problem.PlannedTask) int {
	var d time.Duration
	for _, s := range t.Segments {
		d += s[1].Sub(s[0])
	}
	return int(d / time.Minute)
}

// rates are what an hour of one head costs, by crew.
type rates struct {
	crews   map[string]*problem.Crew
	average float64 // over all heads
}

func newRates(crews []problem.Crew) rates {
	r := rates{crews: map[string]*problem.Crew{}}
	heads, money := 0, 0.0
	for i := range crews {
		r.crews[crews[i].ID] = &crews[i]
		heads += crews[i].Heads
		money += crews[i].CostPerHour
	}
	if heads > 0 {
		r.average = money / float64(heads)
	}
	return r
}

func (r *rates) of(crew string) float64 {
	if c := r.crews[crew]; c != nil {
		return c.CostPerHour / float64(c.Heads)
	}
	return r.average
}

func (r *rates) heads(crew string) int {
	if c := r.crews[crew]; c != nil {
		return c.Heads
	}
	return 1
}

// Behind lists for each GC date all tasks that it waits for: its own and everything before them by links. O(tasks + links) a
// date.
func Behind(p *problem.Problem) map[string]map[string]bool {
	before := map[string][]string{}
	for i := range p.Links {
		before[p.Links[i].To] = append(before[p.Links[i].To], p.Links[i].From)
	}
	behind := map[string]map[string]bool{}
	for i := range p.GCDates {
		found := map[string]bool{}
		waiting := append([]string{}, p.GCDates[i].Tasks...)
		for len(waiting) > 0 {
			id := waiting[len(waiting)-1]
			waiting = waiting[:len(waiting)-1]
			if !found[id] {
				found[id] = true
				waiting = append(waiting, before[id]...)
			}
		}
		behind[p.GCDates[i].ID] = found
	}
	return behind
}
