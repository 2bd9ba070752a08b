package pattern_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"jambwright/scheduler/pattern"
)

func TestRemake_OfWhatAnOpeningDoesNotHaveIsLeftOutWithANote(t *testing.T) {
	t.Parallel()
	f := testFirm()
	f.Projects[0].Remakes = []pattern.Remake{{ID: "again", Opening: "D-104", Item: pattern.Glass, Reported: at("2026-11-24 15:00")}}
	b := build(t, f)
	_, found := b.x.Find("NC/again/order")
	assert.False(t, found)
	assert.Equal(t, []string{"remake again is of the glass of D-104, which has none: it is not planned"}, b.notes(pattern.NoteDropped))
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
