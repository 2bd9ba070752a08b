package server

import (
	"net/http"
	"slices"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/recovery"
	"jambwright/web"
)

// recovered is a GC date with what was found for it.
type recovered struct {
	date    *models.GCDate
	project *models.Project
	plan    *models.Plan // nil when there is none
	run     *models.RecoveryRun
	found   *recovery.Result // nil unless the run is done
}

// readRecovery reads the GC date of the address, when the person may see it.
func (s *Server) readRecovery(c *gin.Context, p *person) (r recovered, err error) {
	ctx := c.Request.Context()
	id, err := strconv.ParseInt(c.Param("id"), 10, 64)
	if err != nil {
		return r, notFound("")
	}
	if r.date, err = models.GCDateByID(ctx, s.db, id); err != nil {
		return r, err
	}
	if !p.mayRead(r.date.ProjectID) {
		return r, notAllowed("")
	}
	if r.project, err = models.ProjectByID(ctx, s.db, r.date.ProjectID); err != nil {
		return r, err
	}
	if r.plan, err = models.LatestPlan(ctx, s.db); isNotFound(err) {
		r.plan = nil
	} else if err != nil {
		return r, err
	}
	if r.run, err = models.LatestRecovery(ctx, s.db, id); isNotFound(err) {
		r.run = nil
		return r, nil
	}
	if err == nil && r.run.Status == models.RunDone {
		r.found, err = r.run.Found()
	}
	return r, err
}

// recoveryPage shows what would win days back for one GC date.
func (s *Server) recoveryPage(c *gin.Context, p *person) error {
	r, err := s.readRecovery(c, p)
	if err != nil {
		return err
	}
	page := web.RecoveryPage{Chrome: s.chrome(c)}
	if err := s.fillRecovery(c, p, &r, &page); err != nil {
		return err
	}
	if page.Search.Open() {
		c.Header("Refresh", lookAgain)
	}
	s.render(c, http.StatusOK, page)
	return nil
}

func (s *Server) fillRecovery(c *gin.Context, p *person, r *recovered, page *web.RecoveryPage) error {
	ctx := c.Request.Context()
	page.Format = s.format(c, r.project)
	page.ID, page.Name, page.Project = strconv.FormatInt(r.date.ID, 10), r.date.Name, r.project.Name
	page.Date = r.date.DueAt(page.Format.Zone)
	if r.date.DamagesCentsPerDay != nil {
		page.PerDay = float64(*r.date.DamagesCentsPerDay) / 100
	}
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	v := recoveryView{words: &moveWords{names: newNamer(d), format: page.Format}, r: r, floats: newFloatDays(ctx, s.db)}
	if v.dates, err = models.GCDateNames(ctx, s.db); err != nil {
		return err
	}
	if err := s.fillOutlook(c, &v, page); err != nil {
		return err
	}
	if err := v.fill(page); err != nil {
		return err
	}
	scenarios, err := models.Scenarios(ctx, s.db, r.project.ID, scenariosShown)
	if err != nil {
		return err
	}
	for i := range scenarios {
		page.Scenarios = append(page.Scenarios, v.words.scenarioLine(&scenarios[i]))
	}
	settings, err := models.RecoverySettingsOf(ctx, s.db)
	if err != nil {
		return err
	}
	page.Prices, page.MayPrice = priceFacts(settings.Planner(), page.Format), p.role == web.RoleOperations
	return nil
}

// scenariosShown is how many scenarios of the project the page lists.
const scenariosShown = 12

// fillOutlook fills in the date's forecast in the latest plan and how far the search for moves is.
func (s *Server) fillOutlook(c *gin.Context, v *recoveryView, page *web.RecoveryPage) error {
	r := v.r
	if r.plan == nil {
		return nil
	}
	ctx := c.Request.Context()
	page.DataDate = r.plan.DataDate
	rows, err := models.PlanDates(ctx, s.db, r.plan.ID, []int64{r.project.ID})
	if err != nil {
		return err
	}
	if i := slices.IndexFunc(rows, func(row models.DateRow) bool { return row.GCDateID == r.date.ID }); i >= 0 {
		page.Forecast = rows[i].ForecastAt
		if page.FloatDays, err = v.floats.between(r.project, rows[i].ForecastAt, rows[i].DueAt); err != nil {
			return err
		}
	}
	if r.run == nil {
		return nil
	}
	page.Search = web.Search{
		State: web.SearchState(r.run.Status), Done: r.run.Done, Total: r.run.Total, Failure: r.run.Error, Old: r.run.PlanID != r.plan.ID,
	}
	if r.run.Abandoned(s.db.Now()) {
		page.Search.State, page.Search.Failure = web.SearchFailed, "the process that looked for moves ended"
	}
	if page.Search.Old {
		old, err := models.PlanByID(ctx, s.db, r.run.PlanID)
		if err != nil {
			return err
		}
		page.Search.At = old.DataDate
	}
	return nil
}
