package demo

import (
	"context"
	"fmt"
	"slices"
	"time"

	"jambwright/models"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/server/reporting"
)

// slips tells how the promise for the walls of a zone moved twice. Our own forecast, from the sheet, was right from the first day,
// so that the plan knew better all along.
func (h *history) slips(ctx context.Context) error {
	for _, slip := range []struct {
		told, promised int // working days from today
		cause, source  string
	}{
		{-11, -2, "board crews are short", "look-ahead of the general contractor"},
		{-4, 4, "studs failed the inspection", "coordination meeting"},
	} {
		h.clock.Set(h.day(slip.told, 15, 0))
		err := h.db.Write(ctx, func(tx *models.Tx) error {
			walls, err := h.handover(ctx, tx, "L3-West", pattern.WallsBoarded)
			if err != nil {
				return err
			}
			promised := models.Date{Date: workday(h.today, slip.promised)}
			return models.RecordHandoverChange(ctx, tx, walls.ID, walls.Version, models.HandoverNews{
				Promised: &promised, Forecast: walls.Forecast, Cause: slip.cause, Source: slip.source,
			}, actor())
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// handover finds a handover of the scenario.
func (s *scenario) handover(ctx context.Context, r models.Reader, area string, condition pattern.Condition) (*models.Handover, error) {
	list, err := models.Handovers(ctx, r, s.project.ID)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(list, func(h models.Handover) bool { return h.Area.Code == area && h.Condition == condition })
	if i < 0 {
		return nil, fmt.Errorf("the scenario has no handover of %s", area)
	}
	return &list[i], nil
}

// outOfPlumb tells of an opening that was found further out of plumb than a front can take: its work is held, and the trade of
// its walls is to put it right. It is the last hinged front of the zone, so that little else waits for it.
func (h *history) outOfPlumb(ctx context.Context) error {
	list, err := models.ListOpenings(ctx, h.db, models.OpeningQuery{ProjectID: h.project.ID})
	if err != nil {
		return err
	}
	for _, o := range slices.Backward(list.Openings) {
		i := slices.IndexFunc(o.Tasks, func(t models.Task) bool { return t.Kind == takeoff.Frame })
		if o.Area.Code != "L2-West" || o.OpeningType != takeoff.HingedFront || i < 0 {
			continue
		}
		width, height, plumb, sound := o.Width, o.Height, 5*length.Inch/16, length.Length(0)
		until := time.Date(h.today.Year, h.today.Month, h.today.Day, 12, 0, 0, 0, h.zone).AddDate(0, 0, 8)
		return h.report(ctx, reporting.Report{
			TaskKey: o.Tasks[i].Key, Kind: models.ReportMeasured, At: h.day(-6, 13, 40), Width: &width, Height: &height,
			Plumb: &plumb, Level: &sound, Square: &sound, Until: &until, Note: "hinge jamb leans into the corridor",
		})
	}
	return fmt.Errorf("the scenario has no hinged front in the west of level 2")
}
