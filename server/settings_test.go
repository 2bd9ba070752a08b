package server

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// settingsForm is the settings page's form as it is shown.
func settingsForm(p *page) url.Values {
	values := url.Values{}
	p.each(func(n *html.Node) {
		for in := n.Parent; n.Data == "input" && in != nil; in = in.Parent {
			if in.Data == "form" && attribute(in, "action") == "/settings" {
				values.Set(attribute(n, "name"), attribute(n, "value"))
			}
		}
	})
	return values
}

func TestSettings_AreTriedBeforeTheyAreSaved(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	before := planID(t, s.db)
	form := settingsForm(b.get("/settings"))
	require.Equal(t, `5/16"`, form.Get("bite"))
	require.Equal(t, "50 lb", form.Get("lift_limit"))
	require.Equal(t, "1.15", form.Get("factor_ladder_"))

	same := b.post("/settings", form)
	require.Contains(t, same.text(), "Nothing was changed")

	form.Set("bite", "3 ft")
	form.Set("blocks", "2.5")
	bad := b.post("/settings", form)
	require.Equal(t, http.StatusUnprocessableEntity, bad.status)
	require.Contains(t, bad.text(), `Write from 1/8" to 2"`)
	require.Contains(t, bad.text(), "no whole number", "all faults at once")
	require.Equal(t, "3 ft", settingsForm(bad).Get("bite"), "what was written is still there")

	form.Set("bite", "3/8")
	form.Set("blocks", "2")
	form.Set("factor_ladder_", "1.3")
	form.Set("room_frame", "3")
	form.Set("curve_hang", "0.95")
	form.Set("do", "try")
	preview := b.post("/settings", form)
	require.Equal(t, http.StatusOK, preview.status, preview.text())
	for _, words := range []string{`Bite on each framed edge of a pane: 5/16" becomes 3/8".`, "from a ladder: 1.15 becomes 1.3.", "People with room, framing: 0 becomes 3.", "0.95"} {
		require.Contains(t, preview.text(), words)
	}
	require.Equal(t, before, planID(t, s.db), "a preview saves nothing")

	form.Set("do", "save")
	require.Contains(t, b.post("/settings", form).text(), "The settings are changed")
	require.Greater(t, planID(t, s.db), before)
	firm, err := models.Snapshot(t.Context(), s.db, testNow())
	require.NoError(t, err)
	require.Equal(t, 6*takeoff.DefaultRules().Bite, 5*firm.Rules.Bite, "3/8 in is six fifths of 5/16 in")
	require.Equal(t, 3, firm.Settings.Crowding[0].Room)
	require.Equal(t, 0.95, firm.Rates.Learning[0].Rate)

	stale := b.post("/settings", form)
	require.Equal(t, http.StatusConflict, stale.status, "the page is older than what is stored")
}

// Every setting reads back as the number it shows, in both systems of units, so that a saved page changes only what was touched;
// and its ends are within its range.
func TestSettings_ShownIsRead(t *testing.T) {
	t.Parallel()
	e := &firmEdit{factorsChanged: map[int]bool{}, curvesChanged: map[int]bool{}}
	for _, f := range takeoff.DefaultRates().Factors {
		e.factors = append(e.factors, models.RateFactor{Condition: f.Condition, Kind: f.Kind, Factor: f.Factor})
	}
	for _, kind := range pattern.StepKinds() {
		e.curves = append(e.curves, models.RateLearning{Kind: kind, Rate: 1, StandardUnit: 1})
	}
	names := map[string]bool{}
	for _, f := range []web.Format{{}, {Units: web.Metric}} {
		for _, g := range settingGroups(e) {
			for i := range g.settings {
				one := &g.settings[i]
				names[one.name] = true
				for _, v := range []float64{one.value(e), one.least, one.most} {
					text := one.text(v, f)
					read, message := one.read(text, f)
					require.Empty(t, message, "%s: %s", one.name, text)
					require.Equal(t, text, one.text(read, f), one.name)
				}
				_, message := one.read("none", f)
				require.NotEmpty(t, message)
			}
		}
		changes, faults := e.take(url.Values{"bite": {"1 m"}, "gear_limit": {"2 kg"}}, f)
		require.Empty(t, changes)
		require.Len(t, faults, 2)
	}
	require.Greater(t, len(names), 30)
	// 110 lb are 49,895 g: the pound of 1959.
	limit := setting{measure: asWeight, least: 0, most: 1e9}
	v, _ := limit.read("110", web.Format{})
	require.InDelta(t, 49_895, v, 1)
	v, _ = limit.read("50 kg", web.Format{})
	require.InDelta(t, 50_000, v, 0)
}

func TestPatterns_AreReadable(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.as(web.RoleOperations).get("/patterns")
	require.Equal(t, http.StatusOK, page.status)
	for _, words := range []string{
		"walls boarded", "where it has panes", "power live (where its hardware needs power)", "foot of gasket",
		"punch work starts once glazing is finished and 24 h round the clock have passed, where panes meet at sealed joints",
	} {
		require.Contains(t, strings.ToLower(page.text()), strings.ToLower(words))
	}
	require.Equal(t, http.StatusForbidden, s.as(web.RoleForeman).get("/patterns").status)
}
