package server

import (
	"net/http"
	"net/url"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/web"
)

// brokenPane is what a desk sends of a pane of B that broke.
func (s *site) brokenPane() url.Values {
	local := s.clock.Now().In(s.denver())
	return url.Values{
		"report_id": {"pane"}, "task": {"SC/B/glaze"}, "kind": {"damaged"}, "date": {local.Format(time.DateOnly)}, "time": {local.Format("15:04")},
		"item": {"glass"}, "note": {"corner broken"}, "return": {"/openings"},
	}
}

func (s *site) remakes() []models.MaterialItem {
	s.t.Helper()
	list, err := models.Remakes(s.t.Context(), s.db, 1)
	require.NoError(s.t, err)
	return list
}

// Before damage is reported the desk sees what it moves: the remake and what waits for it, each for that reason; and what
// is sent then is what was shown.
func TestReport_ADeskSeesWhatDamageMovesBeforeItIsSent(t *testing.T) {
	t.Parallel()
	s := newSmallSite(t)
	pm, boss := s.as(web.RoleProject), s.as(web.RoleOperations)
	s.untilMaterialIsThere(pm)
	plan := s.night(boss)
	form := pm.get("/report?task=SC/B/glaze&kind=damaged")
	require.Contains(t, form.text(), "Show what it moves")

	try := pm.post("/report/try", s.brokenPane())
	require.Equal(t, http.StatusOK, try.status, try.text())
	require.Contains(t, try.path, "/report/try/")
	for _, words := range []string{"Nothing is reported yet", "damaged glass: corner broken", "Ines reported glaze B damaged glass: corner broken", "remade glass of B"} {
		assert.Contains(t, try.text(), words)
	}
	assert.Empty(t, s.remakes(), "nothing is stored")
	assert.Equal(t, plan.ID, planID(t, s.db))
	other := boss.get(try.path)
	assert.Equal(t, http.StatusNotFound, other.status, "it is kept for who sent it")

	left := pm.post("/report/record", url.Values{"token": {try.value("token")}, "do": {"leave"}})
	assert.Contains(t, left.text(), "Nothing was reported")
	assert.Empty(t, s.remakes())
	assert.Equal(t, http.StatusNotFound, pm.post("/report/record", url.Values{"token": {try.value("token")}, "do": {"record"}}).status)

	again := pm.post("/report/try", s.brokenPane())
	done := pm.post("/report/record", url.Values{"token": {again.value("token")}, "do": {"record"}})
	assert.Equal(t, "/openings", done.path, "back to where the report began")
	assert.Contains(t, done.text(), "Reported: glaze B, damaged")
	require.Len(t, s.remakes(), 1)
	assert.Contains(t, pm.post("/report", s.brokenPane()).text(), "here already", "sent again from the form it counts once")
	require.Len(t, s.remakes(), 1)
}

// What cannot be taken is told before anything is planned, all of it; and a foreman's form stays as short as it was.
func TestReport_TryingTellsEveryFaultAndIsOfTheDesk(t *testing.T) {
	t.Parallel()
	s := newSmallSite(t)
	pm := s.as(web.RoleProject)
	bad := s.brokenPane()
	bad.Set("date", "soon")
	bad.Set("item", "moon")
	p := pm.post("/report/try", bad)
	require.Equal(t, http.StatusUnprocessableEntity, p.status)
	require.Contains(t, p.text(), "Write the date and the time")
	bad.Set("date", "2026-11-20")
	p = pm.post("/report/try", bad)
	require.Equal(t, http.StatusUnprocessableEntity, p.status, p.text())
	require.Empty(t, s.remakes())
	p = pm.post("/report", bad)
	require.Equal(t, http.StatusUnprocessableEntity, p.status, p.text())
	require.NotContains(t, p.text(), "Reported:", "what was refused is not told as reported")
	require.NotContains(t, pm.get("/openings").text(), "Reported:")

	demo := newSite(t)
	foreman := demo.as(web.RoleForeman)
	require.Equal(t, http.StatusForbidden, foreman.post("/report/try", url.Values{}).status)
	require.Equal(t, http.StatusForbidden, foreman.post("/report/record", url.Values{}).status)
	key := "HB/320/glaze"
	require.NotContains(t, foreman.get("/report?task="+key+"&kind=damaged").text(), "Show what it moves")
	require.Contains(t, foreman.get("/report?task="+key+"&kind=damaged").text(), "Send: ")
}

// A pane breaks at the desk: what it moves is seen, then sent.
func TestBrowser_ProjectManagerLooksAtWhatABrokenPaneMoves(t *testing.T) {
	t.Parallel()
	s := newSmallSite(t)
	pm, boss := s.as(web.RoleProject), s.as(web.RoleOperations)
	s.untilMaterialIsThere(pm)
	s.night(boss)
	for _, w := range []window{desk, phone} {
		b := newTab(t, s.url, w)
		b.signIn("Project manager")
		b.open("/report?task=SC/B/glaze&kind=damaged&return=/openings")
		b.fill("#note", "corner broken")
		b.seen("damage")
		b.follow("button", "Show what it moves")
		require.Contains(t, b.words("h1"), "What this moves")
		require.Contains(t, b.words("main"), "damaged")
		b.seen("damage-tried")
		b.follow("button", "Leave it")
		require.Contains(t, b.notice(), "Nothing was reported")
	}
	require.Empty(t, s.remakes())
}
