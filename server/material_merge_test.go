package server

import (
	"maps"
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"jambwright/models"
	"jambwright/server/buying"
	"jambwright/web"
)

// newSmallReleases serves the small job with two more doors on level 1 that the schedule puts into releases of their own.
func newSmallReleases(t *testing.T) *site {
	t.Helper()
	s := newSmallSite(t)
	pm := s.as(web.RoleProject)
	s.importSheet(pm, "openings", "Mark,Level,Type,Width,Height,Release,Supplier\nE,Level 1,HM door and frame,3-0,7-0,R8,Pellam Works\nF,Level 1,HM door and frame,3-0,7-0,R9,Pellam Works\n")
	s.night(s.as(web.RoleOperations))
	return s
}

// mergeForm is the form of the first suggestion to make one order of several.
func mergeForm(t *testing.T, p *page) (form url.Values) {
	t.Helper()
	p.each(func(n *html.Node) {
		if n.Data == "form" && attribute(n, "method") == "post" && form == nil {
			f := url.Values{}
			(&page{root: n}).each(func(in *html.Node) {
				if in.Data == "input" && attribute(in, "type") == "hidden" {
					f.Add(attribute(in, "name"), attribute(in, "value"))
				}
			})
			if len(f["release"]) > 1 {
				form = f
			}
		}
	})
	require.NotNil(t, form, p.text())
	return form
}

// Small releases of one supplier for one level become one order: shown first with what it moves, done with every item in its
// place, and refused once one of them is ordered.
func TestSuggest_SmallReleasesBecomeOneOrder(t *testing.T) {
	t.Parallel()
	s := newSmallReleases(t)
	b := s.as(web.RoleProject)
	require.Contains(t, b.get("/material?project=1").text(), "Small releases could be 2 orders")
	address := "/material/suggest?project=1"
	p := b.get(address)
	require.Contains(t, p.text(), "one truck to Level 1")
	form := mergeForm(t, p)
	before, plan := s.itemsByRelease(), planID(t, s.db)

	preview := b.post("/material/suggest", form)
	require.Equal(t, http.StatusOK, preview.status, preview.text())
	require.Contains(t, preview.text(), "What making one order of 3 releases does")
	require.Contains(t, preview.text(), "made one order", "what moves says why")
	require.Equal(t, before, s.itemsByRelease(), "a preview stores nothing")
	require.Equal(t, plan, planID(t, s.db))

	other := maps.Clone(form)
	other.Set("seen", "something else")
	require.Equal(t, http.StatusConflict, b.post("/material/suggest", other).status)
	require.Equal(t, http.StatusBadRequest, b.post("/material/suggest", url.Values{"project": {"1"}, "days": {"15"}, "items": {"60"}}).status)

	form.Set("do", "save")
	done := b.post("/material/suggest", form)
	require.Contains(t, done.text(), "The plan is a draft until you issue it.")
	require.Greater(t, planID(t, s.db), plan)
	after := s.itemsByRelease()
	ids := form["release"]
	require.Len(t, ids, 3)
	first := ids[0]
	assert.Equal(t, before[first]+before[ids[1]]+before[ids[2]], after[first])
	assert.Zero(t, after[ids[1]]+after[ids[2]])
	board, err := buying.Read(t.Context(), s.db)
	require.NoError(t, err)
	for _, g := range board.Suggestions("SC", 15) {
		if rel := s.releaseOf(g.Release); itoa(rel.ID) == first {
			assert.True(t, g.Same, "what was merged is not divided again")
		}
	}
	require.Equal(t, http.StatusConflict, b.post("/material/suggest", form).status, "it is another one by now")
	doc, _, err := models.PlanDocuments(t.Context(), s.db, planID(t, s.db))
	require.NoError(t, err)
	require.NotEmpty(t, doc.Tasks)
}

func TestSuggest_WhatIsOrderedIsNotMerged(t *testing.T) {
	t.Parallel()
	s := newSmallReleases(t)
	b := s.as(web.RoleProject)
	form := mergeForm(t, b.get("/material/suggest?project=1"))
	rel := s.releaseByID(form["release"][1])
	s.buy(b, rel.Code, "order", map[string]string{"date": "2026-11-25"})
	for _, do := range []string{"", "save"} {
		form.Set("do", do)
		refused := b.post("/material/suggest", form)
		require.Equal(t, http.StatusConflict, refused.status)
		require.Contains(t, refused.text(), "elease "+rel.Code+" has been ordered")
	}
}

// itemsByRelease counts the items of the project's releases by id.
func (s *site) itemsByRelease() map[string]int {
	s.t.Helper()
	releases, err := models.Releases(s.t.Context(), s.db, 1)
	require.NoError(s.t, err)
	counts := map[string]int{}
	for i := range releases {
		items, err := models.ReleaseItems(s.t.Context(), s.db, releases[i].ID)
		require.NoError(s.t, err)
		counts[itoa(releases[i].ID)] = len(items)
	}
	return counts
}

func (s *site) releaseByID(id string) *models.Release {
	s.t.Helper()
	releases, err := models.Releases(s.t.Context(), s.db, 1)
	return theOne(s.t, releases, err, "release "+id, func(r *models.Release) bool { return itoa(r.ID) == id })
}

// The project manager reads on the material page that small releases could be one order, looks at what it does, and makes it one.
func TestBrowser_ProjectManagerMakesOneOrderOfSmallReleases(t *testing.T) {
	t.Parallel()
	s := newSmallReleases(t)
	for _, w := range []window{desk, phone} {
		b := newTab(t, s.url, w)
		b.signIn("Project manager")
		b.open("/material?project=1")
		b.follow("a", "See what is suggested")
		b.seen("merge")
		b.follow("button", "Show what one order of them does")
		require.Contains(t, b.words("h1"), "What making one order")
		b.seen("merge-tried")
		b.followFirst(`.decide button[value="save"]`)
		require.Contains(t, b.notice(), "Make one order of")
	}
}

// A release that holds what is needed in December and what is only surveyed in January is too late for the first: the page says for
// which openings, what splitting it moves, and splits it.
func TestSuggest_AReleaseThatIsTooLateForSomeIsSplit(t *testing.T) {
	t.Parallel()
	s := newSmallSite(t)
	b := s.as(web.RoleProject)
	s.importSheet(b, "openings", "Mark,Level,Type,Width,Height,Release,Supplier\nE,Level 1,HM door and frame,3-0,7-0,R8,Pellam Works\nF,Level 2,HM door and frame,3-0,7-0,R8,Pellam Works\n")
	s.night(s.as(web.RoleOperations))
	require.Contains(t, b.get("/material?project=1").text(), "waits too long for some of its openings and could be split")
	p := b.get("/material/suggest?project=1")
	require.Contains(t, p.text(), "That is too late for 1 item: door and frame of Level 1. Split it.")
	rel := s.releaseOf("R8-frames+glass")
	var form url.Values
	p.each(func(n *html.Node) {
		if n.Data == "form" && attribute(n, "method") == "post" {
			if f := hiddenForm(&page{root: n}); f.Get("release") == itoa(rel.ID) {
				form = f
			}
		}
	})
	require.NotNil(t, form)
	preview := b.post("/material/suggest", form)
	require.Contains(t, preview.text(), "release R8-frames+glass grouped by need", "what moves says why")
	before := s.placed(s.latest())["SC/E/frame"]
	form.Set("do", "save")
	require.Contains(t, b.post("/material/suggest", form).text(), "The plan is a draft until you issue it.")
	require.True(t, s.placed(s.latest())["SC/E/frame"][0].Before(before[0]), "E is framed sooner")
	require.NotContains(t, b.get("/material/suggest?project=1").text(), "Split it")
}

func (s *site) latest() *models.Plan {
	s.t.Helper()
	plan, err := models.LatestPlan(s.t.Context(), s.db)
	require.NoError(s.t, err)
	return plan
}
