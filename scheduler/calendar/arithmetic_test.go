package calendar_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/calendar"
)

// walk is the slow second implementation: one flag per minute of the horizon, and every question answered by a walk.
type walk struct {
	from, to calendar.Instant
	works    []bool
}

func newWalk(intervals []calendar.Interval, from, to calendar.Instant) walk {
	w := walk{from: from, to: to, works: make([]bool, to-from)}
	for _, interval := range intervals {
		for t := max(from, interval.Start); t < min(to, interval.Finish); t++ {
			w.works[t-from] = true
		}
	}
	return w
}

func (w walk) worksAt(t calendar.Instant) bool { return t >= w.from && t < w.to && w.works[t-w.from] }

func (w walk) count(a, b calendar.Instant) (n calendar.WorkMinutes) {
	for t := a; t < b; t++ {
		if w.worksAt(t) {
			n++
		}
	}
	return n
}

func (w walk) total() calendar.WorkMinutes { return w.count(w.from, w.to) }

func (w walk) next(t calendar.Instant) calendar.Instant {
	for t = max(t, w.from); t < w.to; t++ {
		if w.worksAt(t) {
			return t
		}
	}
	return w.to
}

func (w walk) previous(t calendar.Instant) calendar.Instant {
	for t = min(t, w.to); t > w.from; t-- {
		if w.worksAt(t - 1) {
			return t
		}
	}
	return w.from
}

func (w walk) add(t calendar.Instant, n calendar.WorkMinutes) calendar.Instant {
	for ; n > 0; t++ {
		if t >= w.to {
			return calendar.Never
		}
		if w.worksAt(t) {
			n--
		}
	}
	for ; n < 0; t-- {
		if t <= w.from {
			return calendar.BeforeAll
		}
		if w.worksAt(t - 1) {
			n++
		}
	}
	return t
}

// latestWithAdd looks two minutes past both ends of the horizon, where every answer stays the same.
func (w walk) latestWithAdd(s calendar.Instant, n calendar.WorkMinutes) calendar.Instant {
	for t := w.to + 2; t >= w.from-2; t-- {
		if w.add(t, n) <= s {
			return t
		}
	}
	return calendar.BeforeAll
}

func (w walk) earliestWithAdd(s calendar.Instant, n calendar.WorkMinutes) calendar.Instant {
	for t := w.from - 2; t <= w.to+2; t++ {
		if w.add(t, n) >= s {
			return t
		}
	}
	return calendar.Never
}

const origin = calendar.Instant(29_600_000) // some day in 2026

// drawCalendar makes intervals that may overlap, touch, stick out of the horizon or be empty.
func drawCalendar(t *rapid.T, label string) ([]calendar.Interval, calendar.Instant, calendar.Instant) {
	from := origin + calendar.Instant(rapid.IntRange(-20, 20).Draw(t, label+" from"))
	to := from + calendar.Instant(rapid.IntRange(0, 60).Draw(t, label+" length"))
	intervals := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) calendar.Interval {
		start := from + calendar.Instant(rapid.IntRange(-5, 60).Draw(t, "start"))
		return calendar.Interval{Start: start, Finish: start + calendar.Instant(rapid.IntRange(0, 12).Draw(t, "minutes"))}
	}), 0, 8).Draw(t, label+" intervals")
	return intervals, from, to
}

func TestCalendar_AgreesWithAWalkMinuteByMinute(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		intervals, from, to := drawCalendar(t, "calendar")
		c, w := calendar.FromIntervals(intervals, from, to), newWalk(intervals, from, to)
		require.Equal(t, w.total(), c.Total())
		for at := from - 3; at <= to+3; at++ {
			require.Equal(t, w.next(at), c.Next(at), "next of %d", at)
			require.Equal(t, w.previous(at), c.Previous(at), "previous of %d", at)
			require.Equal(t, w.count(from, at), c.Position(at), "position of %d", at)
			b := from + calendar.Instant(rapid.IntRange(0, 60).Draw(t, "b"))
			require.Equal(t, c.Position(b)-c.Position(at), c.Count(at, b))
			for n := -c.Total() - 2; n <= c.Total()+2; n++ {
				require.Equal(t, w.add(at, n), c.Add(at, n), "%d plus %d", at, n)
			}
		}
	})
}

func TestCalendar_InversesOfAddAgreeWithASearchOfAllInstants(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		intervals, from, to := drawCalendar(t, "calendar")
		c, w := calendar.FromIntervals(intervals, from, to), newWalk(intervals, from, to)
		s := from + calendar.Instant(rapid.IntRange(-2, 62).Draw(t, "s"))
		n := calendar.WorkMinutes(rapid.IntRange(-15, 15).Draw(t, "n"))

		want, got := w.latestWithAdd(s, n), c.LatestWithAdd(s, n)
		switch {
		case got == calendar.Never:
			require.Greater(t, want, to, "every instant was said to do")
		case got == calendar.BeforeAll:
			require.Equal(t, calendar.BeforeAll, want, "no instant was said to do")
		case n == 0:
			require.Equal(t, s, got)
		default:
			require.Equal(t, want, got)
		}

		want, got = w.earliestWithAdd(s, n), c.EarliestWithAdd(s, n)
		switch {
		case got == calendar.BeforeAll:
			require.Less(t, want, from, "every instant was said to do")
		case got == calendar.Never:
			require.Equal(t, calendar.Never, want, "no instant was said to do")
		case n == 0:
			require.Equal(t, s, got)
		default:
			require.Equal(t, want, got)
		}
	})
}

func TestCalendar_FirstAtAndLastAtBoundTheInstantsOfAPosition(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		intervals, from, to := drawCalendar(t, "calendar")
		c := calendar.FromIntervals(intervals, from, to)
		p := calendar.WorkMinutes(rapid.IntRange(0, int(c.Total())).Draw(t, "p"))
		first, last := c.FirstAt(p), c.LastAt(p)
		require.Equal(t, p, c.Position(first))
		require.Equal(t, p, c.Position(last))
		require.True(t, first == from || c.Position(first-1) < p)
		require.True(t, last == to || c.Position(last+1) > p)
		require.Equal(t, calendar.Never, c.FirstAt(c.Total()+1))
		require.Equal(t, calendar.Never, c.LastAt(c.Total()+1))
		require.Equal(t, calendar.BeforeAll, c.FirstAt(-1))
		require.Equal(t, calendar.BeforeAll, c.LastAt(-1))
	})
}

func TestCalendar_WithoutAndIntersectAgreeWithAWalk(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		intervals, from, to := drawCalendar(t, "one")
		others, otherFrom, otherTo := drawCalendar(t, "other")
		one := calendar.FromIntervals(intervals, from, to)
		other := calendar.FromIntervals(others, otherFrom, otherTo)
		w, v := newWalk(intervals, from, to), newWalk(others, otherFrom, otherTo)

		both, rest := one.Intersect(other), one.Without(others)
		for at := origin - 30; at < origin+100; at++ {
			require.Equal(t, w.worksAt(at) && v.worksAt(at), both.Count(at, at+1) == 1, "both at %d", at)
			away := false
			for _, interval := range others {
				away = away || interval.Start <= at && at < interval.Finish
			}
			require.Equal(t, w.worksAt(at) && !away, rest.Count(at, at+1) == 1, "rest at %d", at)
		}
		requireCanonical(t, both)
		requireCanonical(t, rest)
	})
}

// requireCanonical holds the promise of sorted, disjoint, merged, non-empty intervals inside the horizon.
func requireCanonical(t require.TestingT, c *calendar.Calendar) {
	from, to := c.Horizon()
	intervals := c.Intervals()
	for i, interval := range intervals {
		require.Less(t, interval.Start, interval.Finish)
		require.GreaterOrEqual(t, interval.Start, from)
		require.LessOrEqual(t, interval.Finish, to)
		require.True(t, i == 0 || intervals[i-1].Finish < interval.Start)
	}
}

func TestCalendar_WorkThatEndsWithTheShiftStaysThere(t *testing.T) {
	t.Parallel()
	// Two shifts of 510 minutes, the worked example of the package comment.
	monday := calendar.Instant(1000 * 1440)
	c := calendar.FromIntervals([]calendar.Interval{
		{Start: monday + 420, Finish: monday + 930},
		{Start: monday + 1440 + 420, Finish: monday + 1440 + 930},
	}, monday, monday+2*1440)
	require.Equal(t, monday+930, c.Add(monday+420, 510))
	require.Equal(t, monday+1440+421, c.Add(monday+420, 511))
	require.Equal(t, monday+1440+420, c.LastAt(510))
	require.Equal(t, calendar.Never, c.Add(monday+420, 1021), "the horizon holds 1020 minutes")
}

func TestAlways_WorksEveryMinuteOfItsHorizon(t *testing.T) {
	t.Parallel()
	c := calendar.Always(origin, origin+100)
	require.Equal(t, calendar.WorkMinutes(100), c.Total())
	require.Equal(t, origin+30, c.Add(origin+10, 20))
	require.Equal(t, origin+10, c.Add(origin+30, -20))
	require.Equal(t, origin+5, c.Next(origin+5))
	require.Empty(t, calendar.Always(origin, origin).Intervals())
	require.Empty(t, calendar.Always(origin, origin-5).Intervals())
}

func TestCalendar_WithoutWorkAnswersWithTheHorizonsEnds(t *testing.T) {
	t.Parallel()
	c := calendar.FromIntervals(nil, origin, origin+10)
	require.Equal(t, origin+10, c.Next(origin+3))
	require.Equal(t, origin, c.Previous(origin+3))
	require.Equal(t, calendar.Never, c.Add(origin, 1))
	require.Equal(t, calendar.BeforeAll, c.Add(origin+10, -1))
	require.Equal(t, origin+3, c.Add(origin+3, 0))
}
