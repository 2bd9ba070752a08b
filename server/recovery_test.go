package server

import (
	"context"
	"fmt"
	"log/slog"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/riverqueue/river"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/server/forecasting"
	"jambwright/server/recovering"
	"jambwright/web"
)

// InsertJob keeps a search or a forecast until the test runs it.
func (q *heldQueue) InsertJob(_ context.Context, _ *models.Tx, args river.JobArgs) error {
	q.mu.Lock()
	defer q.mu.Unlock()
	switch job := args.(type) {
	case recovering.Args:
		q.searches = append(q.searches, job.RunID)
	case forecasting.Args:
		q.forecasts = append(q.forecasts, job.ForecastID)
	default:
		return fmt.Errorf("no such job: %T", args)
	}
	return nil
}

// runSearches runs the searches that were asked for, as the queue's worker does.
func (s *site) runSearches() {
	s.t.Helper()
	worker := recovering.Worker{DB: s.db, Log: slog.New(slog.DiscardHandler)}
	for _, run := range s.queue.searches {
		require.NoError(s.t, worker.Search(s.t.Context(), run))
	}
	s.queue.searches = nil
}

// lateDate is the first GC date of the demo that is late, by its address.
func (s *site) lateDate() (path string, row models.DateRow) {
	s.t.Helper()
	plan, err := models.LatestPlan(s.t.Context(), s.db)
	require.NoError(s.t, err)
	rows, err := models.PlanDates(s.t.Context(), s.db, plan.ID, nil)
	require.NoError(s.t, err)
	for _, row := range rows {
		if row.FloatMinutes < 0 {
			return "/dates/" + strconv.FormatInt(row.GCDateID, 10) + "/recovery", row
		}
	}
	require.Fail(s.t, "no date of the demo is late")
	return "", row
}

// latestForecast is a GC date's forecast in the latest plan.
func latestForecast(t *testing.T, s *site, date int64) time.Time {
	t.Helper()
	plan, err := models.LatestPlan(t.Context(), s.db)
	require.NoError(t, err)
	rows, err := models.PlanDates(t.Context(), s.db, plan.ID, nil)
	require.NoError(t, err)
	for _, row := range rows {
		if row.GCDateID == date {
			require.NotNil(t, row.ForecastAt)
			return row.ForecastAt.UTC()
		}
	}
	require.Fail(t, "the plan has no such date")
	return time.Time{}
}

func TestRecovery_FromALateDateToAScenarioAndBack(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	path, late := s.lateDate()
	require.Contains(t, b.get("/dates").links(), path)

	p := b.get(path)
	require.Contains(t, p.text(), "Look for moves")
	require.Equal(t, http.StatusNotFound, b.get(path+"/export/recovery.csv").status, "nothing was found yet")
	p = b.post(path, nil)
	require.Equal(t, path, p.path)
	require.Equal(t, "2", p.header.Get("Refresh"), "an open search looks again by itself")
	require.Contains(t, p.text(), "Waiting for its turn")
	require.Contains(t, b.post(path, nil).text(), "looked for already")
	s.runSearches()
	p = b.get(path)
	require.Empty(t, p.header.Get("Refresh"))
	require.Contains(t, p.text(), "Would not help")
	run, err := models.LatestRecovery(t.Context(), s.db, late.GCDateID)
	require.NoError(t, err)
	found, err := run.Found()
	require.NoError(t, err)
	require.NotEmpty(t, found.Singles, "the demo's late date can be helped")

	zone, err := time.LoadLocation(late.Project.Zone)
	require.NoError(t, err)
	lettered := 0
	for _, row := range belowHeadings(rowsIn(t, b, path+"/export/recovery.csv")) {
		if row["Letter"] == "" {
			continue
		}
		lettered++
		holds := map[bool]string{true: "yes", false: "no"}[row["Forecast then"] <= late.DueAt.In(zone).Format(time.DateOnly)]
		require.Equal(t, holds, row["Date holds"], "%v", row)
	}
	require.Equal(t, len(found.Singles)+len(found.Sets), lettered, "each move and each set has its row")
	require.Equal(t, http.StatusNotFound, b.get(path+"/export/recovery.pdf").status)

	refused := b.post(path+"/try", url.Values{"do": {"ticked"}})
	require.Equal(t, http.StatusUnprocessableEntity, refused.status)
	require.Contains(t, refused.text(), "Tick at least one move.")
	p = b.post(path+"/try", url.Values{"do": {"ticked"}, "move": {"0"}})
	require.True(t, strings.HasPrefix(p.path, "/scenarios/"), p.path)
	scenario := p.path
	require.Contains(t, p.text(), "What would be done")
	require.Equal(t, late.ForecastAt.UTC(), latestForecast(t, s, late.GCDateID), "nothing has changed yet")

	p = b.post(scenario, url.Values{"do": {"adopt"}})
	require.Equal(t, "/dates", p.path)
	require.Contains(t, p.text(), "In force")
	require.Equal(t, found.Singles[0].Won, int(late.ForecastAt.Sub(latestForecast(t, s, late.GCDateID)).Minutes()), "as promised, to the minute")
	require.Contains(t, b.get("/crews").links(), scenario)
	require.Equal(t, http.StatusBadRequest, b.post(scenario, url.Values{"do": {"adopt"}}).status)

	require.Contains(t, b.get(scenario).text(), "What withdrawing it does")
	p = b.post(scenario, url.Values{"do": {"withdraw"}})
	require.Equal(t, late.ForecastAt.UTC(), latestForecast(t, s, late.GCDateID))
	require.NotContains(t, p.links(), scenario)
	require.Contains(t, b.get(scenario).text(), "Withdrawn")
	require.Contains(t, b.get(path).text(), "there is a newer plan")
}

func TestRecovery_ASetIsTriedAndDropped(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	path, _ := s.lateDate()
	require.Equal(t, http.StatusBadRequest, b.post(path+"/try", url.Values{"do": {"set-0"}}).status, "before any search")
	b.post(path, nil)
	s.runSearches()
	require.Equal(t, http.StatusUnprocessableEntity, b.post(path+"/try", url.Values{"do": {"set-99"}}).status)
	require.Equal(t, http.StatusUnprocessableEntity, b.post(path+"/try", url.Values{"move": {"99"}}).status)
	p := b.post(path+"/try", url.Values{"move": {"0"}})
	p = b.post(p.path, url.Values{"do": {"drop"}})
	require.Equal(t, path, p.path)
	require.Contains(t, p.text(), "Dropped")
}

func TestRecovery_CanBeStopped(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	path, _ := s.lateDate()
	b.post(path, nil)
	p := b.post(path+"/cancel", nil)
	require.Contains(t, p.text(), "The last search was stopped")
	s.runSearches()
	require.Contains(t, b.get(path).text(), "The last search was stopped")
}

func TestRecovery_IsForManagersAndScenariosForOperations(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	path, _ := s.lateDate()
	require.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).get(path).status)
	b := s.as(web.RoleProject)
	b.post(path, nil)
	s.runSearches()
	p := b.post(path+"/try", url.Values{"move": {"0"}})
	require.Equal(t, http.StatusOK, p.status)
	require.Contains(t, p.text(), "The operations manager puts scenarios in force")
	require.Equal(t, http.StatusForbidden, b.post(p.path, url.Values{"do": {"adopt"}}).status)
	require.Equal(t, http.StatusForbidden, b.get("/recovery/prices").status)
	require.Equal(t, http.StatusNotFound, b.get("/scenarios/99").status)
	require.Equal(t, http.StatusNotFound, b.get("/dates/99/recovery").status)
}

func TestRecoveryPrices_AreKeptAndRead(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	form := url.Values{}
	p := b.get("/recovery/prices")
	for _, field := range []string{"version", "loss", "overtime", "saturday", "hire", "hire_days", "at_least", "bring", "expedite"} {
		form.Set(field, p.value(field))
	}
	require.Equal(t, "15", form.Get("loss"))
	form.Set("expedite", "many")
	form.Set("loss", "99")
	p = b.post("/recovery/prices", form)
	require.Equal(t, http.StatusUnprocessableEntity, p.status)
	assert.Contains(t, p.text(), "Write a number from 0 to 60.")
	assert.Contains(t, p.text(), "Write a number from 0 to 1000000.")
	form.Set("expedite", "200.50")
	form.Set("loss", "10")
	require.Equal(t, http.StatusOK, b.post("/recovery/prices", form).status)
	stored, err := models.RecoverySettingsOf(t.Context(), s.db)
	require.NoError(t, err)
	assert.InDelta(t, 200.5, stored.Planner().ExpeditePricePerDay, 1e-9)
	assert.InDelta(t, 0.1, stored.Planner().Loss, 1e-9)
	require.Equal(t, http.StatusConflict, b.post("/recovery/prices", form).status, "the page is older than what is stored")
	require.Equal(t, http.StatusConflict, b.post("/recovery/prices", url.Values{
		"version": {"9"}, "loss": {"10"}, "overtime": {"2"}, "saturday": {"2"}, "hire": {"1"}, "hire_days": {"1"}, "at_least": {"1"}, "bring": {"1"}, "expedite": {"1"},
	}).status)
}
