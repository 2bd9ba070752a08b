package web

import (
	"maps"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// learnedSample is framing that takes a fifth more than the table, with one report far off.
func learnedSample(crew string) LearnedRate {
	r := LearnedRate{
		ID: "frame" + crew, Kind: "frame", CrewID: crew, Name: "all crews", Count: 5, Bounded: 1, Usual: 0.136, Mean: 1.3, Factor: 1.2,
		Low: 1.1, High: 1.31, NextLow: 0.8, NextTop: 1.8, Planned: 1, Dots: []float64{0.8, 1.1, 1.3, 1.6, 4}, Seen: "0",
	}
	if crew != "" {
		r.Name, r.Accepted, r.Seen, r.Planned = "Alder", true, "4", 1.2
		r.Decision = &DecisionLine{At: at(-3, 9, 0), By: "Lena Brandt", What: "framing by crew Alder", Accepted: true, Factor: 1.2, Count: 5}
	}
	return r
}

func ratesPage() RatesPage {
	whole := learnedSample("")
	frame := RateKind{
		Kind: KindFrame, Name: "framing", Unit: "foot of frame", Whole: &whole, Crews: []LearnedRate{learnedSample("7")}, More: 3,
		Rows: []RateRow{
			{What: "task (set-up)", Hours: "0.5 h", Source: "ours to edit", Edit: "/rates/edit?kind=frame&driver=task"},
			{Type: "door and frame", What: "task (set-up)", Hours: "3 h", Source: longName, Edit: "/rates/edit?kind=frame&driver=task&type=door_frame"},
		},
		Tasks: []ObservedTask{{At: at(-2, 11, 0), Mark: "NC D-201", Crew: "Alder", Hours: 7, Table: 5.5, Amount: "40.7 ft of frame", PerUnit: 0.172}},
	}
	return RatesPage{
		Factors: []FactorRow{{"occupied space", "", "1.2", "ours to edit", "/rates/factor?condition=occupied"}, {longName, "hanging", "1.3", longName, "/rates/factor?condition=x"}},
		Chrome:  chrome(RoleOperations), Kinds: []RateKind{frame, {Kind: KindGlaze, Name: "glazing"}}, Shared: []RateKind{{Kind: KindSurvey, Name: "survey", Note: "Shared by several openings."}},
		Skipped: 2, Decisions: []DecisionLine{*learnedSample("7").Decision, {At: at(-4, 9, 0), By: longName, What: "glazing", Factor: 1, Note: "the company table was changed"}},
	}
}

func withRates(pages map[string]Page) map[string]Page {
	types := []Choice{{Text: "all types"}, {Value: "pair", Text: "pair"}}
	form := RateForm{Kind: "frame", Driver: "frame_metre", Hours: "ten", Version: "1"}
	fields := []SettingField{{"bite", "Bite on each framed edge of a pane", `5/16"`, `from 1/8" to 2"; verify against the shop drawings`}, {"blocks", longName, "two", "from 1 to 6"}}
	maps.Copy(pages, map[string]Page{
		"pattern-edit": PatternEditPage{
			Chrome: chrome(RoleOperations), Type: "hinged front", Value: "hinged_front", Version: "2", Own: true,
			Kinds: []Choice{{"frame", "framing"}, {"glaze", "glazing"}}, Cases: []Choice{{"always", "every opening"}, {"panes", "where it has panes"}},
			Types: []Choice{{"FS", "it starts once the first is finished"}}, Clocks: []Choice{{"", "round the clock"}, {"site", "in the site's working time"}},
			Steps: []StepForm{
				{KindFrame, "framing", "1", "always", []NeedForm{{"walls_boarded", "walls boarded", "always"}, {"power_live", longName, ""}}, []ItemForm{{"frame_kit", "frame kit", true}}, []Choice{{"/rates/edit?kind=frame", "metre of frame"}, {"/rates/edit?kind=frame", longName}}},
				{KindGlaze, "glazing", "", "panes", nil, []ItemForm{{"glass", "glass", false}}, nil},
			},
			Links:   []LinkForm{{"glaze", "frame", "FS", "-1:30", "site", "panes"}, {}},
			Faults:  Faults{{"", "These steps wait for one another in a ring: framing, then glazing, then framing."}, {"place_glaze", "Choose where glazing stands."}, {"from_0", "This link is there already."}, {"lag_0", "Write hours such as 1.5 or 1:30."}},
			History: []PatternChange{{at(1, 9, 0), "Morgan", []string{"Now: glazing waits for floor finished.", longName}}},
		},
		"patterns":      PatternsPage{Chrome: chrome(RoleOperations), Survey: []string{"walls boarded"}, Patterns: []WorkPattern{{Type: "hinged front", Edit: "/patterns/edit?type=hinged_front", Own: true, Links: []string{"punch work starts once glazing is finished"}, Steps: []PatternStep{{Kind: KindGlaze, When: "where it has panes", Needs: []string{"floor finished"}, Items: []string{"glass"}, Drivers: []string{"pane", longName}}}}}},
		"forecast-risk": ForecastRiskPage{Chrome: chrome(RoleOperations), Groups: []SettingGroup{{"Hours", "Of tasks.", fields}}, Faults: Faults{{"blocks", "“two” will not do here. Write from 1 to 6."}}},
		"settings":      SettingsPage{Chrome: chrome(RoleOperations), Versions: "1.1", Groups: []SettingGroup{{"Fasteners and glass", "Common practice.", fields}}, Faults: Faults{{"blocks", "“two” will not do here. Write from 1 to 6."}}},
		"rates":         ratesPage(), "rates-empty": RatesPage{Chrome: chrome(RoleOperations), Standard: true, Kinds: []RateKind{{Kind: KindFrame, Name: "framing"}}},
		"rate":           RatePage{Chrome: chrome(RoleOperations), Name: "Framing: hours for each foot of frame", Unit: "foot of frame", Types: types, Form: form, Faults: Faults{{"hours", "“ten” is no number of hours."}}, Ends: []string{"The rate learned of framing ends with a change here."}},
		"revision":       RevisionPage{Chrome: chrome(RoleOperations), Title: "What this rate does", Lead: []string{"0.5 h becomes 0.6 h."}, Action: "/rates/edit", Fields: []Choice{{"kind", "frame"}}, Accept: "Save", Back: "/rates", Planned: true, Dates: sampleEffects(), Moved: sampleMoves(40), Cost: CostEffect{Known: true, CrewBefore: 1000, CrewAfter: 1100}},
		"revision-first": RevisionPage{Chrome: chrome(RoleOperations), Title: "What this rate does", Action: "/rates/edit", Accept: "Save", Back: "/rates"},
	})
	return pages
}

// Three significant digits, worked by hand.
func TestDecimal_WritesThreeDigits(t *testing.T) {
	t.Parallel()
	for v, want := range map[float64]string{0: "0", 0.013612: "0.0136", 0.1: "0.1", 0.99999: "1", 1.2: "1.2", 12.345: "12.3", 1234.5: "1234", 0.00098765: "0.000988"} {
		assert.Equal(t, want, Decimal(v), "%v", v)
	}
}

// The strip shows equal ratios equally far apart: half and twice the company rate lie as far from the middle.
func TestStrip_HalfAndTwiceAreEquallyFar(t *testing.T) {
	t.Parallel()
	assert.InDelta(t, 50, strip(1), 1e-9)
	assert.InDelta(t, 50-strip(0.5), strip(2)-50, 1e-9)
	assert.InDelta(t, 99, strip(100), 0, "what is farther out stays on the sheet")
	assert.InDelta(t, 1, strip(0.001), 0)
}

func TestLearnedRate_TheDrawingHasItsWords(t *testing.T) {
	t.Parallel()
	text := learnedSample("").Text()
	require.Contains(t, text, "company rate 0.136 h; 5 finished tasks, on average 0.177 h; learned rate 0.163 h")
	require.Contains(t, text, "1 so far out")
	drawn := string(learnedSample("").Draw())
	assert.Contains(t, drawn, `class="rates-far"`)
	assert.Equal(t, "20\u00a0% more than the table", Against(1.2))
	assert.Equal(t, "as the table says", Against(1.001))
}
