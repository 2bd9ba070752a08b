package web

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// sampleDelayLines are a day of the other trade, two of the supplier that overlap, a piece of our own work and what re-planning
// won back.
func sampleDelayLines(id string) []DelayLine {
	seen := at(1, 14, 30)
	return []DelayLine{
		{
			ID: id + "a", Key: "a1", Cause: DelayTrade, At: at(1, 9, 0), Text: "floor finished on Level 2: forecast date Mon 7 Dec", Party: "Flooring",
			Minutes: 1440, Alone: 1440, CanStand: true, Concurrent: []string{"release R3 from Pellam Works: promised Fri 11 Dec"},
			Records:    []DelayRecord{{At: &seen, Text: "floor finished on Level 2: forecast date Mon 7 Dec", Href: "/handovers/4"}},
			CanConfirm: true, Confirm: DelayConfirmForm{Party: "Flooring", Excusable: "yes", Compensable: "yes"},
			Notice: &DelayNotice{Deadline: at(8, 0, 0), Words: "due Tue 8 Dec 2026, in 5 days", Urgent: true},
		},
		{
			ID: id + "b", Key: "b2", Cause: DelaySupplier, At: at(1, 10, 0), Text: "release R3 from Pellam Works: promised Fri 11 Dec", Party: "Pellam Works",
			Minutes: 2885, Alone: 4325, CanStand: true, Concurrent: []string{"floor finished on Level 2: forecast date Mon 7 Dec"},
			CanConfirm: true, Confirm: DelayConfirmForm{Party: "Pellam Works", Excusable: "no", Compensable: "no", Note: longName, Version: 2},
			Confirmed: "Ines Calder, Wed 2 Dec, 8:00 am: " + longName,
			Notice:    &DelayNotice{Deadline: at(8, 0, 0), Words: "sent Wed 2 Dec 2026", SentOn: "2026-12-02", Reference: "L-7", Version: 1},
		},
		{
			ID: id + "c", Key: "c3", Cause: DelayOwn, At: at(2, 7, 0), Text: "Alder took 2 h 30 min longer than planned: frame D-204", Party: "us",
			Alone: 150, CanStand: true, Pacing: "Could be called pacing, since the date had moved already; the contract does not recognise it.",
			CanConfirm: true, Confirm: DelayConfirmForm{Party: "us", Excusable: "no", Compensable: "no"},
		},
		{ID: id + "d", Key: "d4", Cause: DelayGC, At: at(2, 9, 0), Text: "opening D-900 entered", Party: "general contractor", CanStand: true, CountedWith: "release R3"},
		{ID: id + "e", Key: "e5", Cause: DelayReplan, At: at(2, 18, 0), Text: "Re-planning", Party: "us", Minutes: -725, Alone: -725, CanConfirm: true},
		{ID: id + "f", Key: "f6", Cause: DelayUnknown, At: at(2, 18, 0), Text: "Left between the causes above and the later plan's records", Party: "not known"},
	}
}

func sampleDelayDate(id string) DelayDate {
	due, before, after := at(9, 0, 0), at(7, 15, 0), at(10, 3, 0)
	return DelayDate{
		ID: id, Name: "Level 2 glazing complete", DueBefore: &due, DueAfter: &due, Before: &before, After: &after, Moved: 3600, AloneSum: 5915,
		Lines: sampleDelayLines("line-" + id), Excusable: 1440, Compensable: 1440, FloatWords: "All of it makes the date late.",
	}
}

func delaysPage(dates int) DelaysPage {
	page := DelaysPage{
		Chrome: chrome(RoleProject), ProjectID: "1", Project: "Quarry Street", Window: "all", FromPlan: at(1, 6, 0), ToPlan: at(2, 18, 0), Running: true,
		Projects: []Choice{{"1", "Quarry Street"}, {"2", longName}}, Windows: []Choice{{"all", "all"}, {"3-4", "Tue 1 Dec to Wed 2 Dec"}, {"2-3", longName}},
		Notices: []DelayWarning{{"floor finished on Level 2", at(8, 0, 0), 5}, {longName, at(-3, 0, 0), -4}},
		Terms:   DelayTermsForm{Trade: "7", FloatOwner: "first_use", Version: 1},
	}
	for i := range dates {
		page.Dates = append(page.Dates, sampleDelayDate(fmt.Sprint(i+1)))
	}
	return page
}

func sampleDelayPages() map[string]Page {
	fault, lost := delaysPage(1), delaysPage(1)
	fault.Form, fault.Faults = "terms", Faults{{"trade", "“soon” is no number of days."}}
	lost.Dates[0].After, lost.Dates[0].Moved = nil, 0
	lost.Dates[0].Lines = []DelayLine{{ID: "line-x", Cause: DelayGC, Text: "held: no answer", Party: "general contractor", Lost: true}}
	empty := DelaysPage{Chrome: chrome(RoleProject), ProjectID: "1", Project: "Quarry Street"}
	first, working, none := empty, empty, empty
	first.NoIssue, working.Working = true, true
	none.NoWindow = true
	return map[string]Page{
		"delays-empty": first, "delays-first": none, "delays-working": working, "delays-undated": empty, "delays-typical": delaysPage(2), "delays-worst": delaysPage(20),
		"delays-fault": fault, "delays-lost": lost,
	}
}

func TestWaterfall_AddsUpInWords(t *testing.T) {
	t.Parallel()
	d := sampleDelayDate("1")
	assert.Equal(t, "+1 day +2 days 5 min −12 h 5 min = +2 days 12 h", d.FallSums(imperial))
	drawn := string(d.Waterfall(imperial))
	assert.Contains(t, drawn, "Other trade +1 day")
	assert.Contains(t, drawn, "Re-planning −12 h 5 min")
	assert.Equal(t, 1, strings.Count(drawn, "fall-back"), "a step that won days back is drawn otherwise")
	assert.Contains(t, drawn, `<title>From Mon 7 Dec as issued, other trade +1 day, supplier +2 days 5 min, re-planning −12 h 5 min, to Thu 10 Dec now: +2 days 12 h</title>`)
}

// Each step begins where the one before it ended, and the last one ends at the whole.
func TestWaterfall_StepsHangOnOneAnother(t *testing.T) {
	t.Parallel()
	d := sampleDelayDate("1")
	falls, last := d.Steps(), 0
	for _, s := range falls {
		assert.Equal(t, last, s.From)
		last = s.To
	}
	assert.Equal(t, d.Moved, last)
}

func TestFormat_SpansAreExact(t *testing.T) {
	t.Parallel()
	for minutes, want := range map[int]string{
		0: "0", 1: "+1 min", 60: "+1 h", 1440: "+1 day", -1440: "−1 day", 2885: "+2 days 5 min", 4441: "+3 days 2 h 1 min",
	} {
		assert.Equal(t, want, imperial.Signed(minutes))
	}
	assert.Equal(t, "not moved", imperial.Shift(0))
	assert.Equal(t, "2 days sooner", imperial.Shift(-2880))
}
