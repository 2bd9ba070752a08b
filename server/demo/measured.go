package demo

import (
	"context"
	"slices"

	"jambwright/models"
	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
	"jambwright/server/reporting"
)

// remeasured are openings that were measured once more after their material was ordered, and found to be others.
var remeasured = []string{"205", "207"}

// sizes tells what the survey of the second level measured, most of it within an eighth of the drawings, and what was measured
// again after the order.
func (h *history) sizes(ctx context.Context) error {
	list, err := models.ListOpenings(ctx, h.db, models.OpeningQuery{ProjectID: h.project.ID})
	if err != nil {
		return err
	}
	for i := range list.Openings {
		o := &list.Openings[i]
		day, minute := -9, i%400
		switch o.Area.Code {
		case "L2-East":
		case "L2-West":
			day = -6
		default:
			continue
		}
		width := o.Width + offDrawings(o.Mark+" width")
		if err := h.measure(ctx, o, width, day, minute); err != nil {
			return err
		}
		if slices.Contains(remeasured, o.Mark) {
			if err := h.measure(ctx, o, width+3*length.Sixteenth, -2, minute); err != nil {
				return err
			}
		}
	}
	return nil
}

// measure tells the size of an opening on a day, some minutes after seven.
func (h *history) measure(ctx context.Context, o *models.OpeningStanding, width length.Length, day, minute int) error {
	at := slices.IndexFunc(o.Tasks, func(t models.Task) bool { return t.Kind == takeoff.Frame })
	if at < 0 {
		return nil
	}
	height := o.Height + offDrawings(o.Mark+" height")
	return h.report(ctx, reporting.Report{
		TaskKey: o.Tasks[at].Key, Kind: models.ReportMeasured, At: h.day(day, 7, minute), Width: &width, Height: &height,
	})
}

// offDrawings is by how much a wall misses the drawings, within an eighth, as follows from a name alone.
func offDrawings(name string) length.Length {
	return length.Length(min(4, int(2.5*scatter(name)))-2) * length.Sixteenth
}
