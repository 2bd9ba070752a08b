package plan_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
)

// Alder is the only crew that surveys, on the last day; Birch and Alder both frame. A plan that only looks at the last finish and at
// idle time would leave one of them without work until then.
func TestCompute_NoCrewStandsWithoutWorkBesideAQueue(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Alder", "frame", "survey"), crew("Birch", "frame")}
	for i := range 16 {
		p.Tasks = append(p.Tasks, work(fmt.Sprintf("frame %02d", i+1), "frame", 240))
	}
	last := work("survey", "survey", 60)
	last.NotBefore = atp("+3 fri 07:00")
	p.Tasks = append(p.Tasks, last)
	got := planned(t, p)
	framed := map[string]int{}
	finish := time.Time{}
	for _, task := range got.Tasks[:16] {
		framed[*task.Crew]++
		if task.Finish.After(finish) {
			finish = task.Finish
		}
	}
	// 16 times half a day on two crews are four days; one of them may have a day more, if it waits for the survey anyway.
	assert.GreaterOrEqual(t, framed["Birch"], 6)
	assert.GreaterOrEqual(t, framed["Alder"], 8)
	assert.False(t, finish.After(at("fri 15:30")), finish)
}

// Two levels in the same hours of work: a crew that is on one level goes on there before it sets up on the other.
func TestCompute_ACrewDoesNotAlternateBetweenAreas(t *testing.T) {
	t.Parallel()
	p := firm()
	p.Crews = []problem.Crew{crew("Alder", "frame")}
	p.Areas = []problem.Area{{ID: "level 1", Site: "tower", SetupMinutes: 15}, {ID: "level 2", Site: "tower", SetupMinutes: 15}}
	for i := range 20 {
		task := work(fmt.Sprintf("frame %02d", i+1), "frame", 60)
		task.Area = p.Areas[i%2].ID
		p.Tasks = append(p.Tasks, task)
	}
	got := planned(t, p)
	assert.Equal(t, 15, got.Objective.TravelMinutes, "one change of level")
}

// The answers to 'why not sooner' judge the search: work that another free crew could start a day or more sooner, all else where
// it is, is rare in a fresh plan.
func TestCompute_LittleWorkCouldStartADaySoonerOnAnotherCrew(t *testing.T) {
	t.Parallel()
	tasks, waiting := 0, 0
	for seed := range uint64(8) {
		o := problemtest.Everything(300)
		o.Issued, o.Frozen, o.Pins, o.GCDates = 0, false, 0, 0
		p := problemtest.Random(seed, o)
		made := planOf(t, p, 600)
		sooner, err := plan.NewSooner(p, made)
		require.NoError(t, err)
		for i := range made.Tasks {
			ladder, err := sooner.Ladder(made.Tasks[i].ID)
			if err != nil || ladder.Crew == "" {
				continue
			}
			tasks++
			if ladder.Free != nil || len(ladder.Others) > 0 && ladder.Start.Sub(ladder.Others[0].Could) >= 24*time.Hour {
				waiting++
			}
		}
	}
	t.Logf("%d of %d tasks could start a day sooner", waiting, tasks)
	require.Less(t, 15*waiting, tasks)
}
