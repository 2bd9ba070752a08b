package server

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The morning of an operations manager, at a desk and without a mouse: the night is run by hand, work is moved on the
// wall of crews, the plan is issued, and the foreman finds the change with its reason.
func TestBrowser_OperationsManagerMovesWorkByKeyboard(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := newTab(t, s.url, desk)
	b.open("/")
	b.step(`.roles button[value="operations"]`)
	b.load(chromedp.KeyEvent(kb.Enter))

	b.step(`.rooms a[href="/nights"]`)
	b.load(chromedp.KeyEvent(kb.Enter))
	b.step(".confirm summary")
	b.do(chromedp.KeyEvent(kb.Enter))
	b.step(".confirm button")
	b.load(chromedp.KeyEvent(kb.Enter))
	require.Contains(t, b.notice(), "in the queue")
	b.seen("night-asked")
	s.runNights()
	b.load(chromedp.Reload())
	require.Contains(t, b.words(".night"), "Asked for by")
	b.seen("nights")
	b.step(".night h2 a")
	b.load(chromedp.KeyEvent(kb.Enter))
	b.seen("night")

	b.step(`.rooms a[href="/crews"]`)
	b.load(chromedp.KeyEvent(kb.Enter))
	b.seen("crews")
	b.step(".block")
	b.do(chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowLeft))
	require.True(t, look[bool](b, `document.activeElement === document.querySelector(".block")`), "there and back")
	b.load(chromedp.KeyEvent(kb.Enter))
	b.seen("block-open")
	mark := b.words(".sheet .ticks label")
	b.step("#move-date")
	b.do(chromedp.KeyEvent("11202026"))
	b.step("#move-time")
	b.do(chromedp.KeyEvent("0900AM"))
	b.step("#move-pin")
	b.do(chromedp.KeyEvent(" "))
	b.step(".sheet button")
	b.load(chromedp.KeyEvent(kb.Enter))
	require.Contains(t, b.words(".lead"), "Fri 20 Nov")
	require.Contains(t, b.words(".lead"), "pinned")
	b.seen("move")
	b.step(`.decide [value="accept"]`)
	b.load(chromedp.KeyEvent(kb.Enter))
	require.Contains(t, b.notice(), "draft")
	b.seen("draft")

	b.step(`a[href="/plans/issue"]`)
	b.load(chromedp.KeyEvent(kb.Enter))
	b.seen("issue")
	b.step(".decide button")
	b.load(chromedp.KeyEvent(kb.Enter))
	require.Contains(t, b.notice(), "Issued")
	b.seen("issued")
	_ = mark
	_ = assert.Empty

	foreman := newTab(t, s.url, phone)
	foreman.signIn("Foreman")
	foreman.open("/tomorrow?date=2026-11-20")
	foreman.seen("changed")
}
