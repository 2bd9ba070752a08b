package server

import (
	"net/http"

	"github.com/gin-gonic/gin"

	"jambwright/web"
)

// routes lists every address of the server.
func (s *Server) routes(e *gin.Engine) {
	manager := []web.Role{web.RoleOperations, web.RoleProject}

	e.GET("/assets/*file", gin.WrapH(s.pages.Assets()))
	e.GET("/healthz", s.health)

	e.GET("/", s.open(s.start))
	e.GET("/sign-in", s.signInForm)
	e.POST("/sign-in", s.signIn)
	e.POST("/sign-out", s.signOut)
	e.GET("/welcome/:token", s.welcomeForm)
	e.POST("/welcome/:token", s.welcome)
	if s.demo {
		e.POST("/demo/sign-in", s.demoSignIn)
	}

	e.GET("/tomorrow", s.open(s.tomorrow))
	e.GET("/report", s.open(s.reportForm))
	e.POST("/report", s.open(s.report))
	e.POST("/report/try", s.open(s.tryReport, manager...))
	e.GET("/report/try/:token", s.open(s.reportPreview, manager...))
	e.POST("/report/record", s.open(s.recordReport, manager...))
	e.POST("/reports/:id/take-back", s.open(s.takeSizeBack))

	e.GET("/openings", s.open(s.openings))
	e.GET("/openings/:id", s.open(s.opening))
	e.GET("/openings/:id/edit", s.open(s.openingForm, manager...))
	e.POST("/openings/:id/edit", s.open(s.editOpening, manager...))
	e.GET("/openings/:id/sooner", s.open(s.sooner))

	e.GET("/crews", s.open(s.crews, web.RoleOperations))
	e.POST("/crews/move", s.open(s.move, web.RoleOperations))
	e.GET("/crews/move/:token", s.open(s.movePreview, web.RoleOperations))
	e.POST("/crews/accept", s.open(s.acceptMove, web.RoleOperations))
	e.GET("/plans/issue", s.open(s.issueForm, web.RoleOperations))
	e.POST("/plans/issue", s.open(s.issue, web.RoleOperations))

	e.GET("/material", s.open(s.material, manager...))
	e.GET("/material/releases/:id", s.open(s.release, manager...))
	e.GET("/material/remakes/:id", s.open(s.remake, manager...))
	e.GET("/material/edit", s.open(s.materialEditForm, manager...))
	e.POST("/material/edit", s.open(s.materialEdit, manager...))
	e.GET("/material/suggest", s.open(s.suggestReleases, manager...))
	e.POST("/material/suggest", s.open(s.acceptReleases, manager...))
	e.GET("/material/limits", s.open(s.siteLimits, manager...))
	e.POST("/material/limits", s.open(s.keepLimits, manager...))
	e.GET("/material/export/:file", s.open(s.orderList, manager...))

	e.GET("/dates", s.open(s.dates, manager...))
	e.GET("/dates/calibration", s.open(s.calibration, manager...))
	e.GET("/dates/assumptions", s.open(s.forecastRisk, web.RoleOperations))
	e.POST("/dates/assumptions", s.open(s.saveForecastRisk, web.RoleOperations))
	e.POST("/dates/forecast", s.open(s.askForecast, manager...))
	e.POST("/dates/forecast/:id/cancel", s.open(s.cancelForecast, manager...))

	e.GET("/handovers", s.open(s.handovers, manager...))
	e.GET("/handovers/new", s.open(s.newHandover, manager...))
	e.POST("/handovers/new", s.open(s.enterHandover, manager...))
	e.GET("/handovers/:id", s.open(s.handover, manager...))
	e.GET("/handovers/export/:file", s.open(s.exportHandovers, manager...))
	e.POST("/handovers/:id/try", s.open(s.tryHandover, manager...))
	e.GET("/handovers/try/:token", s.open(s.handoverPreview, manager...))
	e.POST("/handovers/record", s.open(s.recordHandover, manager...))
	e.GET("/tolerances", s.open(s.tolerances, manager...))
	e.POST("/tolerances", s.open(s.saveTolerances, manager...))
	e.GET("/photos/:id", s.open(s.photo))
	e.GET("/photos/:id/small", s.open(s.smallPhoto))

	e.GET("/rates", s.open(s.rates, web.RoleOperations))
	e.POST("/rates/decide", s.open(s.decideRate, web.RoleOperations))
	e.GET("/rates/edit", s.open(s.rateForm, web.RoleOperations))
	e.POST("/rates/edit", s.open(s.editRate, web.RoleOperations))
	e.GET("/rates/factor", s.open(s.factorForm, web.RoleOperations))
	e.POST("/rates/factor", s.open(s.editFactor, web.RoleOperations))
	e.GET("/rates/table.csv", s.open(s.exportRates, web.RoleOperations))
	e.GET("/rates/table.xlsx", s.open(s.exportRates, web.RoleOperations))
	e.GET("/patterns", s.open(s.patterns, web.RoleOperations))
	e.GET("/patterns/edit", s.open(s.patternForm, web.RoleOperations))
	e.POST("/patterns/edit", s.open(s.editPattern, web.RoleOperations))
	e.GET("/settings", s.open(s.settings, web.RoleOperations))
	e.POST("/settings", s.open(s.changeSettings, web.RoleOperations))

	e.GET("/delays", s.open(s.delaysPage, manager...))
	e.GET("/delays/statement.pdf", s.open(s.delayPDF, manager...))
	e.GET("/delays/statement.xlsx", s.open(s.delayXLSX, manager...))
	e.POST("/delays/terms", s.open(s.delayTerms, manager...))
	e.POST("/delays/confirm", s.open(s.confirmDelay, manager...))
	e.POST("/delays/notice", s.open(s.delayNotice, manager...))

	e.GET("/dates/:id/recovery", s.open(s.recoveryPage, manager...))
	e.GET("/dates/:id/recovery/export/:file", s.open(s.exportRecovery, manager...))
	e.POST("/dates/:id/recovery", s.open(s.askRecovery, manager...))
	e.POST("/dates/:id/recovery/cancel", s.open(s.cancelRecovery, manager...))
	e.POST("/dates/:id/recovery/try", s.open(s.tryMoves, manager...))
	e.GET("/scenarios/:id", s.open(s.scenario, manager...))
	e.POST("/scenarios/:id", s.open(s.decideScenario, web.RoleOperations))
	e.GET("/cost", s.open(s.cost, manager...))
	e.GET("/cost/export/:file", s.open(s.exportCost, manager...))
	e.GET("/recovery/prices", s.open(s.recoveryPrices, web.RoleOperations))
	e.POST("/recovery/prices", s.open(s.saveRecoveryPrices, web.RoleOperations))

	e.GET("/nights", s.open(s.nights, manager...))
	e.GET("/nights/:id", s.open(s.night, manager...))
	e.POST("/nights/run", s.open(s.runNight, web.RoleOperations))

	e.GET("/projects", s.open(s.projects))
	e.GET("/import", s.open(s.importForm, manager...))
	e.GET("/import/blank/:file", s.open(s.blankSheet, manager...))
	e.POST("/import/preview", s.open(s.importPreview, manager...))
	e.POST("/import/apply", s.open(s.importApply, manager...))
}

// health answers load balancers: the process lives and its database answers.
func (s *Server) health(c *gin.Context) {
	if err := s.db.SQL().PingContext(c.Request.Context()); err != nil {
		s.log.Error("health", "error", err)
		c.String(http.StatusServiceUnavailable, "the database does not answer\n")
		return
	}
	c.String(http.StatusOK, "ok\n")
}

// start sends people to the page they open the tool for.
func (s *Server) start(c *gin.Context, p *person) error {
	c.Redirect(http.StatusSeeOther, home(p.role))
	return nil
}
