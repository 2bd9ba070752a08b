package ledger

import (
	"slices"
	"time"

	"jambwright/scheduler/problem"
)

// result sums the steps up by line.
func (w *window) result() *Result {
	r := &Result{From: w.in.Earlier.DataDate, To: w.in.Later.DataDate, Lines: w.lines, Replans: w.replans}
	before, after := forecastsOf(w.in.EarlierPlan), forecastsOf(w.in.LaterPlan)
	for _, id := range w.dateIDs {
		d := Date{ID: id}
		d.DueBefore, d.Before, d.LateBefore = outlook(w.earlierDates[id], before, id)
		d.DueAfter, d.After, d.LateNow = outlook(w.laterDates[id], after, id)
		if d.Measured() {
			d.Moved = minutesBetween(*d.Before, *d.After)
			d.Parts = w.parts(id)
		} else if d.Before != nil {
			d.Lost = w.lost(id)
		}
		for i := range w.told() {
			d.AloneSum += w.effect(id, w.alone[i])
		}
		r.Dates = append(r.Dates, d)
	}
	return r
}

func outlook(d *problem.GCDate, found forecasts, id string) (due time.Time, forecast *time.Time, late int) {
	if d != nil {
		due = d.Date
	}
	if at, known := found[id]; known {
		forecast = &at
		if d != nil {
			late = max(0, minutesBetween(d.Date, at))
		}
	}
	return due, forecast, late
}

// parts are what the lines did to a date.
func (w *window) parts(id string) (parts []Part) {
	sums, with := make([]int, len(w.lines)), make([]int, len(w.lines))
	touched := make([]bool, len(w.lines))
	for i := range with {
		with[i] = -1
	}
	var waiting []int
	for _, s := range w.steps[id] {
		if !s.known {
			waiting = append(waiting, s.line)
			continue
		}
		sums[s.line] += s.minutes
		if s.minutes != 0 {
			for _, line := range waiting {
				if line != s.line {
					with[line] = s.line
				}
			}
		}
		waiting = nil
	}
	for i := range w.lines {
		part := Part{Line: i, Minutes: sums[i], Alone: sums[i], CountedWith: with[i]}
		if i < w.told() {
			part.Alone = w.effect(id, w.alone[i])
			part.Concurrent = w.concurrent(id, i)
		}
		touched[i] = part.Minutes != 0 || part.Alone != 0 || part.CountedWith >= 0
		if touched[i] {
			parts = append(parts, part)
		}
	}
	return parts
}

// lost lists the lines with which a date's forecast went missing for good.
func (w *window) lost(id string) (lines []int) {
	steps := w.steps[id]
	first := len(steps)
	for first > 0 && !steps[first-1].known {
		first--
	}
	if first < len(steps) && !slices.Contains(lines, steps[first].line) {
		lines = append(lines, steps[first].line)
	}
	return lines
}
