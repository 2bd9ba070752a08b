package problem_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"jambwright/scheduler/problem"
)

// Observed federal holidays of 2026 and 2027 (5 U.S.C. 6103 with the weekend rule) give known weekdays and distances.
func TestDate_CountsDaysAcrossMonthsLeapDaysAndYears(t *testing.T) {
	t.Parallel()
	thanksgiving := problem.Date{Year: 2026, Month: time.November, Day: 26}
	christmas := problem.Date{Year: 2026, Month: time.December, Day: 25}
	assert.Equal(t, time.Thursday, thanksgiving.Weekday())
	assert.Equal(t, 29, thanksgiving.DaysUntil(christmas))
	assert.Equal(t, -29, christmas.DaysUntil(thanksgiving))
	assert.Equal(t, christmas, thanksgiving.AddDays(29))
	assert.True(t, thanksgiving.Before(christmas) && !christmas.Before(thanksgiving) && !christmas.Before(christmas))
	assert.Equal(t, problem.Date{Year: 2028, Month: time.February, Day: 29}, problem.Date{Year: 2028, Month: time.March, Day: 1}.AddDays(-1))

	rapid.Check(t, func(t *rapid.T) { // one day at a time is the slow way
		from := problem.Date{Year: 2024, Month: time.January, Day: 1}.AddDays(rapid.IntRange(0, 1500).Draw(t, "first"))
		n := rapid.IntRange(0, 800).Draw(t, "days")
		walked := from
		for range n {
			walked = problem.DateOf(time.Date(walked.Year, walked.Month, walked.Day+1, 12, 0, 0, 0, time.UTC))
		}
		assert.Equal(t, walked, from.AddDays(n))
		assert.Equal(t, n, from.DaysUntil(walked))
		assert.Equal(t, n > 0, from.Before(walked))
	})
}

func TestCalendar_AnExceptionOutranksAHolidayAndAHolidayTheWeek(t *testing.T) {
	t.Parallel()
	usual, short := []problem.Shift{{From: 7 * 60, To: 15 * 60}}, []problem.Shift{{From: 8 * 60, To: 10 * 60}}
	day := problem.Date{Year: 2026, Month: time.November, Day: 26} // a Thursday
	c := problem.Calendar{Week: problem.Week{Thu: usual}}
	assert.Equal(t, usual, c.ShiftsOn(day))
	assert.Empty(t, c.ShiftsOn(day.AddDays(1)))
	c.Holidays = []problem.Date{day}
	assert.Empty(t, c.ShiftsOn(day))
	c.Exceptions = []problem.Exception{{Date: day, Shifts: short}}
	assert.Equal(t, short, c.ShiftsOn(day))
	c.Exceptions[0].Shifts = nil
	c.Holidays = nil
	assert.Empty(t, c.ShiftsOn(day))
}
