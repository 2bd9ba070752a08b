package web

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestVerdict_NamesTheWayADateGoes(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		name                    string
		before, after           *time.Time
		floatBefore, floatAfter float64
		want                    string
	}{
		{"nothing moves", atP(9, 9, 0), atP(9, 9, 0), 2, 2, "same"},
		{"minutes within a day are not shown", atP(9, 9, 0), atP(9, 9, 20), 2.01, 1.99, "same"},
		{"an hour within a day is no news", atP(9, 9, 0), atP(9, 10, 0), 4.8, 4.7, "same"},
		{"overnight", atP(9, 15, 0), atP(10, 7, 0), 2.1, 2, "later"},
		{"a day later", atP(9, 9, 0), atP(10, 9, 0), 2, 1, "later"},
		{"a weekend later without losing a working day", atP(11, 17, 0), atP(14, 7, 0), 2, 2, "later"},
		{"sooner", atP(9, 9, 0), atP(8, 9, 0), 2, 3, "sooner"},
		{"no longer planned", atP(9, 9, 0), nil, 2, 0, "lost"},
		{"planned now", nil, atP(9, 9, 0), 0, 2, "found"},
		{"never planned", nil, nil, 0, 0, "same"},
	} {
		effect := DateEffect{Before: tc.before, After: tc.after, FloatBefore: tc.floatBefore, FloatAfter: tc.floatAfter}
		assert.Equal(t, tc.want, effect.Verdict(), tc.name)
	}
}

func TestCrews_PhoneShowsOneLane(t *testing.T) {
	t.Parallel()
	page := crewsPage(4)
	shown := func() (lanes []int) {
		for i := range page.Lanes {
			if page.Shows(i) {
				lanes = append(lanes, i)
			}
		}
		return lanes
	}
	assert.Equal(t, []int{0}, shown(), "the first one without a choice")
	page.Open = "c2-" + on(1).String()
	assert.Equal(t, []int{2}, shown(), "that of the open block")
	page.Chosen = "c3"
	assert.Equal(t, []int{3}, shown(), "the chosen one")
	page.Chosen, page.Open = "gone", "gone"
	assert.Equal(t, []int{0}, shown(), "the first one when the choice is gone")
}

func TestDayTask_LeadsWithTheNextButton(t *testing.T) {
	t.Parallel()
	assert.Equal(t, ReportStart, DayTask{Kind: KindGlaze, State: StateClear}.Reports()[0])
	assert.Equal(t, ReportDone, DayTask{Kind: KindGlaze, State: StateUnderWay}.Reports()[0])
	assert.Equal(t, ReportMeasured, DayTask{Kind: KindSurvey, State: StateUnderWay}.Reports()[0])
	assert.True(t, DayTask{State: StateClear}.Leads())
	assert.False(t, DayTask{State: StateHeld}.Leads(), "held work does not ask to be started")
}
