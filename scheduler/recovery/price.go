package recovery

import (
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// Bill is what the work still to come in a plan costs.
type Bill struct {
	Hours         float64 `json:"hours"`          // crew hours paid, those beyond the ordinary ones in them
	OvertimeHours float64 `json:"overtime_hours"` // beyond the ordinary ones, on long days and Saturdays
	Labour        float64 `json:"labour"`         // hours at cost, premiums in it
	// Extra is the share of Labour that the work itself would not cost: premiums, paid time that long weeks make unproductive, a
	// second crew's paid time without work.
	Extra  float64 `json:"extra"`
	Prices float64 `json:"prices"` // paid once: expediting, bringing a crew in
}

// Total is all of it.
func (b Bill) Total() float64 { return b.Labour + b.Prices }

// Work is what the work itself costs, at the cost of the crews that do it.
func (b Bill) Work() float64 { return b.Labour - b.Extra }

// Price bills a plan of the problem that moves were made in; before is the problem without them. A crew is paid for the
// time that it works; on days with longer hours for the unproductive time too, and with the premium for what goes beyond the
// day's ordinary time. A second crew is paid for all its working time from its first day to its last work, for some days at
// least. Travel and idle time of the other crews are not in it.
func Price(before *problem.Problem, moves []Move, plan *problem.Plan) Bill {
	after := Apply(before, moves)
	var bill Bill
	for _, m := range moves {
		bill.Prices += m.Price
	}
	segments := map[string][][2]time.Time{}
	for i := range plan.Tasks {
		if t := &plan.Tasks[i]; t.Crew != nil {
			segments[*t.Crew] = append(segments[*t.Crew], t.Segments...)
		}
	}
	for i := range after.Crews {
		crew := &after.Crews[i]
		if m := hiredAs(moves, crew.ID); m != nil {
			bill.addHired(after, crew, m, segments[crew.ID])
			continue
		}
		bill.addCrew(before, crew, moves, segments[crew.ID])
	}
	return bill
}

func hiredAs(moves []Move, crew string) *Move {
	for i := range moves {
		if moves[i].Kind == SecondCrew && moves[i].NewCrew == crew {
			return &moves[i]
		}
	}
	return nil
}

// addCrew adds a crew's own work, day by day where its hours are longer.
func (b *Bill) addCrew(before *problem.Problem, crew *problem.Crew, moves []Move, segments [][2]time.Time) {
	own := before.Crews[crewAt(before.Crews, crew.ID)]
	zone := zoneOf(before, own.Calendar)
	worked := map[problem.Date]float64{} // minutes
	total := 0.0
	for _, s := range segments {
		for from := s[0]; from.Before(s[1]); {
			local := from.In(zone)
			midnight := time.Date(local.Year(), local.Month(), local.Day()+1, 0, 0, 0, 0, zone)
			to := s[1]
			if midnight.Before(to) {
				to = midnight
			}
			minutes := to.Sub(from).Minutes()
			worked[problem.DateOf(local)] += minutes
			total += minutes
			from = to
		}
	}
	extra := 0.0 // cost of unproductive time and of premiums, in minutes at cost
	idle := 0.0  // minutes paid in which nothing is done
	for _, d := range longDaysOf(before, &own, moves) {
		productive := worked[d.date]
		if productive == 0 {
			continue
		}
		paid := productive / d.share
		idle += paid - productive
		extra += paid - productive
		if over := paid - float64(d.ordinary); over > 0 {
			b.OvertimeHours += over / 60
			extra += over * (d.premium - 1)
		}
	}
	b.Hours += (total + idle) / 60
	b.Labour += (total + extra) / 60 * crew.CostPerHour
	b.Extra += extra / 60 * crew.CostPerHour
}

// addHired adds a second crew's time from its first day on.
func (b *Bill) addHired(after *problem.Problem, crew *problem.Crew, m *Move, segments [][2]time.Time) {
	spec := calendarOf(after, crew.Calendar)
	begin := after.DataDate
	for _, away := range crew.Away {
		begin = away.To
	}
	last, worked := begin, 0.0
	for _, s := range segments {
		worked += s[1].Sub(s[0]).Minutes()
		if s[1].After(last) {
			last = s[1]
		}
	}
	minutes := last.Sub(begin).Minutes()
	if spec != nil {
		const spare = 60 * 24 * 60 // room for the least days
		from := calendar.FromTime(begin)
		compiled, err := calendar.Compile(*spec, from, calendar.FromTime(last)+calendar.Instant(spare+2*m.AtLeastDays*24*60))
		if err == nil {
			minutes = float64(max(compiled.Count(from, calendar.FromTime(last)), leastPaid(spec, m)))
		}
	}
	b.Hours += minutes / 60
	b.Labour += minutes / 60 * crew.CostPerHour * m.Premium
	b.Extra += (minutes*m.Premium - worked) / 60 * crew.CostPerHour
}

// leastPaid is the working time for which a second crew is paid at least: days of the length of the calendar's longest one.
func leastPaid(spec *problem.Calendar, m *Move) calendar.WorkMinutes {
	longest := 0
	for day := range 7 {
		longest = max(longest, minutesOf(spec.Week.Day(time.Weekday(day))))
	}
	return calendar.WorkMinutes(longest * m.AtLeastDays)
}
