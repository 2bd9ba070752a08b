package server

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
	"jambwright/web"
)

// monday is 23 November 2026, 00:00 UTC.
func monday(day, hour int) calendar.Instant {
	return calendar.FromTime(time.Date(2026, 11, 23+day, hour, 0, 0, 0, time.UTC))
}

func span(day, from, to int) calendar.Interval {
	return calendar.Interval{Start: monday(day, from), Finish: monday(day, to)}
}

func laneOf(key string, area, site int64, segments ...calendar.Interval) laneTask {
	return laneTask{
		mark: web.LaneMark{TaskKey: key, Mark: key}, area: "area " + string('A'+rune(area)), areaID: area, siteID: site, segments: segments,
	}
}

// hourOfTravel loses an hour between sites and half an hour between areas.
func hourOfTravel(from, to laneTask) (web.PieceKind, int) {
	switch {
	case from.siteID != to.siteID:
		return web.PieceTravel, 60
	case from.areaID != to.areaID:
		return web.PieceSetup, 30
	}
	return web.PieceIdle, 0
}

type seen struct {
	kind    web.PieceKind
	minutes int
	marks   int
}

func see(day web.LaneDay) []seen {
	var list []seen
	for _, p := range day.Pieces {
		list = append(list, seen{p.Kind, p.Minutes, len(p.Marks)})
	}
	return list
}

func twoDays() []web.Day {
	return []web.Day{
		{Date: problem.Date{Year: 2026, Month: 11, Day: 23}}, {Date: problem.Date{Year: 2026, Month: 11, Day: 24}, Off: "away: training"},
	}
}

func TestLaneDays_EveryWorkingMinuteIsWorkTravelSetUpOrIdle(t *testing.T) {
	t.Parallel()
	working := []calendar.Interval{span(0, 7, 12), span(0, 13, 16), span(1, 7, 15)}
	lane := laneDays(twoDays(), time.UTC, working, []laneTask{
		laneOf("d", 3, 2, span(1, 9, 15)),
		laneOf("b", 1, 1, span(0, 9, 10)),
		laneOf("a", 1, 1, span(0, 7, 9)),
		laneOf("c", 2, 1, span(0, 11, 12), span(0, 13, 15)), // over lunch
	}, hourOfTravel)
	require.Equal(t, []seen{
		{web.PieceWork, 180, 2}, {web.PieceIdle, 30, 0}, {web.PieceSetup, 30, 0}, {web.PieceWork, 180, 1}, {web.PieceIdle, 60, 0},
	}, see(lane[0]))
	require.Equal(t, []seen{{web.PieceIdle, 60, 0}, {web.PieceTravel, 60, 0}, {web.PieceWork, 360, 1}}, see(lane[1]))
	require.Empty(t, lane[1].Off, "a day with work is not shown as off")
	total := 0
	for _, day := range lane {
		for _, p := range day.Pieces {
			total += p.Minutes
		}
	}
	require.Equal(t, 16*60, total)
}

func TestLaneDays_ADoubleBookingIsSaid(t *testing.T) {
	t.Parallel()
	lane := laneDays(twoDays(), time.UTC, []calendar.Interval{span(0, 7, 15)}, []laneTask{
		laneOf("a", 1, 1, span(0, 7, 10)), laneOf("b", 2, 1, span(0, 9, 12)),
	}, hourOfTravel)
	require.Equal(t, "also booked on area B at that time", lane[0].Pieces[1].Trouble)
	require.Equal(t, "away: training", lane[1].Off)
}
