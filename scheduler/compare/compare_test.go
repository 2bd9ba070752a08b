package compare

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

// at is an instant of the test week, Monday 23 November 2026 being day 0.
func at(day, hour int) time.Time { return time.Date(2026, 11, 23+day, hour, 0, 0, 0, time.UTC) }

func task(id, crew string, start, finish time.Time, kind problem.ReasonKind, ref string) problem.PlannedTask {
	t := problem.PlannedTask{ID: id, Start: start, Finish: finish, Reason: problem.Reason{Kind: kind, Ref: ref, Until: start}}
	if crew != "" {
		t.Crew = &crew
	}
	return t
}

func planOf(tasks ...problem.PlannedTask) *problem.Plan { return &problem.Plan{Tasks: tasks} }

func problemOf(dataDate time.Time, ids ...string) *problem.Problem {
	p := &problem.Problem{DataDate: dataDate}
	for _, id := range ids {
		p.Tasks = append(p.Tasks, problem.Task{ID: id})
	}
	return p
}

func TestPlans_FollowsReasonsBackToTheReportedEvent(t *testing.T) {
	t.Parallel()
	p := problemOf(at(0, 6), "deliver", "glaze", "hang", "other")
	p.GCDates = []problem.GCDate{{ID: "L2", Tasks: []string{"hang"}}}
	old := planOf(
		task("deliver", "", at(0, 8), at(1, 8), problem.ReasonDataDate, ""),
		task("glaze", "Hazel", at(1, 8), at(1, 12), problem.ReasonMaterial, "deliver"),
		task("hang", "Larch", at(1, 12), at(1, 15), problem.ReasonPredecessor, "glaze"),
		task("other", "Maple", at(0, 8), at(0, 9), problem.ReasonDataDate, ""),
	)
	before, after := at(1, 15), at(2, 15)
	old.GCDates = []problem.PlannedDate{{ID: "L2", Forecast: &before, DrivingChain: []string{"deliver", "glaze", "hang"}}}
	now := planOf(
		task("deliver", "", at(0, 8), at(2, 8), problem.ReasonDataDate, ""),
		task("glaze", "Hazel", at(2, 8), at(2, 12), problem.ReasonMaterial, "deliver"),
		task("hang", "Larch", at(2, 12), at(2, 15), problem.ReasonPredecessor, "glaze"),
		task("other", "Maple", at(0, 8), at(0, 9), problem.ReasonDataDate, ""),
	)
	now.GCDates = []problem.PlannedDate{{ID: "L2", Forecast: &after, DrivingChain: []string{"deliver", "glaze", "hang"}}}

	r := Plans(p, old, now, []Event{{Task: "deliver", Ref: "promise slipped"}})
	require.Len(t, r.Tasks, 3, "the task that did not move is not listed")
	hang := r.Tasks[2]
	require.Equal(t, "hang", hang.Task)
	require.Equal(t, 24*60, hang.Moved)
	require.Equal(t, "promise slipped", hang.Cause.Ref)
	require.Equal(t, []string{"hang", "glaze", "deliver"}, hang.Chain)
	require.Equal(t, 24*60, r.Tasks[0].Moved, "only the finish of the delivery moved")
	require.Equal(t, 24*60, r.Dates[0].Moved)
	require.Equal(t, "promise slipped", r.Dates[0].Cause.Ref)
}

func TestPlans_FindsTheCauseThroughABusyCrew(t *testing.T) {
	t.Parallel()
	p := problemOf(at(0, 6), "first", "second")
	old := planOf(
		task("first", "Hazel", at(0, 8), at(0, 10), problem.ReasonDataDate, ""),
		task("second", "Hazel", at(0, 10), at(0, 12), problem.ReasonCrew, "Hazel"),
	)
	now := planOf(
		task("first", "Hazel", at(0, 8), at(0, 14), problem.ReasonStatus, ""),
		task("second", "Hazel", at(0, 14), at(0, 16), problem.ReasonCrew, "Hazel"),
	)
	r := Plans(p, old, now, []Event{{Task: "first", Ref: "part done, 6 h left"}})
	require.Equal(t, "part done, 6 h left", r.Tasks[1].Cause.Ref)
}

func TestPlans_ATaskThatMovesEarlierIsExplainedByWhatLetGo(t *testing.T) {
	t.Parallel()
	p := problemOf(at(0, 6), "walls", "frame")
	old := planOf(
		task("walls", "", at(3, 8), at(3, 8), problem.ReasonCalendar, ""),
		task("frame", "Alder", at(3, 8), at(3, 12), problem.ReasonHandover, "walls"),
	)
	now := planOf(
		task("walls", "", at(0, 6), at(0, 6), problem.ReasonStatus, ""),
		task("frame", "Alder", at(0, 8), at(0, 12), problem.ReasonCalendar, "site week"),
	)
	r := Plans(p, old, now, []Event{{Task: "walls", Ref: "handed over"}})
	require.Equal(t, "handed over", r.Tasks[1].Cause.Ref)
	require.Equal(t, -3*24*60, r.Tasks[1].Moved)
}

func TestPlans_WorkThatNobodyReportedStartedIsItsOwnCause(t *testing.T) {
	t.Parallel()
	p := problemOf(at(1, 6), "frame", "glaze")
	old := planOf(
		task("frame", "Alder", at(0, 8), at(0, 12), problem.ReasonDataDate, ""),
		task("glaze", "Hazel", at(0, 12), at(0, 14), problem.ReasonPredecessor, "frame"),
	)
	now := planOf(
		task("frame", "Alder", at(1, 8), at(1, 12), problem.ReasonDataDate, ""),
		task("glaze", "Hazel", at(1, 12), at(1, 14), problem.ReasonPredecessor, "frame"),
	)
	for _, change := range Plans(p, old, now, nil).Tasks {
		require.NotNil(t, change.Cause, change.Task)
		require.Equal(t, NotStarted, change.Cause.Ref)
	}
}

func TestPlans_WorkThatNobodyReportedFinishedIsItsOwnCause(t *testing.T) {
	t.Parallel()
	p := problemOf(at(1, 6), "lead", "glaze")
	p.Tasks[0].Status = &problem.Status{Started: at(-5, 8)}
	old := planOf(
		task("lead", "", at(-5, 8), at(1, 6), problem.ReasonStatus, ""),
		task("glaze", "Hazel", at(1, 8), at(1, 10), problem.ReasonMaterial, "lead"),
	)
	now := planOf(
		task("lead", "", at(-5, 8), at(2, 6), problem.ReasonStatus, ""),
		task("glaze", "Hazel", at(2, 8), at(2, 10), problem.ReasonMaterial, "lead"),
	)
	r := Plans(p, old, now, nil)
	require.Len(t, r.Tasks, 2)
	for _, change := range r.Tasks {
		require.Equal(t, NotFinished, change.Cause.Ref, change.Task)
	}
	require.Equal(t, "delivered", Plans(p, old, now, []Event{{Task: "lead", Ref: "delivered"}}).Tasks[0].Cause.Ref, "what was reported comes first")
}

func TestPlans_WithoutAnOldPlanEverythingIsNewAndNothingHasMoved(t *testing.T) {
	t.Parallel()
	p := problemOf(at(0, 6), "frame")
	r := Plans(p, nil, planOf(task("frame", "Alder", at(0, 8), at(0, 12), problem.ReasonDataDate, "")), nil)
	require.Len(t, r.Tasks, 1)
	require.Zero(t, r.Tasks[0].Moved)
	require.True(t, r.Tasks[0].OldStart.IsZero())
	require.Nil(t, r.Tasks[0].Cause)
}

func TestPlans_ARingOfReasonsEnds(t *testing.T) {
	t.Parallel()
	p := problemOf(at(0, 6), "a", "b")
	old := planOf(task("a", "", at(0, 8), at(0, 9), problem.ReasonCrew, "b"), task("b", "", at(0, 8), at(0, 9), problem.ReasonCrew, "a"))
	now := planOf(task("a", "", at(0, 9), at(0, 10), problem.ReasonCrew, "b"), task("b", "", at(0, 8), at(0, 9), problem.ReasonCrew, "a"))
	r := Plans(p, old, now, nil)
	require.Len(t, r.Tasks, 1)
	require.Nil(t, r.Tasks[0].Cause)
}

// The forecast was that of hang until glaze, which nobody was held up by, became the last: what was reported of glaze did
// not move the date.
func TestPlans_ADateIsNotMovedByWhatStayedWhereItWas(t *testing.T) {
	t.Parallel()
	p := problemOf(at(0, 6), "glaze", "hang")
	p.GCDates = []problem.GCDate{{ID: "L2", Tasks: []string{"glaze", "hang"}}}
	glaze := task("glaze", "Hazel", at(1, 8), at(1, 12), problem.ReasonDataDate, "")
	old := planOf(glaze, task("hang", "Larch", at(2, 8), at(2, 15), problem.ReasonDataDate, ""))
	before, after := at(2, 15), at(1, 12)
	old.GCDates = []problem.PlannedDate{{ID: "L2", Forecast: &before, DrivingChain: []string{"hang"}}}
	now := planOf(glaze, task("hang", "Larch", at(0, 8), at(0, 15), problem.ReasonDataDate, ""))
	now.GCDates = []problem.PlannedDate{{ID: "L2", Forecast: &after, DrivingChain: []string{"glaze"}}}

	r := Plans(p, old, now, []Event{{Task: "glaze", Ref: "glass was measured"}, {Task: "hang", Ref: "hold lifted"}})
	require.Len(t, r.Dates, 1)
	require.Equal(t, int(after.Sub(before)/time.Minute), r.Dates[0].Moved)
	require.NotNil(t, r.Dates[0].Cause)
	require.Equal(t, "hold lifted", r.Dates[0].Cause.Ref)
}

func TestPlans_AnUnplannedTaskIsAChangeWithoutADistance(t *testing.T) {
	t.Parallel()
	p := problemOf(at(0, 6), "frame", "glaze")
	old := planOf(task("frame", "Hazel", at(1, 8), at(1, 12), problem.ReasonDataDate, ""))
	now := planOf(task("glaze", "Hazel", at(1, 8), at(1, 12), problem.ReasonDataDate, ""))
	r := Plans(p, old, now, []Event{{Task: "frame", Ref: "held"}})
	require.Len(t, r.Tasks, 2)
	require.Equal(t, "frame", r.Tasks[0].Task, "what has no new start comes first")
	require.True(t, r.Tasks[0].NewStart.IsZero())
	require.Zero(t, r.Tasks[0].Moved)
	require.Equal(t, "held", r.Tasks[0].Cause.Ref)
	require.Equal(t, "glaze", r.Tasks[1].Task)
	require.True(t, r.Tasks[1].OldStart.IsZero())
	require.Zero(t, r.Tasks[1].Moved)
	require.Equal(t, "held", r.Tasks[1].Cause.Ref, "it takes the time that the other one left")
	require.True(t, r.Tasks[1].ByOrder)
}

// Hazel was to glaze 1 and then 2; glass for 1 comes later, so she does 2 first, and 3, which she had for then, after. Maple's
// work moves too, in time that nobody left or took.
// The floor comes on day 3, and the frames of both openings can no longer be on days 1 and 2. The second one waits for its crew last,
// its glass for a crew that does then what was always to be done then: the floor moved them all the same. Sealing could have stayed.
func TestPlans_WorkThatCouldNotStayIsExplainedByWhatItFollows(t *testing.T) {
	t.Parallel()
	p := problemOf(at(0, 6), "floor", "frame A", "frame B", "elsewhere", "glaze B", "seal B")
	p.Links = []problem.Link{
		{From: "floor", To: "frame A"},
		{From: "floor", To: "frame B", LagMinutes: 60, LagCalendar: "site"},
		{From: "frame B", To: "glaze B"},
		{From: "glaze B", To: "seal B", Type: problem.StartToStart, LagMinutes: -24 * 60},
	}
	old := planOf(
		task("floor", "", at(0, 8), at(1, 8), problem.ReasonDataDate, ""),
		task("frame A", "Hazel", at(1, 8), at(1, 12), problem.ReasonHandover, "floor"),
		task("frame B", "Hazel", at(2, 8), at(2, 12), problem.ReasonCalendar, ""),
		task("elsewhere", "Larch", at(3, 8), at(4, 8), problem.ReasonDataDate, ""),
		task("glaze B", "Larch", at(2, 12), at(2, 15), problem.ReasonPredecessor, "frame B"),
		task("seal B", "Maple", at(3, 12), at(3, 15), problem.ReasonDataDate, ""),
	)
	now := planOf(
		task("floor", "", at(0, 8), at(3, 7), problem.ReasonDataDate, ""),
		task("frame A", "Hazel", at(3, 8), at(3, 12), problem.ReasonHandover, "floor"),
		task("frame B", "Maple", at(3, 9), at(3, 13), problem.ReasonCrew, "Maple"),
		task("elsewhere", "Larch", at(3, 8), at(4, 8), problem.ReasonDataDate, ""),
		task("glaze B", "Larch", at(4, 8), at(4, 11), problem.ReasonCrew, "Larch"),
		task("seal B", "Maple", at(3, 13), at(3, 16), problem.ReasonCalendar, ""),
	)
	r := Plans(p, old, now, []Event{{Task: "floor", Ref: "two days late"}})
	chains := map[string][]string{}
	for i := range r.Tasks {
		c := &r.Tasks[i]
		require.NotNil(t, c.Cause, c.Task)
		require.Equal(t, "two days late", c.Cause.Ref)
		chains[c.Task] = c.Chain
		require.Equal(t, c.Task == "seal B", c.ByOrder, "%s: only what could have stayed moves by the crews' order", c.Task)
	}
	require.Len(t, chains, 5)
	require.Equal(t, []string{"glaze B", "frame B", "floor"}, chains["glaze B"])
}

func TestPlans_WorkInTimeThatAnotherTaskLeftIsExplainedByTheOrder(t *testing.T) {
	t.Parallel()
	p := problemOf(at(0, 6), "deliver 1", "glaze 1", "glaze 2", "glaze 3", "hang 3", "other")
	old := planOf(
		task("deliver 1", "", at(0, 8), at(0, 8), problem.ReasonDataDate, ""),
		task("glaze 1", "Hazel", at(0, 8), at(0, 10), problem.ReasonMaterial, "deliver 1"),
		task("glaze 2", "Hazel", at(0, 10), at(0, 12), problem.ReasonDataDate, ""),
		task("glaze 3", "Hazel", at(1, 8), at(1, 10), problem.ReasonDataDate, ""),
		task("hang 3", "Larch", at(1, 10), at(1, 12), problem.ReasonPredecessor, "glaze 3"),
		task("other", "Maple", at(0, 8), at(0, 9), problem.ReasonDataDate, ""),
	)
	now := planOf(
		task("deliver 1", "", at(1, 8), at(1, 8), problem.ReasonDataDate, ""),
		task("glaze 1", "Hazel", at(1, 8), at(1, 10), problem.ReasonMaterial, "deliver 1"),
		task("glaze 2", "Hazel", at(0, 8), at(0, 10), problem.ReasonDataDate, ""),
		task("glaze 3", "Hazel", at(1, 10), at(1, 12), problem.ReasonDataDate, ""),
		task("hang 3", "Larch", at(1, 12), at(1, 14), problem.ReasonPredecessor, "glaze 3"),
		task("other", "Maple", at(2, 8), at(2, 9), problem.ReasonDataDate, ""),
	)
	p.GCDates = []problem.GCDate{{ID: "glazed", Tasks: []string{"glaze 3"}}}
	before, after := at(1, 10), at(1, 12)
	old.GCDates = []problem.PlannedDate{{ID: "glazed", Forecast: &before, DrivingChain: []string{"glaze 3"}}}
	now.GCDates = []problem.PlannedDate{{ID: "glazed", Forecast: &after, DrivingChain: []string{"glaze 3"}}}
	r := Plans(p, old, now, []Event{{Task: "deliver 1", Ref: "late"}})
	chains := map[string][]string{}
	for _, c := range r.Tasks {
		if c.Task == "other" {
			require.Nil(t, c.Cause, "it moved for nothing that was reported")
			continue
		}
		require.Equal(t, "late", c.Cause.Ref, c.Task)
		require.Equal(t, c.Task != "deliver 1" && c.Task != "glaze 1", c.ByOrder, c.Task)
		chains[c.Task] = c.Chain
	}
	require.Equal(t, map[string][]string{
		"deliver 1": {"deliver 1"},
		"glaze 1":   {"glaze 1", "deliver 1"},
		"glaze 2":   {"glaze 2", "glaze 1", "deliver 1"},
		"glaze 3":   {"glaze 3", "glaze 1", "deliver 1"},
		"hang 3":    {"hang 3", "glaze 3", "glaze 1", "deliver 1"},
	}, chains)
	require.Equal(t, "late", r.Dates[0].Cause.Ref)
	require.True(t, r.Dates[0].ByOrder)
}

func TestPlans_OfTwoEventsOnOneTaskTheFirstIsNamed(t *testing.T) {
	t.Parallel()
	p := problemOf(at(0, 6), "frame")
	old := planOf(task("frame", "Hazel", at(1, 8), at(1, 12), problem.ReasonDataDate, ""))
	now := planOf(task("frame", "Larch", at(1, 8), at(1, 12), problem.ReasonDataDate, ""))
	r := Plans(p, old, now, []Event{{Task: "frame", Ref: "first"}, {Task: "frame", Ref: "second"}})
	require.Len(t, r.Tasks, 1, "another crew at the same time is a change")
	require.Zero(t, r.Tasks[0].Moved)
	require.Equal(t, "first", r.Tasks[0].Cause.Ref)
}

// Alder's hold of ten minutes is met along the crew first, but the floor is what keeps frame 2 from its old start; hang 9, which
// stands behind it with the same crew as ever, moves five days for the floor as well, not for ten minutes; frame 4, which goes sooner,
// hangs on the time that frame 2 left, and is not said to wait for the floor.
func TestPlans_WhatHoldsComesBeforeTheCrewAndDaysBeforeMinutes(t *testing.T) {
	t.Parallel()
	p := problemOf(at(0, 6), "floor", "frame 1", "frame 2", "hang 9", "frame 4")
	p.Links = []problem.Link{{From: "floor", To: "frame 2"}}
	old := planOf(
		task("floor", "", at(0, 7), at(1, 7), problem.ReasonDataDate, ""),
		task("frame 1", "Alder", at(1, 8), at(1, 10), problem.ReasonDataDate, ""),
		task("frame 2", "Alder", at(1, 10), at(1, 12), problem.ReasonCrew, "Alder"),
		task("hang 9", "Alder", at(1, 12), at(1, 14), problem.ReasonCrew, "Alder"),
		task("frame 4", "Alder", at(1, 14), at(1, 16), problem.ReasonHandover, "floor"),
	)
	minutesLater := func(t time.Time) time.Time { return t.Add(10 * time.Minute) }
	now := planOf(
		task("floor", "", at(0, 7), at(7, 7), problem.ReasonDataDate, ""),
		task("frame 1", "Alder", at(1, 8), minutesLater(at(1, 10)), problem.ReasonDataDate, ""),
		task("frame 2", "Alder", at(7, 8), at(7, 10), problem.ReasonCrew, "Alder"),
		task("hang 9", "Alder", at(7, 10), at(7, 12), problem.ReasonCrew, "Alder"),
		task("frame 4", "Alder", minutesLater(at(1, 10)), minutesLater(at(1, 12)), problem.ReasonCrew, "Alder"),
	)
	r := Plans(p, old, now, []Event{{Task: "floor", Ref: "six days late"}, {Task: "frame 1", Ref: "ten minutes longer"}})
	got := map[string]string{}
	for _, c := range r.Tasks {
		require.NotNil(t, c.Cause, c.Task)
		got[c.Task] = c.Cause.Ref
		require.Equal(t, c.Task == "frame 4", c.ByOrder, c.Task)
	}
	require.Equal(t, map[string]string{
		"floor": "six days late", "frame 2": "six days late", "hang 9": "six days late", "frame 4": "six days late", "frame 1": "ten minutes longer",
	}, got)
}

// Orders wait for the buyer's desk as work waits for crews, and a lead time under way goes on from the data date when nobody says
// otherwise, with the delivery behind it.
func TestPlans_LimitsTurnsAndWorkThatGoesOn(t *testing.T) {
	t.Parallel()
	p := problemOf(at(0, 6), "order remake", "order leaves", "lead", "deliver", "order frames")
	for _, i := range []int{0, 1, 4} {
		p.Tasks[i].Uses = map[string]int{"desk": 1}
	}
	started := at(-9, 8)
	p.Tasks[2].Status = &problem.Status{Started: started}
	p.Links = []problem.Link{{From: "lead", To: "deliver"}}
	old := planOf(
		task("order leaves", "", at(1, 8), at(1, 9), problem.ReasonDataDate, ""),
		task("order frames", "", at(3, 8), at(3, 9), problem.ReasonDataDate, ""),
		task("lead", "", started, at(2, 8), problem.ReasonStatus, ""),
		task("deliver", "", at(2, 8), at(2, 9), problem.ReasonMaterial, "lead"),
	)
	now := planOf(
		task("order remake", "", at(1, 8), at(1, 9), problem.ReasonDataDate, ""),
		task("order leaves", "", at(1, 9), at(1, 10), problem.ReasonCapacity, "desk"),
		task("order frames", "", at(3, 8), at(3, 9), problem.ReasonDataDate, ""),
		task("lead", "", started, at(3, 8), problem.ReasonStatus, ""),
		task("deliver", "", at(3, 8), at(3, 9), problem.ReasonMaterial, "lead"),
	)
	for range 20 { // the same every time
		r := Plans(p, old, now, []Event{{Task: "order remake", Ref: "a pane broke"}})
		got := map[string]string{}
		for _, c := range r.Tasks {
			require.NotNil(t, c.Cause, c.Task)
			got[c.Task] = c.Cause.Ref
			require.Equal(t, c.Task == "order leaves", c.ByOrder, c.Task)
		}
		require.Equal(t, map[string]string{"order remake": "a pane broke", "order leaves": "a pane broke", "lead": GoingOn, "deliver": GoingOn}, got)
	}
}
