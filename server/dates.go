package server

import (
	"context"
	"net/http"
	"strconv"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/problem"
	"jambwright/web"
)

// dates shows each GC date with its forecast, float and what drives it.
func (s *Server) dates(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	page := web.DatesPage{Chrome: s.chrome(c)}
	var err error
	page.DataDate, page.Rows, err = dateRows(ctx, s.db, p.projects, page.Format)
	if err != nil {
		return err
	}
	if len(page.Rows) > 0 {
		if page.Forecast, err = s.forecastInfo(ctx, page.Format); err != nil {
			return err
		}
		page.Forecast.MayAssume = p.role == web.RoleOperations
	}
	if page.InForce, err = scenariosInForce(ctx, s.db, p.projects, page.Format); err != nil {
		return err
	}
	if page.Forecast.Running != nil {
		c.Header("Refresh", lookAgain)
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// dateRows are the GC dates of the latest plan with its data date, which is zero when there is no plan. projects nil means
// all.
func dateRows(ctx context.Context, db *models.DB, projects []int64, f web.Format) (dataDate time.Time, list []web.DateRow, err error) {
	plan, err := models.LatestPlan(ctx, db)
	if err != nil {
		if isNotFound(err) {
			err = nil
		}
		return dataDate, nil, err
	}
	rows, err := models.PlanDates(ctx, db, plan.ID, projects)
	if err != nil {
		return dataDate, nil, err
	}
	v, err := newDateView(ctx, db, plan, rows, f)
	if err != nil {
		return dataDate, nil, err
	}
	if err := v.readOutlooks(ctx, db); err != nil {
		return dataDate, nil, err
	}
	for i := range rows {
		row, err := v.row(&rows[i])
		if err != nil {
			return dataDate, nil, err
		}
		list = append(list, row)
	}
	return plan.DataDate, list, nil
}

// dateView is what the rows of GC dates are made with.
type dateView struct {
	format  web.Format
	names   *namer
	chains  map[string]*models.PlanTask
	before  map[int64]*time.Time
	missing map[int64][]models.PlanUnplanned
	floats  *floatDays

	outlooks map[int64]*models.ForecastDate // by GC date, of the forecast kept last
}

func newDateView(ctx context.Context, db *models.DB, plan *models.Plan, rows []models.DateRow, f web.Format) (*dateView, error) {
	d, err := models.ReadDirectory(ctx, db)
	if err != nil {
		return nil, err
	}
	v := &dateView{format: f, names: newNamer(d), floats: newFloatDays(ctx, db)}
	if v.chains, err = models.PlanTasksByKey(ctx, db, plan.ID, chainKeys(rows)); err != nil {
		return nil, err
	}
	if v.before, err = models.IssuedForecasts(ctx, db); err != nil {
		return nil, err
	}
	v.missing, err = models.UnplannedByDate(ctx, db, plan.ID)
	return v, err
}

func chainKeys(rows []models.DateRow) []string {
	var keys []string
	for i := range rows {
		keys = append(keys, rows[i].DrivingChain...)
	}
	return keys
}

// row is one GC date with its chain in sentences.
func (v *dateView) row(r *models.DateRow) (row web.DateRow, err error) {
	row = v.about(r)
	row.FloatDays, err = v.floats.between(&r.Project, r.ForecastAt, r.DueAt)
	before := ""
	for _, key := range r.DrivingChain {
		t := v.chains[key]
		if t == nil {
			continue
		}
		planned := plannedTask(t)
		v.names.know(key, t.ReasonRef)
		step := web.ChainStep{Sentence: v.format.Step(planned, before, v.names.names), Start: t.StartAt, Finish: t.FinishAt}
		if t.Task.OpeningID != nil {
			step.OpeningID = strconv.FormatInt(*t.Task.OpeningID, 10)
		}
		row.Chain, before = append(row.Chain, step), key
	}
	row.Outlook = v.outlook(v.outlooks[r.GCDateID])
	for _, u := range v.missing[r.GCDateID] {
		row.Missing = append(row.Missing, v.format.Capital(v.names.know(u.Task.Key).names.Tasks[u.Task.Key])+": "+u.Why)
	}
	return row, err
}

// about is what is agreed and known of a GC date.
func (v *dateView) about(r *models.DateRow) web.DateRow {
	row := web.DateRow{
		ID: strconv.FormatInt(r.GCDateID, 10), Name: r.GCDate.Name, Project: r.Project.Name, Area: "the whole job", Work: "all work",
		Date: r.DueAt, Forecast: r.ForecastAt, Openings: r.Openings, OpeningsDone: r.OpeningsDone,
		Before: v.before[r.GCDateID],
	}
	row.Links = []web.DateLink{{Href: "/dates/" + row.ID + "/recovery", Text: "What would win days back"}}
	if r.GCDate.AreaID != nil {
		row.Area = v.names.d.ByID[*r.GCDate.AreaID]
	}
	if r.GCDate.Kind != "" {
		row.Work = string(r.GCDate.Kind)
	}
	if r.GCDate.DamagesCentsPerDay != nil {
		row.DamagesPerDay = float64(*r.GCDate.DamagesCentsPerDay) / 100
	}
	return row
}

// plannedTask is a stored task of a plan as the sentences read it.
func plannedTask(t *models.PlanTask) problem.PlannedTask {
	p := problem.PlannedTask{ID: t.Task.Key, Start: t.StartAt, Finish: t.FinishAt, Resume: t.ResumeAt, Reason: reasonOf(t)}
	if t.Crew != nil {
		p.Crew = &t.Crew.Code
	}
	return p
}

func reasonOf(t *models.PlanTask) problem.Reason {
	r := problem.Reason{Kind: problem.ReasonKind(t.ReasonKind), Ref: t.ReasonRef}
	if t.ReasonUntil != nil {
		r.Until = *t.ReasonUntil
	}
	return r
}
