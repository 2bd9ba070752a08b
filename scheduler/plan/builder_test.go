package plan_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
)

// The tests' week begins on Monday 2026-06-01, which is also the data date at midnight UTC. Calendar "days" works Monday
// to Friday 07:00-12:00 and 12:30-15:30, 480 minutes a day.
var monday = time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)

// at reads "tue 07:30" in the tests' week, "+1 tue 07:30" in the week after, "-1 fri 15:30" in the week before.
func at(text string) time.Time {
	week, rest := 0, text
	if text[0] == '+' || text[0] == '-' {
		var count string
		count, rest, _ = strings.Cut(text, " ")
		week, _ = strconv.Atoi(count)
	}
	day, clock, _ := strings.Cut(rest, " ")
	index := strings.Index("montuewedthufrisatsun", day)
	t, err := time.Parse("15:04", clock)
	if err != nil || index < 0 {
		panic("time " + text + " is not of the form tue 07:30")
	}
	return monday.AddDate(0, 0, 7*week+index/3).Add(time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute)
}

func atp(text string) *time.Time {
	t := at(text)
	return &t
}

func days() problem.Calendar {
	shifts := []problem.Shift{{From: 7 * 60, To: 12 * 60}, {From: 12*60 + 30, To: 15*60 + 30}}
	return problem.Calendar{ID: "days", Zone: "UTC", Week: problem.Week{Mon: shifts, Tue: shifts, Wed: shifts, Thu: shifts, Fri: shifts}}
}

// firm is a problem with calendar days, the site of all work that names no other, and nothing else.
func firm() *problem.Problem {
	return &problem.Problem{
		Version: problem.Version, Zone: "UTC", DataDate: monday, Calendars: []problem.Calendar{days()},
		Sites: []problem.Site{{ID: "tower"}},
	}
}

func crew(id string, skills ...string) problem.Crew {
	return problem.Crew{ID: id, Skills: skills, Heads: 1, Calendar: "days"}
}

func work(id, kind string, labour int) problem.Task {
	return problem.Task{ID: id, Kind: kind, Site: "tower", LabourMinutes: &labour}
}

func fixed(id, kind string, duration int, calendar string) problem.Task {
	return problem.Task{ID: id, Kind: kind, DurationMinutes: &duration, Calendar: calendar}
}

func link(from, to string) problem.Link { return problem.Link{From: from, To: to} }

// planned computes a plan that the independent checker accepts.
func planned(t testing.TB, p *problem.Problem) *problem.Plan {
	t.Helper()
	require.Empty(t, problem.Validate(p))
	got, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 300})
	require.NoError(t, err)
	require.Empty(t, check.Plan(p, got))
	return got
}

// row is the planned task with an id.
func row(t testing.TB, p *problem.Plan, id string) problem.PlannedTask {
	t.Helper()
	for _, task := range p.Tasks {
		if task.ID == id {
			return task
		}
	}
	require.Fail(t, "task is not planned", id)
	return problem.PlannedTask{}
}

// line writes a planned task as "crew start-finish kind ref until", with the times as in at.
func line(task problem.PlannedTask) string {
	who := "-"
	if task.Crew != nil {
		who = *task.Crew
	}
	from := clock(task.Start)
	if task.Resume != nil {
		from += " resume " + clock(*task.Resume)
	}
	reason := strings.TrimSpace(fmt.Sprintf("%s %s", task.Reason.Kind, task.Reason.Ref))
	return fmt.Sprintf("%s: %s to %s, %s until %s", who, from, clock(task.Finish), reason, clock(task.Reason.Until))
}

func clock(t time.Time) string {
	d := int(t.Sub(monday).Hours()) / 24
	if t.Before(monday) {
		d = -1 - int(monday.Sub(t).Minutes()-1)/(24*60)
	}
	week := ""
	if w := (d+700)/7 - 100; w != 0 {
		week = fmt.Sprintf("%+d ", w)
	}
	return week + strings.ToLower(t.Format("Mon 15:04"))
}
