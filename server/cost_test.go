package server

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"jambwright/models"
	"jambwright/web"
)

func TestCost_ShowsEveryProjectAndGCDate(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.as(web.RoleProject).get("/cost")
	require.Equal(t, http.StatusOK, p.status)
	plan, err := models.LatestPlan(t.Context(), s.db)
	require.NoError(t, err)
	dates, err := models.PlanDates(t.Context(), s.db, plan.ID, nil)
	require.NoError(t, err)
	rows, text := 0, p.text()
	p.each(func(n *html.Node) {
		if n.Data == "tr" && n.Parent != nil && n.Parent.Data == "tbody" {
			rows++
		}
	})
	assert.Equal(t, 1+len(dates), rows)
	for _, date := range dates {
		assert.Contains(t, text, date.GCDate.Name)
	}
	assert.NotContains(t, text, "All crews together", "the firm's own sums are for the operations manager")
	reported, err := models.ReportedLabour(t.Context(), s.db)
	require.NoError(t, err)
	require.NotEmpty(t, reported, "the demo's foremen report hours")

	p = s.as(web.RoleOperations).get("/cost")
	assert.Contains(t, p.text(), "All crews together")
	assert.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).get("/cost").status)
}

func TestCost_IsPlainWithoutAPlan(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	_, err := s.db.SQL().ExecContext(t.Context(), "DELETE FROM plan_changes; DELETE FROM plan_issues; DELETE FROM plans")
	require.NoError(t, err)
	p := s.as(web.RoleOperations).get("/cost")
	require.Equal(t, http.StatusOK, p.status)
	assert.True(t, strings.Contains(p.text(), "Nothing has been planned yet"))
}
