package server

import (
	"net/http"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/recovery"
	"jambwright/server/sheet"
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
	assert.Equal(t, 2*(1+len(dates)), rows, "hours and money")
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

func TestCost_ComesAsAWorkbookThatAddsUp(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	who := s.as(web.RoleOperations)
	got := who.get("/cost/export/cost.xlsx")
	require.Equal(t, http.StatusOK, got.status)
	tables, err := sheet.Read("cost.xlsx", []byte(got.body))
	require.NoError(t, err)
	rows := tables[0].Rows
	column := map[string]int{}
	for i, cell := range rows[0].Cells {
		column[cell.Text] = i
	}
	number := func(row int, name string) float64 {
		v, err := strconv.ParseFloat(rows[row].Cells[column[name]].Text, 64)
		require.NoError(t, err, "%s", name)
		return v
	}
	plan, err := models.LatestPlan(t.Context(), s.db)
	require.NoError(t, err)
	require.Positive(t, plan.TravelMinutes)
	assert.Positive(t, number(1, "Travel and set-up"))
	for row := 1; row < len(rows); row++ {
		sum := number(row, "Spent") + number(row, "Work to come") + number(row, "Travel and set-up") +
			number(row, "Premiums and hours without work") + number(row, "Prices of moves")
		assert.InDelta(t, number(row, "At completion"), sum, 0.05)
		assert.NotEmpty(t, rows[row].Cells[column["Counts"]].Text)
	}
	assert.Contains(t, who.get("/cost/export/cost.csv").body, "At completion")
	assert.Equal(t, http.StatusNotFound, who.get("/cost/export/cost.pdf").status)
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

// What a scenario pays once counts for the firm, for its project and for the date that it was made for, not for other dates.
func TestCost_PricesOfMovesBelongToTheirProjectAndDate(t *testing.T) {
	t.Parallel()
	v := costView{prices: map[string]float64{}}
	scenario := models.Scenario{
		Project: models.Project{Code: "NC"}, GCDate: &models.GCDate{Code: "L1"}, Moves: models.List[recovery.Move]{{Price: 500}, {Price: 250}},
	}
	v.addPrices(&scenario)
	scenario.GCDate = nil
	v.addPrices(&scenario)
	assert.Equal(t, map[string]float64{
		wholeFirm: 1500, projectGroup("NC"): 1500, dateGroup(pattern.GCDateID("NC", "L1")): 750,
	}, v.prices)
	assert.InDelta(t, 1500, v.line("All", wholeFirm).Forecast, 1e-9, "and is part of the forecast")
}
