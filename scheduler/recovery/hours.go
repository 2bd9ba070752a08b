package recovery

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"jambwright/scheduler/problem"
)

// Weeks that the published loss speaks of, in minutes.
const (
	ordinaryWeek = 40 * 60
	longWeek     = 50 * 60
	// LongestWeek is the longest week that moves lead to: nothing is published beyond 60 hours.
	LongestWeek = 60 * 60
)

// efficiency is the productive share of the hours of a week that a crew is paid for, against its ordinary week. loss is
// what a week of 50 to 60 hours loses.
//
// Thomas and Raynar (source document 98 of the Construction Industry Institute, 1994; Journal of Construction Engineering and
// Management, 1997) found a loss of efficiency of 10 to 15 % at 50 and at 60 hours a week over 121 weeks on four industrial
// projects. Between 40 and 50 hours nothing was published that we have read: the loss grows in proportion there, which is
// our assumption. A crew whose ordinary week is longer than 40 hours has that week's loss in its rates already.
func efficiency(paid, ordinary int, loss float64) float64 {
	if paid <= ordinary {
		return 1
	}
	return (1 - lossAt(paid, loss)) / (1 - lossAt(ordinary, loss))
}

func lossAt(minutes int, loss float64) float64 {
	return loss * min(1, max(0, float64(minutes-ordinaryWeek)/(longWeek-ordinaryWeek)))
}

// hoursID names the calendar of a crew with longer hours.
func hoursID(calendar, crew string) string { return calendar + hoursMark + crew }

const hoursMark = ", longer hours of "

// HoursOf takes the name of a calendar with longer hours apart; ok is false for any other calendar.
func HoursOf(calendar string) (ordinary, crew string, ok bool) {
	return strings.Cut(calendar, hoursMark)
}

// lengthen gives each crew with longer hours or Saturdays a calendar of its own.
func (e *edit) lengthen(moves []Move) {
	for i := range e.p.Crews {
		crew := &e.p.Crews[i]
		spec := calendarOf(&e.p, crew.Calendar)
		if spec == nil {
			continue
		}
		if long, longer := Lengthened(*spec, crew.ID, dateIn(e.p.DataDate, spec.Zone), moves); longer {
			e.p.Calendars = append(e.p.Calendars, long)
			crew.Calendar = long.ID
		}
	}
}

// Lengthened is a crew's calendar with the longer hours and Saturdays of moves from a day on; longer is false when no move
// changes any. The calendar given is not changed.
func Lengthened(spec problem.Calendar, crew string, today problem.Date, moves []Move) (long problem.Calendar, longer bool) {
	days := longDays(&spec, crew, today, moves)
	if len(days) == 0 {
		return spec, false
	}
	long = spec
	long.ID = hoursID(long.ID, crew)
	long.Exceptions = slices.DeleteFunc(slices.Clone(long.Exceptions), func(x problem.Exception) bool {
		return slices.ContainsFunc(days, func(d longDay) bool { return d.date == x.Date })
	})
	for _, d := range days {
		long.Exceptions = append(long.Exceptions, problem.Exception{Date: d.date, Shifts: d.planned()})
	}
	slices.SortFunc(long.Exceptions, func(a, b problem.Exception) int { return a.Date.Compare(b.Date) })
	return long, true
}

func dateIn(t time.Time, zone string) problem.Date {
	location, err := time.LoadLocation(zone)
	if err != nil {
		location = time.UTC // a valid problem has none such
	}
	return problem.DateOf(t.In(location))
}

// longDay is a day on which a crew's hours are not the ordinary ones.
type longDay struct {
	date     problem.Date
	ordinary int             // minutes of the day without moves
	paid     []problem.Shift // with them
	share    float64         // of the paid time that is productive
	premium  float64         // factor on what goes beyond the ordinary minutes
}

// planned is the day as it stands in the plan: of each stretch the productive share, from its beginning.
func (d longDay) planned() []problem.Shift {
	shifts := make([]problem.Shift, 0, len(d.paid))
	for _, s := range d.paid {
		// Productive minutes are rounded down; the tenth of a millionth keeps a whole number whole.
		if n := int(math.Floor(float64(s.To-s.From)*d.share + 1e-7)); n > 0 {
			shifts = append(shifts, problem.Shift{From: s.From, To: s.From + n})
		}
	}
	return shifts
}

// longDays are the days of a crew that moves change, in order of date, from today on: those of weeks in which the crew's paid
// hours grow.
func longDays(spec *problem.Calendar, crew string, today problem.Date, moves []Move) []longDay {
	weeks := map[problem.Date]bool{}
	var own []Move
	for _, m := range moves {
		if m.Crew != crew || m.Kind != Overtime && m.Kind != Saturdays {
			continue
		}
		own = append(own, m)
		for d := m.From; !m.Until.Before(d); d = d.AddDays(1) {
			if !d.Before(today) {
				weeks[weekOf(d)] = true
			}
		}
	}
	var days []longDay
	for monday := range weeks {
		days = append(days, longWeekDays(spec, monday, today, own)...)
	}
	slices.SortFunc(days, func(a, b longDay) int { return a.date.Compare(b.date) })
	return days
}

// longDaysOf are the changed days of a crew of a problem, from the data date on.
func longDaysOf(p *problem.Problem, crew *problem.Crew, moves []Move) []longDay {
	spec := calendarOf(p, crew.Calendar)
	if spec == nil {
		return nil
	}
	return longDays(spec, crew.ID, dateIn(p.DataDate, spec.Zone), moves)
}

// longWeekDays are the changed days of one week, from today on. The loss is that of the whole week and falls on each of its
// days.
func longWeekDays(spec *problem.Calendar, monday, today problem.Date, moves []Move) []longDay {
	var days []longDay
	ordinary, paid, loss := 0, 0, 0.0
	for n := range 7 {
		day := longDay{date: monday.AddDays(n), premium: 1}
		usual := spec.ShiftsOn(day.date)
		day.ordinary, day.paid = minutesOf(usual), usual
		ordinary += day.ordinary
		for _, m := range moves {
			if day.date.Before(today) || day.date.Before(m.From) || m.Until.Before(day.date) {
				continue
			}
			if longer := m.onDay(spec, day.date, usual); minutesOf(longer) > minutesOf(day.paid) {
				day.paid, day.premium, loss = longer, m.Premium, max(loss, m.Loss)
			}
		}
		paid += minutesOf(day.paid)
		if len(day.paid) > 0 && !day.date.Before(today) {
			days = append(days, day)
		}
	}
	if paid == ordinary {
		return nil
	}
	for i := range days {
		days[i].share = efficiency(paid, ordinary, loss)
	}
	return days
}

// onDay is a day's shifts with a move: an hour more after the last one, or a Saturday like the Friday before it.
func (m Move) onDay(spec *problem.Calendar, date problem.Date, usual []problem.Shift) []problem.Shift {
	switch {
	case m.Kind == Overtime && len(usual) > 0:
		longer := slices.Clone(usual)
		slices.SortFunc(longer, func(a, b problem.Shift) int { return cmp.Compare(a.From, b.From) })
		last := &longer[len(longer)-1]
		last.To = min(last.To+m.Minutes, 24*60)
		return longer
	case m.Kind == Saturdays && len(usual) == 0 && date.Weekday() == time.Saturday && !slices.Contains(spec.Holidays, date):
		return spec.Week.Day(time.Friday)
	}
	return usual
}

func calendarOf(p *problem.Problem, id string) *problem.Calendar {
	i := slices.IndexFunc(p.Calendars, func(c problem.Calendar) bool { return c.ID == id })
	if i < 0 {
		return nil
	}
	return &p.Calendars[i]
}

func minutesOf(shifts []problem.Shift) int {
	n := 0
	for _, s := range shifts {
		n += s.To - s.From
	}
	return n
}

// WithoutLongerHours returns a problem in which every crew has its ordinary calendar again, so that the moves that lengthened
// them can be priced. Nothing else is taken back, and the input is not changed.
func WithoutLongerHours(p *problem.Problem) *problem.Problem {
	ordinary := *p
	ordinary.Crews = slices.Clone(p.Crews)
	for i := range ordinary.Crews {
		if calendar, _, long := HoursOf(ordinary.Crews[i].Calendar); long {
			ordinary.Crews[i].Calendar = calendar
		}
	}
	return &ordinary
}
