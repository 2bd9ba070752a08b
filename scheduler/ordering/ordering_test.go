package ordering_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/leadtime"
	"jambwright/scheduler/ordering"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

func at(t testing.TB, text string) time.Time {
	t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	require.NoError(t, err)
	when, err := time.ParseInLocation("2006-01-02 15:04", text, zone)
	require.NoError(t, err)
	return when.UTC()
}

func atP(t testing.TB, text string) *time.Time {
	when := at(t, text)
	return &when
}

// firm is a job with one release of frames for two zones, made by a supplier who keeps federal holidays, at Wednesday 9 December
// 2026, 09:00. Lead 5, 10, 15 working days.
func firm(t testing.TB) pattern.Firm {
	t.Helper()
	shift := []problem.Shift{{From: 7 * 60, To: 15*60 + 30}}
	day := problem.Calendar{
		ID: "day", Zone: "America/New_York", Holidays: calendar.FederalHolidays(2025, 2029),
		Week: problem.Week{Mon: shift, Tue: shift, Wed: shift, Thu: shift, Fri: shift},
	}
	p := pattern.Project{
		Code: "NC", Name: "North Court", Calendar: "day",
		Areas:     []pattern.Area{{ID: "L1", Kind: pattern.Level}, {ID: "L1-E", Parent: "L1", Kind: pattern.Zone}, {ID: "L1-W", Parent: "L1", Kind: pattern.Zone}},
		Suppliers: []pattern.Supplier{{ID: "pellam", Name: "Pellam Frame Works", Calendar: "day", Lead: leadtime.Days{Least: 5, Likely: 10, Most: 15}}},
		Releases:  []pattern.Release{{ID: "R1", Supplier: "pellam", Basis: pattern.FromSurvey}},
	}
	for mark, area := range map[string]string{"101": "L1-E", "102": "L1-E", "201": "L1-W"} {
		p.Openings = append(p.Openings, pattern.Opening{
			Mark: mark, Area: area, Takeoff: takeoff.Opening{Type: takeoff.HingedFront},
			Material: []pattern.Material{{Item: pattern.FrameKit, Release: "R1"}},
		})
	}
	return pattern.Firm{
		Zone: "America/New_York", DataDate: at(t, "2026-12-09 09:00"), BuyerCalendar: "day",
		Calendars: []problem.Calendar{day}, Projects: []pattern.Project{p},
	}
}

// planned needs the delivery by Monday 4 January 2027, 07:00, and has the order placed on the day of the data date.
func planned(t testing.TB) map[pattern.TaskKey]ordering.Planned {
	return map[pattern.TaskKey]ordering.Planned{
		"NC/R1/order":   {Start: at(t, "2026-12-09 09:00"), Finish: at(t, "2026-12-09 09:30")},
		"NC/R1/deliver": {LateStart: at(t, "2027-01-04 07:00")},
		"NC/101/frame":  {Start: at(t, "2027-01-05 07:00")},
		"NC/102/frame":  {Start: at(t, "2026-12-30 07:00")},
	}
}

func TestLines_OrderByOverFederalHolidays(t *testing.T) {
	t.Parallel()
	f := firm(t)
	lines := ordering.Lines(&f, planned(t))
	require.Len(t, lines, 1)
	l := lines[0]
	// The worked example of package leadtime: Christmas Day and New Year's Day are Fridays.
	require.Equal(t, &ordering.Span{Least: at(t, "2026-12-23 15:30"), Likely: at(t, "2026-12-16 15:30"), Most: at(t, "2026-12-09 15:30")}, l.OrderBy)
	require.Equal(t, at(t, "2026-12-30 07:00"), *l.UsedFrom, "the first opening that needs a frame")
	// Ordered at 09:30: 360 minutes on the Wednesday, then 10 11 14 15 16 17 18 21 22 to the close, and 150 minutes on the 23rd.
	require.Equal(t, at(t, "2026-12-23 09:30"), *l.Expected)
	require.Equal(t, leadtime.ToOrder, l.Rule)
	require.False(t, l.Late())
	// 360 minutes of the 23rd, then 24 28 29 30 31: 5 days and 360/510.
	require.InDelta(t, 5+360.0/510, *l.MarginDays, 1e-9)
	// From 09:00 on the 9th: 390 minutes, then 10 11 14 15 16.
	require.InDelta(t, 5+390.0/510, *l.OrderDays, 1e-9)
}

func TestLines_SayWhatIsLateAndByWhom(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name       string
		edit       func(*pattern.Firm, map[pattern.TaskKey]ordering.Planned)
		rule       leadtime.Rule
		expected   string
		late       bool
		bySupplier bool
	}{
		{"needed too soon to be ordered in time", func(_ *pattern.Firm, plan map[pattern.TaskKey]ordering.Planned) {
			plan["NC/R1/deliver"] = ordering.Planned{LateStart: at(t, "2026-12-18 07:00")}
		}, leadtime.ToOrder, "2026-12-23 09:30", true, false},
		{"a promise after the need", func(f *pattern.Firm, _ map[pattern.TaskKey]ordering.Planned) {
			f.Projects[0].Releases[0].Ordered = atP(t, "2026-12-01 09:00")
			f.Projects[0].Releases[0].Drops = []pattern.Drop{{Number: 1, Promised: atP(t, "2027-01-06 07:00")}}
		}, leadtime.Promised, "2027-01-06 07:00", true, false},
		{"a promise that was missed: the supplier is late, the need is not yet", func(f *pattern.Firm, _ map[pattern.TaskKey]ordering.Planned) {
			f.Projects[0].Releases[0].Ordered = atP(t, "2026-11-16 09:00")
			f.Projects[0].Releases[0].Drops = []pattern.Drop{{Number: 1, Promised: atP(t, "2026-12-07 07:00")}}
			// Five days of spread from the 9th at 09:00: 390 minutes, 10 11 14 15, and 120 minutes on the 16th.
		}, leadtime.MissedPromise, "2026-12-16 09:00", false, true},
		{"received", func(f *pattern.Firm, _ map[pattern.TaskKey]ordering.Planned) {
			f.Projects[0].Releases[0].Drops = []pattern.Drop{{Number: 1, Received: atP(t, "2026-12-08 10:00")}}
		}, leadtime.Arrived, "2026-12-08 10:00", false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			f, plan := firm(t), planned(t)
			c.edit(&f, plan)
			l := ordering.Lines(&f, plan)[0]
			require.Equal(t, c.rule, l.Rule)
			require.Equal(t, at(t, c.expected), *l.Expected)
			require.Equal(t, c.late, l.Late())
			require.Equal(t, c.bySupplier, l.LateBySupplier())
		})
	}
}

func TestLines_WithoutAPlanSayNothingOfNeeds(t *testing.T) {
	t.Parallel()
	f := firm(t)
	l := ordering.Lines(&f, nil)[0]
	require.Nil(t, l.Need)
	require.Nil(t, l.OrderBy)
	require.NotNil(t, l.Expected, "ordered now it would come then")
	plan := planned(t)
	delete(plan, "NC/R1/order")
	require.Nil(t, ordering.Lines(&f, plan)[0].Expected, "an order that waits without a date has no arrival")
}

// Two zones of one release needed weeks apart. While both are surveyed in time, West comes as a drop of its own; surveyed only
// in January, it becomes a release of its own, since waiting for it would make East late.
func TestSuggest_SplitsWhatIsNeededWeeksApart(t *testing.T) {
	t.Parallel()
	f := firm(t)
	plan := planned(t)
	plan["NC/L1/survey"] = ordering.Planned{Finish: at(t, "2026-12-10 15:30")}
	plan["NC/101/frame"] = ordering.Planned{LateStart: at(t, "2027-01-04 07:00")}
	plan["NC/102/frame"] = ordering.Planned{LateStart: at(t, "2027-01-06 07:00")}
	plan["NC/201/frame"] = ordering.Planned{LateStart: at(t, "2027-02-08 07:00")}
	s := ordering.Suggest(&f, plan, ordering.DefaultStorageDays)
	require.Len(t, s, 1)
	require.False(t, s[0].Same)
	require.Len(t, s[0].Orders, 1)
	order := s[0].Orders[0]
	require.Equal(t, at(t, "2026-12-16 15:30"), order.OrderBy)
	require.Len(t, order.Drops, 2)
	require.Len(t, order.Drops[0].Parcels[0].Contents, 2, "both openings of the east")
	require.Equal(t, at(t, "2027-02-08 07:00"), order.Drops[1].Need)

	plan["NC/L1-E/survey"] = ordering.Planned{Finish: at(t, "2026-12-10 15:30")}
	plan["NC/L1-W/survey"] = ordering.Planned{Finish: at(t, "2027-01-15 15:30")}
	apart := ordering.Suggest(&f, plan, ordering.DefaultStorageDays)[0]
	require.Len(t, apart.Orders, 2)
	require.Equal(t, at(t, "2027-01-15 15:30"), apart.Orders[1].Ready)

	require.Empty(t, ordering.Suggest(&f, planned(t), 60), "what no survey is planned for cannot be grouped")
	f.Projects[0].Releases[0].Ordered = atP(t, "2026-12-08 09:00")
	require.Empty(t, ordering.Suggest(&f, plan, ordering.DefaultStorageDays), "what is ordered stays as it is")
}
