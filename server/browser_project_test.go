package server

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A project manager asks why a GC date stands where it does, which openings are held, and looks at one of them; at a desk
// and on a phone.
func TestBrowser_ProjectManagerReadsDatesAndOpenings(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, w := range []window{desk, phone} {
		b := newTab(t, s.url, w)
		b.signIn("Project manager")
		require.Equal(t, "/dates", b.path())
		b.seen("dates")
		late := look[int](b, `[...document.querySelectorAll(".level")].findIndex((e) => e.querySelector(".chain"))`)
		require.GreaterOrEqual(t, late, 0, "a date with work to come has a driving chain")
		b.do(chromedp.Click(chromedp.CSS(".level summary"), chromedp.NodeVisible))
		require.NotEmpty(t, b.words(".level[open] .chain li"), "the chain tells what drives the date")
		b.seen("chain")

		b.follow("a", "Openings")
		b.seen("openings")
		b.choose("#state", "held")
		b.follow("button", "Show")
		require.Contains(t, b.path(), "state=held")
		held := b.words(".head .sum")
		require.Contains(t, held, " of 180 openings")
		b.seen("held")
		b.load(chromedp.Reload())
		require.Equal(t, held, b.words(".head .sum"), "the address alone brings the filter back")

		mark := b.words(".strip a")
		b.followFirst(".strip a")
		require.Equal(t, mark, b.words("h1"))
		require.Contains(t, b.words(".path"), "held")
		b.seen("opening")
		b.do(chromedp.NavigateBack())
		assert.True(t, strings.Contains(b.path(), "state=held"), "back leads to the filtered page")
	}
}
