package network_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

func TestCompute_ExtendsTheHorizonUntilTheWorkFits(t *testing.T) {
	t.Parallel()
	const years = 20 * 366 * 1440
	b := newBuilder().fixed("a", years).fixed("b", years).link("a", "b")
	early := mustClock("mon 01:00")
	b.task("b").Deadline = &early // forty years of work that should be over in an hour
	r := compute(t, b)
	require.Empty(t, r.w.Unplaced())
	require.Equal(t, r.w.Compiled().DataDate+2*years, r.ProjectFinish)
	require.EqualValues(t, 60-2*years, r.TotalFloat[0])
	require.EqualValues(t, r.w.Compiled().DataDate+60-2*years, r.LateBegin[0])
}

func TestCompute_ReportsWorkForWhichNoTimeIsLeft(t *testing.T) {
	t.Parallel()
	// One calendar works for one day only; two others never work together.
	b := weekBuilder().week("nights", "20:00-24:00")
	b.p.Calendars = append(b.p.Calendars, problem.Calendar{ID: "one day", Zone: "UTC", Exceptions: []problem.Exception{
		{Date: problem.DateOf(monday), Shifts: []problem.Shift{{From: 0, To: 480}}},
	}})
	b.p.Limits = []problem.Limit{{ID: "hoist", Capacity: 1, Calendar: "nights"}}
	b.fixedOn("fits", 480, "one day").fixedOn("one minute more", 481, "one day").fixedOn("lift", 1, "week")
	b.fixedOn("after", 0, "week").fixedOn("free", 60, "week")
	b.task("lift").Uses = map[string]int{"hoist": 1}
	b.link("lift", "after").relate("free", "lift", problem.FinishToStart, 0, problem.Always)
	r := compute(t, b)
	require.Equal(t, []string{"one minute more", "lift", "after"}, ids(r.w.Compiled(), r.w.Unplaced()))
	r.early("fits", "mon 00:00", "mon 08:00")
	r.early("free", "mon 07:00", "mon 08:00")
	r.late("free", "mon 07:00", "mon 08:00") // the rest is planned as if what has no time were not there
	require.Equal(t, mustClock("mon 08:00"), r.ProjectFinish.Time())
	require.False(t, r.Critical(network.TaskIndex(1)))
	require.Equal(t, compiled(t, b).To, r.w.Compiled().To, "a longer horizon would hold no more working time")
}

func TestCompute_FindsWorkingTimeThatACalendarListsForLater(t *testing.T) {
	t.Parallel()
	b := newBuilder()
	b.p.Calendars = append(b.p.Calendars, problem.Calendar{ID: "one day", Zone: "UTC", Exceptions: []problem.Exception{
		{Date: problem.Date{Year: 2033, Month: 6, Day: 1}, Shifts: []problem.Shift{{From: 0, To: 480}}},
	}})
	b.fixedOn("a", 480, "one day")
	r := compute(t, b)
	require.Empty(t, r.w.Unplaced())
	require.Equal(t, "2033-06-01T08:00:00Z", r.EarlyFinish[0].Time().Format(time.RFC3339))
}

func TestCompute_LeavesAnEmptyProblemEmpty(t *testing.T) {
	t.Parallel()
	r := compute(t, newBuilder())
	require.Empty(t, r.EarlyFinish)
	require.Equal(t, r.w.Compiled().DataDate, r.ProjectFinish)
	require.Empty(t, r.w.LongestPath())
	require.Empty(t, r.w.NearCriticalChains(100))
}
