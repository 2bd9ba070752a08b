package server

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/web"
)

func TestFoundWords_CallsNoDateKeptThatHasNoForecast(t *testing.T) {
	t.Parallel()
	at := time.Date(2026, 12, 4, 21, 30, 0, 0, time.UTC)
	forecast, none := models.DateRow{}, models.DateRow{}
	forecast.ForecastAt = &at
	kept := &models.Plan{BoundLatenessProved: true}
	f := web.Format{}
	require.Equal(t, "every GC date is kept", foundWords(kept, []models.DateRow{forecast}, f))
	require.Equal(t, "no GC date is held yet", foundWords(kept, nil, f))
	require.Contains(t, foundWords(kept, []models.DateRow{none}, f), "no GC date has a forecast")
	require.Contains(t, foundWords(kept, []models.DateRow{none, forecast}, f), "1 GC date has no forecast")
}
