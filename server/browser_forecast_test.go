package server

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The operations manager edits what forecasts assume, asks for a forecast, sees it wait, and reads the chances.
func TestBrowser_ForecastIsMadeAgain(t *testing.T) {
	t.Parallel()
	axe := axeRules(t)
	s := newSite(t)
	b := newTab(t, s.url, desk)
	b.signIn("Operations manager")
	b.open("/dates")
	b.follow("a", "What they assume")
	b.usable(axe, "assumptions")
	b.fill("#breakage", "3")
	b.follow("button", "Keep these figures")
	require.Contains(t, b.notice(), "The next plan is forecast with these figures")

	b.follow("button", "Forecast again")
	require.Contains(t, b.words(".foreseen"), "A forecast waits for its turn")
	b.usable(axe, "forecast-waiting")
	s.runForecasts()
	b.comes(".foreseen", "asked for by Morgan Vale")
	for _, w := range []window{phone, desk} {
		b.resize(w)
		b.seen("forecast-made")
	}
	b.open("/cost")
	b.usable(axe, "cost")
}
