package plan_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"jambwright/scheduler/problem"
)

// TestCompute_OneSharedMachineTakes41Days plans the nine-activity project of C. Hendrickson, "Project Management for
// Construction", chapter 10, section 10.9 (scheduling with resource constraints): activities A, C, D, E, G and H need the
// single machine, F and I do not; I needs all four workers and so may not overlap H. The book's own steps give 41 days
// instead of the 30 of the network; 41 is also the optimum: the machine works 35 days and I, of 6, follows G and does not
// overlap H. B needs no machine: the published steps only work so.
func TestCompute_OneSharedMachineTakes41Days(t *testing.T) {
	t.Parallel()
	const day = 24 * 60
	p := firm()
	p.Limits = []problem.Limit{{ID: "machine", Capacity: 1}, {ID: "workers", Capacity: 4}}
	for _, activity := range []struct {
		id       string
		days     int
		machine  bool
		workers  int
		comesFor []string
	}{
		{"A", 4, true, 0, nil},
		{"B", 3, false, 0, nil},
		{"C", 8, true, 0, []string{"A"}},
		{"D", 7, true, 0, []string{"A"}},
		{"E", 9, true, 0, []string{"B", "C"}},
		{"F", 12, false, 0, []string{"B", "C"}},
		{"G", 2, true, 0, []string{"D", "E"}},
		{"H", 5, true, 1, []string{"D", "E"}},
		{"I", 6, false, 4, []string{"F", "G"}},
	} {
		task := fixed(activity.id, "work", activity.days*day, problem.Always)
		task.Uses = map[string]int{"workers": activity.workers}
		if activity.machine {
			task.Uses["machine"] = 1
		}
		if activity.workers == 0 {
			delete(task.Uses, "workers")
		}
		p.Tasks = append(p.Tasks, task)
		for _, from := range activity.comesFor {
			p.Links = append(p.Links, link(from, activity.id))
		}
	}
	got := planned(t, p)
	assert.Equal(t, 41*24*time.Hour, got.Objective.Makespan.Sub(monday))

	network := time.Duration(0)
	for _, task := range got.Tasks {
		network = max(network, task.EarlyFinish.Sub(monday))
	}
	assert.Equal(t, 30*24*time.Hour, network, "the network alone")
}

// TestCompute_RepetitiveCrewsKeepTheirRates builds fifteen identical houses with three crews in a row, as line-of-balance
// scheduling has it (the formulas of Columbia University's open course "Construction Scheduling": unit duration D, first
// to last start T = (N-1) D for one crew a trade). One crew a trade, 480 minutes a day: A takes 2 days a house, B 3, C 1.
// B is slower than A, so house 1 governs: B starts on day 2 and ends on day 2 + 15 x 3 = 47. C is faster than B, so
// house 15 governs: C ends on day 48.
func TestCompute_RepetitiveCrewsKeepTheirRates(t *testing.T) {
	t.Parallel()
	p := firm()
	every := []problem.Shift{{From: 8 * 60, To: 16 * 60}}
	p.Calendars = append(p.Calendars, problem.Calendar{
		ID: "daily", Zone: "UTC", Week: problem.Week{Mon: every, Tue: every, Wed: every, Thu: every, Fri: every, Sat: every, Sun: every},
	})
	trades := []struct {
		name string
		days int
	}{{"A", 2}, {"B", 3}, {"C", 1}}
	for _, trade := range trades {
		c := crew("crew "+trade.name, trade.name)
		c.Calendar = "daily"
		p.Crews = append(p.Crews, c)
	}
	for house := range 15 {
		before := ""
		for _, trade := range trades {
			id := trade.name + "-" + string(rune('a'+house))
			p.Tasks = append(p.Tasks, work(id, trade.name, trade.days*480))
			if before != "" {
				p.Links = append(p.Links, link(before, id))
			}
			before = id
		}
	}
	p.Weights = &problem.Weights{Early: 1}
	got := planned(t, p)
	lastDay := monday.AddDate(0, 0, 47).Add(16 * time.Hour)
	assert.Equal(t, lastDay, got.Objective.Makespan, "the end of day 48")
	latest := map[string]time.Time{}
	for _, task := range got.Tasks {
		if task.Finish.After(latest[*task.Crew]) {
			latest[*task.Crew] = task.Finish
		}
	}
	assert.Equal(t, monday.AddDate(0, 0, 29).Add(16*time.Hour), latest["crew A"], "day 30")
	assert.Equal(t, monday.AddDate(0, 0, 46).Add(16*time.Hour), latest["crew B"], "day 47")
}
