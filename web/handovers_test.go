package web

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"jambwright/scheduler/slippage"
)

func TestSlipWords_NameBothDays(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "slipped 6 days (Fri 4 Dec to Thu 10 Dec)", imperial.SlipWords(onP(4), onP(10)))
	assert.Equal(t, "sooner by 1 day (Fri 4 Dec to Thu 3 Dec)", imperial.SlipWords(onP(4), onP(3)))
	assert.Equal(t, "stays Fri 4 Dec", imperial.SlipWords(onP(4), onP(4)))
	assert.Equal(t, "no date any more, was Fri 4 Dec", imperial.SlipWords(onP(4), nil))
	assert.Equal(t, "now Fri 4 Dec", imperial.SlipWords(nil, onP(4)))
}

func TestHandoverCell_SaysHowFarItMoved(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		slips, moved int
		want         string
	}{
		{0, 0, ""},
		{1, 6, "slipped once, 6 days in all"},
		{2, 9, "slipped twice, 9 days in all"},
		{3, 1, "slipped 3 times, 1 day in all"},
		{0, -2, "2 days sooner than first promised"},
		{1, 0, "slipped once, back at the first promise"},
		{1, -1, "slipped once, now 1 day sooner than first promised"},
	} {
		assert.Equal(t, c.want, HandoverCell{Slips: c.slips, Moved: c.moved}.Slipped())
	}
	assert.Equal(t, 3, HandoverCell{Promised: onP(4), Actual: onP(7)}.Late())
	assert.Equal(t, -1, HandoverCell{Promised: onP(4), Forecast: onP(3)}.Late())
	assert.Zero(t, HandoverCell{Forecast: onP(3)}.Late(), "nothing was promised")
}

func TestSpreadWords_RoundNothingAway(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "nothing handed over yet", SpreadWords(slippage.Spread{}))
	assert.Equal(t, "3 days late", SpreadWords(slippage.SpreadOf([]int{3})))
	assert.Equal(t, "median 1.5 days late; middle half from 0.75 days early to 8.25 days late; extremes 1 day early and 10 days late",
		SpreadWords(slippage.SpreadOf([]int{-1, 0, 3, 10})))
}

// The drawing has a tread for every promise, a riser for every change, and tells the same in words.
func TestStaircase_HasATreadAPromise(t *testing.T) {
	t.Parallel()
	p := HandoverPage{Chrome: chrome(RoleProject), Steps: []PromiseStep{
		{At: at(-20, 9, 0), Date: on(4)}, {At: at(-10, 9, 0), Date: on(10)}, {At: at(-5, 9, 0), Date: on(12), Ours: true}, {At: at(-2, 9, 0), Date: on(14)},
	}}
	svg := string(p.Staircase())
	assert.Equal(t, 3, strings.Count(svg, `class="stair-tread"`))
	assert.Equal(t, 2, strings.Count(svg, `class="stair-tread stair-riser"`))
	assert.Equal(t, 1, strings.Count(svg, `class="stair-ours"`))
	assert.Contains(t, p.StairWords(), "promised Fri 4 Dec; ")
	assert.Contains(t, p.StairWords(), "slipped 6 days (Fri 4 Dec to Thu 10 Dec)")
	assert.Contains(t, p.StairWords(), "slipped 4 days (Thu 10 Dec to Mon 14 Dec)", "our own forecast is no promise")
	assert.Contains(t, svg, "<title>The promise over time: ")
	p.Cell.Actual = onP(11)
	assert.Contains(t, string(p.Staircase()), "handed over Fri 11 Dec")
	assert.Empty(t, HandoverPage{}.Staircase(), "nothing promised draws nothing")
}
