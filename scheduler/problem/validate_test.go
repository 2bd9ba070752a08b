package problem_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

func fullProblem(t *testing.T) *problem.Problem {
	t.Helper()
	p, err := problem.Read(strings.NewReader(fullDocument(t)))
	require.NoError(t, err)
	return p
}

func TestValidate_NamesTheFaultWithItsValues(t *testing.T) {
	t.Parallel()
	day := time.Date(2026, 3, 2, 13, 0, 0, 0, time.UTC)
	for _, row := range []struct {
		name   string
		change func(*problem.Problem)
		want   string
	}{
		{"version", func(p *problem.Problem) { p.Version = 3 }, "version: version 3 is not known; this program reads version 1"},
		{"zone", func(p *problem.Problem) { p.Zone = "Chicago" }, `zone: zone "Chicago" is not known; write an IANA name such as America/Chicago`},
		{"zone of the machine", func(p *problem.Problem) { p.Zone = "Local" }, `zone: zone "Local" is not an IANA zone; write an IANA name such as America/Chicago`},
		{"data date with seconds", func(p *problem.Problem) { p.DataDate = day.Add(time.Second) }, "data_date: 2026-03-02T13:00:01Z is not on a whole minute; times are on whole minutes"},
		{"data date missing", func(p *problem.Problem) { p.DataDate = time.Time{} }, "data_date: time 0001-01-01T00:00:00Z cannot be used; the year must lie in 1900 to 2199"},
		{"out of order", func(p *problem.Problem) { p.OutOfOrder = "stop" }, `out_of_order: "stop" is not known; write let_run or keep_order`},

		{"calendar twice", func(p *problem.Problem) { p.Calendars[1].ID = "days" }, `calendars[1].id: calendar "days" is already calendars[0]`},
		{"calendar built in", func(p *problem.Problem) { p.Calendars[1].ID = "always" }, `calendars[1].id: calendar "always" is built in; give it another name`},
		{"calendar zone", func(p *problem.Problem) { p.Calendars[1].Zone = "" }, `calendars[1].zone: zone "" is not an IANA zone; write an IANA name such as America/Chicago`},
		{"shifts overlap", func(p *problem.Problem) { p.Calendars[0].Week.Mon[1].From = 700 }, "calendars[0].week.mon: shifts 07:00-12:00 and 11:40-15:30 overlap"},
		{"shift turned round", func(p *problem.Problem) { p.Calendars[0].Week.Mon[1].From = 960 }, "calendars[0].week.mon[1]: shift 16:00-15:30 must start before it ends, within 00:00 to 24:00"},
		{
			"exception twice", func(p *problem.Problem) { p.Calendars[0].Exceptions[1].Date = p.Calendars[0].Exceptions[0].Date },
			"calendars[0].exceptions[1].date: 2026-03-14 is already exceptions[0]; write the shifts of one date in one exception",
		},
		{"exception's shifts overlap", func(p *problem.Problem) {
			p.Calendars[0].Exceptions[1].Shifts = []problem.Shift{{From: 600, To: 720}, {From: 540, To: 601}}
		}, "calendars[0].exceptions[1].shifts: shifts 09:00-10:01 and 10:00-12:00 overlap"},
		{
			"calendar without work", func(p *problem.Problem) { p.Calendars[1].Week = problem.Week{} },
			`crews[1].calendar: calendar "nights" has no working time; give it a shift, or use another calendar`,
		},

		{"site twice", func(p *problem.Problem) { p.Sites[1].ID = "mill" }, `sites[1].id: site "mill" is already sites[0]`},
		{"travel to nowhere", func(p *problem.Problem) { p.Travel[0].To = "quai" }, `travel[0].to: unknown site "quai"; did you mean "quay"?`},
		{"travel negative", func(p *problem.Problem) { p.Travel[0].Minutes = -5 }, "travel[0].minutes: -5 minutes is negative"},
		{"travel to itself", func(p *problem.Problem) { p.Travel[0].To = "mill" }, `travel[0].to: travel of 40 minutes from site "mill" to itself; lost time inside a site is an area's setup_minutes`},
		{"travel twice", func(p *problem.Problem) { p.Travel[1] = p.Travel[0] }, `travel[1]: travel from "mill" to "quay" is already travel[0]`},
		{"area's site", func(p *problem.Problem) { p.Areas[1].Site = "wharf" }, `areas[1].site: unknown site "wharf"`},
		{"area without crews", func(p *problem.Problem) { p.Areas[0].MaxCrews = new(0) }, `areas[0].max_crews: area "L1" admits 0 crews, it must be 1 or more; leave it out to allow any number`},
		{"set-up", func(p *problem.Problem) { p.Areas[0].SetupMinutes = -1 }, "areas[0].setup_minutes: -1 minutes is negative"},

		{"heads", func(p *problem.Problem) { p.Crews[0].Heads = 0 }, `crews[0].heads: crew "birch" has 0 heads, it must have 1 to 1000000`},
		{"crew's calendar", func(p *problem.Problem) { p.Crews[0].Calendar = "day" }, `crews[0].calendar: unknown calendar "day"; did you mean "days"?`},
		{"productivity", func(p *problem.Problem) { p.Crews[0].Productivity["glaze"] = 0 }, `crews[0].productivity.glaze: productivity 0 of crew "birch" must lie in 0.01 to 100; 1 is the usual pace`},
		{"productivity not a number", func(p *problem.Problem) { p.Crews[0].Productivity["glaze"] = math.NaN() }, `crews[0].productivity.glaze: productivity NaN of crew "birch" must lie in 0.01 to 100; 1 is the usual pace`},
		{"crew's sites", func(p *problem.Problem) { p.Crews[0].Sites[0] = "mil" }, `crews[0].sites[0]: unknown site "mil"; did you mean "mill"?`},
		{"home site", func(p *problem.Problem) { p.Crews[0].HomeSite = "home" }, `crews[0].home_site: unknown site "home"`},
		{"cost", func(p *problem.Problem) { p.Crews[0].CostPerHour = -1 }, "crews[0].cost_per_hour: -1 must be 0 or more"},
		{
			"away turned round", func(p *problem.Problem) { p.Crews[0].Away[0].To = p.Crews[0].Away[0].From },
			`crews[0].away[0]: crew "birch" is away from 2026-03-05T06:00:00Z to 2026-03-05T06:00:00Z, which does not end after it starts`,
		},

		{"capacity", func(p *problem.Problem) { p.Limits[0].Capacity = -1 }, `limits[0].capacity: capacity -1 of limit "hoist" must lie in 0 to 1000000000`},
		{"limit's calendar", func(p *problem.Problem) { p.Limits[0].Calendar = "dock" }, `limits[0].calendar: unknown calendar "dock"`},

		{"task twice", func(p *problem.Problem) { p.Tasks[1].ID = "frame" }, `tasks[1].id: task "frame" is already tasks[0]`},
		{"task without a name", func(p *problem.Problem) { p.Tasks[1].ID = " " }, "tasks[1].id: must not be blank"},
		{
			"start out of reach", func(p *problem.Problem) { p.Tasks[0].NotBefore = new(day.AddDate(21, 0, 0)) },
			"tasks[0].not_before: 2047-03-02T13:00:00Z is more than 20 years after the data date 2026-03-02T13:00:00Z",
		},
		{"task's site", func(p *problem.Problem) { p.Tasks[2].Site = "wharf" }, `tasks[2].site: unknown site "wharf"`},
		{"crew work without a site", func(p *problem.Problem) { p.Tasks[0].Site = "" }, `tasks[0].site: task "frame" is crew work and names no site`},
		{"task's area", func(p *problem.Problem) { p.Tasks[0].Area = "L9" }, `tasks[0].area: unknown area "L9"`},
		{"area of another site", func(p *problem.Problem) { p.Areas[0].Site = "quay" }, `tasks[0].area: task "frame" is on site "mill", area "L1" on site "quay"`},
		{
			"both kinds of work", func(p *problem.Problem) { p.Tasks[0].DurationMinutes = new(60) },
			`tasks[0]: task "frame" has both labour_minutes 480 and duration_minutes 60; keep one: labour_minutes for crew work, duration_minutes and calendar for fixed work`,
		},
		{
			"neither kind of work", func(p *problem.Problem) { p.Tasks[0].LabourMinutes = nil },
			`tasks[0]: task "frame" has neither labour_minutes nor duration_minutes; give labour_minutes for crew work, or duration_minutes and calendar for fixed work`,
		},
		{"negative labour", func(p *problem.Problem) { p.Tasks[0].LabourMinutes = new(-480) }, "tasks[0].labour_minutes: -480 minutes is negative"},
		{
			"endless labour", func(p *problem.Problem) { p.Tasks[0].LabourMinutes = new(math.MaxInt) },
			"tasks[0].labour_minutes: 9223372036854775807 minutes is more than 20 years (10540800)",
		},
		{"negative duration", func(p *problem.Problem) { p.Tasks[2].DurationMinutes = new(-1) }, "tasks[2].duration_minutes: -1 minutes is negative"},
		{
			"crew work with a calendar", func(p *problem.Problem) { p.Tasks[0].Calendar = "days" },
			`tasks[0].calendar: task "frame" is crew work and runs in its crew's calendar, not in "days"; leave it out`,
		},
		{"fixed work without a calendar", func(p *problem.Problem) { p.Tasks[2].Calendar = "" }, `tasks[2].calendar: task "cure" is fixed work and has no calendar; name one, or "always"`},
		{"negative heads", func(p *problem.Problem) { p.Tasks[0].MinHeads = -1 }, `tasks[0].min_heads: task "frame" needs -1 heads, it must be 1 or more`},
		{"unknown limit", func(p *problem.Problem) { p.Tasks[0].Uses = map[string]int{"host": 1} }, `tasks[0].uses.host: unknown limit "host"; did you mean "hoist"?`},
		{"more than the limit holds", func(p *problem.Problem) { p.Tasks[0].Uses["hoist"] = 3 }, `tasks[0].uses.hoist: task "frame" uses 3 of limit "hoist", which holds 2`},
		{"negative use", func(p *problem.Problem) { p.Tasks[0].Uses["hoist"] = -1 }, `tasks[0].uses.hoist: task "frame" uses -1 of limit "hoist", it must be 0 or more`},

		{"no crew with the skill", func(p *problem.Problem) { p.Tasks[0].Kind = "roof" }, `tasks[0]: no crew can do task "frame": none has the skill "roof"`},
		{
			"no crew with the heads", func(p *problem.Problem) { p.Tasks[0].MinHeads = 4 },
			`tasks[0]: no crew can do task "frame": it needs 4 heads, the largest crew with the skill "frame" has 3`,
		},
		{
			"no crew on the site", func(p *problem.Problem) { p.Tasks[0].Site, p.Tasks[0].Area = "quay", "" },
			`tasks[0]: no crew can do task "frame": none with the skill "frame" and 2 heads may enter site "quay"`,
		},

		{"empty pin", func(p *problem.Problem) { p.Tasks[1].Pin = &problem.Pin{} }, `tasks[1].pin: the pin of task "glaze" holds nothing; give a crew, a start or both, or leave the pin out`},
		{"unknown pinned crew", func(p *problem.Problem) { p.Tasks[1].Pin.Crew = "brich" }, `tasks[1].pin.crew: unknown crew "brich"`},
		{
			"pinned crew without the skill", func(p *problem.Problem) { p.Tasks[1].Pin.Crew = "alder" },
			`tasks[1].pin.crew: crew "alder" cannot do task "glaze": it lacks the skill "glaze"; pin another crew, or change this one`,
		},
		{
			"pinned crew with too few heads", func(p *problem.Problem) { p.Tasks[1].MinHeads = 5 },
			`tasks[1].pin.crew: crew "birch" cannot do task "glaze": it has 3 heads, the task needs 5; pin another crew, or change this one`,
		},
		{
			"pinned crew not allowed on the site", func(p *problem.Problem) { p.Tasks[1].Site, p.Tasks[1].Area = "quay", "" },
			`tasks[1].pin.crew: crew "birch" cannot do task "glaze": it may not enter site "quay"; pin another crew, or change this one`,
		},
		{
			"crew pinned to fixed work", func(p *problem.Problem) { p.Tasks[2].Pin = &problem.Pin{Crew: "birch"} },
			`tasks[2].pin.crew: task "cure" is fixed work and has no crew to pin; pin its start only`,
		},

		{
			"started after the data date", func(p *problem.Problem) { p.Tasks[3].Status.Started = day.Add(time.Minute) },
			`tasks[3].status.started: task "hang" started at 2026-03-02T13:01:00Z, after the data date 2026-03-02T13:00:00Z; what has been reported lies before the data date`,
		},
		{
			"finished after the data date", func(p *problem.Problem) { p.Tasks[4].Status.Finished = new(day.Add(time.Minute)) },
			`tasks[4].status.finished: task "order" finished at 2026-03-02T13:01:00Z, after the data date 2026-03-02T13:00:00Z; what has been reported lies before the data date`,
		},
		{
			"finished before started", func(p *problem.Problem) { p.Tasks[4].Status.Finished = new(day.AddDate(0, 0, -30)) },
			`tasks[4].status.finished: task "order" finished at 2026-01-31T13:00:00Z, before it started at 2026-02-25T13:00:00Z`,
		},
		{
			"finished with a rest", func(p *problem.Problem) { p.Tasks[4].Status.RemainingMinutes = new(5) },
			`tasks[4].status: task "order" is finished and has 5 minutes remaining; keep one of them`,
		},
		{
			"started without a rest", func(p *problem.Problem) { p.Tasks[3].Status.RemainingMinutes = nil },
			`tasks[3].status: task "hang" is started and does not say what remains; give remaining_minutes, or finished`,
		},
		{"negative rest", func(p *problem.Problem) { p.Tasks[3].Status.RemainingMinutes = new(-5) }, "tasks[3].status.remaining_minutes: -5 minutes is negative"},
		{"unknown crew at work", func(p *problem.Problem) { p.Tasks[3].Status.Crew = "cedar" }, `tasks[3].status.crew: unknown crew "cedar"`},
		{"crew at fixed work", func(p *problem.Problem) { p.Tasks[4].Status.Crew = "birch" }, `tasks[4].status.crew: task "order" is fixed work and has no crew; leave it out`},

		{"link from nowhere", func(p *problem.Problem) { p.Links[0].From = "odrer" }, `links[0].from: unknown task "odrer"`},
		{"link to itself", func(p *problem.Problem) { p.Links[0].To = "order" }, `links[0].to: task "order" is linked to itself; take the link out`},
		{"link type", func(p *problem.Problem) { p.Links[0].Type = "SX" }, `links[0].type: "SX" is not known; write FS, SS, FF or SF`},
		{"lag calendar", func(p *problem.Problem) { p.Links[1].LagCalendar = "dayz" }, `links[1].lag_calendar: unknown calendar "dayz"; did you mean "days"?`},
		{"endless lag", func(p *problem.Problem) { p.Links[1].LagMinutes = math.MinInt }, "links[1].lag_minutes: -9223372036854775808 minutes is more than 20 years (10540800)"},

		{"GC date twice", func(p *problem.Problem) { p.GCDates = append(p.GCDates, p.GCDates[0]) }, `gc_dates[1].id: GC date "level 1 closed" is already gc_dates[0]`},
		{"GC date without tasks", func(p *problem.Problem) { p.GCDates[0].Tasks = nil }, `gc_dates[0].tasks: GC date "level 1 closed" has no tasks; list the tasks that must be finished by then`},
		{"GC date's task", func(p *problem.Problem) { p.GCDates[0].Tasks[1] = "cured" }, `gc_dates[0].tasks[1]: unknown task "cured"; did you mean "cure"?`},
		{"damages", func(p *problem.Problem) { p.GCDates[0].DamagesPerDay = new(-1.0) }, "gc_dates[0].damages_per_day: -1 must be 0 or more"},

		{"issued task", func(p *problem.Problem) { p.Issued[0].Task = "roof" }, `issued[0].task: unknown task "roof"`},
		{"issued twice", func(p *problem.Problem) { p.Issued[1].Task = "frame" }, `issued[1].task: task "frame" is already issued[0]`},
		{"issued crew", func(p *problem.Problem) { p.Issued[0].Crew = "cedar" }, `issued[0].crew: unknown crew "cedar"`},
		{"issued crew of fixed work", func(p *problem.Problem) { p.Issued[1].Crew = "birch" }, `issued[1].crew: task "cure" is fixed work and has no crew; leave it out`},
		{"weight", func(p *problem.Problem) { p.Weights.Travel = math.Inf(1) }, "weights.travel: +Inf must be 0 or more"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p := fullProblem(t)
			row.change(p)
			assert.Contains(t, texts(problem.Validate(p)), row.want)
		})
	}
}

func TestValidate_AcceptsWhatDoesNoHarm(t *testing.T) {
	t.Parallel()
	p := fullProblem(t)
	p.Travel = append(p.Travel, problem.Travel{From: "mill", To: "mill"}) // the diagonal of a full table
	p.GCDates[0].Tasks = append(p.GCDates[0].Tasks, "glaze")
	p.Links = append(p.Links, p.Links[0])
	p.Calendars[0].Holidays = append(p.Calendars[0].Holidays, p.Calendars[0].Holidays[0])
	assert.Empty(t, problem.Validate(p))
}

func TestValidate_AcceptsWhatHasBeenReportedWhateverTheSkills(t *testing.T) {
	t.Parallel()
	p := fullProblem(t)
	p.Tasks[3].Status.Crew = "birch" // lacks the skill, and may not enter the site: yet it is at work there
	p.Tasks[4] = problem.Task{ID: "order", Kind: "roof", Site: "mill", LabourMinutes: new(5), Status: p.Tasks[4].Status}
	assert.Empty(t, problem.Validate(p))
}

func TestValidate_ListsEachRingInOrder(t *testing.T) {
	t.Parallel()
	p := fullProblem(t)
	p.Links = append(p.Links,
		problem.Link{From: "cure", To: "frame", Type: problem.StartToFinish, LagMinutes: -60},
		problem.Link{From: "hang", To: "order"},
		problem.Link{From: "order", To: "hang", Type: problem.StartToStart},
	)
	// Three rings that share tasks: frame -> glaze -> cure, hang -> order, and the one through all five.
	assert.Equal(t, []string{
		"links[4]: 3 tasks wait for one another in a ring: frame -> glaze -> cure -> frame; take out one of the links between them",
		"links[0]: 5 tasks wait for one another in a ring: frame -> glaze -> cure -> hang -> order -> frame; take out one of the links between them",
		"links[6]: 2 tasks wait for one another in a ring: hang -> order -> hang; take out one of the links between them",
	}, texts(problem.Validate(p)))
}

func texts(faults problem.Faults) (lines []string) {
	for _, f := range faults {
		lines = append(lines, f.String())
	}
	return lines
}

func TestValidate_FindsARingOf85000TasksWithoutADeepStack(t *testing.T) {
	t.Parallel()
	p := fullProblem(t)
	p.GCDates, p.Issued, p.Links, p.Tasks, p.Uncertainty = nil, nil, nil, nil, nil
	const n = 85_000
	for i := range n {
		p.Tasks = append(p.Tasks, problem.Task{ID: fmt.Sprint(i), Kind: "cure", DurationMinutes: new(1), Calendar: problem.Always})
		p.Links = append(p.Links, problem.Link{From: fmt.Sprint(i), To: fmt.Sprint((i + 1) % n)})
	}
	faults := problem.Validate(p)
	require.Len(t, faults, 1)
	assert.Equal(t, n, strings.Count(faults[0].Message, " -> "))
	assert.Contains(t, faults[0].Message, "84998 -> 84999 -> 0")
}
