package pattern_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
)

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
