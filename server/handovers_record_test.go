package server

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
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

// samplePhoto is a JPEG of a size.
func samplePhoto(t testing.TB, w, h int) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, w, h)), nil))
	return b.String()
}

// deed is the form of a handover's page, filled in.
func deed(p *page, do, date, cause string) map[string]string {
	return map[string]string{"version": p.value("version"), "do": do, "date": date, "cause": cause, "drop": "true"}
}

func TestHandoverRecord_ShowsWhatItMovesThenKeepsItWithItsPhoto(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	h := handoverOf(t, s.db, "L2", pattern.FloorFinished)
	address := fmt.Sprintf("/handovers/%d", h.ID)
	form := deed(b.get(address), "promise", "2026-12-11", "screed is still wet")
	try := b.uploadAs("photo", address+"/try", form, "floor.jpg", samplePhoto(t, 900, 600))
	require.Equal(t, http.StatusOK, try.status, try.text())
	require.True(t, strings.HasPrefix(try.path, "/handovers/try/"), try.path)
	for _, part := range []string{"promise slipped", "to Fri 11 Dec", "1 photo with it", "tasks move", "Level 2 ready to furnish", "floor finished on Level 2: promised date Fri 11 Dec"} {
		require.Contains(t, try.text(), part)
	}
	require.Equal(t, h.Version, handoverOf(t, s.db, "L2", pattern.FloorFinished).Version, "a preview stores nothing")
	require.Equal(t, http.StatusNotFound, s.as(web.RoleOperations).get(try.path).status, "it is that person's alone")

	done := b.post("/handovers/record", url.Values{"token": {try.value("token")}, "do": {"record"}})
	require.Equal(t, http.StatusOK, done.status, done.text())
	require.Equal(t, address, done.path)
	require.Contains(t, done.text(), "Recorded. The next re-plan takes it in.")
	require.Contains(t, done.text(), "Slipped once")
	now := handoverOf(t, s.db, "L2", pattern.FloorFinished)
	require.Equal(t, "2026-12-11", now.Promised.String())
	require.Nil(t, now.Forecast, "our own forecast was dropped with it")
	var photo string
	for _, link := range done.links() {
		if strings.HasPrefix(link, "/photos/") && !strings.HasSuffix(link, "/small") {
			photo = link
		}
	}
	require.NotEmpty(t, photo, "the history shows the photo")
	for _, path := range []string{photo, photo + "/small"} {
		sent := b.get(path)
		require.Equal(t, http.StatusOK, sent.status)
		assert.Equal(t, "image/jpeg", sent.header.Get("Content-Type"))
		assert.Equal(t, "nosniff", sent.header.Get("X-Content-Type-Options"))
		assert.Contains(t, sent.header.Get("Content-Security-Policy"), "default-src 'none'")
		assert.Contains(t, sent.header.Get("Cache-Control"), "private")
		_, err := jpeg.Decode(strings.NewReader(sent.body))
		require.NoError(t, err)
	}
	assert.Contains(t, s.stranger().get(photo).path, "/sign-in", "nobody sees a photo without signing in")
	again := b.post("/handovers/record", url.Values{"token": {try.value("token")}, "do": {"record"}})
	assert.Equal(t, http.StatusNotFound, again.status, "it is recorded once")
}

func TestHandoverRecord_ComesAndIsUndone(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	h := handoverOf(t, s.db, "L2", pattern.CeilingClosed)
	address := fmt.Sprintf("/handovers/%d", h.ID)
	record := func(do, date, cause string) *page {
		t.Helper()
		try := b.post(address+"/try", valuesOf(deed(b.get(address), do, date, cause)))
		require.Equal(t, http.StatusOK, try.status, try.text())
		return b.post("/handovers/record", url.Values{"token": {try.value("token")}, "do": {"record"}})
	}
	came := record("actual", "2026-11-17", "")
	require.Contains(t, came.text(), "It has been handed over; nothing waits for it any more.")
	undone := record("undo", "", "only the east half is closed")
	require.Contains(t, undone.text(), "not handed over after all")
	require.Contains(t, undone.text(), "only the east half is closed")
	require.Nil(t, handoverOf(t, s.db, "L2", pattern.CeilingClosed).Actual)

	left := b.post(address+"/try", valuesOf(deed(b.get(address), "actual", "2026-11-17", "")))
	gone := b.post("/handovers/record", url.Values{"token": {left.value("token")}, "do": {"leave"}})
	require.Contains(t, gone.text(), "Nothing was recorded")
	require.Nil(t, handoverOf(t, s.db, "L2", pattern.CeilingClosed).Actual)
}

func TestHandoverRecord_SaysEveryFaultAndKeepsWhatWasTyped(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	h := handoverOf(t, s.db, "L2", pattern.CeilingClosed)
	address := fmt.Sprintf("/handovers/%d", h.ID)
	form := deed(b.get(address), "actual", "2026-12-24", "so they say")
	p := b.uploadAs("photo", address+"/try", form, "wall.gif", "GIF89a\x01\x00\x01\x00\x00\x00\x00;")
	require.Equal(t, http.StatusUnprocessableEntity, p.status)
	require.Contains(t, p.text(), "lies ahead")
	require.Contains(t, p.text(), "wall.gif: this is no photo in JPEG, PNG or WebP.")
	require.Equal(t, "so they say", p.value("cause"))
	require.Equal(t, "2026-12-24", p.value("date"))

	stale := deed(b.get(address), "forecast", "2026-12-02", "")
	require.NoError(t, s.db.Write(t.Context(), func(tx *models.Tx) error {
		day := models.NewDate(2026, 12, 1)
		return models.RecordHandoverChange(t.Context(), tx, h.ID, h.Version, models.HandoverNews{Promised: h.Promised, Forecast: &day}, models.Actor{Name: "test"})
	}))
	require.Equal(t, http.StatusConflict, b.post(address+"/try", valuesOf(stale)).status, "somebody else was faster")
	require.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).post(address+"/try", valuesOf(stale)).status)
}

func valuesOf(form map[string]string) url.Values {
	values := url.Values{}
	for name, value := range form {
		values.Set(name, value)
	}
	return values
}

// A project manager of another job sees neither the handovers nor their photos.
func TestHandovers_StayWithTheirProject(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	h := handoverOf(t, s.db, "L2", pattern.FloorFinished)
	address := fmt.Sprintf("/handovers/%d", h.ID)
	try := b.uploadAs("photo", address+"/try", deed(b.get(address), "promise", "2026-12-11", ""), "floor.jpg", samplePhoto(t, 40, 30))
	b.post("/handovers/record", url.Values{"token": {try.value("token")}, "do": {"record"}})
	require.Equal(t, http.StatusOK, b.get("/photos/1").status)
	_, err := s.db.SQL().ExecContext(t.Context(), "DELETE FROM user_projects")
	require.NoError(t, err)
	for _, path := range []string{address, "/photos/1", "/photos/1/small"} {
		require.Equal(t, http.StatusForbidden, b.get(path).status, path)
	}
}

// A fresh sheet says per condition what slipped and what that moves, before anything of it is saved.
func TestImport_AFreshHandoverSheetShowsWhatSlippedAndWhatThatMoves(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	old := b.get("/handovers/export/handovers.csv").body
	h := handoverOf(t, s.db, "L3", pattern.CeilingClosed)
	was, now := h.Promised.String(), h.Promised.AddDays(21).String()
	line := "Level 3,,ceiling closed,Ceilings," + was
	require.Contains(t, old, line)
	fresh := strings.Replace(old, line, "Level 3,,ceiling closed,Ceilings,"+now, 1)
	plans := len(plansOf(t, s.db))
	p := b.upload("/import/preview", map[string]string{"project": "1", "kind": "handovers"}, "fresh.csv", fresh)
	require.Equal(t, http.StatusOK, p.status, p.text())
	for _, part := range []string{"What moved since the last sheet", "Level 3 ceiling closed Promise slipped 21 days (", "tasks move on", "ceiling closed on Level 3: promised date"} {
		require.Contains(t, p.text(), part)
	}
	require.Len(t, plansOf(t, s.db), plans, "a trial is not saved")
	require.Equal(t, was, handoverOf(t, s.db, "L3", pattern.CeilingClosed).Promised.String(), "nothing is saved before it is confirmed")
	done := b.post("/import/apply", url.Values{"token": {p.value("token")}})
	require.Contains(t, done.text(), "1 changed")
	require.Equal(t, now, handoverOf(t, s.db, "L3", pattern.CeilingClosed).Promised.String())
	require.Contains(t, b.get(fmt.Sprintf("/handovers/%d", h.ID)).text(), "Slipped once, 21 days in all")
}

func plansOf(t *testing.T, db *models.DB) (ids []int64) {
	t.Helper()
	rows, err := db.SQL().QueryContext(t.Context(), "SELECT id FROM plans")
	require.NoError(t, err)
	defer func() { require.NoError(t, rows.Close()) }()
	for rows.Next() {
		var id int64
		require.NoError(t, rows.Scan(&id))
		ids = append(ids, id)
	}
	require.NoError(t, rows.Err())
	return ids
}
