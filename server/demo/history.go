package demo

import (
	"context"
	"fmt"
	"slices"
	"time"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/server/reporting"
)

// history tells what the crews reported in the weeks before today, through the same use case as a foreman's phone.
type history struct {
	*scenario
	crews map[string]models.Crew // by name
	told  int                    // reports told; the ids of reports count on from it
}

// tellToday tells that crews did today what the plan in force says, as far as the day has come.
func (h *history) tellToday(ctx context.Context) error {
	if err := h.readCrews(ctx); err != nil {
		return err
	}
	morning := time.Date(h.today.Year, h.today.Month, h.today.Day, 0, 0, 0, 0, h.zone)
	work, err := models.CrewWork(ctx, h.db, models.WorkQuery{From: morning, To: h.now})
	if err != nil {
		return err
	}
	slices.SortStableFunc(work, func(a, b models.Work) int { return a.Plan.StartAt.Compare(b.Plan.StartAt) })
	for i := range work {
		if err := h.asPlanned(ctx, &work[i]); err != nil {
			return err
		}
	}
	return nil
}

// asPlanned tells a task as it was planned: done when its time is over, else started, with what is left.
func (h *history) asPlanned(ctx context.Context, w *models.Work) error {
	start, finish := w.Plan.StartAt, w.Plan.FinishAt
	key := pattern.TaskKey(w.Task.Key)
	switch {
	case w.Task.StartedAt != nil || !start.Before(h.now):
		return nil
	case !finish.After(h.now):
		return h.booked(ctx, key, w.Plan.Crew.Name, start, finish.Sub(start), h.hoursOf(w))
	}
	id := h.crewID(w.Plan.Crew.Name)
	if err := h.report(ctx, reporting.Report{TaskKey: w.Task.Key, Kind: models.ReportStart, At: start, CrewID: id}); err != nil {
		return err
	}
	left := 0
	for _, s := range w.Plan.Segments {
		if from := s.Start(); s.Finish().After(h.now) {
			if from.Before(h.now) {
				from = h.now
			}
			left += int(s.Finish().Sub(from) / time.Minute)
		}
	}
	return h.report(ctx, reporting.Report{TaskKey: w.Task.Key, Kind: models.ReportPartDone, At: h.now, CrewID: id, Remaining: &left})
}

// day is an hour of a working day counted from today.
func (h *history) day(n, hour, minute int) time.Time {
	d := workday(h.today, n)
	return time.Date(d.Year, d.Month, d.Day, hour, minute, 0, 0, h.zone)
}

// report tells one report; the clock stands at the time of the report while it is taken.
func (h *history) report(ctx context.Context, r reporting.Report) error {
	h.told++
	h.clock.Set(r.At)
	r.ClientID = fmt.Sprintf("demo-%04d", h.told)
	if r.Reporter == "" {
		r.Reporter = "the foreman"
	}
	if _, err := reporting.Submit(ctx, h.db, r); err != nil {
		return fmt.Errorf("tell the past of %s: %w", r.TaskKey, err)
	}
	return nil
}

// done tells that a crew did a task in one go, all of its people busy.
func (h *history) done(ctx context.Context, key pattern.TaskKey, crew string, from time.Time, length time.Duration) error {
	return h.booked(ctx, key, crew, from, length, int(length/time.Minute)*h.crews[crew].Heads)
}

// booked tells that a crew did a task in one go and what labour minutes it booked.
func (h *history) booked(ctx context.Context, key pattern.TaskKey, crew string, from time.Time, length time.Duration, labour int) error {
	id := h.crewID(crew)
	start := reporting.Report{TaskKey: string(key), Kind: models.ReportStart, At: from, CrewID: id}
	if err := h.report(ctx, start); err != nil {
		return err
	}
	finish := start
	finish.Kind, finish.At = models.ReportDone, from.Add(length)
	if crew != "" {
		finish.Labour = &labour
	}
	return h.report(ctx, finish)
}

func (h *history) crewID(name string) *int64 {
	if name == "" {
		return nil
	}
	id := h.crews[name].ID
	return &id
}

// Days of the story, in working days from today.
const (
	ordersOne, ordersTwo = -23, -9
	framesFrom           = -7
	glazeFrom            = -4
	hangFrom             = -2
)

// tell tells the whole past.
func (h *history) tell(ctx context.Context) error {
	if err := h.readCrews(ctx); err != nil {
		return err
	}
	for _, part := range []func(context.Context) error{h.surveys, h.sizes, h.slips, h.outOfPlumb, h.orders, h.deliveries, h.work} {
		if err := part(ctx); err != nil {
			return err
		}
	}
	return nil
}

func (h *history) readCrews(ctx context.Context) error {
	crews, err := models.Crews(ctx, h.db)
	if err != nil {
		return err
	}
	h.crews = map[string]models.Crew{}
	for _, crew := range crews {
		h.crews[crew.Name] = crew
	}
	return nil
}

func (h *history) surveys(ctx context.Context) error {
	for _, s := range []struct {
		area, crew string
		day        int
	}{{"L1", "Rowan", -24}, {"L2-East", "Alder", -9}, {"L2-West", "Rowan", -6}} {
		if err := h.done(ctx, pattern.SurveyTask(h.project.Code, s.area), s.crew, h.day(s.day, 7, 0), 7*time.Hour); err != nil {
			return err
		}
	}
	return nil
}

// orders tells which releases were placed, when.
func (h *history) orders(ctx context.Context) error {
	for _, o := range []struct {
		release string
		day     int
	}{
		{"L1-frames", ordersOne},
		{"L1-glass", ordersOne},
		{"L1-leaves+hardware", ordersOne},
		{"L2-leaves+hardware", ordersTwo},
		{"L2-frames", -5},
		{"L2-glass", -5},
		{"L3-leaves+hardware", -4},
	} {
		if err := h.done(ctx, pattern.OrderTask(h.project.Code, o.release), "", h.day(o.day, 9, 0), 30*time.Minute); err != nil {
			return err
		}
	}
	return nil
}

// deliveries tells what arrived, and what the suppliers promised of the rest.
func (h *history) deliveries(ctx context.Context) error {
	for _, d := range []struct {
		release string
		day     int
	}{{"L1-frames", -13}, {"L1-leaves+hardware", -8}} {
		if err := h.done(ctx, pattern.DeliverTask(h.project.Code, d.release, 1), "", h.day(d.day, 8, 0), time.Hour); err != nil {
			return err
		}
	}
	releases, err := models.Releases(ctx, h.db, h.project.ID)
	if err != nil {
		return err
	}
	// The leaves were to come yesterday, and nobody has heard of them.
	promised := map[string]int{"L2-frames": 3, "L2-glass": 9, "L2-leaves+hardware": -1}
	for i := range releases {
		if releases[i].Code == "L1-glass" {
			if err := h.partOf(ctx, releases[i].ID, 8); err != nil {
				return err
			}
		}
		n, known := promised[releases[i].Code]
		if !known {
			continue
		}
		date := models.Date{Date: workday(h.today, n)}
		h.clock.Set(h.day(-3, 10, 0))
		err := h.db.Write(ctx, func(tx *models.Tx) error {
			return models.RecordMaterial(ctx, tx, models.MaterialNews{
				ReleaseID: &releases[i].ID, Promised: &date, Source: "acknowledgement of the supplier",
			}, models.Actor{Name: "buyer"})
		})
		if err != nil {
			return err
		}
	}
	return nil
}
