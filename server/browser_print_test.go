package server

import (
	"context"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Crew sheets hang in the site office and dates lie on the table of a meeting: what only a screen can use is left out, what is
// folded on a screen is open, and each crew's day is a sheet of its own.
func TestBrowser_PagesPrint(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t).url, desk)
	b.signIn("Operations")
	for _, path := range []string{"/tomorrow", "/dates", "/crews", "/openings/1", "/material"} {
		b.open(path)
		b.media("print", nil)
		require.False(t, look[bool](b, shown(".top")), "%s prints the links to other pages", path)
		require.False(t, look[bool](b, shown("button")), "%s prints a button", path)
		b.media("", nil)
	}
	b.open("/dates")
	require.False(t, look[bool](b, shown(".chain")))
	b.media("print", nil)
	assert.True(t, look[bool](b, shown(".chain")), "a sheet of dates holds what drives them")
	b.media("", nil)
	b.open("/tomorrow")
	crews := look[int](b, `document.querySelectorAll(".crew-day").length`)
	require.Greater(t, crews, 2)
	assert.GreaterOrEqual(t, b.sheets("tomorrow"), crews, "each crew has its own sheet")
	b.open("/crews")
	lanes := look[int](b, `document.querySelectorAll(".lane").length`)
	assert.LessOrEqual(t, b.sheets("crews"), lanes, "a lane fits on a sheet")
}

// Who has told the system to keep still sees nothing move by itself.
func TestBrowser_PagesKeepStillForThoseWhoAsk(t *testing.T) {
	t.Parallel()
	b := newTab(t, newSite(t).url, desk)
	b.media("", map[string]string{"prefers-reduced-motion": "reduce"})
	b.signIn("Operations")
	for _, path := range []string{"/tomorrow", "/openings", "/crews", "/dates", "/nights"} {
		b.open(path)
		moving := look[[]string](b, `[...document.querySelectorAll("*")].filter((e) => {
			const s = getComputedStyle(e);
			return s.transitionDuration !== "0s" || s.animationName !== "none" || s.scrollBehavior !== "auto";
		}).map((e) => e.outerHTML.slice(0, 80))`)
		assert.Empty(t, moving, path)
	}
}

// shown asks whether an element takes room on the page.
func shown(selector string) string {
	return `new Promise((r) => requestAnimationFrame(() => requestAnimationFrame(r))).then(() => [...document.querySelectorAll("` + selector + `")].some((e) => e.checkVisibility({ contentVisibilityAuto: true }) && e.getBoundingClientRect().height > 0))`
}

var pdfPage = regexp.MustCompile(`/Type\s*/Page\b`)

// sheets prints the page and counts the sheets of paper.
func (b *tab) sheets(name string) int {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, stepTime)
	defer cancel()
	data, err := chromedp.Run(ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
	b.must(err)
	require.NoError(b.t, os.WriteFile(filepath.Join(b.shots, b.t.Name()+"-"+name+".pdf"), data, 0o600))
	return len(pdfPage.FindAll(data, -1))
}
