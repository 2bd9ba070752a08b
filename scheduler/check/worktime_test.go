package check

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

func chicagoNights(t *testing.T, shift string) *worktime {
	t.Helper()
	s, err := problem.ParseShift(shift)
	require.NoError(t, err)
	zone, err := time.LoadLocation("America/Chicago")
	require.NoError(t, err)
	week := problem.Week{}
	for _, day := range []*[]problem.Shift{&week.Mon, &week.Tue, &week.Wed, &week.Thu, &week.Fri, &week.Sat, &week.Sun} {
		*day = []problem.Shift{s}
	}
	return calendarTime(&problem.Calendar{ID: "nights", Zone: "America/Chicago", Week: week}, zone)
}

func utc(text string) minute {
	t, err := time.Parse("2006-01-02 15:04", text)
	if err != nil {
		panic(err)
	}
	return minuteOf(t)
}

// The United States change their clocks at 2:00 on the second Sunday in March and the first one in November (15 U.S.C.
// 260a): in 2026 on 8 March at 8:00 UTC and on 1 November at 7:00 UTC in Chicago.
func TestCalendarTime_FollowsTheClocksWhenTheyChange(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, shift, date, from, to string
	}{
		{"spring, over the skipped hour", "01:00-05:00", "2026-03-08", "2026-03-08 07:00", "2026-03-08 10:00"},
		{"spring, from inside the skipped hour", "02:30-05:00", "2026-03-08", "2026-03-08 08:00", "2026-03-08 10:00"},
		{"spring, to inside the skipped hour", "01:00-02:30", "2026-03-08", "2026-03-08 07:00", "2026-03-08 08:00"},
		{"autumn, over the repeated hour", "00:30-03:00", "2026-11-01", "2026-11-01 05:30", "2026-11-01 09:00"},
		{"autumn, from inside the repeated hour", "01:30-03:00", "2026-11-01", "2026-11-01 06:30", "2026-11-01 09:00"},
		{"autumn, to inside the repeated hour", "00:30-01:30", "2026-11-01", "2026-11-01 05:30", "2026-11-01 06:30"},
		{"to midnight", "20:00-24:00", "2026-11-01", "2026-11-02 02:00", "2026-11-02 06:00"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			day := utc(row.date + " 05:00") // no clock of Chicago shows another date for long
			got := chicagoNights(t, row.shift).pieces(day, day+minutesPerDay+60)
			require.NotEmpty(t, got)
			assert.Equal(t, span{utc(row.from), utc(row.to)}, got[0])
		})
	}
}

func TestCalendarTime_GetsPastTheLastDayOfLeapYears(t *testing.T) {
	t.Parallel()
	nights := chicagoNights(t, "01:00-02:00")
	from := utc("2026-01-01 06:00")
	// 40 years of 14,610 nights of one hour: what the spring takes the shift that starts at 1:00 does not have.
	assert.EqualValues(t, 14_610*60, nights.minutes(from, utc("2066-01-01 06:00"))-40*60)
}

func TestWorktime_AddsAndTakesAwayInWorkingTime(t *testing.T) {
	t.Parallel()
	days := chicagoNights(t, "07:00-15:00") // 13:00 to 21:00 UTC in winter
	for _, row := range []struct {
		from string
		lag  int
		want string
	}{
		{"2026-01-05 13:00", 0, "2026-01-05 13:00"},
		{"2026-01-05 03:00", 0, "2026-01-05 03:00"},     // no roll
		{"2026-01-05 13:00", 480, "2026-01-05 21:00"},   // ends with the shift, not the next morning
		{"2026-01-05 13:00", 481, "2026-01-06 13:01"},   //
		{"2026-01-05 22:00", 60, "2026-01-06 14:00"},    //
		{"2026-01-05 21:00", -480, "2026-01-05 13:00"},  // the last instant that has 480 minutes before the end
		{"2026-01-06 13:00", -480, "2026-01-05 13:00"},  //
		{"2026-01-06 13:00", -1, "2026-01-05 20:59"},    //
		{"2026-01-06 13:30", -30, "2026-01-06 13:00"},   //
		{"2026-01-06 13:30", -4830, "2025-12-27 13:00"}, // ten days back
	} {
		got, ok := days.shift(utc(row.from), row.lag)
		assert.True(t, ok)
		assert.Equal(t, utc(row.want).time(), got.time(), "%+v", row)
	}
}

func TestWorktime_SaysWhenMinutesNeverPass(t *testing.T) {
	t.Parallel()
	none := &worktime{expand: func(_, _ minute) []span { return nil }}
	_, ok := none.after(0, 1)
	assert.False(t, ok)
	_, ok = none.earlier(0, 1)
	assert.False(t, ok)
}

func TestWithout_TakesAbsencesOutOfWorkingTime(t *testing.T) {
	t.Parallel()
	got := without([]span{{0, 10}, {20, 30}, {40, 50}}, []span{{42, 44}, {5, 22}, {21, 25}, {60, 70}})
	assert.Equal(t, []span{{0, 5}, {25, 30}, {40, 42}, {44, 50}}, got)
}

func TestCommon_KeepsWhatBothHave(t *testing.T) {
	t.Parallel()
	got := common([]span{{0, 10}, {20, 30}}, []span{{5, 8}, {9, 21}, {29, 40}})
	assert.Equal(t, []span{{5, 8}, {9, 10}, {20, 21}, {29, 30}}, got)
}
