package server

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/web"
)

// assumption is one number of the page of what forecasts assume. Its text is the stored number times scale.
type assumption struct {
	name, label, help string
	scale             float64 // 100 for percent
	least, most       float64 // of the text
	at                func(r *pattern.Risk) *float64
}

// assumptionGroup is a part of the page.
type assumptionGroup struct {
	title, about string
	list         []assumption
}

// lateSteps is how many delays with a chance each the page has, beside coming as said.
const lateSteps = 3

func assumptionGroups() []assumptionGroup {
	const percent, most = 100, 1000
	return []assumptionGroup{
		{"Hours", "Until finished tasks have taught better, see the rates.", []assumption{
			{"hours_spread", "Spread of a task’s hours, percent", "of what is planned; two tasks in three lie within it", percent, 1, 100, func(r *pattern.Risk) *float64 { return &r.HoursSpread }},
			{"pace_spread", "Spread of a crew’s pace, percent", "", percent, 0, 50, func(r *pattern.Risk) *float64 { return &r.PaceSpread }},
			{"area_share", "Of the spread of hours, shared by an area, percent", "what makes one opening of an area slow makes its others slow", percent, 0, 100, func(r *pattern.Risk) *float64 { return &r.AreaShare }},
		}},
		{"Lead times", "A supplier’s least and most lead times stand as they are; these are for lead times that are given as one number.", []assumption{
			{"lead_least", "May end as soon as, percent of it", "", percent, 10, 100, func(r *pattern.Risk) *float64 { return &r.LeadLeast }},
			{"lead_most", "May take up to, percent of it", "", percent, 100, 500, func(r *pattern.Risk) *float64 { return &r.LeadMost }},
			{"supplier_share", "Of the spread, shared by all material of a supplier, percent", "", percent, 0, 100, func(r *pattern.Risk) *float64 { return &r.SupplierShare }},
		}},
		{"Promises of suppliers", "How late deliveries come after their promise; the rest come as promised.", lateFields("promise", func(r *pattern.Risk) []pattern.DayChance { return r.PromiseLate })},
		{"Handovers by other trades", "How late areas come after their date; the rest come as said.", append(
			lateFields("late", func(r *pattern.Risk) []pattern.DayChance { return r.Late }),
			assumption{"trade_share", "Of the spread, shared by all handovers of a trade, percent", "", percent, 0, 100, func(r *pattern.Risk) *float64 { return &r.TradeShare }},
		)},
		{"Damage", "Glass that breaks is made again in its supplier’s lead time.", []assumption{
			{"breakage", "Chance that a glazed opening needs glass again, percent", "", percent, 0, 50, func(r *pattern.Risk) *float64 { return &r.Breakage }},
		}},
		{"How soon records count for more", "With as many records as this, what was recorded weighs as much as what is assumed.", []assumption{
			{"prior_weight", "Handovers or deliveries", "", 1, 1, most, func(r *pattern.Risk) *float64 { return &r.PriorWeight }},
			{"breakage_weight", "Glazed openings", "", 1, 1, most, func(r *pattern.Risk) *float64 { return &r.BreakageWeight }},
		}},
	}
}

// lateFields are the delays of a list, whose first entry stands for coming as said.
func lateFields(name string, list func(r *pattern.Risk) []pattern.DayChance) (fields []assumption) {
	for i := 1; i <= lateSteps; i++ {
		n, which := strconv.Itoa(i), []string{"", "Small", "Middling", "Long"}[i]
		fields = append(fields,
			assumption{name + "_days_" + n, which + " delay, days", "", 1, 0, 183, func(r *pattern.Risk) *float64 { return &list(r)[i].Days }},
			assumption{name + "_chance_" + n, which + " delay, chance in percent", "", 100, 0, 100, func(r *pattern.Risk) *float64 { return &list(r)[i].Chance }})
	}
	return fields
}

// forecastRisk shows what forecasts assume.
func (s *Server) forecastRisk(c *gin.Context, _ *person) error {
	stored, err := models.ForecastSettingsOf(c.Request.Context(), s.db)
	if err != nil {
		return err
	}
	page := web.ForecastRiskPage{Chrome: s.chrome(c), Version: stored.Version}
	fillAssumptions(&page, stored.Risk(), nil)
	s.render(c, http.StatusOK, page)
	return nil
}

// editableRisk has a place for each field of the page.
func editableRisk(r pattern.Risk) pattern.Risk {
	places := func(list []pattern.DayChance) []pattern.DayChance {
		edited := make([]pattern.DayChance, 1+lateSteps)
		copy(edited[1:], list[min(1, len(list)):])
		return edited
	}
	r.Late, r.PromiseLate = places(r.Late), places(r.PromiseLate)
	return r
}

// fillAssumptions fills in the page; sent are the texts of a form that was sent back, nil for what is stored.
func fillAssumptions(page *web.ForecastRiskPage, r pattern.Risk, sent url.Values) {
	r = editableRisk(r)
	for _, g := range assumptionGroups() {
		group := web.SettingGroup{Title: g.title, About: g.about}
		for _, a := range g.list {
			field := web.SettingField{Name: a.name, Label: a.label, Value: short(*a.at(&r)*a.scale, 2), Help: "from " + amount(a.least) + " to " + amount(a.most)}
			if a.help != "" {
				field.Help = a.help + "; " + field.Help
			}
			if sent != nil {
				field.Value = sent.Get(a.name)
			}
			group.Fields = append(group.Fields, field)
		}
		page.Groups = append(page.Groups, group)
	}
}

// saveForecastRisk stores what forecasts assume, or shows every field that cannot be read.
func (s *Server) saveForecastRisk(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	if err := c.Request.ParseForm(); err != nil {
		return badRequest("The form could not be read. Open the page again.")
	}
	sent := c.Request.PostForm
	version, err := strconv.ParseInt(sent.Get("version"), 10, 64)
	if err != nil {
		return badRequest("The form does not say which figures it changes. Open the page again.")
	}
	risk, faults := readAssumptions(sent)
	if len(faults) > 0 {
		page := web.ForecastRiskPage{Chrome: s.chrome(c), Version: version, Faults: faults}
		fillAssumptions(&page, risk, sent)
		s.render(c, http.StatusUnprocessableEntity, page)
		return nil
	}
	err = s.db.Write(ctx, func(tx *models.Tx) error {
		return models.SaveForecastSettings(ctx, tx, version, risk, p.actor())
	})
	if err != nil {
		return err
	}
	s.say(c, "Kept. The next plan is forecast with these figures, tonight’s at the latest.")
	c.Redirect(http.StatusSeeOther, "/dates")
	return nil
}

// readAssumptions reads the form; every field that is no number in its range is a fault, and so are chances beyond the whole.
func readAssumptions(sent url.Values) (r pattern.Risk, faults web.Faults) {
	r = editableRisk(pattern.Risk{}) // a chance that cannot be read counts for nothing in the sum
	for _, g := range assumptionGroups() {
		for _, a := range g.list {
			v, message := numberIn(sent.Get(a.name), a.least, a.most)
			if message != "" {
				faults = append(faults, web.FieldFault{Field: a.name, Message: message})
				continue
			}
			*a.at(&r) = v / a.scale
		}
	}
	for _, list := range []struct {
		name  string
		steps []pattern.DayChance
	}{{"promise", r.PromiseLate}, {"late", r.Late}} {
		late := 0.0
		for _, step := range list.steps[1:] {
			late += step.Chance
		}
		const noise = 1e-9
		if late > 1+noise {
			faults = append(faults, web.FieldFault{
				Field: list.name + "_chance_" + strconv.Itoa(lateSteps), Message: fmt.Sprintf("The chances come to %s percent. Together they are 100 at most.", short(late*100, 1)),
			})
		}
		list.steps[0] = pattern.DayChance{Chance: max(0, 1-late)}
	}
	return r, faults
}
