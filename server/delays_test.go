package server

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"jambwright/models"
	"jambwright/web"
)

// delayLine are the fields of the first confirm form on the page whose party is the one given.
func delayLine(t *testing.T, p *page, party string) url.Values {
	t.Helper()
	var form url.Values
	p.each(func(n *html.Node) {
		if form != nil || n.Data != "form" || attribute(n, "action") != "/delays/confirm" {
			return
		}
		fields := url.Values{}
		for d := range n.Descendants() {
			if d.Data == "input" {
				fields.Set(attribute(d, "name"), attribute(d, "value"))
			}
		}
		if fields.Get("party") == party {
			form = fields
		}
	})
	require.NotNil(t, form, "no line of %s: %s", party, p.text())
	return form
}

func TestDelays_ShowWhoCausedWhichDaysAndKeepWhatIsConfirmed(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	p := b.get("/delays")
	require.Equal(t, http.StatusOK, p.status, p.text())
	text := p.text()
	for _, want := range []string{"another trade", "Ninefold Glass", "Concurrent with", "As issued", "no legal advice", "proposed"} {
		require.Contains(t, text, want)
	}
	require.Contains(t, strings.Join(p.links(), " "), "/openings/", "a line links to its record")

	form := delayLine(t, p, "another trade")
	form.Set("party", "Ceiling Partners")
	form.Set("excusable", "yes")
	form.Set("compensable", "no")
	form.Set("note", "agreed on site")
	done := b.post("/delays/confirm", form)
	require.Equal(t, http.StatusOK, done.status, done.text())
	require.True(t, strings.HasPrefix(done.path, "/delays?"), done.path)
	require.Contains(t, done.text(), "Ceiling Partners · excusable, not compensable · confirmed: Ines Calder")

	again := b.post("/delays/confirm", form)
	require.Equal(t, http.StatusBadRequest, again.status, "a second first confirmation is refused")
	form.Set("line", "none of ours")
	require.Equal(t, http.StatusNotFound, b.post("/delays/confirm", form).status)
	form.Set("excusable", "no")
	form.Set("compensable", "yes")
	require.Contains(t, b.post("/delays/confirm", form).text(), "cannot be compensable")
}

func formatInt(n int64) string { return strconv.FormatInt(n, 10) }

func TestDelays_NoticesAreWarnedOfUntilTheyAreSent(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	form := delayLine(t, b.get("/delays"), "another trade")
	const warning = "notice due Tue 24 Nov 2026, in 7 days: the foreman reported frame"
	require.Contains(t, b.get("/dates").text(), warning)
	require.Contains(t, b.get("/tomorrow").text(), "notice due Tue 24 Nov 2026, in 7 days")
	require.NotContains(t, s.as(web.RoleForeman).get("/tomorrow").text(), "notice due", "not for foremen")

	send := url.Values{"project": form["project"], "window": form["window"], "line": form["line"], "version": {"0"}, "sent_on": {"2026-11-18"}, "reference": {"L-7"}}
	require.Contains(t, b.post("/delays/notice", send).text(), "dated after today")
	send.Set("sent_on", "")
	require.Equal(t, http.StatusBadRequest, b.post("/delays/notice", send).status)
	send.Set("sent_on", "2026-11-17")
	require.Contains(t, b.post("/delays/notice", send).text(), "sent Tue 17 Nov 2026, due Tue 24 Nov 2026, reference L-7")
	require.NotContains(t, b.get("/dates").text(), warning)
}

func TestDelays_TermsAreReadWithAllFaultsAtOnce(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	version := delayVersion(t, s)
	form := url.Values{"project": {"1"}, "window": {"all"}, "version": {version}, "trade": {"soon"}, "gc": {"-1"}, "supplier": {""}, "weather": {"10"}, "float": {"gc"}, "pacing": {"yes"}}
	bad := b.post("/delays/terms", form)
	require.Equal(t, http.StatusUnprocessableEntity, bad.status)
	require.Contains(t, bad.text(), "“soon” is no number of days")
	require.Contains(t, bad.text(), "“-1” is no number of days")
	form.Set("trade", "3")
	form.Set("gc", "")
	good := b.post("/delays/terms", form)
	require.Equal(t, http.StatusOK, good.status, good.text())
	require.Contains(t, good.text(), "days to spare belong to the general contractor")
	require.Contains(t, good.text(), "Notice due Fri 20 Nov 2026, in 3 days", "counted from the event by the new days")
	require.Equal(t, http.StatusConflict, b.post("/delays/terms", form).status, "somebody else's change is not lost")
}

func delayVersion(t *testing.T, s *site) string {
	t.Helper()
	terms, err := models.TermsOf(t.Context(), s.db, 1)
	require.NoError(t, err)
	return formatInt(terms.Version)
}

func TestDelays_StatementsAreHandedOutAsFiles(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	pdf := b.get("/delays/statement.pdf?project=1&window=all")
	require.Equal(t, http.StatusOK, pdf.status, pdf.text())
	assert.Equal(t, "application/pdf", pdf.header.Get("Content-Type"))
	assert.Equal(t, `attachment; filename="delays-hb-2026-11-17.pdf"`, pdf.header.Get("Content-Disposition"))
	assert.True(t, strings.HasPrefix(pdf.body, "%PDF-"))
	xlsx := b.get("/delays/statement.xlsx?project=1&window=all")
	require.Equal(t, http.StatusOK, xlsx.status)
	assert.True(t, strings.HasPrefix(xlsx.body, "PK"))
	assert.Equal(t, http.StatusForbidden, b.get("/delays/statement.pdf?project=99").status, "of no project of one's own")
	assert.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).get("/delays/statement.pdf?project=1").status)
}

func TestDelays_AreOfOnesOwnProjects(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	require.NoError(t, s.db.Write(t.Context(), func(tx *models.Tx) error {
		_, err := models.BeginProject(t.Context(), tx, models.NewProject{Name: "Another Job", Zone: "America/Chicago"}, models.Actor{Name: "test"})
		return err
	}))
	other, err := models.ProjectByName(t.Context(), s.db, "Another Job")
	require.NoError(t, err)
	id := formatInt(other.ID)
	b := s.as(web.RoleProject)
	require.Equal(t, http.StatusForbidden, b.get("/delays?project="+id).status)
	require.Equal(t, http.StatusForbidden, b.post("/delays/terms", url.Values{"project": {id}}).status)
	require.Equal(t, http.StatusForbidden, b.post("/delays/confirm", url.Values{"project": {id}}).status)
	require.Equal(t, http.StatusForbidden, b.post("/delays/notice", url.Values{"project": {id}}).status)
	require.Contains(t, s.as(web.RoleOperations).get("/delays?project="+id).text(), "Nothing to compare yet")
}
