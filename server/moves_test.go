package server

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"jambwright/models"
	"jambwright/web"
)

// firstBlock is the key of the first block of the crews page.
func firstBlock(t *testing.T, p *page) string {
	t.Helper()
	for _, link := range p.links() {
		u, err := url.Parse(link)
		if err == nil && u.Path == "/crews" && u.Query().Get("open") != "" {
			return u.Query().Get("open")
		}
	}
	t.Fatal("no block on the crews page")
	return ""
}

func TestMove_IsShownBeforeItIsDoneAndStaysADraftUntilIssued(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	key := firstBlock(t, b.get("/crews"))
	opened := b.get("/crews?open=" + url.QueryEscape(key))
	require.Equal(t, http.StatusOK, opened.status)
	tasks := values(opened, "task")
	require.NotEmpty(t, tasks, "the open block's form names its tasks")

	before, err := models.LatestPlan(t.Context(), s.db)
	require.NoError(t, err)
	preview := b.post("/crews/move", url.Values{
		"block": {key}, "task": {tasks[0]}, "date": {"2026-11-19"}, "time": {"09:00"}, "pin": {"true"}, "from": {"2026-11-16"},
	})
	require.Equal(t, http.StatusOK, preview.status, preview.text())
	require.True(t, strings.HasPrefix(preview.path, "/crews/move/"), preview.path)
	same, err := models.LatestPlan(t.Context(), s.db)
	require.NoError(t, err)
	require.Equal(t, before.ID, same.ID, "a preview saves nothing")

	done := b.post("/crews/accept", url.Values{"token": {preview.value("token")}, "do": {"accept"}})
	require.Contains(t, done.text(), "draft until you issue it")
	after, err := models.LatestPlan(t.Context(), s.db)
	require.NoError(t, err)
	require.Greater(t, after.ID, before.ID)
	task, err := models.TaskByKey(t.Context(), s.db, tasks[0])
	require.NoError(t, err)
	pin, err := models.PinOf(t.Context(), s.db, task.ID)
	require.NoError(t, err)
	require.NotNil(t, pin.StartAt)
	require.Equal(t, "2026-11-19T15:00:00Z", pin.StartAt.UTC().Format("2006-01-02T15:04:05Z"), "09:00 on site is 15:00 UTC")
	issues, err := models.PlansInForce(t.Context(), s.db)
	require.NoError(t, err)
	require.Equal(t, before.ID, issues[task.ProjectID].PlanID, "crews follow the issued plan")

	again := b.post("/crews/accept", url.Values{"token": {preview.value("token")}, "do": {"accept"}})
	require.Equal(t, http.StatusNotFound, again.status, "a move is done once")

	stale := b.post("/plans/issue", url.Values{"plan": {"1"}})
	require.Equal(t, http.StatusConflict, stale.status, "only the plan that was looked at is issued")
	form := b.get("/plans/issue")
	require.Contains(t, b.post("/plans/issue", url.Values{"plan": {form.value("plan")}}).text(), "Issued")
}

func TestMove_PutBackChangesNothing(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	key := firstBlock(t, b.get("/crews"))
	tasks := values(b.get("/crews?open="+url.QueryEscape(key)), "task")
	before, err := models.LatestPlan(t.Context(), s.db)
	require.NoError(t, err)
	preview := b.post("/crews/move", url.Values{"block": {key}, "task": {tasks[0]}, "date": {"2026-11-20"}, "time": {"07:00"}})
	require.Contains(t, b.post("/crews/accept", url.Values{"token": {preview.value("token")}, "do": {"put_back"}}).text(), "Put back")
	after, err := models.LatestPlan(t.Context(), s.db)
	require.NoError(t, err)
	require.Equal(t, before.ID, after.ID)
}

func TestMove_WithFaultsSaysAllOfThem(t *testing.T) {
	t.Parallel()
	b := newSite(t).as(web.RoleOperations)
	p := b.post("/crews/move", url.Values{"date": {"soon"}, "crew": {"99"}})
	require.Equal(t, http.StatusBadRequest, p.status, "without a block there is no form to go back to")
	key := firstBlock(t, b.get("/crews"))
	q := b.post("/crews/move", url.Values{"block": {key}, "date": {"soon"}, "crew": {"99"}})
	require.Equal(t, http.StatusUnprocessableEntity, q.status)
	for _, answer := range []*page{p, q} {
		for _, part := range []string{"Choose at least one opening", "no such crew", "Write the date"} {
			require.Contains(t, answer.text(), part)
		}
	}
}

// values are the values of all fields of a name.
func values(p *page, name string) []string {
	var list []string
	p.each(func(n *html.Node) {
		if attribute(n, "name") == name {
			list = append(list, attribute(n, "value"))
		}
	})
	return list
}

// names are the names of all fields.
func names(p *page) []string {
	var list []string
	p.each(func(n *html.Node) {
		if name := attribute(n, "name"); name != "" {
			list = append(list, name)
		}
	})
	return list
}
