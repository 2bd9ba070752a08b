package calendar_test

import (
	"testing"
	"time"

	"github.com/rickar/cal/v2"
	"github.com/rickar/cal/v2/us"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// The observed days of 5 U.S.C. 6103(a) and (b), worked from the statute for three years in which New Year, Juneteenth,
// Independence Day, Veterans Day and Christmas all fall on a weekend at least once.
func TestFederalHolidays_FollowTheStatute(t *testing.T) {
	t.Parallel()
	want := []string{
		"2026-01-01", "2026-01-19", "2026-02-16", "2026-05-25", "2026-06-19", "2026-07-03",
		"2026-09-07", "2026-10-12", "2026-11-11", "2026-11-26", "2026-12-25",
		"2027-01-01", "2027-01-18", "2027-02-15", "2027-05-31", "2027-06-18", "2027-07-05",
		"2027-09-06", "2027-10-11", "2027-11-11", "2027-11-25", "2027-12-24", "2027-12-31",
		"2028-01-17", "2028-02-21", "2028-05-29", "2028-06-19", "2028-07-04",
		"2028-09-04", "2028-10-09", "2028-11-10", "2028-11-23", "2028-12-25",
	}
	require.Equal(t, want, texts(calendar.FederalHolidays(2026, 2028)))
}

func TestFederalHolidays_LeaveTheStatutesCountOfWorkdays(t *testing.T) {
	t.Parallel()
	for year, want := range map[int]int{2026: 250, 2027: 249, 2028: 250} {
		off := make(map[string]bool)
		for _, d := range calendar.FederalHolidays(year, year) {
			off[d.String()] = true
		}
		days := 0
		for d := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC); d.Year() == year; d = d.AddDate(0, 0, 1) {
			if weekend := d.Weekday() == time.Saturday || d.Weekday() == time.Sunday; !weekend && !off[d.Format(time.DateOnly)] {
				days++
			}
		}
		require.Equal(t, want, days, "workdays of %d", year)
	}
}

// The reference library gives a holiday's observed day under the year of the holiday, so both years are asked for.
func TestFederalHolidays_AgreeWithAReferenceLibrary(t *testing.T) {
	t.Parallel()
	for year := 1990; year <= 2060; year++ {
		want := make(map[string]bool)
		for _, holiday := range []*cal.Holiday{
			us.NewYear, us.MlkDay, us.PresidentsDay, us.MemorialDay, us.Juneteenth, us.IndependenceDay,
			us.LaborDay, us.ColumbusDay, us.VeteransDay, us.ThanksgivingDay, us.ChristmasDay,
		} {
			for _, asked := range []int{year, year + 1} {
				if _, observed := holiday.Calc(asked); observed.Year() == year {
					want[observed.Format(time.DateOnly)] = true
				}
			}
		}
		got := make(map[string]bool)
		for _, d := range calendar.FederalHolidays(year, year) {
			got[d.String()] = true
		}
		require.Equal(t, want, got, "year %d", year)
	}
}

// Common practice, not a rule of law: see BuildingTradesHolidays.
func TestBuildingTradesHolidays_MoveOffWeekendsOnlyWhenAsked(t *testing.T) {
	t.Parallel()
	require.Equal(t, []string{
		"2027-01-01", "2027-05-31", "2027-07-04", "2027-09-06", "2027-11-25", "2027-11-26", "2027-12-25",
	}, texts(calendar.BuildingTradesHolidays(2027, 2027, calendar.AsDated)))
	require.Equal(t, []string{
		"2027-01-01", "2027-05-31", "2027-07-05", "2027-09-06", "2027-11-25", "2027-11-26", "2027-12-24", "2027-12-31",
	}, texts(calendar.BuildingTradesHolidays(2027, 2027, calendar.NearestWeekday)))
}

func TestHolidays_OfNoYearAreNone(t *testing.T) {
	t.Parallel()
	require.Empty(t, calendar.FederalHolidays(2027, 2025))
}

func TestShutdown_ClosesBothItsDates(t *testing.T) {
	t.Parallel()
	var closed []problem.Date
	for _, exception := range calendar.Shutdown(date(t, "2026-12-30"), date(t, "2027-01-02")) {
		require.Empty(t, exception.Shifts)
		closed = append(closed, exception.Date)
	}
	require.Equal(t, []string{"2026-12-30", "2026-12-31", "2027-01-01", "2027-01-02"}, texts(closed))
	require.Empty(t, calendar.Shutdown(date(t, "2027-01-02"), date(t, "2026-12-30")))
}

// Finish of n workdays where the first day counts, federal holidays off; worked by hand on the dates of 5 U.S.C. 6103.
func TestAdd_FinishesWorkdaysAcrossFederalHolidays(t *testing.T) {
	t.Parallel()
	tests := []struct {
		start  string
		days   int
		more   string // a further day off
		finish string
	}{
		{"2026-06-29", 5, "", "2026-07-06"},
		{"2026-11-23", 5, "", "2026-11-30"},
		{"2026-11-23", 5, "2026-11-27", "2026-12-01"},
		{"2027-12-20", 10, "", "2028-01-04"},
		{"2026-01-02", 30, "", "2026-02-13"},
	}
	for _, test := range tests {
		spec := problem.Calendar{
			Zone: "America/Chicago", Week: weekdays(shifts(t, "07:00-15:30")), Holidays: calendar.FederalHolidays(2026, 2028),
		}
		if test.more != "" {
			spec.Holidays = append(spec.Holidays, date(t, test.more))
		}
		c := compiled(t, spec, "2026-01-01T00:00:00Z", "2029-01-01T00:00:00Z")
		location, err := time.LoadLocation(spec.Zone)
		require.NoError(t, err)
		start, err := time.ParseInLocation("2006-01-02 15:04", test.start+" 07:00", location)
		require.NoError(t, err)
		finish := c.Add(calendar.FromTime(start), calendar.WorkMinutes(test.days*510)).Time().In(location)
		require.Equal(t, test.finish+" 15:30", finish.Format("2006-01-02 15:04"), "%d days from %s", test.days, test.start)
	}
}

func texts(dates []problem.Date) []string {
	list := make([]string, 0, len(dates))
	for _, d := range dates {
		list = append(list, d.String())
	}
	return list
}
