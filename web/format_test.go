package web

import (
	"testing"
	"time"

	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"

	"github.com/stretchr/testify/assert"
)

func TestFormat_DatesShowTheWeekday(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "Wed 2 Dec", imperial.Day(at(2, 9, 0)))
	assert.Equal(t, "Mon 4 Jan 2027", imperial.Day(at(35, 9, 0)), "another year is said")
	assert.Equal(t, "Wed 2 Dec 2026", Format{}.Date(on(2)), "without a present, every year is said")
	assert.Equal(t, "no date", imperial.Day(time.Time{}))
	// 04:30 UTC is half past eleven of the evening before in New York.
	assert.Equal(t, "Tue 1 Dec", imperial.Day(time.Date(2026, 12, 2, 4, 30, 0, 0, time.UTC)))
}

func TestFormat_FinishAtMidnightBelongsToTheDayBefore(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "Tue 1 Dec", imperial.FinishDay(at(2, 0, 0)))
	assert.Equal(t, "Wed 2 Dec", imperial.FinishDay(at(2, 0, 1)))
	assert.Equal(t, "Tue 1 Dec, 7:00 am to 12:00 am", imperial.Between(at(1, 7, 0), at(2, 0, 0)))
}

func TestFormat_ClocksOfBothKinds(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		hour, minute int
		twelve, full string
	}{
		{0, 5, "12:05 am", "00:05"}, {7, 0, "7:00 am", "07:00"}, {12, 0, "12:00 pm", "12:00"}, {15, 30, "3:30 pm", "15:30"},
	} {
		assert.Equal(t, tc.twelve, imperial.Clock(at(1, tc.hour, tc.minute)))
		assert.Equal(t, tc.full, metric.Clock(at(1, tc.hour, tc.minute)))
	}
}

func TestFormat_SpansSayOnlyWhatIsNeeded(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "9:00 am", imperial.Until(at(1, 9, 0)), "today needs no date")
	assert.Equal(t, "Wed 2 Dec, 9:00 am", imperial.Until(at(2, 9, 0)))
	assert.Equal(t, "Wed 2 Dec", imperial.Until(at(2, 0, 0)), "midnight is a date")
	assert.Equal(t, "an unknown date", imperial.Until(time.Time{}))
	assert.Equal(t, "Wed 2 Dec, 7:00 am to 9:30 am", imperial.Between(at(2, 7, 0), at(2, 9, 30)))
	assert.Equal(t, "Wed 2 Dec, 7:00 am to Thu 3 Dec, 9:30 am", imperial.Between(at(2, 7, 0), at(3, 9, 30)))
	assert.Equal(t, "Wed 2 Dec", imperial.Between(at(2, 0, 0), at(3, 0, 0)), "a whole day needs no times")
	assert.Equal(t, "Wed 2 Dec to Fri 4 Dec", imperial.Between(at(2, 0, 0), at(5, 0, 0)))
	assert.Equal(t, "Wed 2 Dec", imperial.Between(at(2, 0, 0), at(2, 0, 0)))
	assert.Equal(t, "9:00 am", imperial.OnDay(on(2)).Until(at(2, 9, 0)), "a page about Wednesday")
	assert.Equal(t, "not planned", imperial.Between(time.Time{}, time.Time{}))
	assert.Equal(t, "7:00 am to 9:30 am", imperial.SpanOn(on(2), at(2, 7, 0), at(2, 9, 30)))
	assert.Equal(t, "Tue 1 Dec, 1:00 pm to 9:30 am", imperial.SpanOn(on(2), at(1, 13, 0), at(2, 9, 30)))
	assert.Equal(t, "7:00 am", imperial.SpanOn(on(2), at(2, 7, 0), time.Time{}))
}

// On the night of 1 November 2026 clocks in New York go back at 2:00 (Energy Policy Act of 2005, section 110).
func TestFormat_FollowsTheSitesClockChange(t *testing.T) {
	t.Parallel()
	before := time.Date(2026, 11, 1, 5, 30, 0, 0, time.UTC)
	assert.Equal(t, "1:30 am", imperial.Clock(before))
	assert.Equal(t, "1:30 am", imperial.Clock(before.Add(time.Hour)), "the same hour twice")
	assert.Equal(t, "2026-11-01T01:30:00-05:00", imperial.Stamp(before.Add(time.Hour)))
}

func TestFormat_Hours(t *testing.T) {
	t.Parallel()
	for minutes, want := range map[int]string{0: "0 min", 45: "45 min", 60: "1 h", 390: "6 h 30 min", 72000: "1,200 h", -90: "−1 h 30 min"} {
		assert.Equal(t, want, imperial.Hours(minutes))
	}
	for minutes, want := range map[int]string{0: "0 h", 60: "1 h", 90: "1.5 h", 100: "1.7 h"} {
		assert.Equal(t, want, imperial.ShortHours(minutes))
	}
}

func TestFormat_LengthsInBothSystems(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct {
		l            length.Length
		feet, metric string
	}{
		{36 * length.Inch, `3'-0"`, "914.4 mm"},
		{36*length.Inch + 8*length.Sixteenth, `3'-0 1/2"`, "927.1 mm"},
		{length.Sixteenth, `0'-0 1/16"`, "≈1.6 mm"},
		{915 * length.Millimetre, `≈3'-0"`, "915 mm"},
	} {
		assert.Equal(t, tc.feet, imperial.Length(tc.l))
		assert.Equal(t, tc.metric, metric.Length(tc.l))
	}
	assert.Equal(t, `3'-0" × 7'-0"`, imperial.Size(36*length.Inch, 84*length.Inch))
	assert.Equal(t, "49 ft", imperial.Run(48*length.Foot+length.Sixteenth), "a run is never shown shorter than it is")
	assert.Equal(t, "14.7 m", metric.Run(48*length.Foot), "14.63 m")
}

// One pound is 0.45359237 kg exactly (international yard and pound agreement of 1959).
func TestFormat_WeightsRoundUp(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "1 lb", imperial.Weight(0.45359237))
	assert.Equal(t, "100 lb", imperial.Weight(45.359237))
	assert.Equal(t, "101 lb", imperial.Weight(45.36), "a lift is never shown lighter than it is")
	assert.Equal(t, "46 kg", metric.Weight(45.36))
	assert.Equal(t, "20 kg", metric.Weight(20.0000000001))
}

func TestFormat_FloatAndMoney(t *testing.T) {
	t.Parallel()
	for days, want := range map[float64]string{
		0: "no day to spare", 0.04: "no day to spare", 1: "1 working day to spare", 2.5: "2.5 working days to spare", -1: "1 working day late",
		-0.5: "0.5 working days late",
	} {
		assert.Equal(t, want, imperial.FloatDays(days))
	}
	assert.Equal(t, "$1,234,568", imperial.Money(1234567.6))
	assert.Equal(t, "−€20", metric.Money(-20))
	assert.Equal(t, "1 opening", imperial.Of(1, "opening", "openings"))
	assert.Equal(t, "2,000 openings", imperial.Of(2000, "opening", "openings"))
}

func TestWhy_SaysEveryKindInPlainWords(t *testing.T) {
	t.Parallel()
	names := Names{
		Tasks: map[string]string{"t": "framing of D-201"}, Crews: map[string]string{"alder": "Alder"}, Limits: map[string]string{"hoist": "the hoist"},
		Calendars: map[string]string{"site": "the site", "own": "hours of Harbour Court"}, Areas: map[string]string{"l2": "Level 2"},
		Handovers: map[string]Handover{
			"h": {"walls boarded", "Level 2", "promised", problem.Date{}}, "h2": {"power live", "", "", problem.Date{}},
			"h3": {"floor finished", "Level 2", "forecast", on(2)},
		},
		Materials: map[string]Material{
			"m": {"glass of release R3", "Northpane", "promised", on(3)}, "m2": {"door leaf", "", "forecast", problem.Date{}},
		},
	}
	tests := []struct {
		reason problem.Reason
		want   string
	}{
		{problem.Reason{Kind: problem.ReasonPredecessor, Ref: "t", Until: at(2, 10, 30)}, "waits for framing of D-201, to be done Wed 2 Dec, 10:30 am"},
		{problem.Reason{Kind: problem.ReasonPredecessor, Until: at(2, 10, 30)}, "waits for the task before it, to be done Wed 2 Dec, 10:30 am"},
		{problem.Reason{Kind: problem.ReasonCalendar, Ref: "own", Until: at(2, 7, 0)}, "outside working hours of Harbour Court until Wed 2 Dec, 7:00 am"},
		{problem.Reason{Kind: problem.ReasonHandover, Ref: "h", Until: at(3, 0, 0)}, "waits for walls boarded on Level 2, promised Wed 2 Dec"},
		{problem.Reason{Kind: problem.ReasonHandover, Ref: "h2", Until: at(2, 12, 0)}, "waits for power live, expected Wed 2 Dec"},
		{problem.Reason{Kind: problem.ReasonHandover, Ref: "h"}, "waits for walls boarded on Level 2, no date yet"},
		{problem.Reason{Kind: problem.ReasonHandover, Ref: "l2", Until: at(2, 12, 0)}, "waits for Level 2, expected Wed 2 Dec"},
		{problem.Reason{Kind: problem.ReasonMaterial, Ref: "m", Until: at(3, 12, 0)}, "waits for glass of release R3 from Northpane, promised Thu 3 Dec"},
		{problem.Reason{Kind: problem.ReasonMaterial, Ref: "m", Until: at(7, 12, 0)}, "waits for glass of release R3 from Northpane, promised Thu 3 Dec, expected Mon 7 Dec"},
		{problem.Reason{Kind: problem.ReasonHandover, Ref: "h3", Until: at(3, 0, 0)}, "waits for floor finished on Level 2, forecast Wed 2 Dec"},
		{problem.Reason{Kind: problem.ReasonHandover, Ref: "h3", Until: at(7, 7, 0)}, "waits for floor finished on Level 2, forecast Wed 2 Dec, expected Mon 7 Dec"},
		{problem.Reason{Kind: problem.ReasonMaterial, Ref: "m2", Until: at(3, 12, 0)}, "waits for door leaf, forecast Thu 3 Dec"},
		{problem.Reason{Kind: problem.ReasonMaterial, Ref: "glass", Until: at(3, 12, 0)}, "waits for glass, expected Thu 3 Dec"},
		{problem.Reason{Kind: problem.ReasonCrew, Ref: "t", Until: at(1, 10, 30)}, "crew Alder is on framing of D-201 until 10:30 am"},
		{problem.Reason{Kind: problem.ReasonCrew, Ref: "alder", Until: at(1, 10, 30)}, "crew Alder is busy until 10:30 am"},
		{problem.Reason{Kind: problem.ReasonCapacity, Ref: "hoist", Until: at(1, 10, 30)}, "the hoist is taken until 10:30 am"},
		{problem.Reason{Kind: problem.ReasonCapacity, Ref: "l2", Until: at(1, 10, 30)}, "Level 2 holds as many crews as it may until 10:30 am"},
		{problem.Reason{Kind: problem.ReasonCalendar, Ref: "site", Until: at(2, 7, 0)}, "outside working hours of the site until Wed 2 Dec, 7:00 am"},
		{problem.Reason{Kind: problem.ReasonCalendar, Until: at(2, 7, 0)}, "outside working hours until Wed 2 Dec, 7:00 am"},
		{problem.Reason{Kind: problem.ReasonPin, Until: at(2, 7, 0)}, "pinned by the operations manager to Wed 2 Dec, 7:00 am"},
		{problem.Reason{Kind: problem.ReasonPin, Ref: "issued", Until: at(2, 7, 0)}, "stays where the issued plan has it, Wed 2 Dec, 7:00 am"},
		{problem.Reason{Kind: problem.ReasonStatus, Until: at(2, 7, 0)}, "already started, goes on Wed 2 Dec, 7:00 am"},
		{problem.Reason{Kind: problem.ReasonDataDate, Until: at(1, 7, 0)}, "clear to start from 7:00 am"},
		{problem.Reason{Kind: "tide", Ref: "t9"}, "waits for t9"},
	}
	for _, tc := range tests {
		assert.Equal(t, tc.want, imperial.Why(tc.reason, "alder", names))
	}
	assert.Equal(t, "every crew that could do it is busy", imperial.Why(problem.Reason{Kind: problem.ReasonCrew}, "", Names{}))
}

func TestStep_LeavesOutWhatTheChainSays(t *testing.T) {
	t.Parallel()
	names := Names{Tasks: map[string]string{"a": "framing of D-201", "b": "glazing of D-201"}, Crews: map[string]string{"alder": "Alder"}}
	alder := "alder"
	task := problem.PlannedTask{ID: "b", Crew: &alder, Start: at(2, 7, 0), Finish: at(2, 9, 0), Reason: problem.Reason{Kind: problem.ReasonPredecessor, Ref: "a", Until: at(2, 7, 0)}}
	assert.Equal(t, "Glazing of D-201 by crew Alder, Wed 2 Dec, 7:00 am to 9:00 am.", imperial.Step(task, "a", names))
	assert.Equal(t, "Glazing of D-201 by crew Alder, Wed 2 Dec, 7:00 am to 9:00 am: waits for framing of D-201, to be done Wed 2 Dec, 7:00 am.", imperial.Step(task, "", names))
	delivery := problem.PlannedTask{ID: "r3", Start: at(2, 0, 0), Finish: at(3, 0, 0)}
	assert.Equal(t, "R3, Wed 2 Dec.", imperial.Step(delivery, "", names))
}
