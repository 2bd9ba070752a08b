package recovery

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

// Thomas and Raynar (source document 98 of the Construction Industry Institute, 1994; J. Constr. Eng. Manage., 1997): 10 to 15 %
// of efficiency lost at 50 and 60 hours a week. Worked from it: 50 hours are worth 42.5 to 45, 60 hours 51 to 54.
func TestEfficiency_ThomasAndRaynar(t *testing.T) {
	t.Parallel()
	worth := func(hours int, loss float64) float64 {
		return float64(hours) * efficiency(hours*60, 40*60, loss)
	}
	assert.InDelta(t, 42.5, worth(50, 0.15), 1e-9)
	assert.InDelta(t, 45, worth(50, 0.10), 1e-9)
	assert.InDelta(t, 51, worth(60, 0.15), 1e-9)
	assert.InDelta(t, 54, worth(60, 0.10), 1e-9)
}

// Identities: 50 hours at an efficiency of 0.80, 60 at two thirds and 48 at five sixths gain nothing on 40. After four weeks
// of 50 hours a loss of 20 % cancels the gain, as consultants' ranges have it.
func TestEfficiency_BreakEven(t *testing.T) {
	t.Parallel()
	assert.InDelta(t, 40, 50*efficiency(50*60, 40*60, 0.20), 1e-9)
	assert.InDelta(t, 40, 60*efficiency(60*60, 40*60, 1./3), 1e-9)
	// 48 hours bear eight tenths of the loss of 50, which is our assumption between 40 and 50.
	assert.InDelta(t, 40, 48*efficiency(48*60, 40*60, (1./6)/0.8), 1e-9)
}

// week is a crew's ordinary one: 07:00 to 12:00 and 12:30 to 15:30 from Monday to Friday, 40 hours. The data date is Monday
// 1 June 2026, 00:00 UTC.
func week() *problem.Problem {
	shifts := []problem.Shift{{From: 7 * 60, To: 12 * 60}, {From: 12*60 + 30, To: 15*60 + 30}}
	return &problem.Problem{
		Version: problem.Version, Zone: "UTC", DataDate: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC),
		Calendars: []problem.Calendar{{
			ID: "days", Zone: "UTC", Week: problem.Week{Mon: shifts, Tue: shifts, Wed: shifts, Thu: shifts, Fri: shifts},
			Holidays: []problem.Date{{Year: 2026, Month: 6, Day: 19}},
		}},
		Crews: []problem.Crew{{ID: "Alder", Skills: []string{"frame"}, Heads: 1, Calendar: "days", CostPerHour: 60}},
	}
}

func june(day int) problem.Date { return problem.Date{Year: 2026, Month: 6, Day: day} }

func shiftsOf(t *testing.T, p *problem.Problem, d problem.Date) string {
	t.Helper()
	spec := calendarOf(p, p.Crews[0].Calendar)
	require.NotNil(t, spec)
	text := ""
	for _, s := range spec.ShiftsOn(d) {
		text += s.String() + " "
	}
	return text
}

func TestApply_OvertimeLengthensTheDayLessTheLoss(t *testing.T) {
	t.Parallel()
	p := week()
	m := Move{Kind: Overtime, Crew: "Alder", From: june(8), Until: june(12), Minutes: 120, Loss: 0.15, Premium: 1.5}
	require.NoError(t, m.Validate())
	got := m.Apply(p)
	require.Empty(t, problem.Validate(got))
	// 50 hours are paid, 07:00 to 12:00 and 12:30 to 17:30; 0.85 of 300 minutes is 255 in each part, 8.5 hours a day.
	assert.Equal(t, "07:00-11:15 12:30-16:45 ", shiftsOf(t, got, june(8)))
	assert.Equal(t, "07:00-11:15 12:30-16:45 ", shiftsOf(t, got, june(12)))
	assert.Equal(t, "07:00-12:00 12:30-15:30 ", shiftsOf(t, got, june(5)), "the week before")
	assert.Equal(t, "", shiftsOf(t, got, june(13)), "a Saturday")
	assert.Equal(t, "07:00-12:00 12:30-15:30 ", shiftsOf(t, got, june(15)), "the week after")
}

func TestApply_SaturdaysCostTheWholeWeekItsLoss(t *testing.T) {
	t.Parallel()
	m := Move{Kind: Saturdays, Crew: "Alder", From: june(6), Until: june(6), Loss: 0.15, Premium: 1.5}
	got := m.Apply(week())
	require.Empty(t, problem.Validate(got))
	// 48 hours bear eight tenths of 15 %: 0.88 of 300 minutes is 264, of 180 is 158.4.
	for _, day := range []int{1, 5, 6} {
		assert.Equal(t, "07:00-11:24 12:30-15:08 ", shiftsOf(t, got, june(day)))
	}
	assert.Equal(t, "07:00-12:00 12:30-15:30 ", shiftsOf(t, got, june(8)))
}

func TestApply_HolidaysStayHolidays(t *testing.T) {
	t.Parallel()
	m := Move{Kind: Overtime, Crew: "Alder", From: june(15), Until: june(21), Minutes: 120, Loss: 0.15, Premium: 1.5}
	got := m.Apply(week())
	assert.Equal(t, "", shiftsOf(t, got, june(19)))
	// Four days of 10 hours are 40, of an ordinary 32: no week is over 40 hours, so that nothing is lost.
	assert.Equal(t, "07:00-12:00 12:30-17:30 ", shiftsOf(t, got, june(18)))
}

func TestApply_HoursAndSaturdaysOfOneCrewAreSettledTogether(t *testing.T) {
	t.Parallel()
	hours := Move{Kind: Overtime, Crew: "Alder", From: june(8), Until: june(14), Minutes: 120, Loss: 0.15, Premium: 1.5}
	saturday := Move{Kind: Saturdays, Crew: "Alder", From: june(13), Until: june(13), Loss: 0.15, Premium: 2}
	one, other := Apply(week(), []Move{hours, saturday}), Apply(week(), []Move{saturday, hours})
	assert.Equal(t, one, other)
	// 58 hours: the loss of 50 to 60 hours on all six days, once.
	assert.Equal(t, "07:00-11:15 12:30-16:45 ", shiftsOf(t, one, june(12)))
	assert.Equal(t, "07:00-11:15 12:30-15:03 ", shiftsOf(t, one, june(13)))
}

// planOf is a plan of one task with its segments.
func planOf(crew string, segments ...[2]time.Time) *problem.Plan {
	return &problem.Plan{Tasks: []problem.PlannedTask{{ID: "frame", Crew: &crew, Segments: segments}}}
}

func clock(day, hour, minute int) time.Time {
	return time.Date(2026, 6, day, hour, minute, 0, 0, time.UTC)
}

func TestPrice_PaysTheLossAndThePremium(t *testing.T) {
	t.Parallel()
	m := Move{Kind: Overtime, Crew: "Alder", From: june(8), Until: june(12), Minutes: 120, Loss: 0.15, Premium: 1.5}
	// A full long day in the plan, 510 minutes, is paid as 10 hours, 2 of them at one and a half: 11 x 60.
	bill := Price(week(), []Move{m}, planOf("Alder", [2]time.Time{clock(8, 7, 0), clock(8, 11, 15)}, [2]time.Time{clock(8, 12, 30), clock(8, 16, 45)}))
	assert.InDelta(t, 10, bill.Hours, 1e-9)
	assert.InDelta(t, 2, bill.OvertimeHours, 1e-9)
	assert.InDelta(t, 660, bill.Labour, 1e-9)
	assert.InDelta(t, 90+60, bill.Extra, 1e-9, "an hour and a half in which nothing is done, and the premium of two hours")
	// 102 productive minutes are 120 paid, within the ordinary day: no overtime.
	bill = Price(week(), []Move{m}, planOf("Alder", [2]time.Time{clock(8, 7, 0), clock(8, 8, 42)}))
	assert.InDelta(t, 2, bill.Hours, 1e-9)
	assert.Zero(t, bill.OvertimeHours)
	assert.InDelta(t, 120, bill.Labour, 1e-9)
	// The week after costs what it says.
	bill = Price(week(), []Move{m}, planOf("Alder", [2]time.Time{clock(15, 7, 0), clock(15, 12, 0)}))
	assert.InDelta(t, 300, bill.Labour, 1e-9)
}

func TestPrice_ASecondCrewIsPaidWhileItIsThere(t *testing.T) {
	t.Parallel()
	m := Move{Kind: SecondCrew, Crew: "Alder", NewCrew: "Alder 2", From: june(8), Premium: 1.25, AtLeastDays: 2, Price: 500}
	require.NoError(t, m.Validate())
	require.Empty(t, problem.Validate(m.Apply(week())))
	// Works Monday and Wednesday morning: 8 + 8 + 5 hours are paid.
	bill := Price(week(), []Move{m}, planOf("Alder 2", [2]time.Time{clock(8, 7, 0), clock(8, 9, 0)}, [2]time.Time{clock(10, 7, 0), clock(10, 12, 0)}))
	assert.InDelta(t, 21, bill.Hours, 1e-9)
	assert.InDelta(t, 21*60*1.25, bill.Labour, 1e-9)
	assert.InDelta(t, 21*60*1.25-7*60, bill.Extra, 1e-9, "seven hours are work that somebody has to do")
	assert.InDelta(t, 7*60, bill.Work(), 1e-9)
	assert.InDelta(t, 500, bill.Prices, 1e-9)
	// Two days at least.
	bill = Price(week(), []Move{m}, planOf("Alder 2", [2]time.Time{clock(8, 7, 0), clock(8, 9, 0)}))
	assert.InDelta(t, 16, bill.Hours, 1e-9)
}

// What long days and second crews cost beyond the work is divided among tasks without a remainder.
func TestShares_AddUpToTheBill(t *testing.T) {
	t.Parallel()
	hours := Move{Kind: Overtime, Crew: "Alder", From: june(8), Until: june(12), Minutes: 120, Loss: 0.15, Premium: 1.5}
	second := Move{Kind: SecondCrew, Crew: "Alder", NewCrew: "Alder 2", From: june(8), Premium: 1.25, AtLeastDays: 2}
	moves := []Move{hours, second}
	alder, other := "Alder", "Alder 2"
	made := &problem.Plan{Tasks: []problem.PlannedTask{
		{ID: "first", Crew: &alder, Segments: [][2]time.Time{{clock(8, 7, 0), clock(8, 11, 15)}}},
		{ID: "next", Crew: &alder, Segments: [][2]time.Time{{clock(8, 12, 30), clock(8, 16, 45)}, {clock(9, 7, 0), clock(9, 8, 42)}}},
		{ID: "theirs", Crew: &other, Segments: [][2]time.Time{{clock(8, 7, 0), clock(8, 9, 0)}}},
		{ID: "also theirs", Crew: &other, Segments: [][2]time.Time{{clock(10, 7, 0), clock(10, 12, 0)}}},
	}}
	shares, rest := Shares(week(), moves, made)
	assert.Zero(t, rest)
	// Both halves of Monday bear the same of its two hours of overtime; the 18 minutes lost on Tuesday are the second's.
	assert.InDelta(t, 1, shares["first"].OvertimeHours, 1e-9)
	assert.InDelta(t, 1, shares["next"].OvertimeHours, 1e-9)
	assert.InDelta(t, 75, shares["first"].Extra, 1e-9)
	assert.InDelta(t, 75+18, shares["next"].Extra, 1e-9)
	// Two hours of seven of what 21 paid hours cost beyond seven of work.
	assert.InDelta(t, (21*1.25-7)*60*2/7, shares["theirs"].Extra, 1e-9)
	var sum Share
	for _, s := range shares {
		sum = sum.plus(s)
	}
	bill := Price(week(), moves, made)
	assert.InDelta(t, bill.OvertimeHours, sum.OvertimeHours, 1e-9)
	assert.InDelta(t, bill.Extra, sum.Extra, 1e-9)
	// Nobody has work for the second crew: two days are paid, and no task bears them.
	made.Tasks = made.Tasks[:2]
	shares, rest = Shares(week(), moves, made)
	assert.InDelta(t, 16*60*1.25, rest.Extra, 1e-9)
	assert.InDelta(t, Price(week(), moves, made).Extra, shares["first"].Extra+shares["next"].Extra+rest.Extra, 1e-9)
}
