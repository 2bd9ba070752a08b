package server

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// patternFields are all fields of the form of a pattern, as a browser sends them.
func patternFields(p *page) url.Values {
	form := url.Values{}
	choice := ""
	p.each(func(n *html.Node) {
		switch n.Data {
		case "input":
			name, kind := attribute(n, "name"), attribute(n, "type")
			if name != "" && (kind != "checkbox" || slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == "checked" })) {
				form.Add(name, attribute(n, "value"))
			}
		case "select":
			choice = attribute(n, "name")
			form.Set(choice, "")
		case "option":
			if choice != "" && slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == "selected" }) {
				form.Set(choice, attribute(n, "value"))
			}
		}
	})
	return form
}

// The form as it is shown changes nothing: what is read from it is the pattern in force, for every type.
func TestPatternForm_SentBackAsShownChangesNothing(t *testing.T) {
	t.Parallel()
	s := newSmallSite(t)
	b := s.as(web.RoleOperations)
	for _, usual := range pattern.DefaultPatterns(pattern.Settings{}) {
		form := patternFields(b.get("/patterns/edit?type=" + string(usual.Type)))
		read, faults := readPattern(form, usual.Type)
		require.Empty(t, faults)
		assert.Empty(t, patternChanges(&usual, &read, web.Format{}), "%s", usual.Type)
		form.Set("do", "try")
		assert.Contains(t, b.post("/patterns/edit", form).text(), "Nothing was changed")
	}
}

// The operations manager lets punch work wait for two days after the door was hung: it is shown with what it moves, saved, kept in
// the history, and taken back.
func TestPatternEdit_IsShownSavedAndTakenBack(t *testing.T) {
	t.Parallel()
	s := newSmallSite(t)
	b := s.as(web.RoleOperations)
	for _, release := range []string{"L1-leaves+hardware", "L2-leaves+hardware"} {
		s.buy(s.as(web.RoleProject), release, "order", map[string]string{"date": "2026-11-25"})
	}
	plan := s.night(b).ID
	address := "/patterns/edit?type=door_frame"
	form := patternFields(b.get(address))
	form.Set("from_1", "hang")
	form.Set("to_1", "punch")
	form.Set("link_1", "FS")
	form.Set("lag_1", "48")
	form.Set("case_1", "always")
	form.Set("do", "try")
	preview := b.post("/patterns/edit", form)
	require.Equal(t, http.StatusOK, preview.status, preview.text())
	for _, words := range []string{
		"Now: punch work starts once hanging is finished and 48 h round the clock have passed.", "work pattern of door and frame changed",
	} {
		assert.Contains(t, preview.text(), words)
	}
	assert.Equal(t, plan, planID(t, s.db), "a preview saves nothing")
	_, err := models.WorkPatternOf(t.Context(), s.db, takeoff.DoorFrame)
	require.ErrorIs(t, err, models.ErrNotFound)

	form.Set("do", "save")
	require.Contains(t, b.post("/patterns/edit", form).text(), "The work pattern is changed")
	require.Greater(t, planID(t, s.db), plan)
	latest, err := models.LatestPlan(t.Context(), s.db)
	require.NoError(t, err)
	changes, err := models.ChangesOf(t.Context(), s.db, latest.ID, 1)
	require.NoError(t, err)
	moved := map[string]bool{}
	for _, c := range changes {
		if c.Task != nil {
			moved[c.Task.Key] = true
			assert.Contains(t, c.CauseText, "work pattern of door and frame changed", c.Task.Key)
		}
	}
	assert.ElementsMatch(t, []string{"SC/A/punch", "SC/C/punch"}, slices.Collect(maps.Keys(moved)), "the punch work of both doors, and nothing else")
	require.Equal(t, http.StatusConflict, b.post("/patterns/edit", form).status, "the form is older than the pattern")

	again := b.get(address)
	require.Contains(t, again.text(), "our own work pattern")
	require.Contains(t, again.text(), "Now: punch work starts once hanging is finished and 48 h", "the history")
	back := patternFields(again)
	back.Set("do", "usual")
	require.Contains(t, b.post("/patterns/edit", back).text(), "No longer: punch work starts once hanging is finished and 48 h")
	back.Set("do", "save")
	back.Set("back", "yes")
	require.Contains(t, b.post("/patterns/edit", back).text(), "The work pattern is changed")
	_, err = models.WorkPatternOf(t.Context(), s.db, takeoff.DoorFrame)
	require.ErrorIs(t, err, models.ErrNotFound)
	require.Contains(t, b.get(address).text(), "the usual work pattern")
}

// All faults are told at once, each at its field, and what was sent stays in the form; a ring lists its steps in order.
func TestPatternEdit_TellsEveryFault(t *testing.T) {
	t.Parallel()
	s := newSmallSite(t)
	b := s.as(web.RoleOperations)
	form := patternFields(b.get("/patterns/edit?type=hinged_front"))
	form.Set("place_glaze", "1")
	form.Set("place_punch", "9")
	form.Add("item_hang", "frame_kit")
	form.Set("from_1", "frame")
	form.Set("lag_0", "soon")
	form.Set("do", "save")
	p := b.post("/patterns/edit", form)
	require.Equal(t, http.StatusUnprocessableEntity, p.status)
	for _, fault := range []string{
		"Framing stands there already", "Choose where punch work stands", "The frame kit is needed by framing already", "A link has a first and a second step",
		"Write hours such as 1.5 or 1:30.",
	} {
		assert.Contains(t, p.text(), fault)
	}
	assert.Equal(t, "soon", p.value("lag_0"))
	assert.NotContains(t, p.text(), "is not part of this pattern", "its place alone is at fault")
	out := patternFields(b.get("/patterns/edit?type=hinged_front"))
	out.Set("place_glaze", "")
	out.Set("do", "save")
	assert.Contains(t, b.post("/patterns/edit", out).text(), "Glazing is not part of this pattern.")

	cleared := patternFields(b.get("/patterns/edit?type=hinged_front"))
	cleared.Set("from_0", "")
	cleared.Set("to_0", "")
	cleared.Set("from_1", "hang")
	cleared.Set("to_1", "hang")
	cleared.Set("link_1", "FS")
	cleared.Set("do", "save")
	p = b.post("/patterns/edit", cleared)
	require.Equal(t, http.StatusUnprocessableEntity, p.status)
	assert.Contains(t, p.text(), "A step does not wait for itself")
	assert.True(t, p.has("select", "aria-describedby", "from_1-fault"))
	assert.Equal(t, "hang", patternFields(p).Get("from_1"), "the fault stands at the link that has it")

	ring := patternFields(b.get("/patterns/edit?type=hinged_front"))
	ring.Set("from_1", "punch")
	ring.Set("to_1", "glaze")
	ring.Set("link_1", "SS")
	ring.Set("do", "save")
	p = b.post("/patterns/edit", ring)
	require.Equal(t, http.StatusUnprocessableEntity, p.status)
	assert.Contains(t, p.text(), "These steps wait for one another in a ring: glazing, then punch work, then glazing")
	none := url.Values{"type": {"hinged_front"}, "version": {"0"}, "do": {"save"}}
	assert.Contains(t, b.post("/patterns/edit", none).text(), "A pattern has at least one step")
	_, err := models.WorkPatternOf(t.Context(), s.db, takeoff.HingedFront)
	require.ErrorIs(t, err, models.ErrNotFound)

	assert.Equal(t, http.StatusNotFound, b.get("/patterns/edit?type=moon").status)
	assert.Equal(t, http.StatusForbidden, s.as(web.RoleProject).get("/patterns/edit?type=pair").status)
	assert.Equal(t, http.StatusForbidden, s.as(web.RoleProject).post("/patterns/edit", none).status)
}

// Lags are read as they are written, before and after.
func TestReadPattern_LagsAreReadAsTheyAreWritten(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]int{"24": 1440, "1:30": 90, "-2": -120, "−0:45": -45, "": 0, "1.5": 90} {
		form := url.Values{
			"place_frame": {"1"}, "place_punch": {"2"}, "from_0": {"frame"}, "to_0": {"punch"}, "link_0": {"SS"}, "lag_0": {text}, "clock_0": {"site"},
		}
		p, faults := readPattern(form, takeoff.Pair)
		require.Empty(t, faults, text)
		require.Equal(t, want, p.Links[0].LagMinutes, text)
		again, faults := readPattern(sentPattern(&p), takeoff.Pair)
		require.Empty(t, faults)
		require.Equal(t, p, again)
	}
}

// Whoever looks at a pattern on the page can use it on a phone and a desk.
func TestBrowser_OperationsManagerChangesAWorkPattern(t *testing.T) {
	t.Parallel()
	s := newSmallSite(t)
	for _, w := range []window{desk, phone} {
		b := newTab(t, s.url, w)
		b.signIn("Operations manager")
		b.open("/patterns/edit?type=door_frame")
		b.seen("pattern")
		b.choose("#from_1", "hang")
		b.choose("#to_1", "punch")
		b.fill("#lag_1", "48")
		b.follow("button", "See what it does")
		require.Contains(t, b.words("h1"), "What this work pattern does")
		require.Contains(t, b.words(".moved tbody"), "work pattern of door and frame changed")
		b.seen("pattern-tried")
		b.followFirst(`.decide button[value="save"]`)
		require.Contains(t, b.notice(), "The work pattern is changed")
		b.open("/patterns/edit?type=door_frame")
		b.seen("pattern-own")
		b.follow("button", "Take the usual pattern again")
		b.followFirst(`.decide button[value="save"]`)
		require.Contains(t, b.notice(), "The work pattern is changed")
	}
}
