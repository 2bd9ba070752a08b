package server

import (
	"context"
	"log/slog"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/server/forecasting"
	"jambwright/web"
)

// runForecasts makes the forecasts that were asked for, as the queue's worker does.
func (s *site) runForecasts() {
	s.t.Helper()
	worker := &forecasting.Worker{DB: s.db, Log: slog.New(slog.DiscardHandler)}
	for _, id := range s.queue.forecasts {
		require.NoError(s.t, worker.Run(s.t.Context(), id, func(context.Context, *models.Tx) error { return nil }))
	}
	s.queue.forecasts = nil
}

func TestForecastAgain_WaitsShowsProgressAndIsStopped(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	ctx := t.Context()
	b := s.as(web.RoleProject)
	again := func(p *page) bool { return strings.Contains(p.text(), "Forecast again") }
	require.True(t, again(b.get("/dates")))
	asked := b.post("/dates/forecast", nil)
	require.Equal(t, "/dates", asked.path)
	assert.True(t, strings.Contains(asked.text(), "A forecast waits for its turn"))
	assert.Equal(t, lookAgain, asked.header.Get("Refresh"))
	assert.False(t, again(asked))
	require.Len(t, s.queue.forecasts, 1)
	b.post("/dates/forecast", nil)
	require.Len(t, s.queue.forecasts, 1, "asking twice is asking once")

	id := s.queue.forecasts[0]
	require.NoError(t, s.db.Write(ctx, func(tx *models.Tx) error {
		_, err := models.ForecastProgress(ctx, tx, id, 250, 2000)
		return err
	}))
	assert.True(t, strings.Contains(b.get("/dates").text(), "250 of at most 2,000 samples"))

	b.post("/dates/forecast/"+strconv.FormatInt(id, 10)+"/cancel", nil)
	s.runForecasts() // the worker notices with its next samples
	stopped := b.get("/dates")
	assert.True(t, strings.Contains(stopped.text(), "The forecast asked for last was stopped"))
	assert.Empty(t, stopped.header.Get("Refresh"))
	row, err := models.ForecastByID(ctx, s.db, id)
	require.NoError(t, err)
	assert.Equal(t, models.ForecastCancelled, row.State)

	b.post("/dates/forecast", nil)
	require.Len(t, s.queue.forecasts, 1)
	require.NoError(t, s.db.Write(ctx, func(tx *models.Tx) error {
		return models.EndForecast(ctx, tx, s.queue.forecasts[0], models.ForecastFailed, "the crews’ calendars end")
	}))
	failed := b.get("/dates")
	assert.True(t, strings.Contains(failed.text(), "was not made: the crews’ calendars end"))
	assert.True(t, again(failed))

	assert.Equal(t, http.StatusNotFound, b.post("/dates/forecast/many/cancel", nil).status)
	assert.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).post("/dates/forecast", nil).status)
}
