package server

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A project manager asks who caused which days, reads how the parts add up, confirms a line, keeps that its notice was sent, and
// takes the statement along; at a desk and on a phone.
func TestBrowser_ProjectManagerReadsConfirmsAndStatesADelay(t *testing.T) {
	t.Parallel()
	for _, w := range []window{desk, phone} {
		b := newTab(t, newSite(t).url, w)
		b.signIn("Project manager")
		require.Contains(t, b.words(".alert"), "notice due", "the dates page warns of a notice")
		b.follow("a", "Delays")
		require.Equal(t, "/delays", b.path())
		b.seen("delays")

		// The drawing adds up: its last step ends where the date stands now.
		require.Positive(t, look[int](b, `document.querySelectorAll(".falls .fall").length`))
		require.True(t, look[bool](b, `[...document.querySelectorAll(".falls")].every((f) => {
			const steps = [...f.querySelectorAll(".fall:not([fill])")].map((r) => r.getBoundingClientRect());
			const stops = [...f.querySelectorAll(".fall-stop")].map((s) => s.getBoundingClientRect());
			const near = (a, b) => Math.abs(a - b) < 3;
			const ends = [steps.at(-1).left, steps.at(-1).right];
			return stops.length === 2 && ends.some((x) => near(x, stops[1].left + stops[1].width / 2));
		})`), "the steps lead from the date as issued to the date now")
		require.Contains(t, b.words(".falls-figure figcaption"), " = ")

		line := look[string](b, `document.querySelector('.cause form[action="/delays/confirm"] [value="another trade"]').closest(".cause").id`)
		b.do(chromedp.Click(chromedp.CSS("#"+line+" details.confirm summary"), chromedp.NodeVisible))
		b.choose("#excusable-"+line, "yes")
		b.choose("#compensable-"+line, "no")
		b.fill("#note-"+line, "Agreed with their foreman on site")
		b.load(chromedp.Click(chromedp.CSS(`#`+line+` form[action="/delays/confirm"] button`), chromedp.NodeVisible))
		require.Equal(t, "Confirmed. The statement says so from now on.", b.notice())
		require.Contains(t, b.words("#"+line), "excusable, not compensable · confirmed: Ines Calder")
		require.Contains(t, b.words("#"+line), "Agreed with their foreman on site")

		b.do(chromedp.Click(chromedp.CSS("#"+line+" details.confirm:last-of-type summary"), chromedp.NodeVisible))
		b.do(chromedp.SetValue(chromedp.CSS("#sent-"+line), "2026-11-17", chromedp.NodeVisible))
		b.fill("#reference-"+line, "letter 12")
		b.load(chromedp.Click(chromedp.CSS(`#`+line+` form[action="/delays/notice"] button`), chromedp.NodeVisible))
		require.Contains(t, b.words("#"+line), "sent Tue 17 Nov 2026, due Tue 24 Nov 2026, reference letter 12")
		b.seen("delay-confirmed")

		for kind, start := range map[string]string{"pdf": "%PDF-", "xlsx": "PK"} {
			got := look[string](b, `fetch(document.querySelector('a[href*="statement.`+kind+`"]').href).then((r) => r.ok ? r.text() : String(r.status)).then((t) => t.slice(0, 5))`)
			assert.Contains(t, got, start, kind)
		}
	}
}
