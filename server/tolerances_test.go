package server

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// workOf finds the key and the opening of the first unstarted work of a kind on a level of the demo.
func workOf(t *testing.T, db *models.DB, kind takeoff.Kind, area string) (key string, opening models.Opening) {
	t.Helper()
	project, err := models.FirstProject(t.Context(), db)
	require.NoError(t, err)
	list, err := models.ListOpenings(t.Context(), db, models.OpeningQuery{ProjectID: project.ID})
	require.NoError(t, err)
	for _, o := range list.Openings {
		for _, task := range o.Tasks {
			if task.Kind == kind && task.StartedAt == nil && !task.Held && strings.HasPrefix(o.Area.Code, area) && o.OpeningType == takeoff.DoorFrame {
				return task.Key, o.Opening
			}
		}
	}
	t.Fatalf("no %s left on %s", kind, area)
	return "", models.Opening{}
}

// A foreman measures an opening out of plumb, with a photo: its work is held with the figures, the photo stands with the
// report, and measured again within the allowed it goes on.
func TestReport_MeasuredOutOfPlumbIsHeldWithItsPhoto(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleForeman)
	key, o := workOf(t, s.db, takeoff.Frame, "L2")
	address := "/report?kind=measured&task=" + url.QueryEscape(key)
	form := b.get(address)
	require.Equal(t, http.StatusOK, form.status)
	require.Contains(t, form.text(), "Partitions, who handed over")
	require.Contains(t, form.text(), `plumb 1/16"`)
	send := func(p *page, plumb string) *page {
		t.Helper()
		fields := map[string]string{"return": fmt.Sprintf("/openings/%d", o.ID)}
		for _, name := range []string{"report_id", "task", "kind", "date", "time"} {
			fields[name] = p.value(name)
		}
		fields["width"], fields["height"], fields["plumb"] = o.Width.FeetInches(), o.Height.FeetInches(), plumb
		return b.uploadAs("photo", "/report", fields, "wall.jpg", samplePhoto(t, 300, 400))
	}
	bad := send(form, "wide")
	require.Equal(t, http.StatusUnprocessableEntity, bad.status)
	require.Equal(t, "wide", bad.value("plumb"))
	held := send(form, `5/16"`)
	require.Equal(t, http.StatusOK, held.status, held.text())
	require.Contains(t, held.text(), `Reported and held: frame `+o.Mark+`, 5/16" out of plumb, 1/16" allowed. Partitions is to put it right`)
	require.Contains(t, held.body, "/small", "the report shows its photo")
	task, err := models.TaskByKey(t.Context(), s.db, key)
	require.NoError(t, err)
	require.True(t, task.Held)
	require.Equal(t, "Partitions", task.HoldParty)
	s.later(3 * 60 * 1e9)
	again := send(b.get(address), "0")
	require.Contains(t, again.text(), "The next re-plan takes it in.")
	task, err = models.TaskByKey(t.Context(), s.db, key)
	require.NoError(t, err)
	require.False(t, task.Held)
}

func TestTolerances_OfAProjectAndOfTheFirm(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	pm, om := s.as(web.RoleProject), s.as(web.RoleOperations)
	own := pm.get("/tolerances")
	require.Contains(t, own.text(), `Empty: 1/16", as the firm has it`)
	saved := pm.post("/tolerances", url.Values{"project": {"1"}, "version": {own.value("version")}, "frames_plumb": {`1/8"`}})
	require.Contains(t, saved.text(), "Saved.")
	require.Equal(t, `1/8"`, saved.value("frames_plumb"))
	require.Equal(t, http.StatusConflict, pm.post("/tolerances", url.Values{"project": {"1"}, "version": {own.value("version")}}).status, "somebody else was faster")
	firm := om.get("/tolerances")
	require.Contains(t, firm.text(), `Empty: 1/16", as usual`)
	require.Contains(t, om.post("/tolerances", url.Values{"project": {""}, "version": {firm.value("version")}, "fronts_level": {"3/16"}}).text(), "Saved.")
	project, err := models.FirstProject(t.Context(), s.db)
	require.NoError(t, err)
	set, err := models.TolerancesOf(t.Context(), s.db, project)
	require.NoError(t, err)
	assert.Equal(t, `0'-0 1/8"`, set.Frames.Plumb.FeetInches())
	assert.Equal(t, `0'-0 3/16"`, set.Fronts.Level.FeetInches())

	wrong := om.post("/tolerances", url.Values{"project": {""}, "version": {om.get("/tolerances").value("version")}, "fronts_level": {"-1"}, "frames_size": {"much"}, "frames_plumb": {"9"}})
	require.Equal(t, http.StatusUnprocessableEntity, wrong.status)
	require.Equal(t, "much", wrong.value("frames_size"))
	require.Equal(t, 3, strings.Count(wrong.body, `aria-invalid="true"`), "all faults at once")
	require.Equal(t, http.StatusForbidden, pm.post("/tolerances", url.Values{"project": {""}, "version": {"1"}}).status)
	require.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).get("/tolerances").status)
}
