package server

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/server/importing"
	"jambwright/web"
)

// gridCell is the text of a cell of the grid by the names of its area and its column.
func gridCell(t *testing.T, p *page, area, condition string) string {
	t.Helper()
	column, found := -1, ""
	p.each(func(n *html.Node) {
		if n.Data != "tr" || !strings.Contains(attribute(n.Parent.Parent, "class"), "ready") {
			return
		}
		cells := []*html.Node{}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			if c.Type == html.ElementNode {
				cells = append(cells, c)
			}
		}
		for i, c := range cells {
			if n.Parent.Data == "thead" && strings.HasPrefix(words(c), condition) {
				column = i
			}
		}
		if head := words(cells[0]); n.Parent.Data == "tbody" && (head == area || strings.HasPrefix(head, area+" ") && !strings.HasPrefix(head, area+" /")) && column >= 0 {
			found = words(cells[column])
		}
	})
	require.NotEqual(t, -1, column, "no column %s", condition)
	return found
}

// words is the text of a node with single spaces.
func words(n *html.Node) string { return (&page{root: n}).text() }

// handoverOf finds a stored handover of the demo.
func handoverOf(t *testing.T, db *models.DB, area string, condition pattern.Condition) *models.Handover {
	t.Helper()
	project, err := models.FirstProject(t.Context(), db)
	require.NoError(t, err)
	list, err := models.Handovers(t.Context(), db, project.ID)
	require.NoError(t, err)
	for i := range list {
		if list[i].Area.Code == area && list[i].Condition == condition {
			return &list[i]
		}
	}
	t.Fatalf("no handover %s of %s", condition, area)
	return nil
}

func TestHandovers_ALevelsHandoverHoldsForItsZonesUnlessTheyHaveTheirOwn(t *testing.T) {
	t.Parallel()
	p := newSite(t).as(web.RoleProject).get("/handovers")
	require.Equal(t, http.StatusOK, p.status)
	level := gridCell(t, p, "Level 2", "Floor finished")
	assert.Contains(t, level, "expected late")
	assert.Contains(t, level, "openings wait")
	zone := gridCell(t, p, "Level 2 / East", "Floor finished")
	assert.Contains(t, zone, "from Level 2")
	assert.NotContains(t, zone, "promised", "its dates stand with the level")
	own := gridCell(t, p, "Level 2 / East", "Walls boarded")
	assert.Contains(t, own, "handed over")
	assert.NotContains(t, own, "from Level")
	assert.Contains(t, gridCell(t, p, "Level 2", "Walls boarded"), "by the areas inside")
}

func TestHandovers_FiltersStayInTheAddress(t *testing.T) {
	t.Parallel()
	b := newSite(t).as(web.RoleProject)
	all := b.get("/handovers").text()
	require.Contains(t, all, "Flooring")
	late := b.get("/handovers?show=expected+late")
	require.NotEmpty(t, gridCell(t, late, "Level 2", "Floor finished"))
	require.Empty(t, gridCell(t, late, "Level 1", "Floor finished"), "what is handed over is not shown")
	none := b.get("/handovers?show=no+date")
	require.Contains(t, none.text(), "No handover stands like this")
	require.Equal(t, http.StatusNotFound, b.get("/handovers?project=99").status)
	trade := b.get("/handovers?trade=Flooring&condition=floor_finished")
	require.NotContains(t, trade.text(), "Power live", "one column is left")
}

func TestHandover_ShowsWhatWaitsAndTheRecordOfItsTrade(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	h := handoverOf(t, s.db, "L2", pattern.FloorFinished)
	p := s.as(web.RoleProject).get("/handovers/" + fmt.Sprint(h.ID))
	require.Equal(t, http.StatusOK, p.status)
	for _, part := range []string{"45 openings wait", "held by this handover", "screed is still wet", "Level 2 / East, Level 2 / West", "Flooring on this job"} {
		require.Contains(t, p.text(), part)
	}
	require.Contains(t, p.body, "<title>The promise over time: ")
	require.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).get("/handovers/"+fmt.Sprint(h.ID)).status)
}

// What the export writes, the import reads back as nothing new.
func TestHandovers_ExportReadsBackUnchanged(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	for _, file := range []string{"handovers.csv", "handovers.xlsx"} {
		out := b.get("/handovers/export/" + file)
		require.Equal(t, http.StatusOK, out.status)
		require.Contains(t, out.header.Get("Content-Disposition"), file)
		read := importing.Read(importing.Handovers, file, []byte(out.body), importing.Options{})
		require.Empty(t, read.Faults)
		require.Len(t, read.Handovers, handoverCount(t, s.db))
		preview := b.upload("/import/preview", map[string]string{"project": "1", "kind": "handovers"}, file, out.body)
		require.Contains(t, preview.text(), "This sheet changes nothing", "%s", preview.text())
	}
	require.Equal(t, http.StatusNotFound, b.get("/handovers/export/handovers.pdf").status)
}

func handoverCount(t *testing.T, db *models.DB) int {
	t.Helper()
	project, err := models.FirstProject(t.Context(), db)
	require.NoError(t, err)
	list, err := models.Handovers(t.Context(), db, project.ID)
	require.NoError(t, err)
	return len(list)
}
