package nightly

import (
	"testing"
	"time"

	"github.com/robfig/cron/v3"
	"github.com/stretchr/testify/require"
)

func schedule(t *testing.T, zone string, hour, minute int) Schedule {
	t.Helper()
	location, err := time.LoadLocation(zone)
	require.NoError(t, err)
	return Schedule{Zone: location, Hour: hour, Minute: minute}
}

func TestLastDue_IsTheLatestNightNotAfterNow(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, zone   string
		hour, minute int
		now          string
		night        string
	}{
		{"before the hour it is yesterday's", "America/Chicago", 21, 0, "2026-11-25T20:59:00-06:00", "2026-11-24"},
		{"on the minute it is today's", "America/Chicago", 21, 0, "2026-11-25T21:00:00-06:00", "2026-11-25"},
		{"the local date rules, not UTC's", "America/Chicago", 21, 0, "2026-11-26T03:30:00Z", "2026-11-25"},
		{"first of the month goes back a month", "Europe/Lisbon", 2, 30, "2026-12-01T01:00:00Z", "2026-11-30"},
		{"new year goes back a year", "Europe/Lisbon", 2, 30, "2027-01-01T01:00:00Z", "2026-12-31"},
		{"east of UTC", "Pacific/Auckland", 1, 0, "2026-11-24T12:30:00Z", "2026-11-25"},
		// United States, 8 March 2026: 02:00 to 03:00 does not exist; the night is due all the same.
		{"skipped hour, well before the change", "America/Chicago", 2, 30, "2026-03-08T01:29:00-06:00", "2026-03-07"},
		{"skipped hour, after the change", "America/Chicago", 2, 30, "2026-03-08T03:30:00-05:00", "2026-03-08"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			now, err := time.Parse(time.RFC3339, test.now)
			require.NoError(t, err)
			night, at := schedule(t, test.zone, test.hour, test.minute).LastDue(now)
			require.Equal(t, test.night, night)
			require.False(t, at.After(now), "due at %s, now %s", at, now)
			require.Less(t, now.Sub(at), 25*time.Hour+time.Minute)
		})
	}
}

// The cron library is the reference for every night on which the local time exists.
func TestCronSpec_FiresWhenTheNightIsDue(t *testing.T) {
	t.Parallel()
	for _, zone := range []string{"America/Chicago", "Pacific/Auckland", "Asia/Kolkata"} {
		s := schedule(t, zone, 21, 15)
		parsed, err := cron.ParseStandard(s.CronSpec())
		require.NoError(t, err)
		at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
		for range 400 {
			at = parsed.Next(at)
			_, due := s.LastDue(at)
			require.True(t, due.Equal(at), "%s: cron fires at %s, due at %s", zone, at, due)
		}
	}
}
