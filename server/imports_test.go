package server

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/web"
)

const twoGoodOneBad = "Mark,Level,Zone,Type,Width,Height\nA-1,Level 9,East,HM door and frame,3-0,7-0\n" +
	"A-2,Level 9,East,Pair,6'-0\",7'-0\"\nA-3,Level 9,East,HM door and frame,07-Mar,7-0\n"

func TestImport_SavesNothingUntilTheFileIsRightOrRowsAreLeftOut(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	form := map[string]string{"project": "", "new_project": "Sallow Court", "zone": "America/Denver", "kind": "openings"}
	preview := b.upload("/import/preview", form, "doors.csv", twoGoodOneBad)
	require.Equal(t, http.StatusOK, preview.status, preview.text())
	require.Contains(t, preview.text(), "07-Mar", "the cell that cannot be read is shown")
	_, err := models.ProjectByName(t.Context(), s.db, "Sallow Court")
	require.ErrorIs(t, err, models.ErrNotFound)

	token := preview.value("token")
	refused := b.post("/import/apply", url.Values{"token": {token}})
	require.Equal(t, http.StatusUnprocessableEntity, refused.status)
	_, err = models.ProjectByName(t.Context(), s.db, "Sallow Court")
	require.ErrorIs(t, err, models.ErrNotFound, "nothing is half-saved")

	token = refused.value("token") // the page that was shown again names the sheet anew
	saved := b.post("/import/apply", url.Values{"token": {token}, "leave_out": {"yes"}})
	require.Equal(t, http.StatusOK, saved.status, saved.text())
	require.Contains(t, saved.text(), "2 new")
	project, err := models.ProjectByName(t.Context(), s.db, "Sallow Court")
	require.NoError(t, err)
	openings, err := models.OpeningsOf(t.Context(), s.db, project.ID)
	require.NoError(t, err)
	require.Len(t, openings, 2)
	require.Equal(t, "America/Denver", project.Zone)

	again := b.upload("/import/preview", map[string]string{"project": "2", "kind": "openings"}, "doors.csv", twoGoodOneBad)
	require.Contains(t, again.text(), "This sheet changes nothing")
	require.Equal(t, http.StatusNotFound, b.post("/import/apply", url.Values{"token": {token}}).status, "a sheet is saved once")
}

func TestImport_AsksAboutOpeningsWithWorkOnThem(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	// 101 has been framed, glazed and hung in the demo; this sheet makes it another size and leaves all others out.
	sheet := "Mark,Level,Zone,Room,Type,Width,Height\n101,Level 1,East,Small meeting 101,Hinged front,6'-0\",9'-0\"\n"
	preview := b.upload("/import/preview", map[string]string{"project": "1", "kind": "openings"}, "revised.csv", sheet)
	require.Equal(t, http.StatusOK, preview.status)
	require.Contains(t, preview.text(), "101 has work on it")
	questions := answers(preview)
	require.Greater(t, len(questions), 1)
	unanswered := b.post("/import/apply", url.Values{"token": {preview.value("token")}})
	require.Equal(t, http.StatusUnprocessableEntity, unanswered.status)

	form := url.Values{"token": {unanswered.value("token")}}
	for _, q := range questions {
		form.Set(q, "keep")
	}
	kept := b.post("/import/apply", form)
	require.Equal(t, http.StatusOK, kept.status, kept.text())
	require.Contains(t, kept.text(), "0 new, 0 changed, 0 taken out")
	openings, err := models.OpeningsOf(t.Context(), s.db, 1)
	require.NoError(t, err)
	require.Len(t, openings, 180)
}

// answers are the names of the questions' fields.
func answers(p *page) []string {
	seen := map[string]bool{}
	var list []string
	for _, name := range names(p) {
		if strings.HasPrefix(name, "answer_") && !seen[name] {
			seen[name] = true
			list = append(list, name)
		}
	}
	return list
}

func TestImport_RefusesWhatIsNoSheet(t *testing.T) {
	t.Parallel()
	b := newSite(t).as(web.RoleProject)
	p := b.upload("/import/preview", map[string]string{"project": "1", "kind": "openings"}, "photo.xlsx", "\x89PNG\r\n not a sheet")
	require.Equal(t, http.StatusOK, p.status)
	require.Contains(t, p.text(), "cannot be read")
	missing := b.post("/import/preview", url.Values{"project": {"1"}, "kind": {"openings"}})
	require.Equal(t, http.StatusUnprocessableEntity, missing.status)
	foreign := b.upload("/import/preview", map[string]string{"project": "", "new_project": "X", "kind": "openings"}, "a.csv", twoGoodOneBad)
	require.Equal(t, http.StatusUnprocessableEntity, foreign.status, "a project manager begins no project")
}

func TestImport_NoticesWhatChangedBetweenLookingAndSaving(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	sheet := "Name,Level,Work complete,Date,Damages per day\nLevel 1 ready to furnish,Level 1,punch,2026-12-11,1200\n"
	first := b.upload("/import/preview", map[string]string{"project": "1", "kind": "gc_dates"}, "dates.csv", sheet)
	second := b.upload("/import/preview", map[string]string{"project": "1", "kind": "gc_dates"}, "dates.csv", strings.ReplaceAll(sheet, "12-11", "12-14"))
	save := func(p *page) *page {
		form := url.Values{"token": {p.value("token")}}
		for _, q := range answers(p) {
			form.Set(q, "keep")
		}
		return b.post("/import/apply", form)
	}
	require.Equal(t, http.StatusOK, save(second).status)
	late := save(first)
	require.Equal(t, http.StatusConflict, late.status)
	require.Contains(t, late.text(), "Look at the differences again")
}

func TestImport_HasANewProjectPlannedAtOnceUntilItsFirstPlanIsIssued(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	save := func(form map[string]string, sheet string) string {
		preview := b.upload("/import/preview", form, "sheet.csv", sheet)
		require.Equal(t, http.StatusOK, preview.status, preview.text())
		answered := url.Values{"token": {preview.value("token")}}
		for _, q := range answers(preview) {
			answered.Set(q, "keep")
		}
		saved := b.post("/import/apply", answered)
		require.Equal(t, http.StatusOK, saved.status, saved.text())
		return saved.text()
	}
	begun := save(map[string]string{"project": "", "new_project": "Sallow Court", "zone": "America/Denver", "kind": "openings"},
		"Mark,Level,Zone,Type,Width,Height\nA-1,Level 9,East,HM door and frame,3-0,7-0\n")
	require.Contains(t, begun, "The first plan is being made")
	require.Len(t, s.queue.jobs, 1, "crews are known already")
	s.runNights()
	require.Contains(t, save(map[string]string{"project": "2", "kind": "gc_dates"}, "Name,Level,Work,Date\nLevel 9 done,Level 9,punch,2027-03-01\n"),
		"The first plan is being made")
	s.runNights()

	require.Contains(t, save(map[string]string{"project": "1", "kind": "gc_dates"}, "Name,Level,Work,Date\nRoof light,Level 4,punch,2027-03-01\n"),
		"The next re-plan takes it in", "crews of the demo's job follow an issued plan")
	require.Empty(t, s.queue.jobs)
}
