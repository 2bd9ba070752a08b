package pattern_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

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
	assert.Contains(t, b.notes(pattern.NoteGear)[0], "a pane of D-101 weighs 143.6 lb (65.2 kg)")

	f.Rules.Lifting.GearLimitGrams = 40_000
	b = build(t, f)
	glaze, e = b.task("NC/D-101/glaze")
	assert.True(t, glaze.Waits)
	// 43 3/8 x 93 1/8 in = 2.606 m2 of 25 kg/m2
	assert.Contains(t, e.Waiting, "hands: the glass weighs 143.6 lb (65.2 kg), more than the lifting gear takes, 88.2 lb (40.0 kg)")

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
