package played_test

import (
	"context"
	"log/slog"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/scheduler/cost"
	"jambwright/server/delays"
	"jambwright/server/jobtest"
	"jambwright/server/nightly"
	"jambwright/server/planning"
)

// Effort of a night: enough for this small job.
const (
	schedules = 4
	samples   = 60
)

// night runs the night's job as the queue calls it, on some nights twice as after a killed process, asserts what must hold every
// night, and issues the plan where nights do not by themselves. tonight is what somebody does before that.
func (w *world) night(issues bool, tonight func(w *world)) {
	w.t.Helper()
	ctx := w.t.Context()
	w.set(w.at(20, 0))
	w.evenings = append(w.evenings, w.clock.Now())
	log := slog.New(slog.DiscardHandler)
	run := planning.NewNightly(w.DB, log)
	run.Schedules, run.Samples = schedules, samples
	replan := delays.AfterNight(run.Run, w.DB, log)
	plans, earlier := w.Count("plans"), w.latest()
	args, ended := nightly.Args{ProjectID: w.Project.ID, Night: w.today.String()}, 0
	times := 1 + w.today.Day%3/2
	for range times {
		require.NoError(w.t, replan(ctx, args, func(context.Context, *models.Tx) error { ended++; return nil }))
	}
	require.Equal(w.t, times, ended)
	require.Equal(w.t, plans+1, w.Count("plans"), "one plan a night, however often its job runs")
	nights, err := models.Nights(ctx, w.DB, nil, 1)
	require.NoError(w.t, err)
	night := nights[0].Night
	require.Equal(w.t, models.NightOK, night.Status, night.Error)
	require.Empty(w.t, night.ForecastTrouble)
	require.Equal(w.t, w.latest().ID, *night.PlanID)
	require.Equal(w.t, w.reports, night.Reports, "reports read on %s", w.today)
	w.reports = 0
	w.assertFolded()
	w.assertCauses(earlier.ID, *night.PlanID)
	w.assertForecast(*night.PlanID)
	w.assertLedger()
	w.assertCost(*night.PlanID)
	tonight(w)
	w.set(w.at(20, 30))
	if issues {
		w.issue(w.latest().ID)
	} else {
		require.True(w.t, night.Issued)
		w.follow()
	}
}

func (w *world) latest() *models.Plan {
	w.t.Helper()
	row, err := models.LatestPlan(w.t.Context(), w.DB)
	require.NoError(w.t, err)
	return row
}

// assertFolded holds every task's stored state against what the office was told of it: each report counts once.
func (w *world) assertFolded() {
	w.t.Helper()
	require.Equal(w.t, w.sent, w.Count("field_reports"))
	stored, err := models.ReportedLabour(w.t.Context(), w.DB)
	require.NoError(w.t, err)
	require.Equal(w.t, w.labour, stored, "hours by task and crew")
	for i := range w.doc.Tasks {
		t := &w.doc.Tasks[i]
		d := w.deed(t.ID)
		if !t.IsCrewWork() || !d.told {
			continue
		}
		row, hours := w.Task(t.ID), 0
		for _, minutes := range w.labour[t.ID] {
			hours += minutes
		}
		require.WithinDuration(w.t, *d.finished, *row.FinishedAt, 0, t.ID)
		require.Equal(w.t, hours, row.LabourReported, t.ID)
	}
}

// assertLedger asserts that the lines of each GC date add up to its movement from the first issued plan to tonight's.
func (w *world) assertLedger() {
	w.t.Helper()
	statement, err := delays.Read(w.t.Context(), w.DB, w.Project.ID, delays.All)
	require.NoError(w.t, err)
	require.Zero(w.t, statement.Missing)
	require.Len(w.t, statement.Dates, 4)
	first, last := w.forecasts(w.first), w.forecasts(w.latest().ID)
	for i := range statement.Dates {
		d := &statement.Dates[i]
		require.True(w.t, d.Measured(), d.GCDate.Name)
		require.Zero(w.t, d.Untold(), "%s on %s", d.GCDate.Name, w.today)
		require.WithinDuration(w.t, *first[d.GCDate.ID], *d.Before, 0, d.GCDate.Name)
		require.WithinDuration(w.t, *last[d.GCDate.ID], *d.After, 0, d.GCDate.Name)
		sum := 0
		for k := range d.Lines {
			sum += d.Lines[k].Minutes
			require.NotEmpty(w.t, d.Lines[k].Text)
		}
		require.Equal(w.t, int(d.After.Sub(*d.Before)/time.Minute), sum, "%s on %s", d.GCDate.Name, w.today)
	}
}

// forecasts are the days that a plan has for the GC dates, by their ids.
func (w *world) forecasts(planID int64) map[int64]*time.Time {
	w.t.Helper()
	dates, err := models.PlanDates(w.t.Context(), w.DB, planID, nil)
	require.NoError(w.t, err)
	byID := map[int64]*time.Time{}
	for i := range dates {
		require.NotNil(w.t, dates[i].ForecastAt)
		byID[dates[i].GCDateID] = dates[i].ForecastAt
	}
	return byID
}

// assertCost asserts that what is spent is what was booked, each crew's hours at its own rate.
func (w *world) assertCost(planID int64) {
	w.t.Helper()
	ctx := w.t.Context()
	in := cost.Input{Moves: w.rush}
	in.Problem, in.Plan = w.documents(planID)
	var err error
	in.Reported, err = models.ReportedLabour(ctx, w.DB)
	require.NoError(w.t, err)
	in.Begun, err = models.BegunLabour(ctx, w.DB)
	require.NoError(w.t, err)
	sums, err := cost.Of(in, func(string) []string { return []string{"all"} })
	require.NoError(w.t, err)
	minutes, money := 0, 0.0
	for _, crews := range w.labour {
		for crew, m := range crews {
			minutes += m
			money += float64(m) / 60 * w.crew(crew).CostPerHour / float64(w.crew(crew).Heads)
		}
	}
	planned := 0
	for i := range in.Problem.Tasks {
		if t := &in.Problem.Tasks[i]; t.IsCrewWork() {
			if w.whole[t.ID] == 0 {
				w.whole[t.ID] = *t.LabourMinutes
			}
			planned += w.whole[t.ID]
		}
	}
	require.InDelta(w.t, float64(planned)/60, sums["all"].PlannedHours, 1e-6, "hours planned on %s", w.today)
	require.Zero(w.t, sums["all"].WithoutHours)
	require.InDelta(w.t, float64(minutes)/60, sums["all"].SpentHours, 1e-6, "hours spent on %s", w.today)
	require.InDelta(w.t, money, sums["all"].Spent, 1e-4, "money spent on %s", w.today)
}

// autoIssue makes nights issue their plans by themselves.
func (w *world) autoIssue() {
	w.t.Helper()
	w.Project.AutoIssue = true
	require.NoError(w.t, w.DB.Write(w.t.Context(), func(tx *models.Tx) error {
		return models.UpdateProject(w.t.Context(), tx, w.Project, jobtest.Actor())
	}))
}

// isDone reports whether nothing of the job is left.
func (w *world) isDone() bool {
	for i := range w.doc.Tasks {
		if d := w.deeds[w.doc.Tasks[i].ID]; d == nil || d.finished == nil || w.tasks[w.doc.Tasks[i].ID].IsCrewWork() && !d.told {
			return false
		}
	}
	return true
}
