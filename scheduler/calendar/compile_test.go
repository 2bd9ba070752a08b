package calendar_test

import (
	"testing"
	"time"
	_ "time/tzdata" // the tests must not depend on the zone database of the machine

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

func at(t require.TestingT, text string) calendar.Instant {
	when, err := time.Parse(time.RFC3339, text)
	require.NoError(t, err)
	return calendar.FromTime(when)
}

func date(t require.TestingT, text string) problem.Date {
	d, err := problem.ParseDate(text)
	require.NoError(t, err)
	return d
}

func shifts(t require.TestingT, texts ...string) []problem.Shift {
	list := make([]problem.Shift, 0, len(texts))
	for _, text := range texts {
		shift, err := problem.ParseShift(text)
		require.NoError(t, err)
		list = append(list, shift)
	}
	return list
}

func everyDay(list []problem.Shift) problem.Week {
	return problem.Week{Mon: list, Tue: list, Wed: list, Thu: list, Fri: list, Sat: list, Sun: list}
}

func weekdays(list []problem.Shift) problem.Week {
	return problem.Week{Mon: list, Tue: list, Wed: list, Thu: list, Fri: list}
}

func compiled(t require.TestingT, spec problem.Calendar, from, to string) *calendar.Calendar {
	c, err := calendar.Compile(spec, at(t, from), at(t, to))
	require.NoError(t, err)
	return c
}

// Daylight saving in America/New_York in 2026 runs from 8 March 02:00 to 1 November 02:00 (15 U.S.C. 260a); in
// Australia/Sydney it ends on 5 April 2026 03:00 and begins on 4 October 2026 02:00 (Standard Time Act 1987, New South
// Wales). Lord Howe Island moves by half an hour; Santiago changes at midnight; Apia skipped all of 30 December 2011.
func TestCompile_ShiftsMeetDaylightSavingBothWays(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, zone, date, shift string
		start, finish           string
	}{
		{"an ordinary day", "America/New_York", "2026-03-07", "02:00-10:00", "2026-03-07T02:00:00-05:00", "2026-03-07T10:00:00-05:00"},
		{"spring, from a skipped hour", "America/New_York", "2026-03-08", "02:00-10:00", "2026-03-08T03:00:00-04:00", "2026-03-08T10:00:00-04:00"},
		{"spring, from inside the skipped hour", "America/New_York", "2026-03-08", "02:30-10:00", "2026-03-08T03:00:00-04:00", "2026-03-08T10:00:00-04:00"},
		{"spring, to inside the skipped hour", "America/New_York", "2026-03-08", "00:00-02:30", "2026-03-08T00:00:00-05:00", "2026-03-08T03:00:00-04:00"},
		{"spring, across the change", "America/New_York", "2026-03-08", "00:00-08:00", "2026-03-08T00:00:00-05:00", "2026-03-08T08:00:00-04:00"},
		{"spring, the whole day", "America/New_York", "2026-03-08", "00:00-24:00", "2026-03-08T00:00:00-05:00", "2026-03-09T00:00:00-04:00"},
		{"autumn, across the change", "America/New_York", "2026-11-01", "00:00-08:00", "2026-11-01T00:00:00-04:00", "2026-11-01T08:00:00-05:00"},
		{"autumn, from the repeated hour", "America/New_York", "2026-11-01", "01:30-08:00", "2026-11-01T01:30:00-04:00", "2026-11-01T08:00:00-05:00"},
		{"autumn, to the repeated hour", "America/New_York", "2026-11-01", "00:00-01:30", "2026-11-01T00:00:00-04:00", "2026-11-01T01:30:00-04:00"},
		{"autumn, from the end of the repeated hour", "America/New_York", "2026-11-01", "02:00-10:00", "2026-11-01T02:00:00-05:00", "2026-11-01T10:00:00-05:00"},
		{"autumn, the whole day", "America/New_York", "2026-11-01", "00:00-24:00", "2026-11-01T00:00:00-04:00", "2026-11-02T00:00:00-05:00"},
		{"south, autumn is in April", "Australia/Sydney", "2026-04-05", "00:00-08:00", "2026-04-05T00:00:00+11:00", "2026-04-05T08:00:00+10:00"},
		{"south, the repeated hour", "Australia/Sydney", "2026-04-05", "02:15-02:45", "2026-04-05T02:15:00+11:00", "2026-04-05T02:45:00+11:00"},
		{"south, spring is in October", "Australia/Sydney", "2026-10-04", "02:00-10:00", "2026-10-04T03:00:00+11:00", "2026-10-04T10:00:00+11:00"},
		{"half an hour is skipped", "Australia/Lord_Howe", "2026-10-04", "02:15-10:00", "2026-10-04T02:30:00+11:00", "2026-10-04T10:00:00+11:00"},
		{"midnight itself is skipped", "America/Santiago", "2026-09-06", "00:00-08:00", "2026-09-06T01:00:00-03:00", "2026-09-06T08:00:00-03:00"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			spec := problem.Calendar{ID: "c", Zone: test.zone, Exceptions: []problem.Exception{
				{Date: date(t, test.date), Shifts: shifts(t, test.shift)},
			}}
			c := compiled(t, spec, "2026-01-01T00:00:00Z", "2027-01-01T00:00:00Z")
			require.Equal(t, []calendar.Interval{{Start: at(t, test.start), Finish: at(t, test.finish)}}, c.Intervals())
		})
	}
}

func TestCompile_ADateThatTheZoneSkipsHasNoWork(t *testing.T) {
	t.Parallel()
	spec := problem.Calendar{Zone: "Pacific/Apia", Exceptions: []problem.Exception{
		{Date: date(t, "2011-12-30"), Shifts: shifts(t, "00:00-24:00")},
	}}
	require.Empty(t, compiled(t, spec, "2011-12-01T00:00:00Z", "2012-02-01T00:00:00Z").Intervals())
}

func TestCompile_SpringAndAutumnDaysAreAnHourShorterAndLonger(t *testing.T) {
	t.Parallel()
	spec := problem.Calendar{Zone: "America/New_York", Week: everyDay(shifts(t, "00:00-24:00"))}
	c := compiled(t, spec, "2026-01-01T00:00:00-05:00", "2027-01-01T00:00:00-05:00")
	require.Len(t, c.Intervals(), 1, "days that meet at midnight are one interval")
	require.Equal(t, calendar.WorkMinutes(365*24*60), c.Total(), "the two changes cancel out")

	night := problem.Calendar{Zone: "America/New_York", Week: everyDay(shifts(t, "00:00-08:00"))}
	n := compiled(t, night, "2026-01-01T00:00:00-05:00", "2027-01-01T00:00:00-05:00")
	count := func(from, to string) calendar.WorkMinutes { return n.Count(at(t, from), at(t, to)) }
	require.Equal(t, calendar.WorkMinutes(480), count("2026-03-07T00:00:00-05:00", "2026-03-08T00:00:00-05:00"))
	require.Equal(t, calendar.WorkMinutes(420), count("2026-03-08T00:00:00-05:00", "2026-03-09T00:00:00-04:00"))
	require.Equal(t, calendar.WorkMinutes(540), count("2026-11-01T00:00:00-04:00", "2026-11-02T00:00:00-05:00"))
}

func TestCompile_AShiftOverMidnightJoins(t *testing.T) {
	t.Parallel()
	spec := problem.Calendar{Zone: "America/Chicago", Week: problem.Week{
		Mon: shifts(t, "22:00-24:00"), Tue: shifts(t, "00:00-06:30"),
	}}
	c := compiled(t, spec, "2026-06-01T00:00:00-05:00", "2026-06-08T00:00:00-05:00")
	require.Equal(t, []calendar.Interval{{
		Start: at(t, "2026-06-01T22:00:00-05:00"), Finish: at(t, "2026-06-02T06:30:00-05:00"),
	}}, c.Intervals())
}

func TestCompile_ExceptionsReplaceShiftsHolidayOrNot(t *testing.T) {
	t.Parallel()
	spec := problem.Calendar{
		Zone:     "UTC",
		Week:     weekdays(shifts(t, "13:00-17:00", "07:00-12:00")), // any order
		Holidays: []problem.Date{date(t, "2026-06-01"), date(t, "2026-06-02")},
		Exceptions: []problem.Exception{
			{Date: date(t, "2026-06-02"), Shifts: shifts(t, "08:00-09:00")}, // a holiday worked for an hour
			{Date: date(t, "2026-06-03")},                                   // a workday off
			{Date: date(t, "2026-06-06"), Shifts: shifts(t, "09:00-10:00")}, // a Saturday worked
		},
	}
	c := compiled(t, spec, "2026-06-01T00:00:00Z", "2026-06-08T00:00:00Z")
	span := func(day, from, to string) calendar.Interval {
		return calendar.Interval{Start: at(t, day+"T"+from+":00Z"), Finish: at(t, day+"T"+to+":00Z")}
	}
	require.Equal(t, []calendar.Interval{
		span("2026-06-02", "08:00", "09:00"),
		span("2026-06-04", "07:00", "12:00"), span("2026-06-04", "13:00", "17:00"),
		span("2026-06-05", "07:00", "12:00"), span("2026-06-05", "13:00", "17:00"),
		span("2026-06-06", "09:00", "10:00"),
	}, c.Intervals())
}

func TestCompile_NamesAZoneThatIsNotKnown(t *testing.T) {
	t.Parallel()
	_, err := calendar.Compile(problem.Calendar{ID: "site", Zone: "Mars/Olympus"}, 0, 10)
	require.ErrorContains(t, err, `calendar "site": zone "Mars/Olympus"`)
	_, err = calendar.Compile(problem.Calendar{ID: "site"}, 0, 10)
	require.ErrorContains(t, err, `calendar "site"`, "no zone is not the zone of the machine")
}

// The slow second implementation asks, minute by minute, what the local clock shows. It is right wherever no end of a
// shift is skipped or shown twice, so shifts are drawn clear of the hours around a change and across them.
func TestCompile_AgreesWithTheLocalClockMinuteByMinute(t *testing.T) {
	t.Parallel()
	zones := []string{"America/New_York", "Australia/Sydney", "Asia/Kolkata", "Europe/Dublin", "Pacific/Chatham", "America/St_Johns"}
	rapid.Check(t, func(t *rapid.T) {
		zone := rapid.SampledFrom(zones).Draw(t, "zone")
		location, err := time.LoadLocation(zone)
		require.NoError(t, err)
		var week problem.Week
		for _, day := range []*[]problem.Shift{&week.Mon, &week.Tue, &week.Wed, &week.Thu, &week.Fri, &week.Sat, &week.Sun} {
			*day = rapid.SampledFrom([][]problem.Shift{
				nil,
				{{From: 0, To: 1440}},
				{{From: 5 * 60, To: 12*60 + 7}, {From: 13 * 60, To: 1440}},
				{{From: 0, To: 6 * 60}, {From: 22 * 60, To: 1440}},
			}).Draw(t, "day")
		}
		from := at(t, "2026-01-01T00:00:00Z") + calendar.Instant(rapid.IntRange(0, 364*1440).Draw(t, "from"))
		to := from + calendar.Instant(rapid.IntRange(0, 3*1440).Draw(t, "length"))
		c, err := calendar.Compile(problem.Calendar{Zone: zone, Week: week}, from, to)
		require.NoError(t, err)
		requireCanonical(t, c)
		for minute := from; minute < to; minute++ {
			local := minute.Time().In(location)
			reading := local.Hour()*60 + local.Minute()
			want := false
			for _, shift := range week.Day(local.Weekday()) {
				want = want || shift.From <= reading && reading < shift.To
			}
			require.Equal(t, want, c.Count(minute, minute+1) == 1, "at %s", local)
		}
	})
}

func TestFromTime_DropsSecondsTowardsThePast(t *testing.T) {
	t.Parallel()
	require.Equal(t, calendar.Instant(0), calendar.FromTime(time.Unix(59, 0)))
	require.Equal(t, calendar.Instant(-1), calendar.FromTime(time.Unix(-1, 0)))
	require.Equal(t, calendar.Instant(-1), calendar.FromTime(time.Unix(-60, 0)))
	when := time.Date(2026, 11, 25, 7, 30, 0, 0, time.UTC)
	require.Equal(t, when, calendar.FromTime(when).Time())
	require.Equal(t, calendar.ElapsedMinutes(30), calendar.Instant(40).Since(10))
	require.Equal(t, calendar.Instant(40), calendar.Instant(10).Plus(30))
}

// Package time cuts the spans of an offset at year ends beyond a zone's table and, on 31 December of leap years, gives an
// end that is not after the instant asked about. A shift must lie where the local clock shows it all the same.
func TestCompile_LateYearsWorkWhereTheLocalClockShowsTheShift(t *testing.T) {
	t.Parallel()
	for _, zone := range []string{"America/Chicago", "Pacific/Auckland", "Asia/Kolkata", "America/Santiago", "Australia/Lord_Howe"} {
		for _, first := range []string{"2040-12-28", "2044-12-29", "2048-12-30", "2041-03-08", "2043-10-31"} {
			spec := problem.Calendar{ID: "late", Zone: zone, Week: everyDay(shifts(t, "06:00-18:00"))}
			begin := at(t, first+"T00:00:00Z")
			c, err := calendar.Compile(spec, begin, begin+6*24*60)
			require.NoError(t, err)
			location, err := time.LoadLocation(zone)
			require.NoError(t, err)
			for minute := begin; minute < begin+6*24*60; minute++ {
				hour := minute.Time().In(location).Hour()
				works := c.Count(minute, minute+1) == 1
				require.Equal(t, hour >= 6 && hour < 18, works, "%s at %s", zone, minute.Time().In(location))
			}
		}
	}
}
