package web

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
)

var soonerNames = Names{
	Tasks: map[string]string{"t1": "framing of D-201", "t2": "survey of Level 2"}, Crews: map[string]string{"oak": "Oak", "birch": "Birch"},
	Limits: map[string]string{"hoist": "the hoist"}, Calendars: map[string]string{"site": "site hours"},
	Areas:     map[string]string{"z2": "Zone 2B"},
	Handovers: map[string]Handover{"h1": {Condition: "ceiling closed", Area: "Zone 2B", Basis: "promised"}},
	Materials: map[string]Material{"m1": {What: "release R3", Supplier: "North Mill", Basis: "promised"}},
}

// sampleLadder is a frame that waits for a ceiling, then for its kit, then for its crew.
func sampleLadder() *plan.Ladder {
	return &plan.Ladder{
		Task: "f", Crew: "oak", Start: at(8, 7, 0),
		Steps: []plan.Step{
			{Causes: []plan.Hold{{Kind: problem.ReasonHandover, Ref: "h1", Until: at(7, 17, 0)}}, From: at(8, 7, 0), Could: at(3, 13, 0), Finish: at(4, 9, 0)},
			{Causes: []plan.Hold{{Kind: problem.ReasonMaterial, Ref: "m1", Until: at(3, 12, 0)}}, From: at(3, 13, 0), Could: at(2, 10, 30), Finish: at(2, 15, 30)},
			{
				Causes: []plan.Hold{{Kind: problem.ReasonCrew, Ref: "oak", Until: at(2, 10, 30)}, {Kind: problem.ReasonCapacity, Ref: "z2", Until: at(2, 10, 0)}},
				From:   at(2, 10, 30), Could: at(1, 7, 0), Finish: at(1, 12, 0),
			},
		},
		Floor:  plan.Hold{Kind: problem.ReasonDataDate, Until: at(1, 7, 0)},
		Hours:  []plan.Hours{{Day: &problem.Date{Year: 2026, Month: 12, Day: 5}, Calendars: []string{"site"}, Could: at(5, 7, 0)}},
		Others: []plan.Other{{Crew: "birch", Could: at(7, 12, 0)}},
	}
}

// worstSooner has long names and many sentences for every kind of task.
func worstSooner() SoonerPage {
	page := SoonerPage{Chrome: chrome(RoleProject), ID: "1", Mark: longName, Project: longName, ProjectID: "1", MadeAt: at(1, 2, 0)}
	ladder := sampleLadder()
	for range 3 {
		ladder.Steps, ladder.Hours, ladder.Others = append(ladder.Steps, ladder.Steps...), append(ladder.Hours, ladder.Hours...), append(ladder.Others, ladder.Others...)
	}
	for _, kind := range TaskKinds() {
		page.Tasks = append(page.Tasks, SoonerTask{Key: string(kind), Kind: kind, Shared: longName, Lines: imperial.Sooner(ladder, Names{})})
	}
	return page
}

func TestFormat_SoonerStepsDownInSentences(t *testing.T) {
	t.Parallel()
	assert.Equal(t, []string{
		"Starts Tue 8 Dec, 7:00 am by crew Oak.",
		"Ceiling closed on Zone 2B is promised Mon 7 Dec. If it came sooner, crew Oak could start Thu 3 Dec, 1:00 pm, 4 days sooner than planned.",
		"Before that, release R3 from North Mill is promised Thu 3 Dec. If it came sooner too, crew Oak could start Wed 2 Dec, 10:30 am, 5 days sooner than planned.",
		"Before that, crew Oak has other work until Wed 2 Dec, 10:30 am, and Zone 2B holds as many crews as it may until Wed 2 Dec, 10:00 am. " +
			"If all of that gave, crew Oak could start Tue 1 Dec, 7:00 am, 7 days sooner than planned.",
		"Before 7:00 am nothing can start: the plan begins there.",
		"If Sat 5 Dec were worked, crew Oak could start Sat 5 Dec, 7:00 am.",
		"Crew Birch could start it Mon 7 Dec, 12:00 pm, with all other work where it is.",
	}, imperial.Sooner(sampleLadder(), soonerNames))
}

func TestFormat_SoonerNamesEveryKindOfCause(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		hold plan.Hold
		want string
	}{
		{plan.Hold{Kind: problem.ReasonPredecessor, Ref: "t1"}, "Framing of D-201 holds it until Wed 2 Dec, 9:00 am. If that were done sooner, it could start Tue 1 Dec, 7:00 am, a day sooner than planned."},
		{plan.Hold{Kind: problem.ReasonCapacity, Ref: "hoist"}, "The hoist is taken until Wed 2 Dec, 9:00 am. If there were room for one more, it could start Tue 1 Dec, 7:00 am, a day sooner than planned."},
		{plan.Hold{Kind: problem.ReasonPin}, "It is pinned to Wed 2 Dec, 9:00 am. Without the pin, it could start Tue 1 Dec, 7:00 am, a day sooner than planned."},
		{plan.Hold{Kind: problem.ReasonPin, Ref: "issued"}, "It stays where the issued plan has it. Moved from there, it could start Tue 1 Dec, 7:00 am, a day sooner than planned."},
		{plan.Hold{Kind: problem.ReasonCalendar, Ref: "access"}, "It may not start before Wed 2 Dec, 9:00 am (access). If it might, it could start Tue 1 Dec, 7:00 am, a day sooner than planned."},
	} {
		row.hold.Until = at(2, 9, 0)
		lines := imperial.Sooner(&plan.Ladder{
			Start: at(2, 9, 0), Steps: []plan.Step{{Causes: []plan.Hold{row.hold}, From: at(2, 9, 0), Could: at(1, 7, 0)}},
			Floor: plan.Hold{Kind: problem.ReasonCalendar, Ref: "site", Until: at(1, 7, 0)},
		}, soonerNames)
		assert.Equal(t, []string{"Starts Wed 2 Dec, 9:00 am.", row.want, "Before 7:00 am there are no working hours left for it."}, lines)
	}
}

func TestFormat_SoonerOfWorkThatIsFreeLateOrUnderWay(t *testing.T) {
	t.Parallel()
	free, late := at(2, 7, 0), at(4, 7, 0)
	lines := imperial.Sooner(&plan.Ladder{Crew: "oak", Start: at(3, 7, 0), Free: &free, Floor: plan.Hold{Kind: problem.ReasonCrew, Ref: "oak", Until: free}}, soonerNames)
	assert.Equal(t, "Crew Oak could start Wed 2 Dec, 7:00 am with all other work where it is: nothing holds it until then but the order of the plan.", lines[1])
	assert.Equal(t, "Crew Oak cannot be there before Wed 2 Dec, 7:00 am.", lines[2])
	lines = imperial.Sooner(&plan.Ladder{Start: at(3, 7, 0), Late: &late, Floor: plan.Hold{Kind: problem.ReasonHandover, Ref: "h1", Until: at(3, 17, 0)}}, soonerNames)
	assert.Equal(t, "Ceiling closed on Zone 2B is promised Thu 3 Dec. By what is known now it cannot start before Fri 4 Dec, 7:00 am; the next plan moves it.", lines[1])
	lines = imperial.Sooner(&plan.Ladder{Crew: "oak", Start: at(1, 7, 0), Resumes: true, Floor: plan.Hold{Kind: problem.ReasonStatus}}, soonerNames)
	assert.Equal(t, []string{"Goes on Tue 1 Dec, 7:00 am by crew Oak.", "It is under way, and what is left of it cannot go on sooner than that."}, lines)
}
