package crewing

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/calendar"
)

const origin = calendar.Instant(29_600_000) // some day in 2026

func drawCalendar(t *rapid.T) *calendar.Calendar {
	from := origin + calendar.Instant(rapid.IntRange(-3000, 3000).Draw(t, "from"))
	to := from + calendar.Instant(rapid.IntRange(1, 9000).Draw(t, "length"))
	intervals := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) calendar.Interval {
		start := from + calendar.Instant(rapid.IntRange(-50, 9000).Draw(t, "start"))
		return calendar.Interval{Start: start, Finish: start + calendar.Instant(rapid.IntRange(0, 900).Draw(t, "minutes"))}
	}), 0, 12).Draw(t, "intervals")
	return calendar.FromIntervals(intervals, from, to)
}

// The compiled calendar, searched by halves, is the second implementation.
func TestAxis_AgreesWithTheCalendarItIsMadeOf(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := drawCalendar(t)
		a := newAxis(c)
		from, to := c.Horizon()
		for range 50 {
			at := from + calendar.Instant(rapid.IntRange(-100, int(to-from)+100).Draw(t, "at"))
			require.Equal(t, c.Position(at), a.position(at), "position of %d", at)
			n := calendar.WorkMinutes(rapid.IntRange(-int(c.Total())-2, int(c.Total())+2).Draw(t, "n"))
			if want := c.Add(at, n); want < to { // a calendar answers a start behind its last minute with the horizon's end
				require.Equal(t, want, a.add(at, n), "%d plus %d", at, n)
			}
			p := calendar.WorkMinutes(rapid.IntRange(0, int(c.Total())).Draw(t, "p"))
			if p > 0 {
				require.Equal(t, c.FirstAt(p), a.finishAt(p))
			}
			if p < c.Total() {
				require.Equal(t, c.LastAt(p), a.startAt(p))
			}
			if p = a.positionFinishingAt(at); p > 0 && p <= c.Total() {
				require.GreaterOrEqual(t, a.finishAt(p), at)
				require.True(t, p == 1 || a.finishAt(p-1) < at)
			}
		}
		require.Equal(t, calendar.Never, a.startAt(c.Total()))
		require.Equal(t, calendar.Never, a.finishAt(c.Total()+1))
	})
}

func TestAxis_StartsBehindTheLastWorkingMinuteAreNever(t *testing.T) {
	t.Parallel()
	a := newAxis(calendar.FromIntervals([]calendar.Interval{{Start: origin, Finish: origin + 10}}, origin, origin+100))
	require.Equal(t, origin+5, a.next(origin+5))
	require.Equal(t, calendar.Never, a.next(origin+10))
	require.Equal(t, origin+10, a.finishAt(10))
	require.Equal(t, calendar.BeforeAll, a.add(origin+5, -6))
}
