package pattern_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/forecast"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/plan"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// spreadOf is the entry that varies a task.
func (b built) spreadOf(task string, isLength bool) *problem.Spread {
	b.t.Helper()
	for i := range b.p.Uncertainty.Spreads {
		if s := &b.p.Uncertainty.Spreads[i]; slices.Contains(s.Tasks, task) && s.IsLength() == isLength {
			return s
		}
	}
	require.Fail(b.t, "nothing varies "+task)
	return nil
}

func TestUncertainty_HoursAreTheAssumedOnesUntilSomethingIsLearned(t *testing.T) {
	t.Parallel()
	f := testFirm()
	hours := build(t, f).spreadOf("NC/D-101/frame", true)
	// 0.3 of a single task and 0.3 / root of 5 of the kind as a whole, together.
	assert.Equal(t, 1.0, hours.Factor.LogNormal.Median)
	assert.InDelta(t, math.Hypot(0.3, 0.3/math.Sqrt(5)), hours.Factor.LogNormal.Sigma, 1e-12)
	assert.InDelta(t, 1.0/6*0.85, hours.Causes["work frame"], 1e-12, "the kind's part of the variance, less the area's")
	assert.InDelta(t, 0.15, hours.Causes["area NC L1"], 1e-12)

	learned, err := takeoff.Learn(takeoff.Prior{}, slices.Repeat([]takeoff.Observation{{Actual: 6, Planned: 5}}, 20))
	require.NoError(t, err)
	f.Experience = []pattern.Experience{{Kind: takeoff.Frame, Learned: learned, Planned: 1}, {Kind: takeoff.Frame, Crew: "birch", Learned: learned, Planned: 1.1}}
	b := build(t, f)
	hours = b.spreadOf("NC/D-101/frame", true)
	assert.InDelta(t, learned.Factor, hours.Factor.LogNormal.Median, 1e-12, "hours that plans are short of are expected")
	assert.InDelta(t, learned.Predictive(), hours.Factor.LogNormal.Sigma, 1e-12)
	assert.Equal(t, 1.0, b.spreadOf("NC/D-101/glaze", true).Factor.LogNormal.Median, "nothing is known of glazing")
	for i := range b.p.Uncertainty.Spreads {
		switch s := &b.p.Uncertainty.Spreads[i]; s.ID {
		case "pace of crew birch":
			assert.InDelta(t, 1/1.1, s.Factor.LogNormal.Median, 1e-12, "faster than planned by as much as its plan is slower")
		case "pace of crew alder":
			assert.Equal(t, problem.LogNormal{Median: 1, Sigma: 0.08}, *s.Factor.LogNormal)
		}
	}
}

func TestUncertainty_LeadTimesGoByLeastLikelyMostAndByWhatIsLeftOfThem(t *testing.T) {
	t.Parallel()
	f := testFirm()
	open := build(t, f).spreadOf("NC/R1/lead", true)
	assert.Equal(t, &problem.ThreePoint{Least: 10.0 / 15, Likely: 1, Most: 20.0 / 15}, open.Factor.Pert)
	assert.Equal(t, map[string]float64{"supplier Bay Frames": 0.6}, open.Causes)

	// A lead time of one number has the assumed band, which a firm may edit.
	single, risk := testFirm(), pattern.DefaultRisk()
	single.Projects[0].Releases[0].Lead = &pattern.LeadTime{Least: 15, Likely: 15, Most: 15}
	assert.Equal(t, &problem.ThreePoint{Least: 0.9, Likely: 1, Most: 1.3}, build(t, single).spreadOf("NC/R1/lead", true).Factor.Pert)
	risk.LeadMost, single.Risk = 2, &risk
	assert.Equal(t, &problem.ThreePoint{Least: 0.9, Likely: 1, Most: 2}, build(t, single).spreadOf("NC/R1/lead", true).Factor.Pert)

	// Two of 15 likely days have passed: 8 to 18 of 13 are left.
	f.Projects[0].Releases[0].Ordered = ptr(at("2026-11-23 07:00"))
	assert.Equal(t, &problem.ThreePoint{Least: 8.0 / 13, Likely: 1, Most: 18.0 / 13}, build(t, f).spreadOf("NC/R1/lead", true).Factor.Pert)
}

func TestUncertainty_PromisesAreAsLateAsThisSuppliersWere(t *testing.T) {
	t.Parallel()
	f := testFirm()
	r := &f.Projects[0].Releases[0]
	r.Ordered = ptr(at("2026-11-20 09:00"))
	r.Drops = []pattern.Drop{{Number: 1, Promised: ptr(f.DataDate.AddDate(0, 0, 10))}}
	f.History.Promises = []pattern.PromiseCame{{Supplier: "bay", Days: 20}, {Supplier: "bay", Days: 20}, {Supplier: "ice", Days: 99}}
	d := build(t, f).spreadOf("NC/R1/lead", true).Factor
	// Assumed days count as 5 records beside the 2 of this supplier; the 10 days to the promise are a factor of 1.
	assert.InDeltaSlice(t, []float64{1, 1.2, 1.5, 2, 3}, d.Values, 1e-9)
	assert.InDeltaSlice(t, []float64{0.65 * 5 / 7, 0.15 * 5 / 7, 0.12 * 5 / 7, 0.08 * 5 / 7, 2.0 / 7}, d.Chances, 1e-9)
}

func TestUncertainty_HandoversAreAsLateAsTheTradesWere(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.History.Handovers = []pattern.HandoverCame{
		{Trade: "Ceilings", Condition: pattern.CeilingClosed, Days: -2},
		{Trade: "ceilings", Condition: pattern.CeilingClosed, Days: 7},
		{Trade: "drywall", Condition: pattern.WallsBoarded, Days: 50},
	}
	ceiling := build(t, f).spreadOf("NC/L1/ceiling_closed", false)
	day := float64(24 * 60)
	assert.InDeltaSlice(t, []float64{-2 * day, 0, 3 * day, 7 * day, 14 * day}, ceiling.SlipMinutes.Values, 1e-6)
	assert.InDeltaSlice(t, []float64{1.0 / 7, 2.5 / 7, 1.25 / 7, 1.75 / 7, 0.5 / 7}, ceiling.SlipMinutes.Chances, 1e-9)
	assert.Equal(t, map[string]float64{"trade ceilings": 0.5}, ceiling.Causes)

	// Two days and two hours late already, with 13.5 hours to the date that the plan reckons with: only later days are left.
	late := build(t, troubledFirm()).spreadOf("NC/L1/ceiling_closed", false).SlipMinutes
	reckoned := at("2026-11-25 15:30").Sub(at("2026-11-23 07:00")).Minutes()
	assert.InDeltaSlice(t, []float64{3*day - reckoned, 7*day - reckoned, 14*day - reckoned}, late.Values, 1e-6)
	assert.InDeltaSlice(t, []float64{0.5, 0.3, 0.2}, late.Chances, 1e-9)
}

func TestUncertainty_BreakageGoesByWhatBroke(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.History.Glazed, f.History.Broken = 100, 8
	u := build(t, f).p.Uncertainty
	require.Len(t, u.Damages, 1)
	d := &u.Damages[0]
	assert.InDelta(t, (0.02*50+8)/(50+100), d.Chance, 1e-12)
	assert.Equal(t, &problem.ThreePoint{Least: 14 * 1440, Likely: 21 * 1440, Most: 35 * 1440}, d.RemakeMinutes.Pert)
	assert.Equal(t, problem.Always, d.RemakeCalendar)
	assert.Contains(t, d.Tasks, "NC/D-101/glaze")
	assert.NotContains(t, d.Tasks, "NC/D-101/frame")
}

// What is built can be forecast, and the forecast tells the causes by name.
func TestUncertainty_OfAFirmIsForecast(t *testing.T) {
	t.Parallel()
	b := build(t, troubledFirm())
	made, err := plan.Compute(t.Context(), b.p, plan.Options{Schedules: 20})
	require.NoError(t, err)
	_, err = forecast.Compute(t.Context(), b.p, made, forecast.Options{Least: 300, Most: 300, Seed: 1})
	require.NoError(t, err)
	b = build(t, testFirm())
	made, err = plan.Compute(t.Context(), b.p, plan.Options{Schedules: 20})
	require.NoError(t, err)
	f, err := forecast.Compute(t.Context(), b.p, made, forecast.Options{Least: 300, Most: 300, Seed: 1})
	require.NoError(t, err)
	d := &f.GCDates[0]
	require.NotNil(t, d.P80)
	assert.True(t, d.P10.Before(*d.P90))
	assert.Greater(t, d.P90.Sub(*d.P10), 48*time.Hour)
	require.NotEmpty(t, d.Sensitivities)
	assert.Equal(t, "supplier Ice Glass", d.Sensitivities[0].Cause, "glass ordered after framing is what the date waits for")
	assert.Greater(t, d.Sensitivities[0].OnChain, 0.5)
}
