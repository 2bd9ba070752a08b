package network_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
	"jambwright/scheduler/problem"
)

// dates runs the passes on a builder's document and answers by task identifier.
type dates struct {
	t *testing.T
	w network.Workspace
	*network.Dates
}

func compute(t *testing.T, b *builder) *dates {
	t.Helper()
	r := &dates{t: t}
	r.Dates = r.w.Compute(compiled(t, b))
	return r
}

func (r *dates) index(id string) network.TaskIndex { return r.w.Compiled().TaskOf(id) }

// early and late hold a task's dates, as times of the builder's first week.
func (r *dates) early(id, start, finish string) {
	r.t.Helper()
	t := r.index(id)
	require.Equal(r.t, mustClock(start), r.EarlyStart(t).Time(), "early start of %s", id)
	require.Equal(r.t, mustClock(finish), r.EarlyFinish[t].Time(), "early finish of %s", id)
}

func (r *dates) late(id, start, finish string) {
	r.t.Helper()
	t := r.index(id)
	require.Equal(r.t, mustClock(start), r.LateStart(t).Time(), "late start of %s", id)
	require.Equal(r.t, mustClock(finish), r.LateFinish[t].Time(), "late finish of %s", id)
}

func (r *dates) floats(id string, total, free calendar.WorkMinutes) {
	r.t.Helper()
	t := r.index(id)
	require.Equal(r.t, total, r.TotalFloat[t], "total float of %s", id)
	require.Equal(r.t, free, r.FreeFloat[t], "free float of %s", id)
}

// drivers are the predecessors whose links drive a task.
func (r *dates) drivers(id string) []string {
	var from []string
	for _, l := range r.w.DrivingLinks(nil, r.index(id)) {
		from = append(from, r.w.Compiled().ID(r.w.Compiled().Links[l].From))
	}
	return from
}

// The week works 07:00-15:00 from Monday to Friday, 480 minutes a day.
func weekBuilder() *builder { return newBuilder().week("week", "07:00-15:00") }

func TestForwardPass_EachRelationBoundsItsEndOnTheLagsCalendar(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, relation string
		lag            int
		on             string
		start, finish  string // of b, 240 minutes, where a runs from Thursday 07:00 to Friday 15:00
	}{
		{"FS goes on with the next shift", "FS", 0, "always", "+1 mon 07:00", "+1 mon 11:00"},
		{"FS with a lag by the clock is used up by the weekend", "FS", 48 * 60, "always", "+1 mon 07:00", "+1 mon 11:00"},
		{"FS with a lag in working time", "FS", 60, "week", "+1 mon 08:00", "+1 mon 12:00"},
		{"FS with negative lag in working time", "FS", -60, "week", "fri 14:00", "+1 mon 10:00"},
		{"FS with negative lag by the clock", "FS", -60, "always", "fri 14:00", "+1 mon 10:00"},
		{"SS", "SS", 0, "always", "thu 07:00", "thu 11:00"},
		{"SS with a lag over the night", "SS", 9 * 60, "week", "fri 08:00", "fri 12:00"},
		{"FF holds the finish", "FF", 0, "always", "fri 11:00", "fri 15:00"},
		// Not before Monday 08:00: the start that gives it is an hour of work before the weekend's end, and three
		// before.
		{"FF with a lag in working time", "FF", 60, "week", "fri 12:00", "+1 mon 08:00"},
		// Saturday 15:00 is no time to finish; the first finish behind it is one minute into Monday.
		{"FF with a lag into the weekend", "FF", 24 * 60, "always", "fri 11:01", "+1 mon 07:01"},
		{"SF measures from the start", "SF", 480, "week", "thu 11:00", "thu 15:00"},
		// Wednesday's close lies before Thursday 07:00, so the first finish that satisfies is a minute into Thursday.
		{"SF holds the finish to the minute", "SF", 0, "always", "wed 11:01", "thu 07:01"},
		{"SF that binds nothing", "SF", -3 * 1440, "always", "mon 07:00", "mon 11:00"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			b := weekBuilder().fixedOn("a", 960, "week").fixedOn("b", 240, "week")
			thursday := mustClock("thu 07:00")
			b.task("a").NotBefore = &thursday
			b.relate("a", "b", problem.LinkType(test.relation), test.lag, test.on)
			r := compute(t, b)
			r.early("a", "thu 07:00", "fri 15:00")
			r.early("b", test.start, test.finish)
		})
	}
}

func TestBackwardPass_EachRelationBoundsItsEndOnTheLagsCalendar(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, relation string
		lag            int
		on             string
		start, finish  string // of a, 240 minutes, where b, 480 minutes, must finish by Tuesday 15:00
	}{
		{"FS goes back to the shift before", "FS", 0, "always", "mon 11:00", "mon 15:00"},
		{"FS with a lag in working time", "FS", 60, "week", "mon 10:00", "mon 14:00"},
		{"FS with a lag by the clock", "FS", 60, "always", "mon 11:00", "mon 15:00"},
		{"FS with negative lag in working time", "FS", -60, "week", "mon 12:00", "tue 08:00"},
		{"SS", "SS", 0, "always", "tue 07:00", "tue 11:00"},
		{"SS with a lag over the night", "SS", 60, "week", "mon 14:00", "tue 10:00"},
		{"FF", "FF", 0, "always", "tue 11:00", "tue 15:00"},
		{"FF with a lag in working time", "FF", 60, "week", "tue 10:00", "tue 14:00"},
		{"SF", "SF", 480, "week", "tue 07:00", "tue 11:00"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			t.Parallel()
			b := weekBuilder().fixedOn("a", 240, "week").fixedOn("b", 480, "week").fixedOn("c", 5*480, "week")
			tuesday := mustClock("tue 15:00")
			b.task("b").Deadline = &tuesday
			b.relate("a", "b", problem.LinkType(test.relation), test.lag, test.on)
			r := compute(t, b)
			r.late("b", "tue 07:00", "tue 15:00")
			r.late("a", test.start, test.finish)
		})
	}
}

// Five tasks, a start-to-start lag over a weekend, a holiday on the second Tuesday, worked by hand.
//
//	survey  480 on the week from Friday 07:00     Friday
//	order   SS 480 working minutes after survey   Monday, 960 minutes, so over the holiday to Wednesday
//	cure    2 days round the clock after survey   Friday 15:00 to Sunday 15:00
//	frame   after cure and order                  Thursday, 240 minutes
//	punch   no minutes, after frame               Thursday 11:00
func TestCompute_WorksAWeekendALagAndAHoliday(t *testing.T) {
	t.Parallel()
	b := weekBuilder().fixedOn("survey", 480, "week").fixedOn("order", 960, "week").fixed("cure", 2*1440)
	b.fixedOn("frame", 240, "week").fixedOn("punch", 0, "week")
	b.p.Calendars[0].Holidays = []problem.Date{problem.DateOf(mustClock("+1 tue 00:00"))}
	friday := mustClock("fri 07:00")
	b.task("survey").NotBefore = &friday
	b.relate("survey", "order", problem.StartToStart, 480, "week").link("survey", "cure")
	b.link("cure", "frame").link("order", "frame").link("frame", "punch")
	r := compute(t, b)

	r.early("survey", "fri 07:00", "fri 15:00")
	r.early("order", "+1 mon 07:00", "+1 wed 15:00")
	r.early("cure", "fri 15:00", "sun 15:00")
	r.early("frame", "+1 thu 07:00", "+1 thu 11:00")
	r.early("punch", "+1 thu 11:00", "+1 thu 11:00")
	r.late("order", "+1 mon 07:00", "+1 wed 15:00")
	r.late("frame", "+1 thu 07:00", "+1 thu 11:00")
	// The cure ends by Thursday 07:00 at the latest, by the clock.
	r.late("cure", "+1 tue 07:00", "+1 thu 07:00")
	// The lag from the start holds the survey: it may begin on Friday 07:00 at the latest.
	r.late("survey", "fri 07:00", "fri 15:00")
	r.floats("survey", 0, 0)
	r.floats("order", 0, 0)
	r.floats("cure", 3*1440+16*60, 3*1440+16*60)
	r.floats("frame", 0, 0)
	r.floats("punch", 0, 0)

	require.Empty(t, r.drivers("survey"))
	require.True(t, r.w.ReleaseDrives(r.index("survey")))
	require.Equal(t, []string{"survey"}, r.drivers("order"))
	require.Equal(t, []string{"order"}, r.drivers("frame"))
	require.Equal(t, []string{"survey", "order", "frame", "punch"}, ids(r.w.Compiled(), r.w.LongestPath()))
}

// The worked example of the package comment.
func TestCompute_WorksTheExampleOfThePackage(t *testing.T) {
	t.Parallel()
	b := weekBuilder().fixedOn("frame", 480, "week").fixedOn("glaze", 240, "week").link("frame", "glaze")
	b.p.DataDate = mustClock("fri 07:00")
	tuesday := mustClock("+1 tue 15:00")
	b.task("glaze").Deadline = &tuesday
	r := compute(t, b)
	r.early("frame", "fri 07:00", "fri 15:00")
	r.late("frame", "+1 mon 11:00", "+1 tue 11:00")
	r.floats("frame", 720, 0)
	r.early("glaze", "+1 mon 07:00", "+1 mon 11:00")
	r.late("glaze", "+1 tue 11:00", "+1 tue 15:00")
	r.floats("glaze", 720, 0)
}

func TestBackwardPass_NegativeLagLetsNothingFinishAfterTheProject(t *testing.T) {
	t.Parallel()
	// b may start 30 minutes before a ends and takes 10: a finishes last, at 60, and has no float.
	b := newBuilder().fixed("a", 60).fixed("b", 10).relate("a", "b", problem.FinishToStart, -30, problem.Always)
	r := compute(t, b)
	r.early("b", "mon 00:30", "mon 00:40")
	r.late("a", "mon 00:00", "mon 01:00")
	r.floats("a", 0, 0)
	r.floats("b", 20, 20)
}

func TestFloats_OfACrewTaskRunBetweenTheStartsOfTwoCrews(t *testing.T) {
	t.Parallel()
	// Ash needs four hours from 08:00, Birch three, but is away until 09:00: both finish at noon and Ash is listed first.
	// The latest start that makes noon is Birch's, an hour after Ash's.
	b := newBuilder().fixed("wait", 8*60).fixed("tail", 0).crewTask("frame", 12*60, nil)
	b.crew("Ash", 3, nil).crew("Birch", 4, func(c *problem.Crew) {
		c.Away = []problem.Span{{From: mustClock("mon 00:00"), To: mustClock("mon 09:00")}}
	})
	b.link("wait", "frame").link("frame", "tail")
	r := compute(t, b)
	r.early("frame", "mon 08:00", "mon 12:00")
	r.late("frame", "mon 09:00", "mon 12:00")
	r.floats("frame", 60, 0)
	r.floats("wait", 60, 0)
	require.Equal(t, []string{"wait", "frame", "tail"}, ids(r.w.Compiled(), r.w.LongestPath()), "critical or not")
}

func TestForwardPass_KeepsTiesOfDrivers(t *testing.T) {
	t.Parallel()
	// One ends with Friday's shift, the other on Saturday noon: only the night and the weekend lie between them and c.
	b := weekBuilder().fixedOn("a", 5*480, "week").fixed("b", 5*1440+12*60).fixedOn("early", 60, "week").fixedOn("c", 60, "week")
	b.link("a", "c").link("b", "c").link("early", "c")
	r := compute(t, b)
	r.early("c", "+1 mon 07:00", "+1 mon 08:00")
	require.Equal(t, []string{"a", "b"}, r.drivers("c"))
	require.Equal(t, []bool{true, true, false, true}, r.w.OnLongestPath())
}

func TestForwardPass_NegativeLagStopsAtTheDataDate(t *testing.T) {
	t.Parallel()
	b := newBuilder().fixed("a", 60).fixed("b", 60).relate("a", "b", problem.FinishToStart, -500, problem.Always)
	r := compute(t, b)
	r.early("b", "mon 00:00", "mon 01:00")
	require.Empty(t, r.drivers("b"))
	require.True(t, r.w.ReleaseDrives(r.index("b")))
}

func TestForwardPass_ZeroLengthTasksTakeNoCalendarRoll(t *testing.T) {
	t.Parallel()
	b := weekBuilder().fixedOn("a", 480, "week").fixedOn("m", 0, "week").fixed("cure", 60)
	b.link("a", "m").link("m", "cure")
	r := compute(t, b)
	r.early("m", "mon 15:00", "mon 15:00")
	r.early("cure", "mon 15:00", "mon 16:00")
}

func TestForwardPass_TakesTheCrewThatFinishesFirst(t *testing.T) {
	t.Parallel()
	// Ash alone starts on Monday 07:00 and needs two days; Birch and Cedar, four heads, start on Tuesday and need half
	// of one.
	b := weekBuilder()
	b.crew("Ash", 1, func(c *problem.Crew) { c.Calendar = "week" })
	for _, id := range []string{"Birch", "Cedar"} {
		b.crew(id, 4, func(c *problem.Crew) {
			c.Calendar = "week"
			c.Away = []problem.Span{{From: mustClock("mon 00:00"), To: mustClock("tue 00:00")}}
		})
	}
	b.crewTask("frame", 960, nil).fixedOn("after finish", 60, "week").fixedOn("after start", 60, "week")
	b.link("frame", "after finish").relate("frame", "after start", problem.StartToStart, 0, problem.Always)
	r := compute(t, b)
	r.early("frame", "tue 07:00", "tue 11:00")
	require.EqualValues(t, 1, r.Choice[0], "Birch is listed before Cedar")
	r.early("after finish", "tue 11:00", "tue 12:00")
	r.early("after start", "mon 07:00", "mon 08:00") // Ash could start then
}

func TestForwardPass_CountsOnlyTheTimeInWhichALimitCanBeUsed(t *testing.T) {
	t.Parallel()
	b := weekBuilder().week("hoist", "06:00-09:00", "13:00-14:00")
	b.p.Limits = []problem.Limit{{ID: "hoist", Capacity: 1, Calendar: "hoist"}}
	b.fixedOn("lift", 240, "week")
	b.task("lift").Uses = map[string]int{"hoist": 1}
	r := compute(t, b)
	// Three hours on Monday (07:00-09:00, 13:00-14:00), the fourth on Tuesday morning.
	r.early("lift", "mon 07:00", "tue 08:00")
}

func TestForwardPass_PinsAndNotBeforeHoldAStart(t *testing.T) {
	t.Parallel()
	b := weekBuilder().fixedOn("pinned", 60, "week").fixedOn("held", 60, "week").fixedOn("late pin", 60, "week")
	wednesday, saturday := mustClock("wed 09:00"), mustClock("sat 09:00")
	b.task("pinned").Pin = &problem.Pin{Start: &wednesday}
	b.task("held").NotBefore = &saturday
	b.task("late pin").Pin = &problem.Pin{Start: &wednesday}
	b.link("held", "late pin")
	r := compute(t, b)
	r.early("pinned", "wed 09:00", "wed 10:00")
	r.early("held", "+1 mon 07:00", "+1 mon 08:00")
	r.early("late pin", "+1 mon 08:00", "+1 mon 09:00") // a pin cannot overtake what comes before
	r.late("pinned", "+1 mon 08:00", "+1 mon 09:00")    // nor does it take the float away
}

func TestBackwardPass_StartsFromEachDateThatIsSet(t *testing.T) {
	t.Parallel()
	b := newBuilder().fixed("a", 60).fixed("b", 60).fixed("c", 60).fixed("long", 600)
	b.link("a", "b").link("a", "c")
	b.p.GCDates = []problem.GCDate{
		{ID: "level 1", Tasks: []string{"b"}, Date: mustClock("mon 01:30")},
		{ID: "level 2", Tasks: []string{"c", "a"}, Date: mustClock("mon 15:00")},
	}
	r := compute(t, b)
	r.late("b", "mon 00:30", "mon 01:30")
	r.late("c", "mon 14:00", "mon 15:00") // its own date, not the project finish at 10:00
	r.late("a", "-1 sun 23:30", "mon 00:30")
	r.late("long", "mon 00:00", "mon 10:00")
	r.floats("a", -30, 0)
	r.floats("b", -30, 480)
	r.floats("long", 0, 0)
	require.True(t, r.Critical(r.index("a")))
	require.Equal(t, mustClock("mon 10:00"), r.ProjectFinish.Time())

	float, ok := r.GCDateFloat(0)
	require.True(t, ok)
	require.Equal(t, calendar.ElapsedMinutes(-30), float)
	float, _ = r.GCDateFloat(1)
	require.Equal(t, calendar.ElapsedMinutes(13*60), float)

	// a leads to both dates, with 30 minutes too few for one and 12 hours to spare before c for the other, 13 for b
	// not.
	floats := r.w.FloatsTo(0, nil)
	require.Equal(t, []calendar.WorkMinutes{-30, -30, network.NoFloat, network.NoFloat}, floats)
	floats = r.w.FloatsTo(1, floats)
	require.Equal(t, []calendar.WorkMinutes{13 * 60, network.NoFloat, 13 * 60, network.NoFloat}, floats)
	r.late("a", "-1 sun 23:30", "mon 00:30") // the dates of the passes are untouched
}

func TestGCDateFloat_IsUnknownWhileATaskIsHeld(t *testing.T) {
	t.Parallel()
	b := newBuilder().fixed("a", 60).fixed("b", 60)
	b.p.Tasks[1].Waits = true
	b.p.GCDates = []problem.GCDate{{ID: "level 1", Tasks: []string{"a", "b"}, Date: mustClock("mon 12:00")}}
	r := compute(t, b)
	_, ok := r.GCDateFloat(0)
	require.False(t, ok)
	require.False(t, r.Placed(1))
	require.Empty(t, r.w.Unplaced(), "held is not the same as without room")
}
