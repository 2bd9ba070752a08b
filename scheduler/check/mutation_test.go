package check_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/problem"
)

// place moves a task of the plan to other dates and segments and leaves the rest of it alone.
func place(plan *problem.Plan, id, start, finish string, pieces ...string) {
	t := taskOf(plan, id)
	t.Start, t.Finish, t.Segments = at(start), at(finish), segments(pieces...)
}

// Each row breaks one rule of a plan that holds, and the checker must name that rule at that task. Other rules may be
// broken along with it.
func TestPlan_NamesTheRuleThatWasBroken(t *testing.T) {
	t.Parallel()
	type mutation = func(*problem.Problem, *problem.Plan)
	onPlan := func(change func(*problem.Plan)) mutation {
		return func(_ *problem.Problem, plan *problem.Plan) { change(plan) }
	}
	onTask := func(id string, change func(*problem.PlannedTask)) mutation {
		return onPlan(func(plan *problem.Plan) { change(taskOf(plan, id)) })
	}
	moved := func(id, start, finish string, pieces ...string) mutation {
		return onPlan(func(plan *problem.Plan) { place(plan, id, start, finish, pieces...) })
	}
	for _, row := range []struct {
		name string
		want string // rule and task
		with mutation
	}{
		{"problem not valid", "problem ", func(p *problem.Problem, _ *problem.Plan) { p.Tasks[2].Kind = "roof" }},
		{"version", "document ", onPlan(func(plan *problem.Plan) { plan.Version = 2 })},
		{"half a minute", "document deliver", onTask("deliver", func(t *problem.PlannedTask) { t.Finish = t.Finish.Add(30 * time.Second) })},

		{"task left out", "listed cure", onPlan(func(plan *problem.Plan) { plan.Tasks = append(plan.Tasks[:6:6], plan.Tasks[7:]...) })},
		{"task twice", "listed cure", onPlan(func(plan *problem.Plan) { plan.Tasks = append(plan.Tasks, *taskOf(plan, "cure")) })},
		{"task unknown", "listed roof", onTask("cure", func(t *problem.PlannedTask) { t.ID = "roof" })},
		{"planned and unplanned", "listed cure", onPlan(func(plan *problem.Plan) {
			plan.Unplanned = append(plan.Unplanned, problem.Unplanned{Task: "cure", Why: "no reason"})
		})},
		{"unplanned twice", "listed held", onPlan(func(plan *problem.Plan) { plan.Unplanned = append(plan.Unplanned, plan.Unplanned[0]) })},
		{"unplanned unknown", "listed roof", onPlan(func(plan *problem.Plan) { plan.Unplanned[0].Task = "roof" })},

		{"left out without cause", "unplanned cure", onPlan(func(plan *problem.Plan) {
			plan.Tasks = append(plan.Tasks[:6:6], plan.Tasks[7:]...)
			plan.Unplanned = append(plan.Unplanned, problem.Unplanned{Task: "cure", Why: "no reason"})
		})},
		{"left out without a word", "unplanned held", onPlan(func(plan *problem.Plan) { plan.Unplanned[0].Why = "" })},
		{"waits but planned", "unplanned after held", onPlan(func(plan *problem.Plan) {
			plan.Unplanned = plan.Unplanned[:1]
			plan.Tasks = append(plan.Tasks, planned("after held", "", "2 07:00", "2 08:00", because(problem.ReasonDataDate, "", "2 07:00"), "2 07:00-2 08:00"))
		})},

		{"crew on fixed work", "crew deliver", onTask("deliver", func(t *problem.PlannedTask) { t.Crew = new("birch") })},
		{"no crew", "crew frame A", onTask("frame A", func(t *problem.PlannedTask) { t.Crew = nil })},
		{"unknown crew", "crew frame A", onTask("frame A", func(t *problem.PlannedTask) { t.Crew = new("cedar") })},
		{"crew without the skill", "crew glaze A", onTask("glaze A", func(t *problem.PlannedTask) { t.Crew = new("alder") })},
		{"crew with too few heads", "crew frame B", func(p *problem.Problem, _ *problem.Plan) { p.Tasks[3].MinHeads = 2 }},
		{"crew not allowed on the site", "crew frame Q", func(p *problem.Problem, plan *problem.Plan) {
			p.Tasks[5].Pin = nil
			taskOf(plan, "frame Q").Crew = new("alder")
		}},

		{"done work moved", "status order", onTask("order", func(t *problem.PlannedTask) { t.Start = t.Start.Add(time.Minute) })},
		{"done work ended later", "status order", onTask("order", func(t *problem.PlannedTask) { t.Finish = t.Finish.Add(time.Minute) })},
		{"done work resumes", "status order", onTask("order", func(t *problem.PlannedTask) { t.Resume = new(at("2 07:00")) })},
		{"done work has segments", "segments order", onTask("order", func(t *problem.PlannedTask) { t.Segments = segments("2 07:00-2 08:00") })},
		{"work under way given another start", "status under way", onTask("under way", func(t *problem.PlannedTask) { t.Start = t.Start.Add(-time.Minute) })},
		{"work under way given to another crew", "status under way", onTask("under way", func(t *problem.PlannedTask) { t.Crew = new("birch") })},
		{"work under way without resume", "status under way", onTask("under way", func(t *problem.PlannedTask) { t.Resume = nil })},
		{"work to come with resume", "status deliver", onTask("deliver", func(t *problem.PlannedTask) { t.Resume = new(t.Start) })},

		{"before the data date", "data_date inspection", func(p *problem.Problem, plan *problem.Plan) {
			p.Tasks[8].Pin = nil
			place(plan, "inspection", "2 06:59", "2 06:59")
		}},
		{"resumed before the data date", "data_date under way", onTask("under way", func(t *problem.PlannedTask) { t.Resume = new(at("2 06:59")) })},
		{"before not_before", "not_before frame Q", moved("frame Q", "4 07:59", "4 08:59", "4 07:59-4 08:59")},

		{"begins in a break", "calendar frame A", moved("frame A", "2 12:10", "3 08:00", "2 12:30-2 15:30", "3 07:00-3 08:00")},
		{"ends in the next morning", "calendar frame A", func(p *problem.Problem, plan *problem.Plan) {
			p.Tasks[2].LabourMinutes = new(600)
			place(plan, "frame A", "2 10:00", "3 07:00", "2 10:00-2 12:00", "2 12:30-2 15:30")
		}},
		{"one minute short", "duration glaze A", moved("glaze A", "3 14:30", "4 07:14", "3 14:30-3 15:30", "4 07:00-4 07:14")},
		{"one minute long", "duration frame Q", moved("frame Q", "4 08:15", "4 09:16", "4 08:15-4 09:16")},
		{"ends before it begins", "duration cure", moved("cure", "3 23:15", "3 20:00", "3 20:00-3 23:15")},
		{"milestone with a length", "duration inspection", moved("inspection", "2 12:15", "2 12:16")},
		{"milestone with a segment", "segments inspection", onTask("inspection", func(t *problem.PlannedTask) { t.Segments = segments("2 12:15-2 12:16") })},

		{"segment through the break", "segments frame A", onTask("frame A", func(t *problem.PlannedTask) { t.Segments = segments("2 10:00-2 14:30") })},
		{"segment through an absence", "segments frame B", onTask("frame B", func(t *problem.PlannedTask) { t.Segments = segments("2 14:30-2 15:30", "3 07:00-3 10:00") })},
		{"segment outside the dock's hours", "segments deliver", moved("deliver", "2 07:00", "2 09:00", "2 07:00-2 09:00")},
		{"segment too many", "segments cure", onTask("cure", func(t *problem.PlannedTask) {
			t.Segments = append(t.Segments, [2]time.Time{at("4 09:15"), at("4 09:16")})
		})},
		{"segment left out", "segments frame A", onTask("frame A", func(t *problem.PlannedTask) { t.Segments = t.Segments[:1] })},
		{"segments turned round", "segments frame A", onTask("frame A", func(t *problem.PlannedTask) {
			t.Segments[0], t.Segments[1] = t.Segments[1], t.Segments[0]
		})},

		{"crew on two tasks at once", "overlap frame B", func(p *problem.Problem, plan *problem.Plan) {
			p.Areas[0].MaxCrews, p.Tasks[3].Uses = nil, nil
			place(plan, "frame B", "2 07:30", "2 11:30", "2 07:30-2 11:30")
		}},
		{"milestone of a crew inside its other work", "overlap frame Q", func(p *problem.Problem, plan *problem.Plan) {
			p.Tasks[5].LabourMinutes, p.Tasks[5].NotBefore, p.Tasks[5].Site = new(0), nil, "mill"
			place(plan, "frame Q", "2 11:00", "2 11:00")
		}},
		{"too little time to travel", "travel frame Q", func(p *problem.Problem, _ *problem.Plan) { p.Travel[0].Minutes = 61 }},
		{"too little time to travel that way", "travel frame Q", func(p *problem.Problem, _ *problem.Plan) {
			p.Travel = append(p.Travel, problem.Travel{From: "quay", To: "mill", Minutes: 0})
			p.Travel[0].Minutes = 61
		}},
		{"too little time to set up", "travel glaze A", func(p *problem.Problem, _ *problem.Plan) { p.Areas[1].SetupMinutes = 481 }},
		{"too little time from home", "travel frame A", func(p *problem.Problem, _ *problem.Plan) {
			p.Crews[0].HomeSite, p.Travel[0].Minutes = "quay", 181
		}},
		{"too little time from finished work", "travel frame A", func(p *problem.Problem, plan *problem.Plan) {
			p.Tasks[0] = problem.Task{
				ID: "order", Kind: "frame", Site: "quay", LabourMinutes: new(60),
				Status: &problem.Status{Started: at("2 06:00"), Finished: new(at("2 07:00")), Crew: "birch"},
			}
			p.Travel[0].Minutes = 181
			taskOf(plan, "order").Crew = new("birch")
			place(plan, "order", "2 06:00", "2 07:00")
		}},

		{"FS link", "link frame A", moved("frame A", "2 09:59", "2 14:29", "2 09:59-2 12:00", "2 12:30-2 14:29")},
		{"FS link with lag", "link glaze A", func(p *problem.Problem, _ *problem.Plan) { p.Links[2].LagMinutes = 1441 }},
		{"FS link with lag in a calendar", "link glaze A", func(p *problem.Problem, _ *problem.Plan) {
			p.Links[2].LagMinutes, p.Links[2].LagCalendar = 481, "days"
		}},
		{"SS link", "link cure", func(p *problem.Problem, _ *problem.Plan) { p.Links[3].LagMinutes = 526 }},
		{"FF link", "link cure", func(p *problem.Problem, _ *problem.Plan) { p.Links[4].LagMinutes = 1 }},
		{"FF link with negative lag", "link cure", func(p *problem.Problem, _ *problem.Plan) {
			p.Links[4] = problem.Link{From: "frame B", To: "cure", Type: problem.FinishToFinish, LagMinutes: -44}
		}},
		{"SF link", "link cure", func(p *problem.Problem, _ *problem.Plan) {
			p.Links[4] = problem.Link{From: "frame Q", To: "cure", Type: problem.StartToFinish, LagMinutes: 61}
		}},
		{"link into work under way that keeps order", "link under way", func(p *problem.Problem, _ *problem.Plan) { p.OutOfOrder = problem.KeepOrder }},

		{"limit over its capacity", "capacity frame B", func(p *problem.Problem, plan *problem.Plan) {
			place(plan, "frame B", "2 14:29", "4 09:59", "2 14:29-2 15:30", "4 07:00-4 09:59")
			p.Areas[0].MaxCrews = nil
		}},
		{"limit held over the night", "capacity cure", func(p *problem.Problem, _ *problem.Plan) { p.Tasks[6].Uses = map[string]int{"hoist": 1} }},
		{"area over its crews", "area frame B", func(p *problem.Problem, plan *problem.Plan) {
			place(plan, "frame B", "2 14:29", "4 09:59", "2 14:29-2 15:30", "4 07:00-4 09:59")
			p.Tasks[3].Uses = nil
		}},

		{"pinned crew", "pin frame B", func(p *problem.Problem, _ *problem.Plan) { p.Tasks[3].Pin = &problem.Pin{Crew: "birch"} }},
		{"before a pinned start", "pin inspection", moved("inspection", "2 12:14", "2 12:14")},
		{"after a pinned start without a note", "pin inspection", moved("inspection", "2 12:16", "2 12:16")},
		{"after a pinned start that nothing bars", "pin inspection", onPlan(func(plan *problem.Plan) {
			place(plan, "inspection", "2 12:16", "2 12:16")
			plan.Notes = []string{problem.MovedNote("inspection", "it felt right")}
		})},
		{"out of the frozen window without a note", "frozen frame A", func(p *problem.Problem, _ *problem.Plan) { p.Issued[0].Start = at("2 09:00") }},
		{"other crew than frozen", "frozen frame A", func(p *problem.Problem, plan *problem.Plan) {
			p.Issued[0].Crew = "alder"
			plan.Notes = []string{problem.MovedNote("frame A", "it felt right")}
			p.Areas[0].MaxCrews, p.Tasks[3].Uses = nil, nil
			// With frame B out of its way, alder could have kept frame A.
			p.Tasks[3].Pin = nil
			place(plan, "frame B", "4 12:30", "5 08:30", "4 12:30-4 15:30", "5 07:00-5 08:00")
			p.Links[2].LagMinutes = 0
			p.Crews[1].Away = nil
			taskOf(plan, "frame B").Start = at("5 07:00")
		}},

		{"forecast", "gc_date ", onPlan(func(plan *problem.Plan) { plan.GCDates[0].Forecast = new(at("4 09:59")) })},
		{"no forecast", "gc_date ", onPlan(func(plan *problem.Plan) { plan.GCDates[0].Forecast = nil })},
		{"float of a GC date", "gc_date ", onPlan(func(plan *problem.Plan) { plan.GCDates[1].FloatMinutes++ })},
		{"lateness", "gc_date ", onPlan(func(plan *problem.Plan) { plan.GCDates[0].LateDays = 0.77 })},
		{"GC date left out", "gc_date ", onPlan(func(plan *problem.Plan) { plan.GCDates = plan.GCDates[1:] })},
		{"forecast for unplanned work", "gc_date ", onPlan(func(plan *problem.Plan) { plan.GCDates[2].Forecast = new(at("4 10:00")) })},
		{"GC date unknown", "gc_date ", onPlan(func(plan *problem.Plan) { plan.GCDates[1].ID = "roof" })},
		{"chain empty", "chain ", onPlan(func(plan *problem.Plan) { plan.GCDates[0].DrivingChain = nil })},
		{"chain to another task", "chain glaze A", onPlan(func(plan *problem.Plan) { plan.GCDates[0].DrivingChain = []string{"glaze A"} })},
		{"chain through unplanned work", "chain held", onPlan(func(plan *problem.Plan) { plan.GCDates[0].DrivingChain = []string{"held", "frame B"} })},

		{"cost of lateness", "objective ", onPlan(func(plan *problem.Plan) { plan.Objective.LatenessCost-- })},
		{"changes", "objective ", onPlan(func(plan *problem.Plan) { plan.Objective.Changes = 0 })},
		{"travel", "objective ", onPlan(func(plan *problem.Plan) { plan.Objective.TravelMinutes = 60 })},
		{"idle", "objective ", onPlan(func(plan *problem.Plan) { plan.Objective.IdleMinutes = 0 })},
		{"makespan", "objective ", onPlan(func(plan *problem.Plan) { plan.Objective.Makespan = at("4 09:15") })},
		{"total", "objective ", onPlan(func(plan *problem.Plan) { plan.Objective.Total++ })},
		{"bound over the cost", "bound ", onPlan(func(plan *problem.Plan) { plan.LowerBound.LatenessCost = 386 })},
		{"bound after the makespan", "bound ", onPlan(func(plan *problem.Plan) { plan.LowerBound.Makespan = at("4 10:01") })},
		{"cost not proved", "bound ", onPlan(func(plan *problem.Plan) { plan.LowerBound.LatenessCostProved = true })},
		{"makespan not proved", "bound ", onPlan(func(plan *problem.Plan) { plan.LowerBound.MakespanProved = true })},
		{"plan not proved", "bound ", onPlan(func(plan *problem.Plan) { plan.LowerBound.Proved = true })},

		{"early finish after the plan's", "network glaze A", onTask("glaze A", func(t *problem.PlannedTask) { t.EarlyFinish = at("4 07:16") })},
		{"early dates turned round", "network glaze A", onTask("glaze A", func(t *problem.PlannedTask) { t.EarlyStart = at("5 07:00") })},
		{"late dates turned round", "network glaze A", onTask("glaze A", func(t *problem.PlannedTask) { t.LateStart = at("5 07:00") })},
		{"early start", "network frame A", onTask("frame A", func(t *problem.PlannedTask) { t.EarlyStart = at("2 09:59") })},
		{"early finish", "network frame A", onTask("frame A", func(t *problem.PlannedTask) { t.EarlyFinish = at("2 14:29") })},
		{"late start", "network frame A", onTask("frame A", func(t *problem.PlannedTask) { t.LateStart = at("2 09:46") })},
		{"late finish", "network deliver", onTask("deliver", func(t *problem.PlannedTask) { t.LateFinish = at("2 09:46") })},
		{"total float", "network frame B", onTask("frame B", func(t *problem.PlannedTask) { t.TotalFloatMinutes-- })},
		{"free float", "network glaze A", onTask("glaze A", func(t *problem.PlannedTask) { t.FreeFloatMinutes++ })},
		{"late start of finished work", "network order", onTask("order", func(t *problem.PlannedTask) { t.LateStart = t.LateStart.Add(time.Minute) })},
		{"critical with float", "network glaze A", onTask("glaze A", func(t *problem.PlannedTask) { t.TotalFloatMinutes = 1 })},
		{"not critical without float", "network glaze A", onTask("glaze A", func(t *problem.PlannedTask) { t.Critical = false })},
		{"float of finished work", "network order", onTask("order", func(t *problem.PlannedTask) { t.FreeFloatMinutes = 1 })},

		{"no reason", "reason deliver", onTask("deliver", func(t *problem.PlannedTask) { t.Reason = problem.Reason{Until: t.Start} })},
		{"reason that lets go too early", "reason frame A", onTask("frame A", func(t *problem.PlannedTask) { t.Reason.Until = at("2 09:59") })},
		{"reason that lets go too late", "reason frame A", onTask("frame A", func(t *problem.PlannedTask) { t.Reason.Until = at("2 10:01") })},
		{"predecessor that is none", "reason frame A", onTask("frame A", func(t *problem.PlannedTask) { t.Reason.Ref = "cure" })},
		{"crew of another task", "reason frame Q", onTask("frame Q", func(t *problem.PlannedTask) { t.Reason.Ref = "alder" })},
		{"capacity that it does not use", "reason frame B", onTask("frame B", func(t *problem.PlannedTask) { t.Reason.Ref = "dock" })},
		{"handover that is none", "reason deliver", onTask("deliver", func(t *problem.PlannedTask) { t.Reason.Kind = problem.ReasonHandover })},
		{"status that is none", "reason deliver", onTask("deliver", func(t *problem.PlannedTask) { t.Reason.Kind = problem.ReasonStatus })},
		{"pin that is none", "reason deliver", onTask("deliver", func(t *problem.PlannedTask) { t.Reason.Kind = problem.ReasonPin })},
		{"finished for another reason", "reason order", onTask("order", func(t *problem.PlannedTask) { t.Reason.Kind = problem.ReasonCrew })},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p, plan := scenario(t), goodPlan()
			row.with(p, plan)
			violations := check.Plan(p, plan)
			require.NotEmpty(t, violations)
			assert.Contains(t, rules(violations), row.want, "%v", violations)
		})
	}
}

// Each row changes problem and plan in a way that the rules allow.
func TestPlan_AllowsWhatTheRulesAllow(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name string
		with func(*problem.Problem, *problem.Plan)
	}{
		{"segments that touch", func(_ *problem.Problem, plan *problem.Plan) {
			taskOf(plan, "cure").Segments = segments("3 23:15-4 00:00", "4 00:00-4 09:15")
		}},
		{"a reason that lets go at closing time", func(_ *problem.Problem, plan *problem.Plan) {
			taskOf(plan, "frame Q").Reason.Until = at("4 08:15")
			taskOf(plan, "deliver").Reason.Until = at("1 08:00")
		}},
		{"crew work that no calendar has time for", func(p *problem.Problem, plan *problem.Plan) {
			p.Crews[0].Away = append(p.Crews[0].Away, problem.Span{From: at("4 08:00"), To: at("4 08:00").AddDate(60, 0, 0)})
			removeQuay(p, plan)
		}},
		{"a frozen start before the data date, with a note", func(p *problem.Problem, plan *problem.Plan) {
			p.Issued[0].Start = at("2 06:00")
			plan.Notes = []string{problem.MovedNote("frame A", "its start lies before the data date")}
			plan.Objective.Changes++
			plan.Objective.Total += 20
		}},
		{"a frozen start that a predecessor bars, with a note", func(p *problem.Problem, plan *problem.Plan) {
			p.Issued[0].Start = at("2 09:00")
			plan.Notes = []string{problem.MovedNote("frame A", "deliver finishes at 10:00")}
			plan.Objective.Changes++
			plan.Objective.Total += 20
		}},
		{"a pin in the frozen window", func(p *problem.Problem, plan *problem.Plan) {
			p.Issued[0].Start, p.Tasks[2].Pin = at("2 09:00"), &problem.Pin{Start: new(at("2 10:00"))}
			plan.Objective.Changes++
			plan.Objective.Total += 20
		}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p, plan := scenario(t), goodPlan()
			row.with(p, plan)
			violations := slices.DeleteFunc(check.Plan(p, plan), func(v check.Violation) bool {
				// In the network the work at the quay goes on when the crew is back, after 60 years; the plan by hand has no dates for that.
				return v.Rule == check.RuleNetwork && len(plan.Unplanned) > 2
			})
			assert.Empty(t, violations)
		})
	}
}

// removeQuay takes the work at the quay out of the plan, with what follows it and what it cost.
func removeQuay(p *problem.Problem, plan *problem.Plan) {
	plan.Tasks = append(plan.Tasks[:5:5], plan.Tasks[7:]...) // frame Q and cure
	plan.Unplanned = append(plan.Unplanned,
		problem.Unplanned{Task: "frame Q", Why: "birch is away for good"}, problem.Unplanned{Task: "cure", Why: "follows frame Q"})
	plan.GCDates[1] = problem.PlannedDate{ID: "quay framed"}
	plan.LowerBound.Makespan = at("4 07:15")
	// Without the way to the quay: birch has Monday 7:00 to Wednesday 7:15, 480 + 480 + 15 minutes, 315 of them at work and
	// 15 on the move.
	plan.Objective.TravelMinutes, plan.Objective.IdleMinutes = 15, 645+360
	plan.Objective.Total -= 0.1 * (60 + (3015+3015)/20.) // they finished 3015 minutes after the data date
}
