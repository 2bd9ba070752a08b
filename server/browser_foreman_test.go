package server

import (
	"net/http"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
)

// A foreman on site: what is for tomorrow, a hold on the first opening of it, the same form sent again by going back, a
// change to it, and the end of the hold.
func TestBrowser_ForemanReportsAHoldOnAPhone(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := newTab(t, s.url, phone)
	b.open("/")
	b.seen("door")
	b.follow("button", "Foreman")
	require.Contains(t, b.words("h1"), "Wed", "the day after the demo's Tuesday")
	b.seen("tomorrow")

	mark := b.words(".stop h3 a")
	b.followFirst(`.stop a[href*="kind=hold"]`)
	require.Contains(t, b.words("h1"), "Hold: "+mark)
	key := look[string](b, `document.querySelector("[name=task]").value`)
	before := len(s.reports(key))
	b.seen("hold")
	b.answered(http.StatusUnprocessableEntity, chromedp.Click(element("button", "Send")))
	require.Contains(t, b.words("#cause-fault"), "stops the work")
	b.seen("nothing-said")

	b.fill("#cause", "Ceiling grid 40 mm too low")
	b.choose("#party", "other trade")
	b.follow("button", "Send")
	require.Contains(t, b.notice(), "Reported")
	require.Contains(t, b.words(".stop-held .why"), "Ceiling grid 40 mm too low")
	b.seen("reported")
	require.Len(t, s.reports(key), before+1)

	b.do(chromedp.NavigateBack())
	require.Equal(t, "Ceiling grid 40 mm too low", look[string](b, `document.querySelector("#cause").value`))
	b.follow("button", "Send")
	assert.Contains(t, b.notice(), "counts once")
	require.Len(t, s.reports(key), before+1, "the same words twice are one report")

	b.do(chromedp.NavigateBack())
	b.fill("#note", "Superintendent told")
	b.follow("button", "Send")
	require.Len(t, s.reports(key), before+2, "other words are another report")

	b.followFirst(`.stop-held a[href*="kind=release_hold"]`)
	b.seen("lift")
	b.follow("button", "Send")
	require.Contains(t, b.notice(), "hold lifted")
	require.Empty(t, b.words(".stop-held"), "nothing is held any more")
}

// reports are the field reports on a task.
func (s *site) reports(key string) []models.FieldReport {
	s.t.Helper()
	task, err := models.TaskByKey(s.t.Context(), s.db, key)
	require.NoError(s.t, err)
	list, err := models.ReportsOf(s.t.Context(), s.db, task.ID)
	require.NoError(s.t, err)
	return list
}
