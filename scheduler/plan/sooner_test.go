package plan_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
)

// rungs writes a ladder a line a step: "kind ref + kind ref: from -> could", and then what cannot give.
func rungs(t *testing.T, p *problem.Problem, task string) []string {
	t.Helper()
	ladder := ladderOf(t, p, task)
	var lines []string
	for _, step := range ladder.Steps {
		var causes []string
		for _, hold := range step.Causes {
			causes = append(causes, strings.TrimSpace(fmt.Sprintf("%s %s", hold.Kind, hold.Ref)))
		}
		lines = append(lines, fmt.Sprintf("%s: %s -> %s", strings.Join(causes, " + "), clock(step.From), clock(step.Could)))
	}
	return append(lines, strings.TrimSpace(fmt.Sprintf("%s %s", ladder.Floor.Kind, ladder.Floor.Ref)))
}

func ladderOf(t *testing.T, p *problem.Problem, task string) *plan.Ladder {
	t.Helper()
	sooner, err := plan.NewSooner(p, planned(t, p))
	require.NoError(t, err)
	ladder, err := sooner.Ladder(task)
	require.NoError(t, err)
	return ladder
}

// A frame waits for a ceiling that is handed over on Friday 10:00. Its kit comes on Thursday 09:00. The crew is on other work
// (1200 minutes from Monday 07:00: Monday and Tuesday 480 each, Wednesday 07:00-11:00) until Wednesday 11:00; with nothing else it
// starts with the first shift, Monday 07:00.
func TestSooner_StepsDownFromHandoverToMaterialToCrew(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Oak", "frame"), crew("Birch", "glaze")}
	p.Tasks = []problem.Task{
		fixed("ceiling", "handover", 0, "always"), fixed("kit", "deliver", 0, "always"),
		work("other", "frame", 1200), work("frame", "frame", 240),
	}
	p.Tasks[0].NotBefore, p.Tasks[1].NotBefore = atp("fri 10:00"), atp("thu 09:00")
	p.Links = []problem.Link{link("ceiling", "frame"), link("kit", "frame")}
	assert.Equal(t, []string{
		"handover ceiling: fri 10:00 -> thu 09:00",
		"material kit: thu 09:00 -> wed 11:00",
		"crew Oak: wed 11:00 -> mon 07:00",
		"calendar days",
	}, rungs(t, p, "frame"))
	ladder := ladderOf(t, p, "frame")
	assert.Equal(t, at("wed 15:30"), ladder.Steps[1].Finish, "240 minutes from 11:00, the break aside")
	assert.Equal(t, at("thu 09:00"), ladder.Steps[1].Causes[0].Until)
	assert.Empty(t, ladder.Hours)
	assert.Empty(t, ladder.Others, "Birch cannot frame")
}

func TestSooner_NamesEveryCauseThatHoldsAtOneStart(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Oak", "frame")}
	p.Tasks = []problem.Task{
		fixed("ceiling", "handover", 0, "always"), fixed("kit", "deliver", 0, "always"), work("frame", "frame", 60),
	}
	// Both come on Saturday: neither alone lets the crew start before Monday.
	p.Tasks[0].NotBefore, p.Tasks[1].NotBefore = atp("sat 08:00"), atp("sat 12:00")
	p.Links = []problem.Link{link("ceiling", "frame"), link("kit", "frame")}
	assert.Equal(t, []string{"material kit + handover ceiling: +1 mon 07:00 -> mon 07:00", "calendar days"}, rungs(t, p, "frame"))

	hours := ladderOf(t, p, "frame").Hours
	require.Len(t, hours, 1)
	assert.Equal(t, problem.DateOf(at("sat 12:00")), *hours[0].Day)
	assert.Equal(t, []string{"days"}, hours[0].Calendars)
	assert.Equal(t, at("sat 12:30"), hours[0].Could, "the Saturday's break ends at 12:30")
}

func TestSooner_PinsLimitsAndOtherCrewsGive(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Limits = []problem.Limit{{ID: "hoist", Capacity: 1}}
	p.Crews = []problem.Crew{crew("Oak", "frame"), crew("Pine", "frame"), crew("Birch", "glaze")}
	lift, hoisted := work("lift", "glaze", 480), work("frame", "frame", 60)
	lift.Uses, hoisted.Uses = map[string]int{"hoist": 1}, map[string]int{"hoist": 1}
	lift.Pin = &problem.Pin{Start: atp("mon 07:00")}
	hoisted.Pin = &problem.Pin{Crew: "Oak", Start: atp("wed 07:00")}
	p.Tasks = []problem.Task{lift, hoisted}
	// The pin is on Wednesday; the hoist is taken all Monday, until 15:30.
	assert.Equal(t, []string{
		"pin: wed 07:00 -> tue 07:00",
		"capacity hoist: tue 07:00 -> mon 07:00",
		"calendar days",
	}, rungs(t, p, "frame"))

	p = firm()
	p.Crews = []problem.Crew{crew("Oak", "frame"), crew("Pine", "frame")}
	p.Tasks = []problem.Task{work("first", "frame", 960), work("second", "frame", 60)}
	p.Tasks[0].Pin = &problem.Pin{Crew: "Oak", Start: atp("mon 07:00")}
	p.Tasks[1].Pin = &problem.Pin{Crew: "Oak"}
	got := planned(t, p)
	p.Tasks[1].Pin = nil // the person lets the crew be chosen again
	sooner, err := plan.NewSooner(p, got)
	require.NoError(t, err)
	ladder, err := sooner.Ladder("second")
	require.NoError(t, err)
	assert.Equal(t, []plan.Other{{Crew: "Pine", Could: at("mon 07:00")}}, ladder.Others)
}

func TestSooner_SaysWhatItCannotAnswer(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Oak", "frame")}
	p.Tasks = []problem.Task{work("done", "frame", 60), work("under way", "frame", 60), work("open", "frame", 60)}
	finished(&p.Tasks[0], "Oak", "-1 fri 07:00", "-1 fri 08:00")
	started(&p.Tasks[1], "Oak", "-1 fri 08:00", 30)
	made := planned(t, p)
	sooner, err := plan.NewSooner(p, made)
	require.NoError(t, err)
	_, err = sooner.Ladder("done")
	require.ErrorIs(t, err, plan.ErrFinished)
	_, err = sooner.Ladder("nobody knows")
	require.ErrorIs(t, err, plan.ErrNotPlanned)
	ladder, err := sooner.Ladder("under way")
	require.NoError(t, err)
	assert.True(t, ladder.Resumes)
	assert.Equal(t, problem.ReasonStatus, ladder.Floor.Kind)

	// Since the plan was made, it became known that the open task must wait.
	p.Tasks[2].NotBefore = atp("thu 09:00")
	sooner, err = plan.NewSooner(p, made)
	require.NoError(t, err)
	ladder, err = sooner.Ladder("open")
	require.NoError(t, err)
	require.NotNil(t, ladder.Late)
	assert.Equal(t, at("thu 09:00"), *ladder.Late)
	p.Crews[0].Skills = []string{"hang"}
	p.Crews = append(p.Crews, crew("Pine", "frame"))
	sooner, err = plan.NewSooner(p, made)
	require.NoError(t, err)
	_, err = sooner.Ladder("open")
	require.ErrorIs(t, err, plan.ErrOutdated)
}
