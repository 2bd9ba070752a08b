package check_test

import (
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/problem"
)

func scenario(t testing.TB) *problem.Problem {
	t.Helper()
	file, err := os.Open("testdata/two_crews_problem.json")
	require.NoError(t, err)
	defer file.Close()
	p, err := problem.Read(file)
	require.NoError(t, err)
	return p
}

// at reads "2 10:00" as the second of March 2026, 10:00 in Chicago, before the clocks change there.
func at(text string) time.Time {
	t, err := time.Parse("2006-01-2 15:04 -07:00", "2026-03-"+text+" -06:00")
	if err != nil {
		panic(err)
	}
	return t.UTC()
}

func segments(texts ...string) (list [][2]time.Time) {
	list = [][2]time.Time{}
	for _, text := range texts {
		from, to, _ := strings.Cut(text, "-")
		list = append(list, [2]time.Time{at(from), at(to)})
	}
	return list
}

// planned makes one task of a plan; its network dates are its planned ones, without float.
func planned(id, crew, start, finish string, reason problem.Reason, pieces ...string) problem.PlannedTask {
	t := problem.PlannedTask{
		ID: id, Start: at(start), Finish: at(finish), Segments: segments(pieces...),
		EarlyStart: at(start), EarlyFinish: at(finish), LateStart: at(start), LateFinish: at(finish), Critical: true, Reason: reason,
	}
	if crew != "" {
		t.Crew = &crew
	}
	return t
}

func because(kind problem.ReasonKind, ref, until string) problem.Reason {
	return problem.Reason{Kind: kind, Ref: ref, Until: at(until)}
}

// goodPlan is the plan of the scenario, worked by hand. Monday is the second of March.
//
//	deliver     days and dock hours meet 8-11: Monday 8-10
//	frame A     480 minutes / 2 heads = 240: Monday 10-12, 12:30-14:30
//	frame B     alder alone, 240 minutes, level 1 taken until 14:30: Monday 14:30-15:30, away on Tuesday, Wednesday 7-10
//	glaze A     120 / (2 x 0.8) = 75 minutes, a day after frame A: Tuesday 14:30-15:30, Wednesday 7-7:15
//	frame Q     120 / 2 = 60 minutes after 60 of travel: Wednesday 8:15-9:15
//	cure        600 minutes that may not end before frame Q does: Tuesday 23:15 to Wednesday 9:15
//	under way   alder's 60 minutes left: Monday 7-8
//
// In the network, where crews and limits are not shared, birch frames B from Monday 7:00 in 120 minutes, and reaches the quay at once
// on Wednesday 8:00; the project ends there at 9:00. Level 1 is due on Tuesday 15:30: glaze A at 14:15 at the latest, so frame A is
// to end a day before that and to begin at 9:45, frame B with birch at 13:30. Other work may end when the project does.
func goodPlan() *problem.Plan {
	order := planned("order", "", "2 07:00", "2 09:00", problem.Reason{Kind: problem.ReasonStatus})
	order.Start, order.Finish = at("2 07:00").AddDate(0, 0, -5), at("2 09:00").AddDate(0, 0, -5)
	order.EarlyStart, order.EarlyFinish, order.LateStart, order.LateFinish = order.Start, order.Finish, order.Start, order.Finish
	order.Reason.Until, order.Critical = order.Start, false

	underWay := planned("under way", "alder", "2 07:00", "2 08:00", because(problem.ReasonDataDate, "", "2 07:00"), "2 07:00-2 08:00")
	underWay.Start, underWay.Resume = at("2 07:00").AddDate(0, 0, -3), new(at("2 07:00"))
	underWay.EarlyStart, underWay.LateStart = underWay.Start, underWay.Start

	withNetwork := func(t problem.PlannedTask, free, total int, early, late [2]string) problem.PlannedTask {
		t.FreeFloatMinutes, t.TotalFloatMinutes, t.Critical = free, total, total <= 0
		t.EarlyStart, t.EarlyFinish, t.LateStart, t.LateFinish = at(early[0]), at(early[1]), at(late[0]), at(late[1])
		return t
	}
	underWay = withNetwork(underWay, 540, 540, [2]string{"2 07:00", "2 08:00"}, [2]string{"2 07:00", "4 09:00"})
	underWay.EarlyStart, underWay.LateStart = underWay.Start, underWay.Start
	lateDays := 1110.0 / 1440 // Tuesday 15:30 to Wednesday 10:00
	plan := &problem.Plan{
		Version: problem.Version,
		Tasks: []problem.PlannedTask{
			order,
			withNetwork(planned("deliver", "", "2 08:00", "2 10:00", because(problem.ReasonCalendar, "dock hours", "2 08:00"), "2 08:00-2 10:00"),
				0, -15, [2]string{"2 08:00", "2 10:00"}, [2]string{"2 08:00", "2 09:45"}),
			withNetwork(planned("frame A", "birch", "2 10:00", "2 14:30", because(problem.ReasonPredecessor, "deliver", "2 10:00"), "2 10:00-2 12:00", "2 12:30-2 14:30"),
				0, -15, [2]string{"2 10:00", "2 14:30"}, [2]string{"2 09:45", "2 14:15"}),
			withNetwork(planned("frame B", "alder", "2 14:30", "4 10:00", because(problem.ReasonCapacity, "L1", "2 14:30"), "2 14:30-2 15:30", "4 07:00-4 10:00"),
				960, 840, [2]string{"2 07:00", "2 09:00"}, [2]string{"3 13:30", "3 15:30"}),
			withNetwork(planned("glaze A", "birch", "3 14:30", "4 07:15", because(problem.ReasonPredecessor, "frame A", "3 14:30"), "3 14:30-3 15:30", "4 07:00-4 07:15"),
				60, -15, [2]string{"3 14:30", "4 07:15"}, [2]string{"3 14:15", "3 15:30"}),
			withNetwork(planned("frame Q", "birch", "4 08:15", "4 09:15", because(problem.ReasonCrew, "birch", "4 08:15"), "4 08:15-4 09:15"),
				0, 0, [2]string{"4 08:00", "4 09:00"}, [2]string{"4 08:00", "4 09:00"}),
			withNetwork(planned("cure", "", "3 23:15", "4 09:15", because(problem.ReasonPredecessor, "frame Q", "3 23:15"), "3 23:15-4 09:15"),
				0, 0, [2]string{"3 23:00", "4 09:00"}, [2]string{"3 23:00", "4 09:00"}),
			underWay,
			withNetwork(planned("inspection", "", "2 12:15", "2 12:15", because(problem.ReasonPin, "", "2 12:15")),
				780, 780, [2]string{"2 12:15", "2 12:15"}, [2]string{"4 09:00", "4 09:00"}),
		},
		Unplanned: []problem.Unplanned{{Task: "held", Why: "waits without a date"}, {Task: "after held", Why: "follows held"}},
		GCDates: []problem.PlannedDate{
			{ID: "level 1 closed", Forecast: new(at("4 10:00")), FloatMinutes: -1110, LateDays: lateDays, DrivingChain: []string{"deliver", "frame A", "frame B"}},
			{ID: "quay framed", Forecast: new(at("4 09:15")), FloatMinutes: 2*1440 + 375, DrivingChain: []string{"glaze A", "frame Q"}},
			{ID: "punch done"},
		},
		Objective: problem.Objective{
			LatenessCost:  500 * lateDays,
			Changes:       1,  // glaze A was issued for Tuesday 12:30
			TravelMinutes: 75, // 15 into level 2, 60 to the quay
			// From the data date, birch Monday 7:00 to Wednesday 9:15: 480 + 480 + 135 working minutes, of them 375 at work and
			// 75 on the move; alder Monday 7:00 to Wednesday 10:00: 480 + 0 + 180, of them 300 at work.
			IdleMinutes: 645 + 360,
			Makespan:    at("4 10:00"),
			// 3060 minutes from the data date to Wednesday 10:00; and the finishes of all unfinished work in the order of the list.
			Total: 1000*500*lateDays + 20*1 + 0.1*(75+1005+(180+450+3060+2895+3015+3015+60+315)/20.) + 0.1*3060,
		},
		LowerBound: problem.LowerBound{LatenessCost: 0, Makespan: at("4 09:15")},
		Run:        problem.Run{Schedules: 1, StoppedBy: "budget"},
	}
	// The dock is closed from Wednesday, the 25th of February, 11:00 to Monday 8:00: 15 minutes then and 105 on Monday.
	plan.Tasks[1].LateStart = at("25 10:45").AddDate(0, -1, 0)
	return plan
}

func taskOf(plan *problem.Plan, id string) *problem.PlannedTask {
	for i := range plan.Tasks {
		if plan.Tasks[i].ID == id {
			return &plan.Tasks[i]
		}
	}
	panic("no task " + id)
}

func rules(violations []check.Violation) (names []string) {
	for _, v := range violations {
		names = append(names, string(v.Rule)+" "+v.Task)
	}
	return names
}

func TestPlan_AcceptsAPlanWorkedByHand(t *testing.T) {
	t.Parallel()
	for _, v := range check.Plan(scenario(t), goodPlan()) {
		t.Error(v)
	}
}
