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
	own := &before.Crews[crewAt(before.Crews, crew.ID)]
	worked := workedDays(segments, zoneOf(before, own.Calendar))
	total := 0.0
	for _, s := range segments {
		total += s[1].Sub(s[0]).Minutes()
	}
	extra := 0.0 // cost of unproductive time and of premiums, in minutes at cost
	idle := 0.0  // minutes paid in which nothing is done
	for _, d := range longDaysOf(before, own, moves) {
		loss, over := d.beyond(worked[d.date])
		idle += loss
		b.OvertimeHours += over / 60
		extra += loss + over*(d.premium-1)
	}
	b.Hours += (total + idle) / 60
	b.Labour += (total + extra) / 60 * crew.CostPerHour
	b.Extra += extra / 60 * crew.CostPerHour
}

// workedDays are the minutes of segments by day of a zone.
func workedDays(segments [][2]time.Time, zone *time.Location) map[problem.Date]float64 {
	worked := map[problem.Date]float64{}
	for _, s := range segments {
		for from := s[0]; from.Before(s[1]); {
			local := from.In(zone)
			midnight := time.Date(local.Year(), local.Month(), local.Day()+1, 0, 0, 0, 0, zone)
			to := s[1]
			if midnight.Before(to) {
				to = midnight
			}
			worked[problem.DateOf(local)] += to.Sub(from).Minutes()
			from = to
		}
	}
	return worked
}

// beyond is what is paid on a long day beyond its productive minutes: minutes in which nothing is done, and of all that is
// paid the minutes over the ordinary day.
func (d longDay) beyond(productive float64) (loss, over float64) {
	if productive == 0 {
		return 0, 0
	}
	paid := productive / d.share
	return paid - productive, max(0, paid-float64(d.ordinary))
}

// addHired adds a second crew's time from its first day on.
func (b *Bill) addHired(after *problem.Problem, crew *problem.Crew, m *Move, segments [][2]time.Time) {
	minutes, worked := hiredMinutes(after, crew, m, segments)
	b.Hours += minutes / 60
	b.Labour += minutes / 60 * crew.CostPerHour * m.Premium
	b.Extra += (minutes*m.Premium - worked) / 60 * crew.CostPerHour
}

// hiredMinutes is the time that a second crew is paid for, and of it the time that it works.
func hiredMinutes(after *problem.Problem, crew *problem.Crew, m *Move, segments [][2]time.Time) (paid, worked float64) {
	spec := calendarOf(after, crew.Calendar)
	begin := after.DataDate
	for _, away := range crew.Away {
		begin = away.To
	}
	last := begin
	for _, s := range segments {
		worked += s[1].Sub(s[0]).Minutes()
		if s[1].After(last) {
			last = s[1]
		}
	}
	if spec == nil {
		return last.Sub(begin).Minutes(), worked
	}
	const spare = 60 * 24 * 60 // room for the least days
	from := calendar.FromTime(begin)
	compiled, err := calendar.Compile(*spec, from, calendar.FromTime(last)+calendar.Instant(spare+2*m.AtLeastDays*24*60))
	if err != nil {
		return last.Sub(begin).Minutes(), worked
	}
	return float64(max(compiled.Count(from, calendar.FromTime(last)), leastPaid(spec, m))), worked
}

// leastPaid is the working time for which a second crew is paid at least: days of the length of the calendar's longest one.
func leastPaid(spec *problem.Calendar, m *Move) calendar.WorkMinutes {
	longest := 0
	for day := range 7 {
		longest = max(longest, minutesOf(spec.Week.Day(time.Weekday(day))))
	}
	return calendar.WorkMinutes(longest * m.AtLeastDays)
}
