package server

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/web"
)

// areaOf is the id of an area of the first project, as forms send it.
func (s *site) areaOf(code string) string {
	s.t.Helper()
	areas, err := models.Areas(s.t.Context(), s.db, 1)
	return itoa(theOne(s.t, areas, err, "area "+code, func(a *models.Area) bool { return a.Code == code }).ID)
}

// The east of level 3 gets its ceiling on its own, later than the level: work there waits for that from then on.
func TestHandoverNew_AZoneGetsItsOwnAfterAPreview(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	level := handoverOf(t, s.db, "L3", pattern.CeilingClosed)
	own := b.get("/handovers/" + itoa(level.ID))
	address := "/handovers/new?project=1&condition=ceiling_closed"
	require.Contains(t, own.links(), address)
	require.Equal(t, http.StatusOK, b.get(address).status)
	form := url.Values{"project": {"1"}, "condition": {"ceiling_closed"}, "area": {s.areaOf("L3-East")}, "trade": {"Ceilings"}, "date": {"2026-12-28"}}
	count := handoverCount(t, s.db)
	shown := b.post("/handovers/new", form)
	require.Equal(t, http.StatusOK, shown.status, shown.text())
	for _, part := range []string{"Ceiling closed, Level 3 / East: promised Mon 28 Dec by Ceilings", "no longer for the one of Level 3", "tasks move on", "ceiling closed on Level 3 / East: promised date Mon 28 Dec"} {
		assert.Contains(t, shown.text(), part)
	}
	require.Equal(t, count, handoverCount(t, s.db), "a look stores nothing")
	form.Set("confirm", "no")
	back := b.post("/handovers/new", form)
	require.Equal(t, "2026-12-28", back.value("date"), "what was typed is there to be changed")
	form.Set("confirm", "yes")
	done := b.post("/handovers/new", form)
	require.Contains(t, done.text(), "Entered. The next re-plan takes it in.")
	require.Contains(t, done.text(), "promised Mon 28 Dec")
	require.Equal(t, count+1, handoverCount(t, s.db))
	assert.NotContains(t, gridCell(t, b.get("/handovers"), "Level 3 / East", "Ceiling closed"), "from Level 3")
	assert.Contains(t, gridCell(t, b.get("/handovers"), "Level 3 / West", "Ceiling closed"), "from Level 3")

	twice := b.post("/handovers/new", form)
	require.Equal(t, http.StatusUnprocessableEntity, twice.status)
	require.Contains(t, twice.text(), "Level 3 / East has this handover already")
}

func TestHandoverNew_TellsEveryFault(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	count := handoverCount(t, s.db)
	p := b.post("/handovers/new", url.Values{"project": {"1"}, "area": {"999"}, "condition": {"moon_full"}, "date": {"soon"}, "confirm": {"yes"}})
	require.Equal(t, http.StatusUnprocessableEntity, p.status)
	for _, fault := range []string{"Choose the area that is handed over.", "Choose what the area is brought to.", "Write the day as 2026-11-25."} {
		assert.Contains(t, p.text(), fault)
	}
	long := b.post("/handovers/new", url.Values{"project": {"1"}, "area": {s.areaOf("L3-East")}, "condition": {"ceiling_closed"}, "date": {"2026-12-28"}, "trade": {strings.Repeat("x", maxTrade+1)}, "confirm": {"yes"}})
	require.Equal(t, http.StatusUnprocessableEntity, long.status)
	assert.Contains(t, long.text(), "up to 120 characters")
	require.Equal(t, count, handoverCount(t, s.db))
	require.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).get("/handovers/new?project=1").status)
	require.Equal(t, http.StatusNotFound, b.get("/handovers/new?project=77").status)
}
