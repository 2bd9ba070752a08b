package plan_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

// started marks a task as under way since a time, with minutes left.
func started(t *problem.Task, crew, since string, remaining int) {
	t.Status = &problem.Status{Started: at(since), RemainingMinutes: &remaining, Crew: crew}
}

func finished(t *problem.Task, crew, since, until string) {
	t.Status = &problem.Status{Started: at(since), Finished: atp(until), Crew: crew}
}

func TestCompute_StartedWorkKeepsStartAndCrewOneAtATime(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Ash", "frame"), crew("Birch", "frame")}
	p.Tasks = []problem.Task{work("a", "frame", 600), work("b", "frame", 600), work("c", "frame", 60)}
	started(&p.Tasks[0], "Ash", "-1 thu 07:00", 120)
	started(&p.Tasks[1], "Ash", "-1 fri 07:00", 60)

	got := planned(t, p)
	// Both orders end at the same time; with the shorter one first less work waits.
	assert.Equal(t, "Ash: -1 fri 07:00 resume mon 07:00 to mon 08:00, status until mon 07:00", line(row(t, got, "b")))
	assert.Equal(t, "Ash: -1 thu 07:00 resume mon 08:00 to mon 10:00, crew Ash until mon 08:00", line(row(t, got, "a")))
	assert.Equal(t, "Birch: mon 07:00 to mon 08:00, calendar days until mon 07:00", line(row(t, got, "c")))
}

func TestCompute_WorkOutOfOrderRunsOnOrWaits(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Ash", "frame"), crew("Birch", "glaze")}
	p.Tasks = []problem.Task{work("frame", "frame", 240), work("glaze", "glaze", 120)}
	p.Links = []problem.Link{link("frame", "glaze")}
	started(&p.Tasks[1], "Birch", "-1 fri 12:30", 60)

	got := planned(t, p)
	assert.Equal(t, "Birch: -1 fri 12:30 resume mon 07:00 to mon 08:00, status until mon 07:00", line(row(t, got, "glaze")))
	require.NotEmpty(t, got.Notes)
	assert.Equal(t, "task glaze began out of order, before its link from frame allowed it: it runs on", got.Notes[0])

	p.OutOfOrder = problem.KeepOrder
	got = planned(t, p)
	// Frame works Mon 07:00-11:00.
	assert.Equal(t, "Birch: -1 fri 12:30 resume mon 11:00 to mon 12:00, predecessor frame until mon 11:00", line(row(t, got, "glaze")))
}

func TestCompute_FinishedWorkBindsWhatFollows(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Sites = append(p.Sites, problem.Site{ID: "mill"})
	p.Travel = []problem.Travel{{From: "tower", To: "mill", Minutes: 45}}
	p.Crews = []problem.Crew{crew("Ash", "frame")}
	p.Tasks = []problem.Task{work("done", "frame", 60), work("next", "frame", 60)}
	p.Tasks[1].Site = "mill"
	p.Links = []problem.Link{{From: "done", To: "next", LagMinutes: 3 * 24 * 60}}
	finished(&p.Tasks[0], "Ash", "-1 fri 07:00", "-1 fri 12:00")

	got := planned(t, p)
	// Friday noon and three days is Monday noon; the trip was made on Friday afternoon. The break ends at 12:30.
	assert.Equal(t, "Ash: mon 12:30 to mon 13:30, predecessor done until mon 12:00", line(row(t, got, "next")))
	assert.Equal(t, "Ash: -1 fri 07:00 to -1 fri 12:00, status until -1 fri 07:00", line(row(t, got, "done")))
	assert.Equal(t, 0, got.Objective.TravelMinutes)
}

func TestCompute_PinsHoldAndOtherWorkGoesRound(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Ash", "frame"), crew("Birch", "glaze")}
	p.Tasks = []problem.Task{work("long", "frame", 300), work("short", "frame", 60), work("pinned", "frame", 60)}
	p.Tasks[2].Pin = &problem.Pin{Crew: "Ash", Start: atp("mon 08:00")}
	p.Weights = &problem.Weights{Early: 1}

	got := planned(t, p)
	assert.Equal(t, "Ash: mon 08:00 to mon 09:00, pin until mon 08:00", line(row(t, got, "pinned")))
	assert.Equal(t, "Ash: mon 07:00 to mon 08:00, calendar days until mon 07:00", line(row(t, got, "short")))
	// 09:00-12:00 and 12:30-14:30.
	assert.Equal(t, "Ash: mon 09:00 to mon 14:30, crew Ash until mon 09:00", line(row(t, got, "long")))
	for _, note := range got.Notes {
		assert.NotContains(t, note, "moved")
	}
}

func TestCompute_WorkBeforeAPinComesFirst(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Ash", "frame")}
	// In the order of the document the six hours of other work would push "needed" behind the pin of what follows it.
	p.Tasks = []problem.Task{work("other", "frame", 360), work("needed", "frame", 120), work("pinned", "frame", 60)}
	p.Links = []problem.Link{link("needed", "pinned")}
	p.Tasks[2].Pin = &problem.Pin{Start: atp("mon 09:00")}

	got := planned(t, p)
	assert.Equal(t, "Ash: mon 09:00 to mon 10:00, pin until mon 09:00", line(row(t, got, "pinned")))
	assert.Equal(t, "Ash: mon 07:00 to mon 09:00, calendar days until mon 07:00", line(row(t, got, "needed")))
}

func TestCompute_AnImpossiblePinMovesToTheNearestLaterPlaceAndSaysWhy(t *testing.T) {
	t.Parallel()
	for name, row := range map[string]struct {
		change func(*problem.Problem)
		start  string
		why    string
	}{
		"before the data date": {
			func(p *problem.Problem) { p.Tasks[1].Pin.Start = atp("-1 fri 08:00") },
			"mon 07:00", "its place lies before the data date",
		},
		"outside working time": {
			func(p *problem.Problem) { p.Tasks[1].Pin.Start = atp("mon 12:15") },
			"mon 12:30", "its place is not working time",
		},
		"held by a predecessor": {
			func(p *problem.Problem) { p.Links = []problem.Link{link("first", "pinned")} },
			"mon 09:00", "first holds it until 2026-06-01 09:00 UTC",
		},
		"held by its not_before": {
			func(p *problem.Problem) { p.Tasks[1].NotBefore = atp("tue 10:00") },
			"tue 10:00", "it may not start before 2026-06-02 10:00 UTC",
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			p := firm()
			p.Crews = []problem.Crew{crew("Ash", "frame"), crew("Birch", "glaze")}
			p.Tasks = []problem.Task{work("first", "glaze", 120), work("pinned", "frame", 60)}
			p.Tasks[1].Pin = &problem.Pin{Start: atp("mon 07:30")}
			row.change(p)
			got := planned(t, p)
			assert.Equal(t, row.start, clock(got.Tasks[1].Start))
			assert.Equal(t, problem.MovedNote("pinned", row.why), got.Notes[0])
		})
	}
}

func TestCompute_FrozenWorkStaysUnlessWorkUnderWayNeedsItsCrew(t *testing.T) {
	t.Parallel()
	p := firm()
	p.FrozenUntil = atp("tue 00:00")
	p.Crews = []problem.Crew{crew("Ash", "frame"), crew("Birch", "frame")}
	p.Tasks = []problem.Task{work("under way", "frame", 600), work("frozen", "frame", 60), work("moved", "frame", 60), work("free", "frame", 60)}
	started(&p.Tasks[0], "Ash", "-1 fri 07:00", 120)
	p.Issued = []problem.Issued{
		{Task: "frozen", Crew: "Birch", Start: at("mon 10:00")}, // kept, although Birch is idle before
		{Task: "moved", Crew: "Ash", Start: at("mon 08:00")},    // Ash is busy until 09:00
		{Task: "free", Crew: "Birch", Start: at("tue 10:00")},   // not in the window
	}
	p.Weights = &problem.Weights{Early: 1}

	got := planned(t, p)
	assert.Equal(t, "Birch: mon 10:00 to mon 11:00, pin issued until mon 10:00", line(row(t, got, "frozen")))
	assert.Equal(t, "Ash: -1 fri 07:00 resume mon 07:00 to mon 09:00, status until mon 07:00", line(row(t, got, "under way")))
	assert.Equal(t, "mon 08:00", clock(row(t, got, "moved").Start), "Birch has it at its issued start")
	assert.Equal(t, "Birch", *row(t, got, "moved").Crew)
	assert.Contains(t, got.Notes, problem.MovedNote("moved", "crew Ash is not free until 2026-06-01 09:00 UTC"))
	assert.Equal(t, 2, got.Objective.Changes, "another crew for one, an earlier start for the one outside the window")
}
