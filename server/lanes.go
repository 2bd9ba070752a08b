package server

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/web"
)

// laneTask is one planned task of a crew as a lane needs it.
type laneTask struct {
	mark     web.LaneMark
	area     string // name
	areaID   int64
	site     string // name
	siteID   int64
	segments []calendar.Interval // working time still to come
}

// lost tells the crew time lost between two tasks in a row: travel between sites, set-up between areas of one site.
type lost func(from, to laneTask) (kind web.PieceKind, minutes int)

// laneDays cuts a crew's work into the days of a page, between from (local midnight) and from plus len(days). working is
// the crew's working time there; tasks are in any order. Every working minute becomes work, travel, set-up or idle.
//
// Time lost is shown right before the task that it leads to, in the last free working minutes before it: that is where
// the planner has kept it free.
func laneDays(days []web.Day, zone *time.Location, working []calendar.Interval, tasks []laneTask, between lost) []web.LaneDay {
	pieces := lanePieces(zone, working, tasks, between)
	lane := make([]web.LaneDay, len(days))
	for i, day := range days {
		begin := time.Date(day.Date.Year, day.Date.Month, day.Date.Day, 0, 0, 0, 0, zone)
		end := time.Date(day.Date.Year, day.Date.Month, day.Date.Day+1, 0, 0, 0, 0, zone)
		lane[i] = web.LaneDay{Date: day.Date, Off: day.Off}
		for _, p := range pieces {
			if p.Start.Before(end) && p.Finish.After(begin) {
				lane[i].Pieces = append(lane[i].Pieces, clip(p, begin, end))
			}
		}
		if len(lane[i].Pieces) > 0 {
			lane[i].Off = ""
		}
	}
	return lane
}

func clip(p web.LanePiece, begin, end time.Time) web.LanePiece {
	if p.Start.Before(begin) {
		p.Start = begin
	}
	if p.Finish.After(end) {
		p.Finish = end
	}
	return p
}

// stretch is a span of one task, or of time lost or idle.
type stretch struct {
	calendar.Interval
	task *laneTask // nil for idle time
	kind web.PieceKind
}

// lanePieces is the whole lane in order of time; work of one area in a row on one day is one piece.
func lanePieces(zone *time.Location, working []calendar.Interval, tasks []laneTask, between lost) []web.LanePiece {
	ordered := slices.Clone(tasks)
	slices.SortFunc(ordered, func(a, b laneTask) int {
		return cmp.Or(cmp.Compare(firstStart(a), firstStart(b)), cmp.Compare(a.mark.TaskKey, b.mark.TaskKey))
	})
	var stretches []stretch
	for i := range ordered {
		for _, s := range ordered[i].segments {
			stretches = append(stretches, stretch{Interval: s, task: &ordered[i], kind: web.PieceWork})
		}
	}
	slices.SortStableFunc(stretches, func(a, b stretch) int { return cmp.Compare(a.Start, b.Start) })
	stretches = fillGaps(working, stretches, between)
	return group(zone, stretches)
}

func firstStart(t laneTask) calendar.Instant {
	if len(t.segments) == 0 {
		return 0
	}
	return t.segments[0].Start
}

// fillGaps adds idle and lost time to the work, so that every working minute is in one stretch.
func fillGaps(working []calendar.Interval, work []stretch, between lost) []stretch {
	var all []stretch
	var before *laneTask
	next := 0
	for _, w := range working {
		at := w.Start
		for next < len(work) && work[next].Start < w.Finish {
			s := work[next]
			all = append(all, gap(at, s.Start, before, s.task, between)...)
			all = append(all, s)
			at, before = max(at, s.Finish), s.task
			next++
		}
		var after *laneTask
		if next < len(work) {
			after = work[next].task
		}
		all = append(all, idleUntil(at, w.Finish, before, after)...)
	}
	return append(all, work[next:]...)
}

// gap splits the free time before a task into idle time and, last, the time lost on the way to it.
func gap(from, to calendar.Instant, before, after *laneTask, between lost) []stretch {
	if from >= to {
		return nil
	}
	if before == nil || before == after {
		return []stretch{{Interval: calendar.Interval{Start: from, Finish: to}, kind: web.PieceIdle}}
	}
	kind, minutes := between(*before, *after)
	cut := max(from, to-calendar.Instant(minutes))
	var parts []stretch
	if from < cut {
		parts = append(parts, stretch{Interval: calendar.Interval{Start: from, Finish: cut}, kind: web.PieceIdle})
	}
	if cut < to {
		parts = append(parts, stretch{Interval: calendar.Interval{Start: cut, Finish: to}, kind: kind, task: after})
	}
	return parts
}

func idleUntil(from, to calendar.Instant, before, after *laneTask) []stretch {
	if from >= to || before != nil && before == after {
		return nil
	}
	return []stretch{{Interval: calendar.Interval{Start: from, Finish: to}, kind: web.PieceIdle}}
}

// group joins stretches of one day that follow one another and belong to one piece: a lunch break does not split it.
func group(zone *time.Location, stretches []stretch) []web.LanePiece {
	var pieces []web.LanePiece
	var areas []int64
	for _, s := range stretches {
		p := pieceOf(s)
		var area int64
		if s.task != nil {
			area = s.task.areaID
		}
		last := len(pieces) - 1
		if last >= 0 && pieces[last].Kind == p.Kind && areas[last] == area && sameDay(zone, pieces[last].Start, p.Start) {
			if p.Kind == web.PieceWork && p.Start.Before(pieces[last].Finish) {
				pieces[last].Trouble = "two tasks here at one time"
			}
			pieces[last].Finish = latest(pieces[last].Finish, p.Finish)
			pieces[last].Minutes += p.Minutes
			pieces[last].Marks = appendMarks(pieces[last].Marks, p.Marks)
			continue
		}
		if last >= 0 && p.Kind == web.PieceWork && p.Start.Before(pieces[last].Finish) && pieces[last].Kind == web.PieceWork {
			p.Trouble = fmt.Sprintf("also booked on %s at that time", pieces[last].Area)
		}
		pieces, areas = append(pieces, p), append(areas, area)
	}
	return pieces
}

func sameDay(zone *time.Location, a, b time.Time) bool {
	yearA, monthA, dayA := a.In(zone).Date()
	yearB, monthB, dayB := b.In(zone).Date()
	return yearA == yearB && monthA == monthB && dayA == dayB
}

func latest(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

func appendMarks(marks, more []web.LaneMark) []web.LaneMark {
	for _, m := range more {
		if !slices.ContainsFunc(marks, func(other web.LaneMark) bool { return other.TaskKey == m.TaskKey }) {
			marks = append(marks, m)
		}
	}
	return marks
}

func pieceOf(s stretch) web.LanePiece {
	p := web.LanePiece{
		Kind: s.kind, Start: s.Start.Time(), Finish: s.Finish.Time(), Minutes: int(s.Finish - s.Start),
	}
	if s.task == nil {
		return p
	}
	p.Area, p.Site = s.task.area, s.task.site
	if s.kind == web.PieceWork {
		p.Key = s.task.mark.TaskKey
		p.Marks = []web.LaneMark{s.task.mark}
	}
	return p
}
