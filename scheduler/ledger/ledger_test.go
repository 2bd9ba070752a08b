package ledger_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/ledger"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
)

const day = 24 * 60

// monday is the earlier data date of the small cases.
var monday = time.Date(2026, time.November, 2, 0, 0, 0, 0, time.UTC)

func on(days int) *time.Time { return new(monday.AddDate(0, 0, days)) }

// fixed is work of others on a calendar that always works.
func fixed(id string, days int) problem.Task {
	return problem.Task{ID: id, Kind: "other", DurationMinutes: new(days * day), Calendar: problem.Always}
}

// milestone is a date of others.
func milestone(id string, days int) problem.Task {
	t := fixed(id, 0)
	t.NotBefore, t.NotBeforeCause = on(days), "handover"
	return t
}

// begun is work of others under way since the first day, with some days left on a later one.
func begun(id string, left int) problem.Task {
	t := fixed(id, left)
	t.Status = &problem.Status{Started: monday, RemainingMinutes: new(left * day)}
	return t
}

// aDayLater moves the data date of a job on by one day.
func aDayLater(p *problem.Problem) *problem.Problem {
	p.DataDate = *on(1)
	return p
}

// twoPaths is a job with two chains of others' work to one date, on the 30th day.
func twoPaths(first, second problem.Task) *problem.Problem {
	return &problem.Problem{
		Version: problem.Version, Zone: "UTC", DataDate: monday,
		Tasks:   []problem.Task{first, second, fixed("end", 10)},
		Links:   []problem.Link{{From: first.ID, To: "end"}, {From: second.ID, To: "end"}},
		GCDates: []problem.GCDate{{ID: "done", Tasks: []string{"end"}, Date: *on(30)}},
	}
}

func planned(t *testing.T, p *problem.Problem) *problem.Plan {
	t.Helper()
	require.Empty(t, problem.Validate(p))
	made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: 20})
	require.NoError(t, err)
	return made
}

// window computes the ledger between two problems, the later one keeping to the plan of the earlier one.
func window(t *testing.T, earlier, later *problem.Problem, in ledger.Input) *ledger.Result {
	t.Helper()
	in.Earlier, in.EarlierPlan = earlier, planned(t, earlier)
	for _, task := range in.EarlierPlan.Tasks {
		if task.Crew != nil && hasTask(later, task.ID) {
			later.Issued = append(later.Issued, problem.Issued{Task: task.ID, Crew: *task.Crew, Start: task.Start})
		}
	}
	in.Later, in.LaterPlan = later, planned(t, later)
	r, err := ledger.Compute(t.Context(), in)
	require.NoError(t, err)
	for i := range r.Dates {
		checkSum(t, &r.Dates[i])
	}
	return r
}

func hasTask(p *problem.Problem, id string) bool {
	for i := range p.Tasks {
		if p.Tasks[i].ID == id {
			return true
		}
	}
	return false
}

func checkSum(t *testing.T, d *ledger.Date) {
	t.Helper()
	if !d.Measured() {
		return
	}
	sum := 0
	for _, p := range d.Parts {
		sum += p.Minutes
	}
	require.Equal(t, int(d.After.Sub(*d.Before)/time.Minute), sum, "the parts of %s", d.ID)
	require.Equal(t, d.Moved, sum)
}

// partOf is the part of the first line of a cause, zero when it has none.
func partOf(r *ledger.Result, date int, cause ledger.Cause) ledger.Part {
	for _, p := range r.Dates[date].Parts {
		if r.Lines[p.Line].Cause == cause {
			return p
		}
	}
	return ledger.Part{}
}

// The first published case: the owner delays one driving path by 5 days, the contractor the other parallel driving path by
// the same 5 days; completion moves by 5 days and both are concurrent (consultants' texts on concurrent delay, read in
// secondary form).
func TestCompute_TwoDrivingPathsDelayedByFiveDaysAreConcurrent(t *testing.T) {
	t.Parallel()
	earlier := twoPaths(milestone("wall", 5), milestone("glass", 5))
	later := twoPaths(milestone("wall", 10), milestone("glass", 10))
	r := window(t, earlier, later, ledger.Input{
		Owner: map[string]ledger.Cause{"wall": ledger.OtherTrade, "glass": ledger.Supplier},
		Events: []ledger.Event{
			{Task: "wall", At: *on(0), Ref: "walls slip"}, {Task: "glass", At: *on(0), Ref: "glass slips"},
		},
	})
	require.Equal(t, 5*day, r.Dates[0].Moved)
	glass, wall := partOf(r, 0, ledger.Supplier), partOf(r, 0, ledger.OtherTrade)
	assert.Equal(t, 5*day, glass.Minutes+wall.Minutes, "five days in all")
	assert.Equal(t, 5*day, glass.Alone)
	assert.Equal(t, 5*day, wall.Alone)
	assert.Equal(t, 10*day, r.Dates[0].AloneSum, "the sum of both alone is twice what happened")
	assert.Equal(t, []int{wall.Line}, glass.Concurrent)
	assert.Equal(t, []int{glass.Line}, wall.Concurrent)
}

// The second published case: the owner's late steel design delays completion by 100 days; in that time the contractor ends
// the foundations 20 days late, inside the float that the owner's delay made. Completion moves by 100. Whether the 20 days
// count as concurrent is the disputed point: both figures are told, nothing is decided.
func TestCompute_DelayInsideTheFloatOfAnEarlierOneCarriesNoDays(t *testing.T) {
	t.Parallel()
	earlier := twoPaths(begun("steel design", 10), begun("foundations", 10))
	later := aDayLater(twoPaths(begun("steel design", 109), begun("foundations", 29)))
	r := window(t, earlier, later, ledger.Input{
		Owner: map[string]ledger.Cause{"steel design": ledger.GCChange, "foundations": ledger.OwnWork},
		Events: []ledger.Event{
			{Task: "steel design", At: *on(0), Ref: "design"}, {Task: "foundations", At: on(0).Add(time.Hour), Ref: "own"},
		},
	})
	require.Equal(t, 100*day, r.Dates[0].Moved)
	design := partOf(r, 0, ledger.GCChange)
	assert.Equal(t, 100*day, design.Minutes)
	own := partOf(r, 0, ledger.OwnWork)
	assert.Zero(t, own.Minutes)
	assert.Equal(t, 20*day, own.Alone, "alone it would have moved the date by 20 days")
	assert.Equal(t, []int{design.Line}, own.Concurrent)
}

func TestCompute_TheEarlierOfTwoCausesCarriesTheDays(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name              string
		wall, glass       time.Duration
		wantWall, wantGls int
	}{
		{"wall first", 0, time.Hour, 5 * day, 2 * day},
		{"glass first", time.Hour, 0, 0, 7 * day},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			earlier := twoPaths(milestone("wall", 5), milestone("glass", 5))
			later := aDayLater(twoPaths(milestone("wall", 10), milestone("glass", 12)))
			r := window(t, earlier, later, ledger.Input{
				Owner: map[string]ledger.Cause{"wall": ledger.OtherTrade, "glass": ledger.Supplier},
				Events: []ledger.Event{
					{Task: "wall", At: monday.Add(c.wall), Ref: "w"}, {Task: "glass", At: monday.Add(c.glass), Ref: "g"},
				},
			})
			assert.Equal(t, c.wantWall, partOf(r, 0, ledger.OtherTrade).Minutes)
			assert.Equal(t, c.wantGls, partOf(r, 0, ledger.Supplier).Minutes)
		})
	}
}

// crewJob is two pieces of work of one crew behind a handover; the crew works always, at two heads.
func crewJob(dataDate int) *problem.Problem {
	labour := func(id string, days int) problem.Task {
		return problem.Task{ID: id, Kind: "frame", Site: "site", LabourMinutes: new(days * day * 2)}
	}
	return &problem.Problem{
		Version: problem.Version, Zone: "UTC", DataDate: *on(dataDate), Sites: []problem.Site{{ID: "site"}},
		Calendars: []problem.Calendar{{ID: "all", Zone: "UTC", Week: allWeek()}},
		Crews:     []problem.Crew{{ID: "Ash", Skills: []string{"frame"}, Heads: 2, Calendar: "all"}},
		Tasks:     []problem.Task{milestone("floor", 2), labour("one", 3), labour("two", 4)},
		Links:     []problem.Link{{From: "floor", To: "one"}, {From: "one", To: "two"}},
		GCDates:   []problem.GCDate{{ID: "done", Tasks: []string{"two"}, Date: *on(20)}},
	}
}

func allWeek() problem.Week {
	whole := []problem.Shift{{From: 0, To: 24 * 60}}
	return problem.Week{Mon: whole, Tue: whole, Wed: whole, Thu: whole, Fri: whole, Sat: whole, Sun: whole}
}

// A floor that comes two days late and work that then takes a day longer than planned: two days are the trade's, one is ours.
// As planned 2+3+4 = 9, as built 4+4+4 = 12.
func TestCompute_WhatCameLateAndWhatTookLongerAreToldApart(t *testing.T) {
	t.Parallel()
	earlier, later := crewJob(0), crewJob(9)
	later.Tasks[0].NotBefore, later.Tasks[0].Status = nil, &problem.Status{Started: *on(4), Finished: on(4)}
	later.Tasks[1].Status = &problem.Status{Started: *on(4), Finished: on(8), Crew: "Ash"}
	later.Tasks[2].Status = &problem.Status{Started: *on(8), RemainingMinutes: new(3 * day), Crew: "Ash"}
	r := window(t, earlier, later, ledger.Input{Owner: map[string]ledger.Cause{"floor": ledger.OtherTrade}})
	require.Equal(t, 3*day, r.Dates[0].Moved)
	assert.Equal(t, 2*day, partOf(r, 0, ledger.OtherTrade).Minutes)
	own := partOf(r, 0, ledger.OwnWork)
	assert.Equal(t, 1*day, own.Minutes)
	assert.Equal(t, ledger.Pace, r.Lines[own.Line].Kind)
	assert.Equal(t, []string{"one"}, r.Lines[own.Line].About)
}

// A floor that comes three days before the plan counted on it, and a plan that uses them: the days are the trade's gift, not the
// planner's.
func TestCompute_DaysThatCameSoonerBelongToWhoGaveThem(t *testing.T) {
	t.Parallel()
	earlier, later := crewJob(0), crewJob(1)
	earlier.Tasks[0].NotBefore = on(4)
	later.Tasks[0].NotBefore, later.Tasks[0].Status = nil, &problem.Status{Started: *on(1), Finished: on(1)}
	r := window(t, earlier, later, ledger.Input{Owner: map[string]ledger.Cause{"floor": ledger.OtherTrade}})
	require.Equal(t, -3*day, r.Dates[0].Moved)
	assert.Equal(t, -3*day, partOf(r, 0, ledger.OtherTrade).Minutes)
	assert.Zero(t, partOf(r, 0, ledger.Replanning))
}

// Work that nobody began: the data date rolls four days past its start.
func TestCompute_WorkThatNobodyBeganIsProgressNotAnotherCause(t *testing.T) {
	t.Parallel()
	earlier, later := crewJob(0), crewJob(6)
	later.Tasks[0].NotBefore, later.Tasks[0].Status = nil, &problem.Status{Started: *on(2), Finished: on(2)}
	r := window(t, earlier, later, ledger.Input{Owner: map[string]ledger.Cause{"floor": ledger.OtherTrade}})
	require.Equal(t, 4*day, r.Dates[0].Moved)
	own := partOf(r, 0, ledger.OwnWork)
	assert.Equal(t, 4*day, own.Minutes)
	assert.Equal(t, ledger.Progress, r.Lines[own.Line].Kind)
	assert.Zero(t, partOf(r, 0, ledger.OtherTrade), "the floor came as promised")
}

func TestCompute_ACrewThatIsAwayIsAShortageFromTheDayItLeft(t *testing.T) {
	t.Parallel()
	earlier, later := crewJob(0), crewJob(1)
	later.Crews[0].Away = []problem.Span{{From: *on(3), To: *on(5)}}
	r := window(t, earlier, later, ledger.Input{})
	require.Equal(t, 2*day, r.Dates[0].Moved)
	part := partOf(r, 0, ledger.CrewShortage)
	assert.Equal(t, 2*day, part.Minutes)
	assert.Equal(t, *on(1), r.Lines[part.Line].At, "inside the window")
}

func TestCompute_NewWorkIsOneLineWithItsSubject(t *testing.T) {
	t.Parallel()
	earlier, later := crewJob(0), crewJob(1)
	extra := later.Tasks[2]
	extra.ID = "three"
	later.Tasks = append(later.Tasks, extra)
	later.Links = append(later.Links, problem.Link{From: "two", To: "three"})
	later.GCDates[0].Tasks = []string{"two", "three"}
	r := window(t, earlier, later, ledger.Input{
		Subject: map[string]string{"three": "opening 3"}, Events: []ledger.Event{{Task: "three", At: *on(0), Ref: "revised drawing"}},
	})
	require.Equal(t, 4*day, r.Dates[0].Moved)
	part := partOf(r, 0, ledger.GCChange)
	assert.Equal(t, 4*day, part.Minutes)
	assert.Equal(t, []string{"revised drawing"}, r.Lines[part.Line].Refs)
}

func TestCompute_AHoldIsWhoseTheEventSaysItIs(t *testing.T) {
	t.Parallel()
	earlier, later := crewJob(0), crewJob(1)
	later.Tasks[2].NotBefore, later.Tasks[2].NotBeforeCause = on(8), "hold: conduit in the head track"
	r := window(t, earlier, later, ledger.Input{
		Events: []ledger.Event{{Task: "two", At: *on(0), Ref: "report 7", Cause: ledger.OtherTrade}},
	})
	require.Equal(t, 3*day, r.Dates[0].Moved, "two was to start on day 5")
	part := partOf(r, 0, ledger.OtherTrade)
	assert.Equal(t, 3*day, part.Minutes)
	assert.Equal(t, ledger.Hold, r.Lines[part.Line].Kind)
}

func TestCompute_AHoldWithoutADateLosesTheForecastAndSaysSo(t *testing.T) {
	t.Parallel()
	earlier, later := crewJob(0), crewJob(1)
	later.Tasks[2].Waits, later.Tasks[2].NotBeforeCause = true, "hold: no answer"
	r := window(t, earlier, later, ledger.Input{
		Events: []ledger.Event{{Task: "two", At: *on(0), Ref: "report 7", Cause: ledger.GCChange}},
	})
	d := r.Dates[0]
	assert.False(t, d.Measured())
	require.Len(t, d.Lost, 1)
	assert.Equal(t, ledger.GCChange, r.Lines[d.Lost[0]].Cause)
}

func TestCompute_AWindowInWhichNothingHappenedHasNoParts(t *testing.T) {
	t.Parallel()
	r := window(t, crewJob(0), crewJob(1), ledger.Input{})
	assert.Zero(t, r.Dates[0].Moved)
	assert.Empty(t, r.Dates[0].Parts)
}

func TestCompute_RefusesAWindowThatRunsBackwards(t *testing.T) {
	t.Parallel()
	p := crewJob(3)
	_, err := ledger.Compute(t.Context(), ledger.Input{Earlier: p, Later: crewJob(1), EarlierPlan: planned(t, p), LaterPlan: planned(t, crewJob(1))})
	require.ErrorContains(t, err, "before the earlier one")
}
