package server

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"jambwright/models"
	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// openingOf finds an opening of the demo with what was measured of it.
func (s *site) openingOf(mark string) *models.Opening {
	s.t.Helper()
	project, err := models.FirstProject(s.t.Context(), s.db)
	require.NoError(s.t, err)
	rows, err := models.OpeningsOf(s.t.Context(), s.db, project.ID)
	o := theOne(s.t, rows, err, "opening "+mark, func(o *models.Opening) bool { return o.Mark == mark })
	require.NoError(s.t, models.ReadSizes(s.t.Context(), s.db, o))
	return o
}

// Opening 307, a hinged front of 57 1/2 x 108 in with a sidelight of 18, is measured by the test at 57 7/16 x 108 1/16. By hand: the
// sidelight is 17 15/16 wide and its glass 18 9/16; 108 1/16 - 3 1/2 + 5/8 = 105 3/16 high. Drawn they are 18 5/8 and 105 1/8.
func TestOpening_ShowsDrawnAndMeasuredSideBySide(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	o := s.openingOf("307")
	b := s.as(web.RoleProject)
	require.NotContains(t, b.get("/openings/"+itoa(o.ID)).text(), "Drawn and measured", "nothing is measured on the third level")
	sixteenth := length.Inch / 16
	s.measure(o, o.Width-sixteenth, o.Height+sixteenth)

	p := b.get("/openings/" + itoa(o.ID))
	require.Contains(t, p.text(), "differs by width 1/16\" less and height 1/16\" more")
	require.Contains(t, p.text(), "Glass made to survey, measured Tue 17 Nov", "glass is ordered from the survey")
	require.Contains(t, p.text(), "Door leaf made to drawings, as the order basis says; measured after ordering, differs by", "ordered four days before")
	require.Contains(t, p.text(), `pane 1 1'-6 5/8" × 8'-9 1/8" 1'-6 9/16" × 8'-9 3/16" width 1/16" less and height 1/16" more`)
	require.Contains(t, p.text(), `glass of leaf 1 2'-6 7/8" × 7'-10 7/8"`, "the leaf is made to the drawings: 34 1/4 - 4 + 5/8, 108 - 1 3/4 - 12 + 5/8")
	require.Contains(t, p.text(), `1 of 1'-6 9/16" x 8'-9 3/16"`, "the quantities are of the measured size")

	// Taken back, the page is as before; a second time it is refused.
	action, form := "", url.Values{}
	p.each(func(n *html.Node) {
		if n.Data == "form" && strings.HasSuffix(attribute(n, "action"), "/take-back") {
			action, form = attribute(n, "action"), hiddenForm(&page{root: n})
		}
	})
	require.Equal(t, http.StatusOK, b.post(action, form).status)
	p = b.get("/openings/" + itoa(o.ID))
	require.NotContains(t, p.text(), "Drawn and measured")
	require.Contains(t, p.text(), "(taken back)")
	form.Set("report_id", "another")
	require.Equal(t, http.StatusBadRequest, b.post(action, form).status)
}

// Every line of the order list says which size its pieces are of.
func TestOrderList_SaysWhatItsSizesAreFrom(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleProject)
	from := func(release, mark string) string {
		t.Helper()
		rel := s.releaseOf(release)
		texts := map[string]bool{}
		for _, row := range listOf(t, b, "/material/export/order-list.csv?project="+itoa(rel.ProjectID)+"&release="+itoa(rel.ID)) {
			require.NotEmpty(t, row["Sizes from"])
			if row["Mark"] == mark {
				texts[row["Sizes from"]] = true
			}
		}
		require.Len(t, texts, 1, "%s of %s", mark, release)
		for text := range texts {
			return text
		}
		return ""
	}
	require.Equal(t, "drawings: not measured yet", from("L3-glass", "307"))
	require.Equal(t, "drawings, as the order basis says", from("L3-leaves+hardware", "307"))
	require.Contains(t, from("L2-glass", "207"), "survey, measured 2026-11-04; measured after ordering, differs by width 3/16\" more")
	require.Equal(t, "survey, measured 2026-11-04", from("L2-glass", "209"))
	require.True(t, strings.HasPrefix(from("L2-leaves+hardware", "207"), "drawings, as the order basis says; measured after ordering"))
}

// measure reports a size of an opening.
func (s *site) measure(o *models.Opening, width, height length.Length) {
	s.t.Helper()
	key := pattern.OpeningTask("HB", o.Mark, takeoff.Frame)
	task, err := models.TaskByKey(s.t.Context(), s.db, string(key))
	require.NoError(s.t, err)
	require.NoError(s.t, s.db.Write(s.t.Context(), func(tx *models.Tx) error {
		_, err := models.AppendReport(s.t.Context(), tx, &models.FieldReport{
			ClientID: "measured-" + o.Mark, TaskID: task.ID, Kind: models.ReportMeasured, At: s.db.Now(), Reporter: "test", Width: &width, Height: &height,
		})
		return err
	}))
}

// Opening 320 of the demo is a sliding front whose leaf the schedule calls solid wood, so that no glass of a leaf is weighed.
// The form makes it a glass leaf again and says what that does; conditions make its work slower.
func TestOpening_ALeafIsSolidByTheSheetAndChangedByHand(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	o := s.openingOf("320")
	require.True(t, o.SolidLeaf)
	b := s.as(web.RoleProject)
	address := "/openings/" + itoa(o.ID)
	require.NotContains(t, b.get(address).text(), "glass of leaf")
	form := url.Values{"leaf": {"glass"}, "conditions": {"occupied", "occupied"}, "version": {itoa(o.Version)}}
	preview := b.post(address+"/edit", form)
	require.Equal(t, http.StatusOK, preview.status)
	require.True(t, s.openingOf("320").SolidLeaf, "a preview saves nothing")
	save := hiddenForm(preview)
	save.Set("do", "save")
	require.Equal(t, http.StatusOK, b.post(address+"/edit", save).status)
	p := b.get(address)
	require.Equal(t, []takeoff.Condition{"occupied"}, []takeoff.Condition(s.openingOf("320").Conditions), "what is sent twice counts once")
	require.Contains(t, p.text(), "glass of leaf 1")
	require.Contains(t, p.text(), "for occupied space")
	require.Equal(t, http.StatusConflict, b.post(address+"/edit", save).status, "the form was opened on an older state")

	wrong := b.post(address+"/edit", url.Values{"leaf": {"paper"}, "conditions": {"moonlight"}, "version": {"1"}})
	require.Equal(t, http.StatusUnprocessableEntity, wrong.status)
	require.Contains(t, wrong.text(), "Say whether the leaves are solid or of glass.")
	require.Contains(t, wrong.text(), "Add it on the rates page first.")
	require.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).get(address+"/edit").status)
}

// What an item is made to, in words: the basis it was ordered on, and whether what was measured since is another size.
func TestSizeWords_TellTheBasisAndWhatWasMeasuredSince(t *testing.T) {
	t.Parallel()
	f := web.Format{Units: web.Imperial}
	day := func(time.Time) string { return "Mon" }
	drawn := models.Opening{Width: 72 * length.Inch, Height: 96 * length.Inch}
	field := pattern.FieldSize{Width: 72*length.Inch + length.Inch/16, Height: 96 * length.Inch}
	measured := drawn
	measured.Sizes = []pattern.FieldSize{field}
	for _, c := range []struct {
		opening models.Opening
		size    pattern.ItemSize
		fits    bool
		want    string
	}{
		{drawn, pattern.ItemSize{Basis: pattern.FromDrawings}, true, "drawings, as the order basis says"},
		{drawn, pattern.ItemSize{Basis: pattern.FromSurvey}, true, "drawings: not measured yet"},
		{measured, pattern.ItemSize{Basis: pattern.FromSurvey, Used: &field}, true, "survey, measured Mon"},
		{measured, pattern.ItemSize{Basis: pattern.AfterFraming, Used: &field}, true, "set frame, measured Mon"},
		{measured, pattern.ItemSize{Basis: pattern.FromSurvey, Used: &field}, false, `drawings: nothing can be built to the measured size; the measured size differs by width 1/16" more`},
		{measured, pattern.ItemSize{Basis: pattern.FromDrawings}, true, `drawings, as the order basis says; the measured size differs by width 1/16" more`},
		{measured, pattern.ItemSize{Basis: pattern.FromSurvey, Later: &field}, true, `drawings; measured after ordering, differs by width 1/16" more`},
	} {
		assert.Equal(t, c.want, sizeWords(&c.opening, c.size, c.fits, day, f))
	}
}
