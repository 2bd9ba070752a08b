package check

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/problem"
)

// The oracle walks minute by minute with a clock that stands still while the local one repeats an hour, at the last
// minute before: then a minute works when that clock shows a time inside a shift of the date that it shows.
func walk(cal *problem.Calendar, zone *time.Location, from, to minute) (spans []span) {
	const lead = 3 * minutesPerDay
	var latest int64
	for at := from - lead; at < to; at++ {
		local := at.time().In(zone)
		_, offset := local.Zone()
		latest = max(latest, (local.Unix()+int64(offset))/60)
		if at < from || !inShift(cal, latest) {
			continue
		}
		if n := len(spans); n > 0 && spans[n-1].to == at {
			spans[n-1].to = at + 1
		} else {
			spans = append(spans, span{at, at + 1})
		}
	}
	return spans
}

func inShift(cal *problem.Calendar, reading int64) bool {
	shown := time.Unix(reading*60, 0).UTC() // as if the local clock were UTC
	date, minutes := problem.DateOf(shown), shown.Hour()*60+shown.Minute()
	shifts := cal.Week.Day(shown.Weekday())
	for _, holiday := range cal.Holidays {
		if holiday == date {
			shifts = nil
		}
	}
	for _, e := range cal.Exceptions {
		if e.Date == date {
			shifts = e.Shifts
		}
	}
	for _, s := range shifts {
		if s.From <= minutes && minutes < s.To {
			return true
		}
	}
	return false
}

func randomShifts(t *rapid.T, label string) (shifts []problem.Shift) {
	from := 0
	for range rapid.IntRange(0, 3).Draw(t, label+" count") {
		s := problem.Shift{From: from + rapid.IntRange(0, 300).Draw(t, label+" from")}
		s.To = s.From + rapid.IntRange(1, 500).Draw(t, label+" length")
		if s.To > minutesPerDay {
			break
		}
		shifts, from = append(shifts, s), s.To
	}
	return shifts
}

func TestCalendarTime_EqualsAWalkByMinutes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		// Days before changes of the clocks, in zones that change by an hour, by half an hour, at midnight, and never.
		name := rapid.SampledFrom([]string{
			"America/Chicago", "Europe/Berlin", "Australia/Lord_Howe", "America/Havana", "Asia/Kolkata", "Pacific/Chatham", "Asia/Beirut",
		}).Draw(t, "zone")
		zone, err := time.LoadLocation(name)
		require.NoError(t, err)
		first := rapid.SampledFrom([]string{
			"2026-03-06", "2026-03-27", "2026-04-03", "2026-09-25", "2026-10-02", "2026-10-23", "2026-10-30", "2026-06-10", "2040-12-28", "2044-12-29",
		}).Draw(t, "first day")
		from := utc(first+" 00:00") + minute(rapid.IntRange(0, minutesPerDay).Draw(t, "from"))
		to := from + 4*minutesPerDay

		cal := &problem.Calendar{ID: "c", Zone: name}
		for _, day := range []*[]problem.Shift{&cal.Week.Mon, &cal.Week.Tue, &cal.Week.Wed, &cal.Week.Thu, &cal.Week.Fri, &cal.Week.Sat, &cal.Week.Sun} {
			*day = randomShifts(t, "shifts")
		}
		date := func(label string) problem.Date {
			return problem.DateOf((from + minute(rapid.IntRange(0, 4).Draw(t, label)*minutesPerDay)).time())
		}
		cal.Holidays = []problem.Date{date("holiday")}
		cal.Exceptions = []problem.Exception{{Date: date("exception"), Shifts: randomShifts(t, "exception")}}

		require.Equal(t, walk(cal, zone, from, to), calendarTime(cal, zone).pieces(from, to))
	})
}

func TestWorktime_LagsEqualAWalkByMinutes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		working := make([]bool, 400)
		var spans []span
		for i := range working {
			if working[i] = rapid.Bool().Draw(t, "works"); working[i] {
				spans = append(spans, span{minute(i), minute(i + 1)})
			}
		}
		w := &worktime{expand: func(from, to minute) []span { return common(joined(append([]span(nil), spans...)), []span{{from, to}}) }}
		at, lag := rapid.IntRange(0, 400).Draw(t, "at"), rapid.IntRange(-50, 50).Draw(t, "lag")

		want, left := at, lag
		for ; left > 0 && want < 400; want++ {
			if working[want] {
				left--
			}
		}
		for ; left < 0 && want > 0; want-- {
			if working[want-1] {
				left++
			}
		}
		got, ok := w.shift(minute(at), lag)
		switch {
		case left > 0:
			require.False(t, ok)
		case left < 0:
			require.Equal(t, longAgo, got)
		default:
			require.EqualValues(t, want, got)
		}
	})
}
