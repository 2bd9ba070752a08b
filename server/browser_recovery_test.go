package server

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The operations manager asks what would win a late date's days back, puts the first move in force, sees it on the dates and
// the crews page, and withdraws it.
func TestBrowser_LateDateIsRecoveredAndGivenBack(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	_, late := s.lateDate()
	b := newTab(t, s.url, desk)
	b.signIn("Operations manager")
	b.open("/dates")
	b.do(chromedp.Click(chromedp.CSS(".level-late summary"), chromedp.NodeVisible))
	b.follow("a", "What would win days back")
	require.Contains(t, b.words("h1"), late.GCDate.Name)
	b.seen("recovery-before")

	b.follow("button", "Look for moves")
	require.Contains(t, b.words("main"), "Waiting for its turn")
	b.seen("recovery-waiting")
	s.runSearches()
	b.comes(".pull-won", " ")
	for _, w := range []window{phone, desk} {
		b.resize(w)
		b.seen("recovery-found")
	}
	assert.Contains(t, look[string](b, `document.querySelector(".yard title").textContent`), "A wins ")

	won := b.words(".pull-won")
	b.do(chromedp.Click(chromedp.CSS("#move-0"), chromedp.NodeVisible))
	b.follow("button", "See what the ticked moves do")
	require.Contains(t, b.words("main"), "sooner")
	for _, w := range []window{phone, desk} {
		b.resize(w)
		b.seen("scenario")
	}
	b.follow("button", "Put in force")
	require.Equal(t, "/dates", b.path())
	require.Contains(t, b.notice(), "In force")
	require.Contains(t, b.words(".scenario-line"), "Every plan has this move in it")
	for _, w := range []window{phone, desk} {
		b.resize(w)
		b.seen("dates-in-force")
	}
	require.Less(t, int64(0), int64(late.ForecastAt.Sub(latestForecast(t, s, late.GCDateID))), won)
	b.follow("a", "Crews")
	require.Contains(t, b.words(".scenario-line"), "In force")
	b.seen("crews-in-force")

	b.followFirst(".scenario-line a")
	require.Contains(t, b.words("main"), "What withdrawing it does")
	b.follow("button", "Withdraw")
	require.Contains(t, b.notice(), "Withdrawn")
	require.Empty(t, b.words(".scenario-line"))
	require.True(t, latestForecast(t, s, late.GCDateID).Equal(*late.ForecastAt))
}

// Looking for moves, stopping and pricing work without scripts and on a phone.
func TestBrowser_RecoveryMeetsTheAccessibilityRules(t *testing.T) {
	t.Parallel()
	axe := axeRules(t)
	s := newSite(t)
	path, _ := s.lateDate()
	b := newTab(t, s.url, desk)
	b.signIn("Operations manager")
	b.open(path)
	b.follow("button", "Look for moves")
	s.runSearches()
	b.comes(".useless summary", "Would not help")
	b.do(chromedp.Click(chromedp.CSS(".useless summary"), chromedp.NodeVisible))
	b.usable(axe, "recovery")
	b.open("/recovery/prices")
	b.usable(axe, "prices")
}
