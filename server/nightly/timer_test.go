package nightly

import (
	"context"
	"errors"
	"log/slog"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// fakeQueue keeps each Args once, as the real queue does.
type fakeQueue struct {
	jobs map[Args]bool
	fail error
}

func (q *fakeQueue) Insert(_ context.Context, args Args) (bool, error) {
	if q.fail != nil {
		return false, q.fail
	}
	added := !q.jobs[args]
	q.jobs[args] = true
	return added, nil
}

func newTimer(t *testing.T, now string, projects ...Due) (*Timer, *fakeQueue) {
	t.Helper()
	at, err := time.Parse(time.RFC3339, now)
	require.NoError(t, err)
	queue := &fakeQueue{jobs: map[Args]bool{}}
	list := func(context.Context) ([]Due, error) { return projects, nil }
	return NewTimer(list, queue, func() time.Time { return at }, slog.New(slog.DiscardHandler)), queue
}

func TestCatchUp_RunsAMissedNightOnceAndOnlyTheLatest(t *testing.T) {
	t.Parallel()
	s := schedule(t, "America/Chicago", 21, 0)
	timer, queue := newTimer(t, "2026-11-26T06:00:00-06:00",
		Due{ProjectID: 1, Schedule: s, LastNight: "2026-11-22"},                               // three nights missed
		Due{ProjectID: 2, Schedule: s, LastNight: "2026-11-25"},                               // up to date
		Due{ProjectID: 3, Schedule: s, Since: time.Date(2026, 11, 26, 11, 0, 0, 0, time.UTC)}, // made after the night
		Due{ProjectID: 4, Schedule: s, Since: time.Date(2026, 11, 20, 11, 0, 0, 0, time.UTC)}, // never ran, down since
	)
	require.NoError(t, timer.CatchUp(t.Context()))
	require.NoError(t, timer.CatchUp(t.Context()))
	require.Equal(t, map[Args]bool{
		{ProjectID: 1, Night: "2026-11-25"}: true,
		{ProjectID: 4, Night: "2026-11-25"}: true,
	}, queue.jobs)
}

func TestCatchUp_FindsTheNightThatTheClockJumpedOver(t *testing.T) {
	t.Parallel()
	timer, queue := newTimer(t, "2026-03-08T03:31:00-05:00",
		Due{ProjectID: 1, Schedule: schedule(t, "America/Chicago", 2, 30), LastNight: "2026-03-07"})
	require.NoError(t, timer.CatchUp(t.Context()))
	require.Equal(t, map[Args]bool{{ProjectID: 1, Night: "2026-03-08"}: true}, queue.jobs)
}

func TestCatchUp_FollowsProjectsThatChangeTheirHourOrClose(t *testing.T) {
	t.Parallel()
	timer, _ := newTimer(t, "2026-11-26T06:00:00-06:00")
	projects := []Due{{ProjectID: 1, Schedule: schedule(t, "America/Chicago", 21, 0)}, {ProjectID: 2, Schedule: schedule(t, "America/Denver", 2, 0)}}
	timer.projects = func(context.Context) ([]Due, error) { return projects, nil }
	require.NoError(t, timer.CatchUp(t.Context()))
	require.Len(t, timer.cron.Entries(), 2)

	projects = []Due{{ProjectID: 1, Schedule: schedule(t, "America/Chicago", 22, 0)}}
	require.NoError(t, timer.CatchUp(t.Context()))
	require.Len(t, timer.cron.Entries(), 1)
	require.Equal(t, "CRON_TZ=America/Chicago 0 22 * * *", timer.entries[1].spec)
}

func TestCatchUp_SaysWhatStoppedIt(t *testing.T) {
	t.Parallel()
	timer, queue := newTimer(t, "2026-11-26T06:00:00-06:00",
		Due{ProjectID: 1, Schedule: schedule(t, "America/Chicago", 21, 0)})
	queue.fail = errors.New("disk full")
	require.ErrorIs(t, timer.CatchUp(t.Context()), queue.fail)
}
