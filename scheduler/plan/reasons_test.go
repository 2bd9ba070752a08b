package plan_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"jambwright/scheduler/problem"
)

func TestCompute_ReasonsNameWhatLetsGoLast(t *testing.T) {
	t.Parallel()
	p := firm()
	one := 1
	p.Areas = []problem.Area{{ID: "lobby", Site: "tower", MaxCrews: &one}}
	ash, birch, cedar := crew("Ash", "frame"), crew("Birch", "glaze"), crew("Cedar", "hang")
	cedar.Away = []problem.Span{{From: at("mon 00:00"), To: at("wed 10:00")}}
	p.Crews = []problem.Crew{ash, birch, cedar}
	first, second := work("first", "frame", 60), work("second", "glaze", 60)
	first.Area, second.Area = "lobby", "lobby"
	boarded, promised, access := work("boarded", "frame", 60), work("promised", "glaze", 60), work("access", "glaze", 30)
	boarded.NotBefore, boarded.NotBeforeCause = atp("tue 09:00"), "handover: walls boarded"
	promised.NotBefore, promised.NotBeforeCause = atp("tue 10:00"), "material promised by supplier"
	access.NotBefore, access.NotBeforeCause = atp("thu 09:00"), "access only from Thursday"
	p.Tasks = []problem.Task{
		first, second, work("hang", "hang", 60), boarded, promised, access,
		fixed("walls", "handover", 24*60, "always"), work("after walls", "frame", 30),
		fixed("at once", "cure", 60, "always"),
	}
	p.Links = []problem.Link{link("first", "second"), link("walls", "after walls")}
	p.Links[0].Type = problem.StartToStart // they may overlap, but for the one crew that the lobby holds
	p.Weights = &problem.Weights{Early: 1}

	got := planned(t, p)
	assert.Equal(t, "Ash: mon 07:00 to mon 08:00, calendar days until mon 07:00", line(row(t, got, "first")))
	assert.Equal(t, "Birch: mon 08:00 to mon 09:00, capacity lobby until mon 08:00", line(row(t, got, "second")))
	assert.Equal(t, "Cedar: wed 10:00 to wed 11:00, crew Cedar until wed 10:00", line(row(t, got, "hang")))
	assert.Equal(t, "Ash: tue 09:00 to tue 10:00, handover handover: walls boarded until tue 09:00", line(row(t, got, "boarded")))
	assert.Equal(t, "Birch: tue 10:00 to tue 11:00, material material promised by supplier until tue 10:00", line(row(t, got, "promised")))
	assert.Equal(t, "Birch: thu 09:00 to thu 09:30, calendar access only from Thursday until thu 09:00", line(row(t, got, "access")))
	assert.Equal(t, "-: mon 00:00 to mon 01:00, data_date until mon 00:00", line(row(t, got, "at once")))
	// The walls are handed over on Tuesday at midnight; the crew comes at 07:00.
	assert.Equal(t, "Ash: tue 07:00 to tue 07:30, handover walls until tue 00:00", line(row(t, got, "after walls")))
}

func TestCompute_DrivingChainsGoThroughCrewsAndCapacities(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Limits = []problem.Limit{{ID: "hoist", Capacity: 1}}
	p.Crews = []problem.Crew{crew("Ash", "frame"), crew("Birch", "glaze")}
	lift, glaze := work("lift", "frame", 240), work("glaze", "glaze", 60)
	lift.Uses, glaze.Uses = map[string]int{"hoist": 1}, map[string]int{"hoist": 1}
	p.Tasks = []problem.Task{work("frame", "frame", 120), lift, glaze}
	p.Links = []problem.Link{{From: "lift", To: "glaze", Type: problem.StartToStart}, link("frame", "lift")}
	p.GCDates = []problem.GCDate{{ID: "end", Tasks: []string{"glaze"}, Date: at("mon 12:00")}}

	got := planned(t, p)
	// frame 07:00-09:00, lift 09:00-12:00 and 12:30-13:30, glaze waits for the hoist until 13:30.
	assert.Equal(t, at("mon 14:30"), *got.GCDates[0].Forecast)
	assert.Equal(t, []string{"frame", "lift", "glaze"}, got.GCDates[0].DrivingChain)
	assert.InDelta(t, 2.5/24, got.GCDates[0].LateDays, 1e-12)
}

// The crew meets the inspector for a moment on Saturday, outside its working time, and hangs from Monday on. It waits for that
// moment, not for the end of Friday's shift, where its working time first got so far.
func TestCompute_CrewWaitsForWorkOfNoLengthInAPause(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Ash", "hang", "inspect")}
	inspect := work("inspect", "inspect", 0)
	inspect.Pin = &problem.Pin{Start: atp("sat 10:00")}
	hang := work("hang", "hang", 60)
	hang.NotBefore = atp("fri 15:00")
	p.Tasks = []problem.Task{inspect, hang}

	got := planned(t, p)
	assert.Equal(t, "Ash: +1 mon 07:00 to +1 mon 08:00, crew Ash until sat 10:00", line(row(t, got, "hang")))
}
