package server

import (
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/recovery"
	"jambwright/web"
)

// priceFacts are the figures that moves are reckoned with, in words.
func priceFacts(s recovery.Settings, f web.Format) []web.Fact {
	return []web.Fact{
		{Name: "Loss of productivity in weeks of 50 to 60 hours", Value: percentWords(s.Loss) + " %"},
		{Name: "Longer days are paid", Value: web.Decimal(s.OvertimePremium) + " times"},
		{Name: "Saturdays are paid", Value: web.Decimal(s.SaturdayPremium) + " times"},
		{Name: "A second crew is paid", Value: web.Decimal(s.HirePremium) + " times, " + f.Of(s.HireAtLeastDays, "day", "days") + " at least"},
		{Name: "It can begin in", Value: f.Of(s.HireDays, "day", "days") + ", for " + f.Money(s.HirePrice) + " once"},
		{Name: "Material sooner", Value: f.Money(s.ExpeditePricePerDay) + " a day"},
	}
}

// recoveryPrices shows the form of what moves cost.
func (s *Server) recoveryPrices(c *gin.Context, _ *person) error {
	stored, err := models.RecoverySettingsOf(c.Request.Context(), s.db)
	if err != nil {
		return err
	}
	now := stored.Planner()
	s.render(c, http.StatusOK, web.RecoveryPricesPage{Chrome: s.chrome(c), Default: stored.Version == 0, Form: web.RecoveryPricesForm{
		Version: stored.Version, Loss: percentWords(now.Loss), Overtime: web.Decimal(now.OvertimePremium), Saturday: web.Decimal(now.SaturdayPremium),
		Hire: web.Decimal(now.HirePremium), HireDays: strconv.Itoa(now.HireDays), AtLeast: strconv.Itoa(now.HireAtLeastDays),
		Bring: amount(now.HirePrice), Expedite: amount(now.ExpeditePricePerDay),
	}})
	return nil
}

// saveRecoveryPrices stores them, or shows every field that cannot be read.
func (s *Server) saveRecoveryPrices(c *gin.Context, p *person) error {
	page := web.RecoveryPricesPage{Chrome: s.chrome(c)}
	if err := c.ShouldBind(&page.Form); err != nil {
		return bindFault(err)
	}
	settings, faults := readPrices(page.Form)
	if len(faults) > 0 {
		page.Faults = faults
		s.render(c, http.StatusUnprocessableEntity, page)
		return nil
	}
	ctx := c.Request.Context()
	err := s.db.Write(ctx, func(tx *models.Tx) error {
		return models.SaveRecoverySettings(ctx, tx, page.Form.Version, settings, p.actor())
	})
	if err != nil {
		return err
	}
	s.say(c, "Kept. Searches from now on reckon with these figures; scenarios keep those that they were made with.")
	c.Redirect(http.StatusSeeOther, "/dates")
	return nil
}

// readPrices reads the form; every field that is no number in its range is a fault.
func readPrices(form web.RecoveryPricesForm) (s recovery.Settings, faults web.Faults) {
	read := func(field, text string, least, most float64) float64 {
		v, message := numberIn(text, least, most)
		if message != "" {
			faults = append(faults, web.FieldFault{Field: field, Message: message})
		}
		return v
	}
	const many = 1_000_000
	s.Loss = read("loss", form.Loss, 0, 60) / 100
	s.OvertimePremium = read("overtime", form.Overtime, 1, 10)
	s.SaturdayPremium = read("saturday", form.Saturday, 1, 10)
	s.HirePremium = read("hire", form.Hire, 0.1, 10)
	s.HireDays = int(read("hire_days", form.HireDays, 0, 365))
	s.HireAtLeastDays = int(read("at_least", form.AtLeast, 0, 365))
	s.HirePrice = read("bring", form.Bring, 0, many)
	s.ExpeditePricePerDay = read("expedite", form.Expedite, 0, many)
	return s, faults
}
