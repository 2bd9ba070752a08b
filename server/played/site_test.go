package played_test

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
	"jambwright/server/reporting"
)

// report writes a report and sends it, now and then only the next morning, and now and then twice.
func (w *world) report(key string, r reporting.Report) {
	w.t.Helper()
	w.told++
	r.ClientID, r.TaskKey, r.Reporter = fmt.Sprintf("played-%05d", w.told), key, "the foreman"
	if crew := w.deed(key).crew; crew != "" {
		stored, err := models.CrewByName(w.t.Context(), w.DB, crew)
		require.NoError(w.t, err)
		r.CrewID = &stored.ID
	}
	// What comes after a report without signal on the same phone waits as well.
	waits := slices.ContainsFunc(w.unsent, func(u reporting.Report) bool { return u.TaskKey == key })
	atWork := r.CrewID != nil && !r.At.Before(w.at(7, 0))
	if waits || atWork && w.truth.happens(lostSignal, r.ClientID) {
		w.unsent = append(w.unsent, r)
		return
	}
	w.set(r.At)
	w.send(r)
}

// send hands a report in as the page does, every fifth one twice, as a phone does whose answer was lost.
func (w *world) send(r reporting.Report) {
	w.t.Helper()
	times := 1
	if w.told%5 == 0 {
		times = 2
	}
	for n := range times {
		already, err := reporting.Submit(w.t.Context(), w.DB, r)
		require.NoError(w.t, err, "%s of %s", r.Kind, r.TaskKey)
		require.Equal(w.t, n > 0, already)
	}
	w.sent++
	w.reports++
	d := w.deed(r.TaskKey)
	if r.Labour != nil {
		if w.labour[r.TaskKey] == nil {
			w.labour[r.TaskKey] = map[string]int{}
		}
		w.labour[r.TaskKey][d.crew] += *r.Labour
	}
	d.told = d.told || r.Kind == models.ReportDone
}

// breakPane tells that a pane of a task broke, with what is left of the work when there is another one.
func (w *world) breakPane(key string, at time.Time) {
	d := w.deed(key)
	d.broke = true
	if d.finished == nil {
		d.stopped = true
		w.report(key, reporting.Report{Kind: models.ReportPartDone, At: at, Labour: w.booked(d), Remaining: w.guess(key)})
	}
	w.report(key, reporting.Report{Kind: models.ReportDamaged, At: at, Item: pattern.Glass, Cause: "pane broke on the rack"})
}

// guess is what a foreman reckons is left of a task, in minutes of his crew: by what was planned, since he does not know better.
func (w *world) guess(key string) *int {
	t, d := w.tasks[key], w.deed(key)
	crew := w.crew(d.crew)
	planned := problem.CrewMinutes(*t.LabourMinutes, crew.Heads, productivity(crew, t.Kind))
	left := max(15, int(float64(planned)*(1-d.done)))
	return &left
}

// evening books the hours of work that goes on tomorrow, on some days with what is left.
func (w *world) evening() {
	w.t.Helper()
	for _, key := range slices.Sorted(maps.Keys(w.deeds)) {
		d := w.deeds[key]
		if d.unreported == 0 {
			continue
		}
		r := reporting.Report{Kind: models.ReportPartDone, At: w.clock.Now(), Labour: w.booked(d), Remaining: w.guess(key)}
		if w.truth.happens(0.3, "evening "+key+w.today.String()) {
			r.Kind, r.Remaining = models.ReportHours, nil
		}
		w.report(key, r)
	}
}

// morning is what happens before the crews begin: what could not be sent, what comes, what is ordered, what becomes known.
func (w *world) morning() {
	w.t.Helper()
	w.set(w.at(6, 15))
	late := w.unsent
	w.unsent = nil
	for _, r := range late {
		w.send(r)
	}
	for _, key := range slices.Sorted(maps.Keys(w.deeds)) {
		w.found(key)
	}
	w.handovers()
	for _, key := range slices.Sorted(maps.Keys(w.tasks)) {
		switch t := w.tasks[key]; t.Kind {
		case string(takeoff.Order):
			w.order(t)
		case string(pattern.Lead):
			w.underWay(t)
		}
	}
}

// found is what a morning brings for one task: an answer to a hold, or a pane that others broke days after it was set.
func (w *world) found(key string) {
	w.t.Helper()
	d := w.deeds[key]
	if d.heldTo != nil && !w.today.Before(*d.heldTo) {
		d.heldTo = nil
		w.report(key, reporting.Report{Kind: models.ReportReleaseHold, At: w.clock.Now()})
	}
	if d.finished == nil || d.broke || w.tasks[key] == nil || w.tasks[key].Kind != string(takeoff.Glaze) || !w.truth.happens(brokenLater, "later "+key) {
		return
	}
	if w.today == workday(problem.DateOf(d.finished.In(w.zone)), 1+w.truth.of("how late "+key).IntN(5)) {
		w.breakPane(key, w.clock.Now())
	}
}

// hold tells that something stops a task that was just begun, for two days.
func (w *world) hold(key string, at time.Time) {
	d := w.deed(key)
	d.held = true
	d.heldTo = new(workday(w.today, 2))
	until := time.Date(d.heldTo.Year, d.heldTo.Month, d.heldTo.Day, 12, 0, 0, 0, w.zone)
	w.report(key, reporting.Report{Kind: models.ReportPartDone, At: at, Labour: w.booked(d), Remaining: w.guess(key)})
	w.report(key, reporting.Report{Kind: models.ReportHold, At: at, Cause: "conduit in the head track", Party: "other trade", Until: &until})
}

// assertPage holds what the page of the crews' work says of today against what has happened; all of it is told by now.
func (w *world) assertPage() {
	w.t.Helper()
	work, err := models.CrewWork(w.t.Context(), w.DB, models.WorkQuery{From: w.at(0, 0), To: w.at(24, 0)})
	require.NoError(w.t, err)
	for i := range work {
		key := work[i].Task.Key
		d, state := w.deed(key), models.StateWaiting
		switch {
		case d.finished != nil:
			state = models.StateDone
		case d.heldTo != nil:
			state = models.StateHeld
		case d.started != nil:
			state = models.StateUnderWay
		case !slices.ContainsFunc(w.before[key], func(l problem.Link) bool { return w.deed(l.From).finished == nil }):
			state = models.StateClear
		}
		require.Equal(w.t, state, work[i].State, "%s on %s", key, w.today)
	}
}
