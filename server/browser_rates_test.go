package server

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The operations manager asks what framing really takes: looks at the finished tasks, tries the learned rate, sees what it moves,
// accepts it, and takes it back; then looks at the settings that quantities hang on.
func TestBrowser_OperationsManagerAcceptsALearnedRateAndTakesItBack(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, w := range []window{desk, phone} {
		b := newTab(t, s.url, w)
		b.signIn("Operations manager")
		b.open("/rates")
		b.seen("rates")
		require.Contains(t, b.words("#frame .rates-say"), "learned from")
		require.Greater(t, look[int](b, `document.querySelectorAll("#frame .rates-dot").length`), 20, "finished tasks as dots")
		require.Contains(t, look[string](b, `document.querySelector("#frame .rates-strip title").textContent`), "company rate")
		require.Contains(t, b.words("#frame .rates-say"), "the company rate")

		b.followFirst(`#frame button[value="accept"]`)
		require.Contains(t, b.words("h1"), "What accepting this rate does")
		require.Positive(t, look[int](b, `document.querySelectorAll(".moved tbody tr").length`), "what it moves")
		require.Contains(t, b.words(".moved tbody"), "hours of framing as learned")
		b.seen("rate-tried")
		b.followFirst(`.decide button[value="save"]`)
		require.Contains(t, b.notice(), "planned as learned")
		require.Contains(t, b.words("#frame .rates-say"), "the learned rate accepted")
		b.seen("rate-accepted")

		b.followFirst(`#frame button[value="keep"]`)
		require.Contains(t, b.words("h1"), "What taking this rate back does")
		b.followFirst(`.decide button[value="save"]`)
		require.Contains(t, b.notice(), "Taken back")

		b.open("/rates/edit?kind=hang&driver=leaf")
		b.seen("rate")
		b.open("/settings")
		b.seen("settings")
	}
}
