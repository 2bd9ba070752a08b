package leadtime_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/leadtime"
	"jambwright/scheduler/problem"
)

// shop works Monday to Friday, 07:00 to 15:30, with the federal holidays of 5 U.S.C. 6103(a) as observed.
func shop(zone string) problem.Calendar {
	spec := problem.Calendar{ID: "shop", Zone: zone, Holidays: calendar.FederalHolidays(2025, 2029)}
	shift := []problem.Shift{{From: 7 * 60, To: 15*60 + 30}}
	spec.Week = problem.Week{Mon: shift, Tue: shift, Wed: shift, Thu: shift, Fri: shift}
	return spec
}

func compile(t testing.TB, spec problem.Calendar) *calendar.Calendar {
	t.Helper()
	c, err := calendar.Compile(spec, at(t, "2025-06-01 00:00", "UTC"), at(t, "2029-06-01 00:00", "UTC"))
	require.NoError(t, err)
	return c
}

func at(t testing.TB, text, zone string) calendar.Instant {
	t.Helper()
	location, err := time.LoadLocation(zone)
	require.NoError(t, err)
	when, err := time.ParseInLocation("2006-01-02 15:04", text, location)
	require.NoError(t, err)
	return calendar.FromTime(when)
}

const zone = "America/New_York"

// The first day counts, so that a lead of n days runs from the start of the first of them to the close of the last. Holidays
// are those of 5 U.S.C. 6103(a) with their days of observance, counted by hand on a wall calendar.
func TestTerms_CountWorkingDaysOverFederalHolidays(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name         string
		first, close string
		days         int
	}{
		{"Independence Day 2026, a Saturday, is observed on Friday 3 July", "2026-06-29", "2026-07-06", 5},
		{"Thanksgiving, Thursday 26 November 2026", "2026-11-23", "2026-11-30", 5},
		{"Christmas 2027 on Friday the 24th and New Year 2028 on Friday the 31st", "2027-12-20", "2028-01-04", 10},
		{"Martin Luther King's Birthday, Monday 19 January 2026", "2026-01-02", "2026-02-13", 30},
		{"no holiday: Monday to Friday", "2026-08-03", "2026-08-07", 5},
		{"over the change to standard time, Sunday 1 November 2026", "2026-10-30", "2026-11-02", 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			spec := shop(zone)
			terms := leadtime.Terms{
				Days: leadtime.Days{Likely: c.days, Most: c.days}, DayMinutes: leadtime.DayMinutes(&spec), Supplier: compile(t, spec),
			}
			first, last := at(t, c.first+" 07:00", zone), at(t, c.close+" 15:30", zone)
			require.Equal(t, last, terms.Arrival(first).Likely, "forward")
			require.Equal(t, first, terms.OrderBy(last).Likely, "backward")
		})
	}
}

// Needed Monday 4 January 2027, 07:00, ten working days: the package's worked example. New Year's Day and Christmas Day are
// Fridays. The buyer must have ordered by the close of the last working day before the ten begin.
func TestTerms_OrderByIsTheBuyersLastMinuteForEachLead(t *testing.T) {
	t.Parallel()
	spec := shop(zone)
	c := compile(t, spec)
	terms := leadtime.Terms{
		Days: leadtime.Days{Least: 5, Likely: 10, Most: 15}, DayMinutes: leadtime.DayMinutes(&spec), Supplier: c, Buyer: c,
	}
	by := terms.OrderBy(at(t, "2027-01-04 07:00", zone))
	// Least: 31, 30, 29, 28, 24 December are five days, ordered by the close of Wednesday the 23rd.
	require.Equal(t, at(t, "2026-12-23 15:30", zone), by.Least)
	// Likely: five more are 23, 22, 21, 18, 17, ordered by the close of Wednesday the 16th.
	require.Equal(t, at(t, "2026-12-16 15:30", zone), by.Likely)
	// Most: five more are 16, 15, 14, 11, 10, ordered by the close of Wednesday the 9th.
	require.Equal(t, at(t, "2026-12-09 15:30", zone), by.Most)
}

// slowOrderBy walks back minute by minute and day by day through the plain rules of the week: no compiled calendar, no search.
func slowOrderBy(spec *problem.Calendar, need time.Time, minutes int) time.Time {
	works := func(t time.Time) bool {
		day := problem.DateOf(t)
		for _, h := range spec.Holidays {
			if h == day {
				return false
			}
		}
		clock := t.Hour()*60 + t.Minute()
		for _, s := range spec.Week.Day(t.Weekday()) {
			if s.From <= clock && clock < s.To {
				return true
			}
		}
		return false
	}
	t := need
	for left := minutes; left > 0; {
		t = t.Add(-time.Minute)
		if works(t) {
			left--
		}
	}
	for !works(t.Add(-time.Minute)) { // the buyer keeps the shop's hours
		t = t.Add(-time.Minute)
	}
	return t
}

func TestTerms_OrderByEqualsASlowWalk(t *testing.T) {
	t.Parallel()
	location, err := time.LoadLocation(zone)
	require.NoError(t, err)
	spec := shop(zone)
	spec.Week.Sat = []problem.Shift{{From: 8 * 60, To: 12 * 60}}
	c := compile(t, spec)
	random := rand.New(rand.NewPCG(7, 16))
	for range 60 {
		need := time.Date(2026, time.February, 1, 0, random.IntN(60*24*700), 0, 0, location)
		terms := leadtime.Terms{
			Days:       leadtime.Days{Least: 1 + random.IntN(3), Likely: 4 + random.IntN(10), Most: 15 + random.IntN(15)},
			DayMinutes: leadtime.DayMinutes(&spec), Supplier: c, Buyer: c,
		}
		by := terms.OrderBy(calendar.FromTime(need))
		for _, lead := range []struct {
			days int
			got  calendar.Instant
		}{{terms.Days.Least, by.Least}, {terms.Days.Likely, by.Likely}, {terms.Days.Most, by.Most}} {
			want := slowOrderBy(&spec, need, lead.days*terms.DayMinutes)
			require.Equal(t, calendar.FromTime(want), lead.got, "%d days before %s", lead.days, need)
			require.LessOrEqual(t, c.Add(lead.got, calendar.WorkMinutes(lead.days*terms.DayMinutes)), calendar.FromTime(need), "ordered then, it is in time")
			require.Greater(t, c.Add(c.Next(lead.got)+1, calendar.WorkMinutes(lead.days*terms.DayMinutes)), calendar.FromTime(need), "a working minute later is too late")
		}
	}
}

func TestDayMinutes(t *testing.T) {
	t.Parallel()
	spec := shop(zone)
	require.Equal(t, 510, leadtime.DayMinutes(&spec))
	require.Equal(t, 1440, leadtime.DayMinutes(nil), "without a calendar lead days are days of the clock")
	require.Equal(t, 1440, leadtime.DayMinutes(&problem.Calendar{}))
}

func TestTerms_Outlook(t *testing.T) {
	t.Parallel()
	spec := shop(zone)
	c := compile(t, spec)
	terms := leadtime.Terms{
		Days: leadtime.Days{Least: 5, Likely: 10, Most: 13}, DayMinutes: 510, Supplier: c, Buyer: c, Allowance: 1,
	}
	now := at(t, "2026-12-09 09:00", zone) // a Wednesday
	when := func(text string) *calendar.Instant {
		i := at(t, text, zone)
		return &i
	}
	for _, row := range []struct {
		name             string
		facts            leadtime.Facts
		placed           string
		rule             leadtime.Rule
		expected, latest string
	}{
		// Ordered Monday 7 December at 07:00: 7 8 9 10 11 14 15 16 17 18.
		{"the likely lead from the order", leadtime.Facts{Ordered: when("2026-12-07 07:00")}, "", leadtime.Computed, "2026-12-18 15:30", "2026-12-23 15:30"},
		{"a promise replaces it", leadtime.Facts{Ordered: when("2026-12-07 07:00"), Promised: when("2026-12-29 07:00")}, "", leadtime.Promised, "2026-12-29 07:00", "2026-12-29 07:00"},
		// Three days of spread from the Wednesday at 09:00: its 390 minutes, Thursday, Friday, and 120 on Monday to 09:00.
		{"a missed promise slides by the spread", leadtime.Facts{Ordered: when("2026-11-09 07:00"), Promised: when("2026-12-07 07:00")}, "", leadtime.MissedPromise, "2026-12-14 09:00", "2026-12-14 09:00"},
		{"a lead that is used up slides too", leadtime.Facts{Ordered: when("2026-11-09 07:00")}, "", leadtime.Overdue, "2026-12-14 09:00", "2026-12-14 09:00"},
		{"what is here is here", leadtime.Facts{Ordered: when("2026-11-09 07:00"), Received: when("2026-12-08 10:00")}, "", leadtime.Arrived, "2026-12-08 10:00", "2026-12-08 10:00"},
		// Placed Monday 14 December at 07:00: 14 15 16 17 18 21 22 23 24 28.
		{"not ordered: from when it can be", leadtime.Facts{}, "2026-12-14 07:00", leadtime.ToOrder, "2026-12-28 15:30", "2026-12-31 15:30"},
		{"not before the data date", leadtime.Facts{}, "2026-12-01 07:00", leadtime.ToOrder, "2026-12-23 09:00", "2026-12-29 09:00"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			placed := now
			if row.placed != "" {
				placed = at(t, row.placed, zone)
			}
			got := terms.Outlook(row.facts, now, placed)
			want := leadtime.Outlook{Rule: row.rule, Expected: at(t, row.expected, zone), Latest: at(t, row.latest, zone)}
			require.Equal(t, want, got, "%s", fmt.Sprint(got.Expected.Time(), got.Latest.Time()))
		})
	}
	require.True(t, leadtime.MissedPromise.Late())
	require.False(t, leadtime.Promised.Late())
}
