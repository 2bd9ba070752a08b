package server

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/web"
)

func TestAssumptions_AreKeptOrAllFaultsShownAtOnce(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	assert.Contains(t, b.get("/dates").body, "/dates/assumptions")
	page := b.get("/dates/assumptions")
	require.Equal(t, http.StatusOK, page.status)
	assert.Contains(t, page.text(), "our defaults")
	form := url.Values{"version": {page.value("version")}}
	for _, g := range assumptionGroups() {
		for _, a := range g.list {
			form.Set(a.name, page.value(a.name))
		}
	}
	require.Equal(t, "30", form.Get("hours_spread"))
	require.Equal(t, "14", form.Get("late_days_3"))

	bad := url.Values{}
	for name, values := range form {
		bad[name] = values
	}
	bad.Set("hours_spread", "0")
	bad.Set("breakage", "often")
	bad.Set("late_chance_1", "90")
	refused := b.post("/dates/assumptions", bad)
	require.Equal(t, http.StatusUnprocessableEntity, refused.status)
	for _, fault := range []string{"from 1 to 100", "from 0 to 50", "The chances come to 115 percent"} {
		assert.Contains(t, refused.text(), fault)
	}
	assert.Equal(t, "often", refused.value("breakage"))
	bad.Set("late_chance_1", "half")
	bad.Set("late_chance_2", "60")
	bad.Set("late_chance_3", "30")
	assert.NotContains(t, b.post("/dates/assumptions", bad).text(), "The chances come to", "what cannot be read is one fault, not two")

	form.Set("breakage", "0")
	form.Set("promise_days_1", "4")
	kept := b.post("/dates/assumptions", form)
	require.Equal(t, http.StatusOK, kept.status)
	assert.Contains(t, kept.text(), "The next plan is forecast with these figures")
	stored, err := models.ForecastSettingsOf(t.Context(), s.db)
	require.NoError(t, err)
	want := pattern.DefaultRisk()
	want.Breakage, want.PromiseLate[1].Days = 0, 4
	got := stored.Risk()
	for i := range want.Late {
		assert.InDelta(t, want.Late[i].Chance, got.Late[i].Chance, 1e-9)
		assert.InDelta(t, want.PromiseLate[i].Days, got.PromiseLate[i].Days, 1e-9)
	}
	assert.Zero(t, got.Breakage)
	assert.InDelta(t, want.HoursSpread, got.HoursSpread, 1e-9)

	assert.Equal(t, http.StatusConflict, b.post("/dates/assumptions", form).status, "the page is older than what is stored")
	pm := s.as(web.RoleProject)
	assert.Equal(t, http.StatusForbidden, pm.get("/dates/assumptions").status)
	assert.NotContains(t, pm.get("/dates").body, "/dates/assumptions")
}
