package played_test

import (
	"strings"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/recovery"
	"jambwright/server/jobtest"
	"jambwright/server/reporting"
)

// handovers come to pass, or are said to be late: two days before the date that we count on, by half of what is missing.
func (w *world) handovers() {
	w.t.Helper()
	list, err := models.Handovers(w.t.Context(), w.DB, w.Project.ID)
	require.NoError(w.t, err)
	today := models.Date{Date: w.today}
	for i := range list {
		h := &list[i]
		key := string(pattern.HandoverTask(w.Project.Code, h.Area.Code, h.Condition))
		comes, known := w.comes[key]
		if !known {
			comes = workday(h.Promised.Date, w.truth.one(daysLate, key))
			w.comes[key] = comes
		}
		comes = w.rushed(key, h.Promised.Date, comes)
		said := h.Promised.Date
		if h.Forecast != nil {
			said = h.Forecast.Date
		}
		report := reporting.HandoverReport{ID: h.ID, Version: h.Version}
		switch {
		case h.Actual != nil:
			continue
		case !w.today.Before(comes):
			report.Deed, report.Date = reporting.CameToPass, &today
			at := w.clock.Now()
			w.deed(key).finished = &at
		case said.Before(comes) && !w.today.Before(said.AddDays(-2)):
			half := (said.DaysUntil(comes) + 1) / 2
			report.Deed, report.Date = reporting.NewForecast, &models.Date{Date: workday(said.AddDays(half), 0)}
			report.Cause = "seen on the site walk"
		default:
			continue
		}
		require.Empty(w.t, report.Check(h, today), key)
		require.NoError(w.t, w.DB.Write(w.t.Context(), func(tx *models.Tx) error {
			return report.Record(w.t.Context(), tx, jobtest.Actor())
		}))
	}
}

// order places the order of a release or a remake when the plan says so and nothing is missing.
func (w *world) order(t *problem.Task) {
	w.t.Helper()
	d := w.deed(t.ID)
	start := w.planned(t.ID)
	if d.finished != nil || start == nil || start.After(w.at(23, 0)) || !w.isClear(t.ID, w.clock.Now()) {
		return
	}
	at := w.clock.Now()
	d.started, d.finished = &at, &at
	w.report(t.ID, reporting.Report{Kind: models.ReportDone, At: at})
}

func (w *world) planned(key string) *time.Time {
	for i := range w.plan.Tasks {
		if w.plan.Tasks[i].ID == key {
			return &w.plan.Tasks[i].Start
		}
	}
	return nil
}

// underWay is material on its way: the day after the order its supplier promises a day, which proves wrong now and then, and is
// said to be so on the day before.
func (w *world) underWay(t *problem.Task) {
	w.t.Helper()
	key, err := pattern.TaskKey(t.ID).Parse()
	require.NoError(w.t, err)
	order, d := w.deed(string(pattern.OrderTask(key.Project, key.Subject))), w.deed(t.ID)
	if order.finished == nil || d.finished != nil {
		return
	}
	ordered := problem.DateOf(order.finished.In(w.zone))
	comes, known := w.comes[t.ID]
	if !known {
		comes = workday(ordered, w.days(t.ID))
		w.comes[t.ID] = comes
	}
	promise := workday(comes, 0)
	if slip := w.truth.one(afterPromise, t.ID); slip > 0 {
		comes = workday(comes, slip)
	}
	comes = w.rushed(t.ID, ordered, comes)
	news := w.material(t)
	date := models.Date{Date: promise}
	switch {
	case !w.today.Before(comes):
		w.arrive(t, key)
		return
	case w.today == workday(ordered, 1):
		news.Promised, news.Source = &date, "acknowledgement of the supplier"
	case promise.Before(comes) && !w.today.Before(promise.AddDays(-1)):
		late := models.Date{Date: comes}
		news.Promised, news.Cause, news.Source = &late, "furnace down", "call with the supplier"
	default:
		return
	}
	w.record(news)
}

// arrive takes material in: by a foreman's report on its unloading, or from the delivery note.
func (w *world) arrive(t *problem.Task, key pattern.Key) {
	w.t.Helper()
	deliver := string(pattern.DeliverTask(key.Project, key.Subject, key.Drop))
	at := w.clock.Now()
	w.deed(t.ID).finished, w.deed(deliver).finished = &at, &at
	if w.truth.happens(0.5, "unloading "+t.ID) {
		w.report(deliver, reporting.Report{Kind: models.ReportDone, At: at})
		return
	}
	news := w.material(t)
	news.Received, news.Source = &at, "delivery note"
	w.record(news)
}

// days is a lead time as it really is, drawn from the figures of the sheet of suppliers.
func (w *world) days(task string) int {
	if strings.HasSuffix(task, "-frames/lead") {
		return w.truth.lead(6, 9, 15, task)
	}
	return w.truth.lead(9, 13, 20, task)
}

// material are news of what a lead brings.
func (w *world) material(t *problem.Task) models.MaterialNews {
	w.t.Helper()
	row := w.Task(t.ID)
	news := models.MaterialNews{ReleaseID: row.ReleaseID, ItemID: row.ItemID}
	if row.DropNumber != nil && row.ReleaseID != nil {
		news.Drop = *row.DropNumber
	}
	return news
}

func (w *world) record(news models.MaterialNews) {
	w.t.Helper()
	require.NoError(w.t, w.DB.Write(w.t.Context(), func(tx *models.Tx) error {
		return models.RecordMaterial(w.t.Context(), tx, news, models.Actor{Name: "buyer"})
	}))
}

// rushed is the day on which something really comes when moves in force are for it to come sooner; asked is when it was ordered
// or promised.
func (w *world) rushed(key string, asked, comes problem.Date) problem.Date {
	for _, m := range w.rush {
		if m.Task != key {
			continue
		}
		by := problem.DateOf(m.By.In(w.zone))
		switch {
		case m.Kind == recovery.EarlierHandover: // the same lateness, counted from the day that was asked for
			comes = workday(comes.AddDays(-max(0, by.DaysUntil(asked))), 0)
		case m.Kind == recovery.Expedite && !m.By.IsZero() && by.Before(comes):
			comes = workday(by, 0)
		case m.Kind == recovery.Expedite && m.By.IsZero():
			if sooner := workday(asked, m.Minutes/(8*60)); sooner.Before(comes) {
				comes = sooner
			}
		}
	}
	return comes
}
