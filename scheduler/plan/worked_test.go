package plan_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
)

// The examples of this file are worked by hand; the working is beside each of them.

func TestCompute_OneOpeningFromOrderToHanging(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Ash", "frame"), crew("Birch", "frame", "glaze")}
	p.Tasks = []problem.Task{
		fixed("order", "order", 600, "days"),        // Mon 480, Tue 120: to Tue 09:00
		fixed("deliver", "deliver", 1440, "always"), // a day: to Wed 09:00
		work("frame", "frame", 600),                 // Wed 09:00-12:00, 12:30-15:30 is 360; Thu 240: to Thu 11:00
		fixed("cure", "cure", 1440, "always"),       // to Fri 11:00
		work("glaze", "glaze", 240),                 // Fri 60 + 180: to Fri 15:30, the shift's end
	}
	p.Links = []problem.Link{link("order", "deliver"), link("deliver", "frame"), link("frame", "cure"), link("cure", "glaze")}
	p.GCDates = []problem.GCDate{{ID: "level 1", Tasks: []string{"glaze"}, Date: at("fri 03:30")}}

	got := planned(t, p)
	assert.Equal(t, "-: mon 07:00 to tue 09:00, calendar days until mon 07:00", line(row(t, got, "order")))
	assert.Equal(t, "-: tue 09:00 to wed 09:00, material order until tue 09:00", line(row(t, got, "deliver")))
	// One crew does both, so that no other one waits for the delivery.
	assert.Equal(t, "Birch: wed 09:00 to thu 11:00, material deliver until wed 09:00", line(row(t, got, "frame")))
	assert.Equal(t, "-: thu 11:00 to fri 11:00, predecessor frame until thu 11:00", line(row(t, got, "cure")))
	assert.Equal(t, "Birch: fri 11:00 to fri 15:30, predecessor cure until fri 11:00", line(row(t, got, "glaze")))

	date := got.GCDates[0]
	assert.Equal(t, at("fri 15:30"), *date.Forecast)
	assert.Equal(t, -720, date.FloatMinutes)
	assert.InDelta(t, 0.5, date.LateDays, 1e-12) // 12 hours
	assert.Equal(t, []string{"order", "deliver", "frame", "cure", "glaze"}, date.DrivingChain)
	assert.True(t, got.LowerBound.Proved, "the plan is as early as the network")
}

func TestCompute_CrewsTravelAndSetUpBetweenTasks(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Sites = append(p.Sites, problem.Site{ID: "yard"})
	p.Travel = []problem.Travel{{From: "yard", To: "tower", Minutes: 60}}
	p.Areas = []problem.Area{{ID: "level 1", Site: "tower"}, {ID: "level 2", Site: "tower", SetupMinutes: 30}}
	c := crew("Ash", "frame")
	c.HomeSite = "yard"
	p.Crews = []problem.Crew{c}
	for _, area := range []string{"level 1", "level 2"} {
		task := work("frame "+area, "frame", 240)
		task.Area = area
		p.Tasks = append(p.Tasks, task)
	}
	p.Links = []problem.Link{link("frame level 1", "frame level 2")}

	got := planned(t, p)
	// From home: 60 minutes of working time after the data date, so 08:00; 240 minutes, the break aside, to 12:30 less 30.
	assert.Equal(t, "Ash: mon 08:00 to mon 12:00, crew Ash until mon 08:00", line(row(t, got, "frame level 1")))
	// The predecessor lets go at 12:00, the crew sets up from 12:30 to 13:00; 150 minutes on Monday, 90 on Tuesday.
	assert.Equal(t, "Ash: mon 13:00 to tue 08:30, crew Ash until mon 13:00", line(row(t, got, "frame level 2")))
	assert.Equal(t, 90, got.Objective.TravelMinutes)
	assert.Equal(t, 0, got.Objective.IdleMinutes)
}

func TestCompute_LimitsAreHeldOverNight(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Limits = []problem.Limit{{ID: "hoist", Capacity: 1}}
	p.Crews = []problem.Crew{crew("Ash", "frame"), crew("Birch", "glaze")}
	long, short := work("long", "frame", 500), work("short", "glaze", 60)
	long.Uses, short.Uses = map[string]int{"hoist": 1}, map[string]int{"hoist": 1}
	p.Tasks = []problem.Task{long, short}
	p.Weights = &problem.Weights{Early: 1}

	got := planned(t, p)
	// Short first: 07:00-08:00; then long 08:00-15:30 is 420, the hoist is held over the night, and 80 more to Tue 08:20. Long
	// first would end Tue 07:20 and short 08:20 too; with the flow as tie-break short goes first.
	assert.Equal(t, "Birch: mon 07:00 to mon 08:00, calendar days until mon 07:00", line(row(t, got, "short")))
	assert.Equal(t, "Ash: mon 08:00 to tue 08:20, capacity hoist until mon 08:00", line(row(t, got, "long")))
}

func TestCompute_LimitCalendarsCutTheWorkingTime(t *testing.T) {
	t.Parallel()
	p := firm()
	mornings := []problem.Shift{{From: 8 * 60, To: 10 * 60}}
	p.Calendars = append(p.Calendars, problem.Calendar{ID: "mornings", Zone: "UTC", Week: problem.Week{Mon: mornings, Tue: mornings, Thu: mornings}})
	p.Limits = []problem.Limit{{ID: "dock", Capacity: 1, Calendar: "mornings"}}
	p.Crews = []problem.Crew{crew("Ash", "frame")}
	unload := work("unload", "frame", 180)
	unload.Uses = map[string]int{"dock": 1}
	p.Tasks = []problem.Task{unload, work("frame", "frame", 60)}
	p.Links = []problem.Link{link("unload", "frame")}

	got := planned(t, p)
	// Mon 08:00-10:00 is 120, Tue 08:00-09:00 the rest; the crew waits with it over the day.
	assert.Equal(t, "Ash: mon 08:00 to tue 09:00, calendar days until mon 08:00", line(row(t, got, "unload")))
	assert.Equal(t, "Ash: tue 09:00 to tue 10:00, predecessor unload until tue 09:00", line(row(t, got, "frame")))
	require.Len(t, row(t, got, "unload").Segments, 2)
	assert.Equal(t, 60+480-180+60, got.Objective.IdleMinutes, "Mon 07:00 to 08:00, and Mon 10:00 to Tue 08:00 less the break: 60 + 300 + 60")
}

func TestCompute_AllRelationsWithLags(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Tasks = []problem.Task{
		fixed("a", "cure", 600, "always"), // Mon 00:00-10:00
		fixed("ss", "cure", 60, "always"), // starts 120 after a starts: 02:00
		fixed("ff", "cure", 60, "always"), // finishes at least 60 working minutes of days after a: 11:00, so it starts at 10:00
		fixed("sf", "cure", 60, "always"), // finishes at least 1500 after a starts: Tue 01:00, so it starts at Tue 00:00
		fixed("fs", "cure", 60, "always"), // 180 working minutes before Mon 10:00 is Mon 07:00
	}
	p.Links = []problem.Link{
		{From: "a", To: "ss", Type: problem.StartToStart, LagMinutes: 120},
		{From: "a", To: "ff", Type: problem.FinishToFinish, LagMinutes: 60, LagCalendar: "days"},
		{From: "a", To: "sf", Type: problem.StartToFinish, LagMinutes: 1500},
		{From: "a", To: "fs", LagMinutes: -180, LagCalendar: "days"},
	}
	got := planned(t, p)
	assert.Equal(t, "-: mon 00:00 to mon 10:00, data_date until mon 00:00", line(row(t, got, "a")))
	assert.Equal(t, "-: mon 02:00 to mon 03:00, predecessor a until mon 02:00", line(row(t, got, "ss")))
	assert.Equal(t, "-: mon 10:00 to mon 11:00, predecessor a until mon 10:00", line(row(t, got, "ff")))
	assert.Equal(t, "-: tue 00:00 to tue 01:00, predecessor a until tue 00:00", line(row(t, got, "sf")))
	assert.Equal(t, "-: mon 07:00 to mon 08:00, predecessor a until mon 07:00", line(row(t, got, "fs")))
}

func TestCompute_WaitingWorkAndWhatFollowsIsLeftOut(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Ash", "frame")}
	held := work("held", "frame", 60)
	held.Waits, held.NotBeforeCause = true, "handover walls boarded"
	p.Tasks = []problem.Task{held, work("next", "frame", 60), work("other", "frame", 60)}
	p.Links = []problem.Link{link("held", "next")}
	p.GCDates = []problem.GCDate{{ID: "end", Tasks: []string{"next", "other"}, Date: at("fri 12:00")}}

	got := planned(t, p)
	assert.Equal(t, []problem.Unplanned{
		{Task: "held", Why: "waits without a date: handover walls boarded"},
		{Task: "next", Why: "follows held, which waits without a date"},
	}, got.Unplanned)
	assert.Nil(t, got.GCDates[0].Forecast)
	assert.Equal(t, "Ash: mon 07:00 to mon 08:00, calendar days until mon 07:00", line(row(t, got, "other")))
}

func TestCompute_WorkWithoutAnyTimeIsLeftOutAndNeverHangs(t *testing.T) {
	t.Parallel()
	p := firm()
	nights := []problem.Shift{{From: 20 * 60, To: 22 * 60}}
	p.Calendars = append(p.Calendars,
		problem.Calendar{ID: "nights", Zone: "UTC", Week: problem.Week{Mon: nights}},
		problem.Calendar{ID: "one day", Zone: "UTC", Exceptions: []problem.Exception{{Date: problem.DateOf(monday), Shifts: nights}}})
	p.Limits = []problem.Limit{{ID: "night dock", Capacity: 1, Calendar: "nights"}}
	p.Crews = []problem.Crew{crew("Ash", "frame")}
	never := work("never", "frame", 60)
	never.Uses = map[string]int{"night dock": 1}
	p.Tasks = []problem.Task{never, fixed("short", "cure", 121, "one day"), fixed("fits", "cure", 120, "one day"), work("after", "frame", 60)}
	p.Links = []problem.Link{link("short", "after")}

	got := planned(t, p)
	assert.Len(t, got.Tasks, 1)
	assert.Equal(t, "-: mon 20:00 to mon 22:00, calendar one day until mon 20:00", line(row(t, got, "fits")))
	require.Len(t, got.Unplanned, 3)
	assert.Contains(t, got.Unplanned[0].Why, "no working time left")
	assert.Contains(t, got.Unplanned[1].Why, "no working time left")
	assert.Equal(t, "follows short, which is not planned", got.Unplanned[2].Why)
}

func TestCompute_WorkThatAsksMoreThanThereIsIsLeftOut(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Limits = []problem.Limit{{ID: "hoist", Capacity: 1}}
	wide := fixed("wide", "cure", 60, "always")
	wide.Uses = map[string]int{"hoist": 2}
	p.Tasks = []problem.Task{wide, fixed("after", "cure", 60, "always")}
	p.Links = []problem.Link{link("wide", "after")}
	// Validation refuses such a document; the planner states the rule if it is given one.
	got, err := plan.Compute(t.Context(), p, plan.Options{})
	require.NoError(t, err)
	assert.Equal(t, []problem.Unplanned{
		{Task: "wide", Why: "needs 2 of hoist, which holds 1"},
		{Task: "after", Why: "follows wide, which is not planned"},
	}, got.Unplanned)
}

func TestCompute_CancelledContextStillGivesAPlan(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Ash", "frame"), crew("Birch", "frame")}
	for _, id := range []string{"a", "b", "c", "d", "e"} {
		p.Tasks = append(p.Tasks, work(id, "frame", 100+len(p.Tasks)))
	}
	got, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 1000, Stop: func() bool { return true }})
	require.NoError(t, err)
	assert.Len(t, got.Tasks, 5)
	assert.Equal(t, "time limit", got.Run.StoppedBy)
	assert.Equal(t, 1, got.Run.Schedules)
}
