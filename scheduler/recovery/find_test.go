package recovery_test

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/check"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/problemtest"
	"jambwright/scheduler/recovery"
)

// job is one late opening: glass of 10 days lead, of which 6 at the least, then two days of glazing by Birch, while Alder
// frames for nine days. The GC date is too soon for both.
func job() *problem.Problem {
	shifts := []problem.Shift{{From: 7 * 60, To: 12 * 60}, {From: 12*60 + 30, To: 15*60 + 30}}
	labour := func(n int) *int { return &n }
	return &problem.Problem{
		Version: problem.Version, Zone: "UTC", DataDate: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC),
		Calendars: []problem.Calendar{{
			ID: "days", Zone: "UTC", Week: problem.Week{Mon: shifts, Tue: shifts, Wed: shifts, Thu: shifts, Fri: shifts},
		}},
		Sites: []problem.Site{{ID: "tower"}},
		Crews: []problem.Crew{
			{ID: "Alder", Skills: []string{"frame"}, Heads: 1, Calendar: "days", CostPerHour: 60},
			{ID: "Birch", Skills: []string{"glaze"}, Heads: 1, Calendar: "days", CostPerHour: 60},
		},
		Tasks: []problem.Task{
			{ID: "J/R1/lead", Kind: "lead", Site: "tower", DurationMinutes: labour(10 * 480), Calendar: "days"},
			{ID: "J/A/frame", Kind: "frame", Site: "tower", LabourMinutes: labour(9 * 480)},
			{ID: "J/A/glaze", Kind: "glaze", Site: "tower", LabourMinutes: labour(2 * 480)},
		},
		Links: []problem.Link{{From: "J/R1/lead", To: "J/A/glaze"}, {From: "J/A/frame", To: "J/A/glaze"}},
		GCDates: []problem.GCDate{{
			ID: "J/done", Tasks: []string{"J/A/glaze"}, Date: time.Date(2026, 6, 10, 0, 0, 0, 0, time.UTC), DamagesPerDay: amount(1000),
		}},
	}
}

func amount(v float64) *float64 { return &v }

func input(p *problem.Problem, date string) recovery.Input {
	return recovery.Input{
		Problem: p, GCDate: date, Settings: recovery.DefaultSettings(),
		Supplies: []recovery.Supply{{Lead: "J/R1/lead", Calendar: "days", LeastMinutes: 6 * 480, DayMinutes: 480}},
	}
}

func bytesOf(t *testing.T, p *problem.Problem) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, problem.Write(&b, p))
	return b.Bytes()
}

func TestFind_ParallelChainsNeedMovesTogether(t *testing.T) {
	t.Parallel()
	r, err := recovery.Find(t.Context(), input(job(), "J/done"), recovery.Options{})
	require.NoError(t, err)
	// Ten working days of lead, to Fri 12 June 15:30, then two of glazing: Tue 16 June 15:30.
	require.Equal(t, time.Date(2026, 6, 16, 15, 30, 0, 0, time.UTC), *r.Date.Before)
	require.Equal(t, "J/R1/lead", r.Holds)
	// Glass alone comes after six days, but framing takes nine: one day is won for four days' price.
	require.NotEmpty(t, r.Singles)
	glass := one(t, r.Singles, recovery.Expedite)
	assert.Equal(t, 24*60, glass.Won)
	assert.InDelta(t, 4*150, glass.Cost, 1e-9)
	assert.InDelta(t, 600, glass.CostPerDay(), 1e-9)
	assert.Equal(t, "J/A/frame", glass.Holds)
	// Alder's hours alone win nothing: the glass still comes on the tenth day. No plan was needed to see that.
	assert.True(t, hasNot(r.Not, recovery.Overtime, "Alder"))
	// Together they win more than either.
	require.NotEmpty(t, r.Sets)
	most := 0
	for _, s := range r.Sets {
		assert.GreaterOrEqual(t, len(s.Moves), 2)
		most = max(most, s.Won)
	}
	assert.Greater(t, most, glass.Won)
}

func one(t *testing.T, trials []recovery.Trial, kind recovery.Kind) recovery.Trial {
	t.Helper()
	for _, trial := range trials {
		if trial.Moves[0].Kind == kind {
			return trial
		}
	}
	require.Fail(t, "no trial", string(kind))
	return recovery.Trial{}
}

func hasNot(list []recovery.NotOffered, kind recovery.Kind, crew string) bool {
	for _, n := range list {
		if n.Move.Kind == kind && n.Move.Crew == crew && n.Holds != "" {
			return true
		}
	}
	return false
}

// Every trial is checked against plans made anew here, by their raw forecasts.
func TestFind_DaysWonAreTheDifferenceOfTwoCheckedPlans(t *testing.T) {
	t.Parallel()
	for seed := range uint64(6) {
		o := problemtest.Everything(60)
		o.Waits = 0
		p := problemtest.Random(seed, o)
		before := bytesOf(t, p)
		for i := range p.GCDates {
			r, err := recovery.Find(t.Context(), input(p, p.GCDates[i].ID), recovery.Options{Schedules: 20, Seed: seed, MostSingles: 8, MostSets: 6})
			if err != nil {
				require.ErrorIs(t, err, recovery.ErrNoForecast)
				continue
			}
			base := planned(t, p, 20, seed)
			for _, trial := range append(append(r.Singles, r.Sets...), r.Without...) {
				for _, m := range trial.Moves {
					require.NoError(t, m.Validate())
				}
				moved := recovery.Apply(p, trial.Moves)
				require.Empty(t, problem.Validate(moved))
				then := planned(t, moved, 20, seed)
				require.Equal(t, int(base.GCDates[i].Forecast.Sub(*then.GCDates[i].Forecast)/time.Minute), trial.Won)
			}
		}
		require.Equal(t, string(before), string(bytesOf(t, p)), "the problem was changed")
	}
}

func planned(t *testing.T, p *problem.Problem, schedules int, seed uint64) *problem.Plan {
	t.Helper()
	made, err := plan.Compute(t.Context(), p, plan.Options{Schedules: schedules, Seed: seed})
	require.NoError(t, err)
	require.Empty(t, check.Plan(p, made))
	return made
}

// What is left out without a plan is left out rightly: its plan does not win half a shift either.
func TestFind_WhatNeedsNoPlanWinsNothingInOne(t *testing.T) {
	t.Parallel()
	for seed := range uint64(4) {
		o := problemtest.Everything(40)
		o.Waits = 0
		p := problemtest.Random(seed, o)
		for i := range p.GCDates {
			r, err := recovery.Find(t.Context(), input(p, p.GCDates[i].ID), recovery.Options{Schedules: 20, MostSingles: 4, MostSets: 1})
			if err != nil {
				continue
			}
			base := planned(t, p, 20, 0)
			for _, n := range r.Not {
				if n.Holds == "" || n.Move.Validate() != nil {
					continue
				}
				then := planned(t, n.Move.Apply(p), 20, 0)
				require.Less(t, base.GCDates[i].Forecast.Sub(*then.GCDates[i].Forecast), recovery.Least*time.Minute, "%+v", n.Move)
			}
		}
	}
}

func TestFind_IsTheSameOnAnyNumberOfCores(t *testing.T) {
	t.Parallel()
	o := problemtest.Everything(80)
	o.Waits = 0
	p := problemtest.Random(3, o)
	for i := range p.GCDates {
		var texts []string
		for _, workers := range []int{1, 2, 7} {
			r, err := recovery.Find(t.Context(), input(p, p.GCDates[i].ID), recovery.Options{Schedules: 20, Workers: workers, MostSingles: 8, MostSets: 8})
			text, fault := json.Marshal(r)
			require.NoError(t, fault)
			if err != nil {
				text = []byte(err.Error())
			}
			texts = append(texts, string(text))
		}
		assert.Equal(t, texts[0], texts[1])
		assert.Equal(t, texts[0], texts[2])
	}
}

func TestFind_CanBeCancelledAndTellsItsProgress(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	told := 0
	_, err := recovery.Find(ctx, input(job(), "J/done"), recovery.Options{Progress: func(done, total int) {
		told++
		require.LessOrEqual(t, done, total)
		if done == 2 {
			cancel()
		}
	}})
	require.ErrorIs(t, err, context.Canceled)
	require.GreaterOrEqual(t, told, 2)
}

func TestApply_LeavesTheProblemAsItIsAndNothingUndoesIt(t *testing.T) {
	t.Parallel()
	p := job()
	before := bytesOf(t, p)
	issued := planned(t, p, 50, 0)
	moves := []recovery.Move{
		{Kind: recovery.Expedite, Task: "J/R1/lead", Minutes: 6 * 480},
		{Kind: recovery.SecondCrew, Crew: "Alder", NewCrew: "Alder 2", From: problem.Date{Year: 2026, Month: 6, Day: 3}, Premium: 1},
		{Kind: recovery.Saturdays, Crew: "Alder", From: problem.Date{Year: 2026, Month: 6, Day: 6}, Until: problem.Date{Year: 2026, Month: 6, Day: 6}, Premium: 1.5},
	}
	moved := recovery.Apply(p, moves)
	require.NotEqual(t, string(before), string(bytesOf(t, moved)))
	require.Equal(t, string(before), string(bytesOf(t, p)))
	// Without the moves the plan is the same again, byte for byte.
	var one, other bytes.Buffer
	require.NoError(t, problem.WritePlan(&one, issued, "UTC"))
	require.NoError(t, problem.WritePlan(&other, planned(t, recovery.Apply(p, nil), 50, 0), "UTC"))
	require.Equal(t, one.String(), other.String())
}

func TestApply_MovesAboutWhatIsGoneOrDoneDoNothing(t *testing.T) {
	t.Parallel()
	p := job()
	before := bytesOf(t, p)
	for _, m := range []recovery.Move{
		{Kind: recovery.Expedite, Task: "J/R9/lead", Minutes: 480},
		{Kind: recovery.Expedite, Task: "J/R1/lead", Minutes: 20 * 480}, // longer than planned
		{Kind: recovery.EarlierHandover, Task: "J/L1/walls_boarded", By: p.DataDate.AddDate(0, 0, 3)},
		{Kind: recovery.OtherBasis, Task: "J/R1/order", Basis: recovery.BasisDrawings},
		{Kind: recovery.SecondCrew, Crew: "Rowan", NewCrew: "Rowan 2", From: problem.Date{Year: 2026, Month: 6, Day: 3}},
		{Kind: recovery.Overtime, Crew: "Rowan", From: problem.Date{Year: 2026, Month: 6, Day: 3}, Until: problem.Date{Year: 2026, Month: 6, Day: 3}, Minutes: 60},
		{Kind: recovery.Overtime, Crew: "Alder", From: problem.Date{Year: 2026, Month: 5, Day: 3}, Until: problem.Date{Year: 2026, Month: 5, Day: 30}, Minutes: 60},
	} {
		assert.Equal(t, string(before), string(bytesOf(t, m.Apply(p))), "%+v", m)
	}
}

// An order follows the framing of its opening, which follows a survey.
func TestApply_OtherBasisTakesTheSurveyAndThenTheDrawings(t *testing.T) {
	t.Parallel()
	minutes := 60
	p := job()
	p.Tasks = append(p.Tasks,
		problem.Task{ID: "J/L1/survey", Kind: "survey", Site: "tower", LabourMinutes: &minutes},
		problem.Task{ID: "J/R2/order", Kind: "order", Site: "tower", DurationMinutes: &minutes, Calendar: "days"})
	p.Crews[0].Skills = []string{"frame", "survey"}
	p.Links = append(p.Links, problem.Link{From: "J/L1/survey", To: "J/A/frame"}, problem.Link{From: "J/A/frame", To: "J/R2/order"})
	m := recovery.Move{Kind: recovery.OtherBasis, Task: "J/R2/order", Basis: recovery.BasisSurvey}
	surveyed := m.Apply(p)
	assert.Equal(t, string(bytesOf(t, surveyed)), string(bytesOf(t, m.Apply(surveyed))), "it is not done twice")
	m.Basis = recovery.BasisDrawings
	require.Empty(t, problem.Validate(surveyed))
	assert.Contains(t, surveyed.Links, problem.Link{From: "J/L1/survey", To: "J/R2/order"})
	assert.NotContains(t, surveyed.Links, problem.Link{From: "J/A/frame", To: "J/R2/order"})
	drawn := m.Apply(p)
	for _, l := range drawn.Links {
		assert.NotEqual(t, "J/R2/order", l.To)
	}
}

func TestApply_MaterialUnderWayComesByTheDayAgreed(t *testing.T) {
	t.Parallel()
	p := job()
	remaining := 8 * 480
	p.Tasks[0].Status = &problem.Status{Started: p.DataDate.AddDate(0, 0, -3), RemainingMinutes: &remaining}
	by := time.Date(2026, 6, 5, 7, 0, 0, 0, time.UTC)
	moved := recovery.Move{Kind: recovery.Expedite, Task: "J/R1/lead", By: by}.Apply(p)
	require.Equal(t, by, planned(t, moved, 20, 0).Tasks[0].Finish)
	require.Equal(t, 8*480, *p.Tasks[0].Status.RemainingMinutes)
	late := recovery.Move{Kind: recovery.Expedite, Task: "J/R1/lead", By: by.AddDate(0, 1, 0)}.Apply(p)
	require.Equal(t, string(bytesOf(t, p)), string(bytesOf(t, late)))
}

func TestMove_ValidateNamesEveryFault(t *testing.T) {
	t.Parallel()
	for _, m := range []recovery.Move{
		{},
		{Kind: "magic"},
		{Kind: recovery.Overtime},
		{Kind: recovery.Saturdays, Crew: "A"},
		{Kind: recovery.SecondCrew},
		{Kind: recovery.Expedite},
		{Kind: recovery.EarlierHandover},
		{Kind: recovery.OtherBasis},
		{Kind: recovery.OtherBasis, Task: "J/R/order", Price: -1},
	} {
		assert.Error(t, m.Validate(), "%+v", m)
	}
	err := recovery.Move{Kind: recovery.Overtime, Loss: 1.5}.Validate()
	assert.ErrorContains(t, err, "names no crew")
	assert.ErrorContains(t, err, "first day")
	assert.ErrorContains(t, err, "1 to 720 minutes")
	assert.ErrorContains(t, err, "loss")
	assert.ErrorContains(t, err, "premium")
}
