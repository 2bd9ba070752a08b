package pattern_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"jambwright/scheduler/pattern"
)

func TestHandover_OverdueIsExpectedAfterADayOfWorkAndShownLateByWhom(t *testing.T) {
	t.Parallel()
	b := build(t, troubledFirm())
	ceiling, e := b.task("NC/L1/ceiling_closed")
	// The data date is Wednesday 25 November at 06:00; 480 minutes of the site's shifts end that day at 15:30.
	assert.Equal(t, at("2026-11-25 15:30"), ceiling.NotBefore.UTC())
	assert.Equal(t, "handover L1 ceiling closed overdue (promised Mon 23 Nov 2026)", ceiling.NotBeforeCause)
	assert.Equal(t, &pattern.Late{Party: "ceilings", Promised: at("2026-11-23 07:00")}, e.Late)
}

func TestHandover_WithoutAnyDateWaits(t *testing.T) {
	t.Parallel()
	b := build(t, troubledFirm())
	power, e := b.task("NC/B/power_live")
	assert.True(t, power.Waits)
	assert.Equal(t, "handover B power live has no date", e.Waiting)
	assert.True(t, b.linked("NC/B/power_live", "NC/D-101/hang"), "the building's handover holds for its levels")
	assert.False(t, b.linked("NC/B/power_live", "NC/D-102/hang"), "hardware without power does not need it")
}

func TestHandover_ForecastRulesOverPromise(t *testing.T) {
	t.Parallel()
	b := build(t, testFirm())
	floor, _ := b.task("NC/L1/floor_finished")
	assert.Equal(t, at("2026-12-04 07:00"), floor.NotBefore.UTC())
}

func TestHandover_OfAnInnerAreaRulesThere(t *testing.T) {
	t.Parallel()
	f := testFirm()
	pr := &f.Projects[0]
	pr.Openings[0].Area, pr.Openings[1].Area = "L2-E", "L2"
	pr.Handovers = append(pr.Handovers,
		pattern.Handover{Area: "L2", Condition: pattern.WallsBoarded, Promised: ptr(at("2026-12-07 07:00"))},
		pattern.Handover{Area: "L2-E", Condition: pattern.WallsBoarded, Promised: ptr(at("2026-12-14 07:00"))})
	b := build(t, f)
	assert.True(t, b.linked("NC/L2-E/walls_boarded", "NC/D-101/frame"))
	assert.False(t, b.linked("NC/L2/walls_boarded", "NC/D-101/frame"))
	assert.True(t, b.linked("NC/L2/walls_boarded", "NC/D-102/frame"))
	// What is handed over on its own is surveyed on its own.
	_, east := b.task("NC/L2-E/survey")
	assert.Equal(t, []string{"D-101"}, east.Openings)
	_, rest := b.task("NC/L2/survey")
	assert.Equal(t, []string{"D-102"}, rest.Openings)
	// Ceilings of level 2 are listed nowhere.
	assert.Contains(t, b.notes(pattern.NoteUnlisted), "2 tasks need ceiling closed, and no handover of it is listed for the areas: nothing waits for it")
	area := b.p.Areas[len(b.p.Areas)-1]
	assert.Equal(t, "NC/L2-E", area.ID)
	assert.Equal(t, 4, *area.MaxCrews, "the building's limit")
	assert.Equal(t, 15, area.SetupMinutes)
	deliver, _ := b.task("NC/R1/deliver")
	assert.Equal(t, map[string]int{"dock": 1, "hoist": 1}, deliver.Uses, "level 2 is hoisted")
}

func TestSurvey_CountsTheOpeningsNotYetMeasured(t *testing.T) {
	t.Parallel()
	f := testFirm()
	pr := &f.Projects[0]
	b := build(t, f)
	survey, e := b.task("NC/L1/survey")
	// set-up 0.5 h and 0.25 h an opening
	assert.Equal(t, 30+6*15, *survey.LabourMinutes)
	assert.Equal(t, marks[:], e.Openings)

	pr.Openings[0].Measured = ptr(at("2026-11-24 11:00"))
	b = build(t, f)
	survey, _ = b.task("NC/L1/survey")
	assert.Equal(t, 30+5*15, *survey.LabourMinutes)
	assert.False(t, b.linked("NC/L1/survey", "NC/D-101/frame"), "it has been measured")
	assert.True(t, b.linked("NC/L1/survey", "NC/D-102/frame"))

	for i := range pr.Openings {
		pr.Openings[i].Measured = ptr(at("2026-11-24 11:00"))
	}
	b = build(t, f)
	survey, _ = b.task("NC/L1/survey")
	assert.True(t, survey.IsFinished())
}
