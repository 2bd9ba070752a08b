package pattern_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// troubledFirm is the test firm on a bad day: a late handover and one without a date, a promise that has passed, a broken pane
// before and one after glazing, holds with and without a date, a pane too heavy for the crews, work out of order, a pin and an
// issued line that no longer fit.
func troubledFirm() pattern.Firm {
	f := testFirm()
	pr := &f.Projects[0]
	pr.Handovers[1].Promised = ptr(at("2026-11-23 07:00")) // ceiling: overdue
	pr.Handovers[3].Promised = nil                         // power: no date at all
	pr.Releases[0].Ordered = ptr(at("2026-11-02 09:00"))
	pr.Releases[0].Drops = []pattern.Drop{
		{Number: 1, Promised: ptr(at("2026-11-20 07:00")), Received: ptr(at("2026-11-23 10:00"))},
		{Number: 2, Promised: ptr(at("2026-11-24 07:00"))},
	}
	for i := range pr.Openings {
		pr.Openings[i].Measured = ptr(at("2026-11-20 11:00"))
	}
	pr.Openings[0].Powered = true
	for i := range pr.Openings[5].Material {
		if m := &pr.Openings[5].Material[i]; m.Release == "R1" {
			m.Drop = 2
		}
	}
	pr.Remakes = []pattern.Remake{
		{ID: "D-101-glass-1", Opening: "D-101", Item: pattern.Glass, Supplier: "ice", Reported: at("2026-11-24 14:00"), Cause: "broken at unloading"},
		{ID: "W-103-glass-1", Opening: "W-103", Item: pattern.Glass, Reported: at("2026-11-24 15:00"), Cause: "scratched"},
	}
	for i := range pr.Openings[2].Material {
		if m := &pr.Openings[2].Material[i]; m.Item == pattern.Glass {
			*m = pattern.Material{Item: pattern.Glass, OnSite: true}
		}
	}
	f.States = map[pattern.TaskKey]pattern.State{
		"NC/D-101/frame": {Started: ptr(at("2026-11-23 11:30")), Finished: ptr(at("2026-11-24 09:00")), Crew: "birch"},
		"NC/D-101/glaze": {Started: ptr(at("2026-11-24 12:00")), RemainingMinutes: ptr(30), Crew: "birch"},
		"NC/W-103/frame": {Started: ptr(at("2026-11-23 11:30")), Finished: ptr(at("2026-11-23 13:00")), Crew: "alder"},
		"NC/W-103/glaze": {Started: ptr(at("2026-11-23 13:00")), Finished: ptr(at("2026-11-23 15:00")), Crew: "birch"},
		"NC/D-104/frame": {Started: ptr(at("2026-11-24 13:00")), Crew: "alder", RemainingMinutes: ptr(40), Held: true, HeldUntil: ptr(at("2026-11-27 07:00")), HoldCause: "stud missing at the hinge side", HoldParty: "drywall"},
		"NC/D-105/frame": {Held: true, HoldCause: "wrong swing on the drawings", HoldParty: "architect"},
		"NC/D-102/frame": {Started: ptr(at("2026-11-24 13:00")), Crew: "birch", RemainingMinutes: ptr(25)},
	}
	f.Pins = map[pattern.TaskKey]problem.Pin{
		"NC/D-102/glaze": {Crew: "alder"},
		"NC/D-102/hang":  {Crew: "birch"},
		"NC/X-1/hang":    {Crew: "birch"},
	}
	f.Issued = []problem.Issued{
		{Task: "NC/gone/frame", Crew: "birch", Start: at("2026-11-25 07:00")},
		{Task: "NC/D-102/hang", Crew: "left the firm", Start: at("2026-12-25 07:00")},
	}
	return f
}

// built is a built firm that a test asks about.
type built struct {
	t *testing.T
	p *problem.Problem
	x *pattern.Index
}

func build(t *testing.T, f pattern.Firm) built {
	t.Helper()
	p, x, err := pattern.Build(f)
	require.NoError(t, err)
	return built{t, p, x}
}

// task returns a task of the problem with its entry.
func (b built) task(id string) (*problem.Task, *pattern.Entry) {
	b.t.Helper()
	for i := range b.p.Tasks {
		if b.p.Tasks[i].ID == id {
			e, ok := b.x.Find(id)
			require.True(b.t, ok)
			require.Equal(b.t, pattern.TaskKey(id), e.Key)
			return &b.p.Tasks[i], e
		}
	}
	require.Failf(b.t, "no such task", "%s", id)
	return nil, nil
}

func (b built) linked(from, to string) bool {
	for _, l := range b.p.Links {
		if l.From == from && l.To == to {
			return true
		}
	}
	return false
}

// notes returns the texts of one kind of note.
func (b built) notes(kind pattern.NoteKind) []string {
	var list []string
	for _, n := range b.x.Notes {
		if n.Kind == kind {
			list = append(list, n.Text)
		}
	}
	return list
}

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
	assert.Contains(t, b.notes(pattern.NoteUnlisted), "2 tasks need ceiling closed, and no handover of it is listed for their areas: they do not wait for it")
	area := b.p.Areas[len(b.p.Areas)-1]
	assert.Equal(t, "NC/L2-E", area.ID)
	assert.Equal(t, 4, *area.MaxCrews, "the building's limit")
	assert.Equal(t, 15, area.SetupMinutes)
	deliver, _ := b.task("NC/R1/deliver")
	assert.Equal(t, map[string]int{"dock": 1, "hoist": 1}, deliver.Uses, "level 2 is hoisted")
}

func TestMaterial_APromiseReplacesTheLeadTime(t *testing.T) {
	t.Parallel()
	f := testFirm()
	r := &f.Projects[0].Releases[0]
	r.Ordered = ptr(at("2026-11-20 09:00"))
	r.Drops = []pattern.Drop{{Number: 1, Promised: ptr(at("2026-12-09 07:00"))}}
	b := build(t, f)
	lead, e := b.task("NC/R1/lead")
	assert.Equal(t, problem.Always, lead.Calendar)
	assert.Equal(t, int(at("2026-12-09 07:00").Sub(f.DataDate)/time.Minute), *lead.Status.RemainingMinutes)
	assert.Nil(t, e.Late)
}

func TestMaterial_WithoutAPromiseTheRestOfTheLeadTimeRuns(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Projects[0].Releases[0].Ordered = ptr(at("2026-11-23 07:00"))
	b := build(t, f)
	lead, e := b.task("NC/R1/lead")
	// 15 days of 480 minutes on the shop's calendar, Monday and Tuesday have passed.
	assert.Equal(t, 13*480, *lead.Status.RemainingMinutes)
	assert.Equal(t, "shop", lead.Calendar)
	assert.Equal(t, 480, e.LeadDayMinutes)
	order, _ := b.task("NC/R1/order")
	assert.True(t, order.IsFinished())
}

func TestMaterial_APassedPromiseSlidesByTheSpreadAndNamesTheSupplier(t *testing.T) {
	t.Parallel()
	b := build(t, troubledFirm())
	lead, e := b.task("NC/R1/lead.2")
	assert.Equal(t, (20-15)*480, *lead.Status.RemainingMinutes, "most less likely days")
	assert.Equal(t, &pattern.Late{Party: "Bay Frames", Promised: at("2026-11-24 07:00")}, e.Late)
	assert.Contains(t, b.notes(pattern.NoteLate), "R1 was promised by Bay Frames for Tue 24 Nov 2026")
	assert.True(t, b.linked("NC/R1/deliver.2", "NC/S-106/frame"), "only the drop that holds it")
	assert.False(t, b.linked("NC/R1/deliver", "NC/S-106/frame"))
}

func TestMaterial_ALeadTimeThatHasRunOutSlidesToo(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Projects[0].Releases[0].Ordered = ptr(at("2026-10-05 07:00"))
	f.Projects[0].Releases[0].Lead = &pattern.LeadTime{Least: 10, Likely: 10, Most: 10}
	b := build(t, f)
	lead, _ := b.task("NC/R1/lead")
	assert.Equal(t, 480, *lead.Status.RemainingMinutes, "at least the firm's allowance of a day")
	assert.Len(t, b.notes(pattern.NoteLate), 1)
}

func TestMaterial_OrderBasisSaysWhatAnOrderFollows(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		basis         pattern.OrderBasis
		survey, frame bool
	}{{pattern.FromDrawings, false, false}, {"", false, false}, {pattern.FromSurvey, true, false}, {pattern.AfterFraming, false, true}} {
		f := testFirm()
		f.Projects[0].Releases[1].Basis = row.basis
		b := build(t, f)
		assert.Equal(t, row.survey, b.linked("NC/L1/survey", "NC/R2/order"), row.basis)
		assert.Equal(t, row.frame, b.linked("NC/D-101/frame", "NC/R2/order"), row.basis)
		assert.False(t, b.linked("NC/D-104/frame", "NC/R2/order"), "a flush door has no glass in the release")
	}
}

func TestMaterial_AReleaseThatWouldWaitForItselfFollowsTheSurvey(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Projects[0].Releases[0].Basis = pattern.AfterFraming
	b := build(t, f)
	assert.True(t, b.linked("NC/L1/survey", "NC/R1/order"))
	assert.False(t, b.linked("NC/D-101/frame", "NC/R1/order"))
	assert.Equal(t, []string{"release R1 cannot be ordered after framing, since framing D-101 needs its frame kit: it is planned as ordered after the survey"}, b.notes(pattern.NoteBasis))
}

func TestRemake_OfWhatAnOpeningDoesNotHaveIsLeftOutWithANote(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Projects[0].Remakes = []pattern.Remake{{ID: "again", Opening: "D-104", Item: pattern.Glass, Reported: at("2026-11-24 15:00")}}
	b := build(t, f)
	_, found := b.x.Find("NC/again/order")
	assert.False(t, found)
	assert.Equal(t, []string{"remake again is of the glass of D-104, which has none: it is not planned"}, b.notes(pattern.NoteDropped))
}

func TestMaterial_AnItemThatNobodyReleasedMakesItsTaskWait(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Projects[0].Openings[3].Material = []pattern.Material{{Item: pattern.FrameKit, OnSite: true}, {Item: pattern.Hardware, Release: "R1"}}
	b := build(t, f)
	frame, _ := b.task("NC/D-104/frame")
	assert.False(t, frame.Waits)
	assert.False(t, b.linked("NC/R1/deliver", "NC/D-104/frame"), "it is on site")
	hang, e := b.task("NC/D-104/hang")
	assert.True(t, hang.Waits)
	assert.Equal(t, "material: no release holds the leaf of D-104", e.Waiting)
	assert.Contains(t, b.notes(pattern.NoteWaits), "NC/D-104/hang waits without a date: material: no release holds the leaf of D-104")
}

func TestRemake_BeforeGlazingIsFinishedStopsItUntilTheNewPaneIsThere(t *testing.T) {
	t.Parallel()
	b := build(t, troubledFirm())
	glaze, e := b.task("NC/D-101/glaze")
	assert.Nil(t, glaze.Status, "what is left waits for the pane")
	assert.Equal(t, at("2026-11-24 12:00"), e.Began.UTC())
	assert.Equal(t, 30*3, *glaze.LabourMinutes, "30 minutes of birch's three people")
	assert.True(t, b.linked("NC/D-101-glass-1/deliver", "NC/D-101/glaze"))
	order, _ := b.task("NC/D-101-glass-1/order")
	assert.Nil(t, order.Status)
}

func TestRemake_AfterGlazingIsWorkOfItsOwn(t *testing.T) {
	t.Parallel()
	b := build(t, troubledFirm())
	repair, e := b.task("NC/W-103-glass-1/glaze")
	assert.Equal(t, "W-103", e.Opening)
	assert.True(t, e.Remake)
	glazed, whole := b.task("NC/W-103/glaze")
	assert.True(t, glazed.IsFinished())
	assert.Equal(t, whole.Hours.Minutes, *repair.LabourMinutes, "one pane of one")
	assert.True(t, b.linked("NC/W-103-glass-1/deliver", "NC/W-103-glass-1/glaze"))
	assert.True(t, b.linked("NC/W-103-glass-1/glaze", "NC/W-103/punch"))
	assert.Contains(t, b.p.GCDates[0].Tasks, "NC/W-103-glass-1/glaze", "the date is not met without it")
	assert.NotContains(t, b.p.GCDates[1].Tasks, "NC/W-103-glass-1/glaze", "framing is met without it")
	order, ordered := b.task("NC/W-103-glass-1/order")
	assert.True(t, order.Waits, "the pane was on site: nobody is known to make it again")
	assert.Equal(t, "material: W-103-glass-1 has no supplier yet", ordered.Waiting)
}

// Glass broken after the leaf was hung: the new pane still comes before the opening is handed over.
func TestRemake_HoldsUpAllThatIsLeftBehindIt(t *testing.T) {
	t.Parallel()
	f := testFirm()
	done := func(from, to string) pattern.State {
		return pattern.State{Started: ptr(at("2026-11-24 " + from)), Finished: ptr(at("2026-11-24 " + to)), Crew: "birch"}
	}
	f.States = map[pattern.TaskKey]pattern.State{
		"NC/D-101/frame": done("07:00", "08:00"), "NC/D-101/glaze": done("08:00", "09:00"), "NC/D-101/hang": done("09:00", "10:00"),
	}
	f.Projects[0].Remakes = []pattern.Remake{{ID: "again", Opening: "D-101", Item: pattern.Glass, Reported: at("2026-11-24 15:00")}}
	b := build(t, f)
	assert.True(t, b.linked("NC/again/glaze", "NC/D-101/punch"))
	assert.False(t, b.linked("NC/again/glaze", "NC/D-101/hang"))
}

func TestRemake_TakesTheSupplierOfTheItem(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Projects[0].Remakes = []pattern.Remake{{ID: "again", Opening: "D-101", Item: pattern.Glass, Reported: at("2026-11-24 15:00")}}
	_, e := build(t, f).task("NC/again/order")
	assert.Equal(t, "Ice Glass", e.Supplier)
}

func TestRemake_ReceivedBeforeTheStepWasFinishedIsNoRepair(t *testing.T) {
	t.Parallel()
	f := troubledFirm()
	r := &f.Projects[0].Remakes[1]
	r.Reported, r.Received = at("2026-11-20 12:00"), ptr(at("2026-11-23 12:00"))
	b := build(t, f)
	_, found := b.x.Find("NC/W-103-glass-1/glaze")
	assert.False(t, found)
	assert.True(t, b.linked("NC/W-103-glass-1/deliver", "NC/W-103/glaze"))
}

func TestHold_WithADateIsABoundWithoutOneAWait(t *testing.T) {
	t.Parallel()
	b := build(t, troubledFirm())
	frame, e := b.task("NC/D-104/frame")
	assert.Equal(t, at("2026-11-27 07:00"), frame.NotBefore.UTC())
	assert.Equal(t, "hold: stud missing at the hinge side (drywall owes the answer) until Fri 27 Nov 2026", frame.NotBeforeCause)
	assert.Equal(t, 40*2, *frame.LabourMinutes, "40 minutes of alder's two people")
	assert.NotNil(t, e.Began)

	other, e := b.task("NC/D-105/frame")
	assert.True(t, other.Waits)
	assert.Equal(t, "hold: wrong swing on the drawings (architect owes the answer)", e.Waiting)
}

func TestHold_WhoseAnswerIsOverdueStaysAHold(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.States = map[pattern.TaskKey]pattern.State{
		"NC/D-104/hang": {Held: true, HeldUntil: ptr(at("2026-11-24 07:00")), HoldCause: "no keying list", HoldParty: "owner"},
	}
	b := build(t, f)
	hang, e := b.task("NC/D-104/hang")
	assert.Equal(t, at("2026-11-25 15:30"), hang.NotBefore.UTC(), "a day of work from the data date")
	assert.Equal(t, "owner", e.Late.Party)
	assert.Contains(t, b.notes(pattern.NoteLate)[0], "was expected Tue 24 Nov 2026: no keying list")
}

func TestState_StartedWorkKeepsCrewAndRemainder(t *testing.T) {
	t.Parallel()
	b := build(t, troubledFirm())
	frame, _ := b.task("NC/D-102/frame")
	assert.Equal(t, &problem.Status{Started: at("2026-11-24 13:00"), RemainingMinutes: ptr(25), Crew: "birch"}, frame.Status)
	assert.Contains(t, b.notes(pattern.NoteOutOfOrder), "NC/D-102/frame has started, NC/L1/ceiling_closed is not finished")
}

func TestState_WithoutARemainderTheWholeWorkRemains(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.States = map[pattern.TaskKey]pattern.State{"NC/D-104/frame": {Started: ptr(at("2026-11-24 13:00")), Crew: "alder"}}
	b := build(t, f)
	frame, _ := b.task("NC/D-104/frame")
	assert.Equal(t, problem.CrewMinutes(*frame.LabourMinutes, 2, 1), *frame.Status.RemainingMinutes)
}

func TestPinsAndIssuedLines_KeepWhatStillFits(t *testing.T) {
	t.Parallel()
	b := build(t, troubledFirm())
	hang, _ := b.task("NC/D-102/hang")
	assert.Equal(t, &problem.Pin{Crew: "birch"}, hang.Pin)
	glaze, _ := b.task("NC/D-102/glaze")
	assert.Nil(t, glaze.Pin, "alder does not glaze")
	assert.Equal(t, []problem.Issued{{Task: "NC/D-102/hang", Start: at("2026-12-25 07:00")}}, b.p.Issued)
	assert.Len(t, b.notes(pattern.NoteDropped), 3, "%v", b.notes(pattern.NoteDropped))
}

func TestLifting_NeverPlansSilentlyWhatTheHandsCannotLift(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Crews[0].Heads = 2
	b := build(t, f)
	glaze, e := b.task("NC/D-101/glaze")
	assert.Equal(t, 3, e.Hands)
	assert.True(t, e.Gear)
	assert.Equal(t, 2, glaze.MinHeads)
	assert.Equal(t, 2, e.Heads)
	assert.Contains(t, b.notes(pattern.NoteGear)[0], "D-101 weighs")

	f.Rules.Lifting.GearLimitGrams = 40_000
	b = build(t, f)
	glaze, e = b.task("NC/D-101/glaze")
	assert.True(t, glaze.Waits)
	// 43 3/8 x 93 1/8 in = 2.606 m2 of 25 kg/m2
	assert.Contains(t, e.Waiting, "hands: the glass weighs 65.2 kg (143.6 lb), more than the lifting gear takes (40.0 kg)")

	f = testFirm()
	b = build(t, f)
	glaze, e = b.task("NC/D-101/glaze")
	assert.False(t, e.Gear)
	assert.Equal(t, 3, glaze.MinHeads, "birch has the hands")
}

func TestSizes_OneThatCannotBeBuiltWaitsAndLeavesTheRestAlone(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Projects[0].Openings[1].Takeoff.Width = 0
	b := build(t, f)
	frame, e := b.task("NC/D-102/frame")
	assert.True(t, frame.Waits)
	assert.Equal(t, "size: 0 mm x 2438.4 mm: width and height must be above zero", e.Waiting)
	other, _ := b.task("NC/D-101/frame")
	assert.False(t, other.Waits)
}

func TestCrews_WorkThatNobodyCanDoWaitsWithTheRule(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Crews = f.Crews[1:] // alder surveys, frames and punches
	f.States = map[pattern.TaskKey]pattern.State{"NC/D-104/hang": {Started: ptr(at("2026-11-24 13:00"))}}
	b := build(t, f)
	hang, e := b.task("NC/D-105/hang")
	assert.True(t, hang.Waits)
	assert.Equal(t, `crew: none has the skill "hang" and may enter site north`, e.Waiting)
	assert.Nil(t, hang.LabourMinutes)
	started, e := b.task("NC/D-104/hang")
	assert.Nil(t, started.Status)
	assert.NotNil(t, e.Began)
}

func TestOutOfOrder_FollowsEachProject(t *testing.T) {
	t.Parallel()
	f := testFirm()
	other := testFirm().Projects[0]
	other.Code = "SO"
	f.Projects = append(f.Projects, other)
	f.States = map[pattern.TaskKey]pattern.State{
		"NC/D-104/frame": {Started: ptr(at("2026-11-24 13:00")), Crew: "alder", RemainingMinutes: ptr(40)},
		"SO/D-104/frame": {Started: ptr(at("2026-11-24 14:00")), Crew: "birch", RemainingMinutes: ptr(40)},
	}
	b := build(t, f)
	assert.Equal(t, problem.LetRun, b.p.OutOfOrder)
	assert.True(t, b.linked("NC/R1/deliver", "NC/D-104/frame"))

	f.Projects[1].OutOfOrder = problem.KeepOrder
	b = build(t, f)
	assert.Equal(t, problem.KeepOrder, b.p.OutOfOrder)
	assert.False(t, b.linked("NC/R1/deliver", "NC/D-104/frame"), "this project lets started work run")
	assert.True(t, b.linked("SO/R1/deliver", "SO/D-104/frame"), "this one keeps it waiting")

	f.Projects[0].OutOfOrder = problem.KeepOrder
	b = build(t, f)
	assert.True(t, b.linked("NC/R1/deliver", "NC/D-104/frame"))
}

func TestLearning_CountsOpeningsOfOneSizeInWalkingOrder(t *testing.T) {
	t.Parallel()
	f := testFirm()
	rates := takeoff.DefaultRates()
	rates.Learning = []takeoff.Learning{{Kind: takeoff.Hang, Rate: 0.8}}
	f.Rates = rates
	second := f.Projects[0].Openings[3]
	second.Mark, second.WalkOrder = "D-110", 20
	wider := second
	wider.Mark, wider.Takeoff.Width = "D-111", 40*length.Inch
	f.Projects[0].Openings = append([]pattern.Opening{wider, second}, f.Projects[0].Openings...)
	b := build(t, f)
	first, _ := b.task("NC/D-104/hang")
	next, _ := b.task("NC/D-110/hang")
	other, _ := b.task("NC/D-111/hang")
	assert.Equal(t, 300, *first.LabourMinutes)
	assert.Equal(t, 240, *next.LabourMinutes, "80 % at the second")
	assert.Equal(t, 300, *other.LabourMinutes, "another size starts anew")
}

// A phone whose clock is ahead, and dates entered for next week, must not stop the firm's plan.
func TestDates_AfterTheDataDateAreNotTakenForFacts(t *testing.T) {
	t.Parallel()
	f := testFirm()
	pr := &f.Projects[0]
	pr.Handovers[1].Actual = ptr(at("2026-12-03 07:00"))
	pr.Releases[0].Ordered = ptr(at("2026-11-27 09:00"))
	pr.Releases[1].Ordered = ptr(at("2026-11-20 09:00"))
	pr.Releases[1].Drops = []pattern.Drop{{Number: 1, Received: ptr(at("2026-12-09 07:00"))}}
	f.States = map[pattern.TaskKey]pattern.State{"NC/D-104/frame": {Started: ptr(at("2026-11-25 06:05")), Crew: "alder", RemainingMinutes: ptr(60)}}
	b := build(t, f)
	ceiling, _ := b.task("NC/L1/ceiling_closed")
	assert.Equal(t, at("2026-12-03 07:00"), ceiling.NotBefore.UTC(), "expected then")
	order, _ := b.task("NC/R1/order")
	assert.Nil(t, order.Status, "not ordered yet")
	lead, e := b.task("NC/R2/lead")
	assert.Equal(t, int(at("2026-12-09 07:00").Sub(f.DataDate)/time.Minute), *lead.Status.RemainingMinutes, "as if promised for then")
	assert.Equal(t, at("2026-12-09 07:00"), e.Promised.UTC())
	frame, _ := b.task("NC/D-104/frame")
	assert.Equal(t, f.DataDate, frame.Status.Started, "five minutes ahead")
	assert.Len(t, b.notes(pattern.NoteFuture), 4)
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
