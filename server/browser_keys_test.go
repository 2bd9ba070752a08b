package server

import (
	"context"
	"fmt"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// mostTabs is how often a person would press the tab key before giving up.
const mostTabs = 80

// step presses the tab key until the focus stands on an element that the selector finds. Wherever the focus comes past, it
// must be seen: drawn, within the window and under nothing (WCAG 2.2, success criteria 2.4.7 and 2.4.11).
func (b *tab) step(selector string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, stepTime)
	defer cancel()
	for range mostTabs {
		b.must(chromedp.Do(ctx, chromedp.KeyEvent(kb.Tab)))
		at, err := chromedp.Run(ctx, chromedp.Evaluate[focused](fmt.Sprintf(focus, selector)))
		b.must(err)
		require.Empty(b.t, at.Fault, at.Name)
		if at.There {
			return
		}
	}
	b.picture("not-reached")
	require.Fail(b.t, "the tab key does not lead to it", selector)
}

// enter steps to a link or button and presses it, which leads to another page.
func (b *tab) enter(selector string) {
	b.t.Helper()
	b.step(selector)
	b.load(chromedp.KeyEvent(kb.Enter))
}

type focused struct {
	Name, Fault string
	There       bool
}

const focus = `(() => {
	const e = document.activeElement;
	if (e === document.body) return { Name: "body", Fault: "", There: false };
	const name = e.outerHTML.slice(0, 120), box = e.getBoundingClientRect(), style = getComputedStyle(e);
	const x = Math.min(Math.max(box.left + box.width / 2, 0), innerWidth - 1), y = Math.min(Math.max(box.top + box.height / 2, 0), innerHeight - 1);
	const over = document.elementFromPoint(x, y);
	let fault = "";
	if (style.outlineStyle === "none" || style.outlineWidth === "0px") fault = "its focus is not drawn";
	else if (box.bottom <= 0 || box.top >= innerHeight || box.right <= 0 || box.left >= innerWidth) fault = "it lies outside the window";
	else if (over && !e.contains(over) && !over.contains(e)) fault = "it lies under " + over.outerHTML.slice(0, 120);
	return { Name: name, Fault: fault, There: e.matches(%q) };
})()`
