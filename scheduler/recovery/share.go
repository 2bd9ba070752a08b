package recovery

import (
	"time"

	"jambwright/scheduler/problem"
)

// Share is what a task bears of what its crew is paid beyond the work itself. Hours are crew hours.
type Share struct {
	OvertimeHours float64 // beyond the ordinary ones
	LostHours     float64 // paid, in which nothing is done
	Extra         float64 // money: premiums and lost hours
}

// Shares divides the overtime, the lost hours and the extra of Price among the tasks of the plan. What a long day costs is
// shared by the work done on that day, what a second crew costs by all its work. rest is what no task bears: a second crew
// that the plan gives no work. The shares and the rest add up to the bill. Cost O(tasks + days of longer hours x tasks of
// the crew).
func Shares(before *problem.Problem, moves []Move, plan *problem.Plan) (shares map[string]Share, rest Share) {
	after := Apply(before, moves)
	shares = map[string]Share{}
	own := map[string][]*problem.PlannedTask{}
	for i := range plan.Tasks {
		if t := &plan.Tasks[i]; t.Crew != nil && len(t.Segments) > 0 {
			own[*t.Crew] = append(own[*t.Crew], t)
		}
	}
	for i := range after.Crews {
		crew := &after.Crews[i]
		if m := hiredAs(moves, crew.ID); m != nil {
			rest = rest.plus(shareHired(after, crew, m, own[crew.ID], shares))
			continue
		}
		shareLongDays(before, crew, moves, own[crew.ID], shares)
	}
	return shares, rest
}

func (s Share) plus(t Share) Share {
	return Share{s.OvertimeHours + t.OvertimeHours, s.LostHours + t.LostHours, s.Extra + t.Extra}
}

func (s Share) times(part float64) Share {
	return Share{s.OvertimeHours * part, s.LostHours * part, s.Extra * part}
}

// shareLongDays divides each long day of a crew by the minutes that its tasks work on it.
func shareLongDays(before *problem.Problem, crew *problem.Crew, moves []Move, tasks []*problem.PlannedTask, shares map[string]Share) {
	own := &before.Crews[crewAt(before.Crews, crew.ID)]
	long := longDaysOf(before, own, moves)
	if len(long) == 0 {
		return
	}
	zone := zoneOf(before, own.Calendar)
	whole := map[problem.Date]float64{}
	each := make([]map[problem.Date]float64, len(tasks))
	for i, t := range tasks {
		each[i] = workedDays(t.Segments, zone)
		for date, minutes := range each[i] {
			whole[date] += minutes
		}
	}
	for _, d := range long {
		lost, over := d.beyond(whole[d.date])
		day := Share{over / 60, lost / 60, (lost + over*(d.premium-1)) / 60 * crew.CostPerHour}
		for i, t := range tasks {
			if minutes := each[i][d.date]; minutes > 0 {
				shares[t.ID] = shares[t.ID].plus(day.times(minutes / whole[d.date]))
			}
		}
	}
}

// shareHired divides what a second crew is paid without work among its tasks; it returns it where there are none.
func shareHired(after *problem.Problem, crew *problem.Crew, m *Move, tasks []*problem.PlannedTask, shares map[string]Share) (rest Share) {
	var segments [][2]time.Time
	for _, t := range tasks {
		segments = append(segments, t.Segments...)
	}
	paid, worked := hiredMinutes(after, crew, m, segments)
	all := Share{LostHours: (paid - worked) / 60, Extra: (paid*m.Premium - worked) / 60 * crew.CostPerHour}
	if worked == 0 {
		return all
	}
	for _, t := range tasks {
		own := 0.0
		for _, s := range t.Segments {
			own += s[1].Sub(s[0]).Minutes()
		}
		shares[t.ID] = shares[t.ID].plus(all.times(own / worked))
	}
	return Share{}
}
