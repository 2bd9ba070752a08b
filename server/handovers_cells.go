package server

import (
	"cmp"
	"slices"
	"strconv"
	"time"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/web"
)

// cellOf is the handover of a condition that holds for an area: its own, or that of an area around it.
func (v *handoverView) cellOf(areaID int64, c pattern.Condition) (web.HandoverCell, error) {
	h := v.board.HandoverFor(areaID, c)
	if h == nil {
		inside := v.board.Inside(areaID)
		within := slices.ContainsFunc(v.board.Handovers, func(h models.HandoverStanding) bool {
			return h.Condition == c && slices.Contains(inside, h.AreaID)
		})
		return web.HandoverCell{Condition: conditionWords(c), State: web.NotListed, Within: within}, nil
	}
	cell, err := v.cell(h)
	if h.AreaID != areaID {
		cell.From = v.areaName(&h.Area)
	}
	return cell, err
}

// cell is one handover as it stands.
func (v *handoverView) cell(h *models.HandoverStanding) (web.HandoverCell, error) {
	story := h.Story()
	cell := web.HandoverCell{
		ID: strconv.FormatInt(h.ID, 10), Condition: conditionWords(h.Condition), Trade: h.Trade, State: v.state(&h.Handover),
		Promised: plainDate(h.Promised), Forecast: plainDate(h.Forecast), Actual: plainDate(h.Actual), Slips: story.Slips(), Moved: story.Moved(),
	}
	if h.Actual != nil {
		return cell, nil
	}
	open := h.Open()
	cell.Waiting = v.openingsWaiting(open)
	if len(open) > 0 {
		next := v.needLine(&open[0], h.TaskKey)
		cell.Next = &web.NextTask{Kind: next.Kind, Mark: next.Mark, OpeningID: next.OpeningID, Start: next.Start}
	}
	if h.Planned != nil && h.Planned.TotalFloatMinutes > 0 {
		cell.Latest = h.Planned.LateFinish
	}
	return cell, v.waitingDates(h, open, &cell)
}

func plainDate(d *models.Date) *problem.Date {
	if d == nil {
		return nil
	}
	return &d.Date
}

// state is where a handover stands on the day of the page.
func (v *handoverView) state(h *models.Handover) web.HandoverState {
	today := models.DateIn(v.format.Now, v.format.In(time.Time{}).Location())
	switch {
	case h.Actual != nil:
		return web.HandedOver
	case h.Promised != nil && h.Promised.Before(today):
		return web.Overdue
	case h.Forecast != nil && h.Promised != nil && h.Promised.Before(*h.Forecast):
		return web.ExpectedLate
	case h.Promised != nil:
		return web.PromisedDate
	case h.Forecast != nil && h.Forecast.Before(today):
		return web.Overdue
	case h.Forecast != nil:
		return web.ExpectedDate
	}
	return web.NoDate
}

// openingsWaiting counts the openings of tasks; a survey stands for all openings of its area.
func (v *handoverView) openingsWaiting(open []models.NeedingTask) int {
	direct, areas := map[int64]bool{}, map[int64]bool{}
	for i := range open {
		t := &open[i].Task
		if t.OpeningID != nil {
			direct[*t.OpeningID] = true
		} else if t.AreaID != nil && v.board != nil {
			for _, id := range v.board.Inside(*t.AreaID) {
				areas[id] = true
			}
		}
	}
	n := 0
	for id := range areas {
		n += v.board.Openings[id]
	}
	for i := range open {
		if o := open[i].Task.Opening; o != nil && areas[o.AreaID] {
			delete(direct, o.ID) // counted with its area
		}
	}
	return n + len(direct)
}

// needLine is a task that waits; handover is the key of what it waits for.
func (v *handoverView) needLine(n *models.NeedingTask, handover string) web.NeedLine {
	line := web.NeedLine{Kind: kindOf(n.Task.Kind), Mark: v.names.subject(n.Task.Key)}
	if n.Task.Opening != nil {
		line.Mark, line.OpeningID = n.Task.Opening.Mark, strconv.FormatInt(n.Task.Opening.ID, 10)
		line.Area = v.names.d.ByID[n.Task.Opening.AreaID]
	} else if n.Task.AreaID != nil {
		line.Area = v.names.d.ByID[*n.Task.AreaID]
	}
	if n.Planned != nil {
		line.Start, line.Driven = n.Planned.StartAt, n.Planned.ReasonRef == handover
		line.Crew = v.names.crewByID(n.Planned.CrewID)
	}
	return line
}

// waitingDates are the GC dates that the work behind a handover counts for, the tightest first.
func (v *handoverView) waitingDates(h *models.HandoverStanding, open []models.NeedingTask, cell *web.HandoverCell) error {
	for i := range v.dates {
		d := &v.dates[i]
		if d.Openings > 0 && d.OpeningsDone == d.Openings || !v.counts(d, open) {
			continue
		}
		float, err := v.floats.between(v.project, d.ForecastAt, d.DueAt)
		if err != nil {
			return err
		}
		cell.Dates = append(cell.Dates, web.WaitingDate{
			Name: d.GCDate.Name, Forecast: d.ForecastAt != nil, Float: float, Drives: slices.Contains(d.DrivingChain, h.TaskKey),
		})
	}
	slices.SortStableFunc(cell.Dates, func(a, b web.WaitingDate) int { return cmp.Compare(a.Float, b.Float) })
	return nil
}

// counts reports whether any of the tasks lies in the area of a GC date.
func (v *handoverView) counts(d *models.DateRow, open []models.NeedingTask) bool {
	if d.GCDate.AreaID == nil {
		return len(open) > 0
	}
	inside := v.board.Inside(*d.GCDate.AreaID)
	return slices.ContainsFunc(open, func(n models.NeedingTask) bool {
		area := n.Task.AreaID
		if n.Task.Opening != nil {
			area = &n.Task.Opening.AreaID
		}
		return area != nil && slices.Contains(inside, *area)
	})
}
