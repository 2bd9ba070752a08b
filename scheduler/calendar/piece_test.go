package calendar_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"jambwright/scheduler/calendar"
)

// pieceAt tries to do n minutes of work from t on: t must work, and the finish is where the walk ends.
func (w walk) pieceAt(t calendar.Instant, n calendar.WorkMinutes) (calendar.Instant, bool) {
	finish := w.add(t, n)
	return finish, w.worksAt(t) && finish != calendar.Never
}

func TestPieces_AgreeWithASearchOfAllStarts(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		intervals, from, to := drawCalendar(t, "calendar")
		c, w := calendar.FromIntervals(intervals, from, to), newWalk(intervals, from, to)
		n := calendar.WorkMinutes(rapid.IntRange(1, 15).Draw(t, "n"))
		bound := func(label string, free calendar.Instant) calendar.Instant {
			if rapid.Bool().Draw(t, label+" is free") {
				return free
			}
			return from + calendar.Instant(rapid.IntRange(-3, 63).Draw(t, label))
		}

		start, finish := bound("start", calendar.BeforeAll), bound("finish", calendar.BeforeAll)
		wantStart, wantFinish := calendar.Never, calendar.Never
		for s := from; s < to; s++ {
			if f, ok := w.pieceAt(s, n); ok && s >= start && f >= finish {
				wantStart, wantFinish = s, f
				break
			}
		}
		gotStart, gotFinish := c.EarliestPiece(start, finish, n)
		require.Equal(t, wantStart, gotStart)
		require.Equal(t, wantFinish, gotFinish)

		start, finish = bound("late start", calendar.Never), bound("late finish", calendar.Never)
		wantStart, wantFinish = calendar.BeforeAll, calendar.BeforeAll
		for s := to - 1; s >= from; s-- {
			if f, ok := w.pieceAt(s, n); ok && s <= start && f <= finish {
				wantStart, wantFinish = s, f
				break
			}
		}
		gotStart, gotFinish = c.LatestPiece(start, finish, n)
		require.Equal(t, wantStart, gotStart)
		require.Equal(t, wantFinish, gotFinish)
	})
}

func TestPieces_OfNoMinutesTakeNoCalendarRoll(t *testing.T) {
	t.Parallel()
	c := calendar.FromIntervals([]calendar.Interval{{Start: origin + 5, Finish: origin + 7}}, origin, origin+10)
	start, finish := c.EarliestPiece(origin+1, origin+3, 0)
	require.Equal(t, [2]calendar.Instant{origin + 3, origin + 3}, [2]calendar.Instant{start, finish})
	start, finish = c.LatestPiece(origin+1, origin+3, 0)
	require.Equal(t, [2]calendar.Instant{origin + 1, origin + 1}, [2]calendar.Instant{start, finish})
}
