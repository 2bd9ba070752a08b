package server

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// The evening of an operations manager, at a desk and without a mouse: the night is run by hand, work is moved on the wall of
// crews, the plan is issued, and the foreman finds the change with its reason.
func TestBrowser_OperationsManagerMovesWorkByKeyboard(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	foreman := newTab(t, s.url, phone)
	foreman.signIn("Foreman")
	crew := strings.TrimPrefix(foreman.words(".crew-day h2"), "Crew ")

	b := newTab(t, s.url, desk)
	b.open("/")
	b.enter(`.roles button[value="operations"]`)
	s.later(10 * time.Minute)
	b.askForNight(s)

	b.enter(`.rooms a[href="/crews"]`)
	b.seen("crews")
	b.step(".block")
	b.lane(crew)
	b.unstarted()
	b.load(chromedp.KeyEvent(kb.Enter))
	require.Contains(t, b.words(".sheet h2"), crew)
	b.seen("block")
	mark := look[string](b, `document.querySelector(".sheet .ticks label").firstChild.data.trim()`)
	for i := range look[int](b, `document.querySelectorAll(".sheet .ticks input").length`) - 1 {
		b.step(fmt.Sprintf("#task-%d", i+1))
		b.do(chromedp.KeyEvent(" ")) // the first mark alone is moved
	}
	b.step("#move-date")
	b.do(chromedp.KeyEvent("12072026"))
	b.step("#move-time")
	b.do(chromedp.KeyEvent("0900AM"))
	b.step("#move-pin")
	b.do(chromedp.KeyEvent(" "))
	b.enter(".sheet button")
	require.Contains(t, b.words(".lead"), "of "+mark+" from crew "+crew+" to crew "+crew+", start Mon 7 Dec, 9:00 am, pinned.")
	require.Contains(t, look[string](b, `document.querySelector("#moves").parentElement.textContent`), "moved by hand")
	b.seen("move")
	b.enter(`.decide [value="accept"]`)
	require.Contains(t, b.notice(), "draft")

	b.enter(`a[href="/plans/issue"]`)
	b.seen("issue")
	b.enter(".decide button")
	require.Contains(t, b.notice(), "Issued")
	require.Contains(t, b.words(".draft"), "the plan in force")
	b.seen("issued")

	foreman.open("/tomorrow?date=2026-12-07")
	stop := look[string](foreman, fmt.Sprintf(`[...document.querySelectorAll(".stop")].find((e) => e.querySelector("h3 a").text === %q)?.innerText ?? ""`, mark))
	require.Contains(t, stop, "9:00 am")
	require.Contains(t, stop, "pinned by the operations manager")
	foreman.seen("changed")
}

// askForNight runs the night by hand and looks at what it did.
func (b *tab) askForNight(s *site) {
	b.t.Helper()
	b.enter(`.rooms a[href="/nights"]`)
	b.step(".confirm summary")
	b.do(chromedp.KeyEvent(kb.Enter))
	b.enter(".confirm button")
	require.Contains(b.t, b.notice(), "in the queue")
	b.seen("night-asked")
	s.runNights()
	b.load(chromedp.Reload())
	require.Contains(b.t, b.words(".night"), "Asked for by Morgan Vale")
	b.seen("nights")
	b.enter(".night h2 a")
	require.Contains(b.t, b.words(".head"), "asked for by Morgan Vale")
	b.seen("night")
}

// unstarted goes along the lane to work on a later day: what is under way is not moved.
func (b *tab) unstarted() {
	b.t.Helper()
	day := look[int](b, `document.activeElement.closest("td").cellIndex`)
	for range 20 {
		b.do(chromedp.KeyEvent(kb.ArrowRight))
		if look[int](b, `document.activeElement.closest("td").cellIndex`) > day {
			return
		}
	}
	require.Fail(b.t, "the lane has work on one day only")
}

// lane goes down the wall by arrow keys to the lane of a crew.
func (b *tab) lane(crew string) {
	b.t.Helper()
	const here = `document.activeElement.closest("tr").querySelector(".lane-name").textContent`
	for range 10 {
		if look[string](b, here) == crew {
			return
		}
		b.do(chromedp.KeyEvent(kb.ArrowDown))
	}
	require.Fail(b.t, "the arrow keys do not lead to crew "+crew)
}
