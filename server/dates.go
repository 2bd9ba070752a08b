package server

import (
	"errors"
	"net/http"
	"strconv"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
	"jambwright/web"
)

// dates shows each GC date with its forecast, float and what drives it.
func (s *Server) dates(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	page := web.DatesPage{Chrome: s.chrome(c)}
	plan, err := models.LatestPlan(ctx, s.db)
	if errors.Is(err, models.ErrNotFound) {
		s.render(c, http.StatusOK, page)
		return nil
	}
	if err != nil {
		return err
	}
	page.DataDate = plan.DataDate
	rows, err := models.PlanDates(ctx, s.db, plan.ID, p.projects)
	if err != nil {
		return err
	}
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	chains, err := models.PlanTasksByKey(ctx, s.db, plan.ID, chainKeys(rows))
	if err != nil {
		return err
	}
	before, err := models.IssuedForecasts(ctx, s.db)
	if err != nil {
		return err
	}
	missing, err := models.UnplannedByDate(ctx, s.db, plan.ID)
	if err != nil {
		return err
	}
	names := newNamer(d)
	floats := &floatDays{calendars: map[int64]*calendar.Calendar{}, read: func(p *models.Project, year int) (problem.Calendar, error) {
		return models.ProblemCalendar(ctx, s.db, p.CalendarID, year)
	}}
	for i := range rows {
		row := s.dateRow(&rows[i], page.Format, names, chains)
		row.Before = before[rows[i].GCDateID]
		for _, u := range missing[rows[i].GCDateID] {
			row.Missing = append(row.Missing, page.Format.Capital(names.know(u.Task.Key).names.Tasks[u.Task.Key])+": "+u.Why)
		}
		if row.FloatDays, err = floats.of(&rows[i]); err != nil {
			return err
		}
		page.Rows = append(page.Rows, row)
	}
	s.render(c, http.StatusOK, page)
	return nil
}

func chainKeys(rows []models.DateRow) []string {
	var keys []string
	for i := range rows {
		keys = append(keys, rows[i].DrivingChain...)
	}
	return keys
}

func (s *Server) dateRow(r *models.DateRow, f web.Format, names *namer, chains map[string]*models.PlanTask) web.DateRow {
	row := web.DateRow{
		ID: strconv.FormatInt(r.GCDateID, 10), Name: r.GCDate.Name, Project: r.Project.Name, Area: "the whole job", Work: "all work",
		Date: r.DueAt, Forecast: r.ForecastAt, Openings: r.Openings, OpeningsDone: r.OpeningsDone,
	}
	if r.GCDate.AreaID != nil {
		row.Area = names.d.ByID[*r.GCDate.AreaID]
	}
	if r.GCDate.Kind != "" {
		row.Work = string(r.GCDate.Kind)
	}
	if r.GCDate.DamagesCentsPerDay != nil {
		row.DamagesPerDay = float64(*r.GCDate.DamagesCentsPerDay) / 100
	}
	before := ""
	for _, key := range r.DrivingChain {
		t := chains[key]
		if t == nil {
			continue
		}
		planned := plannedTask(t)
		names.know(key, t.ReasonRef)
		step := web.ChainStep{Sentence: f.Step(planned, before, names.names), Start: t.StartAt, Finish: t.FinishAt}
		if t.Task.OpeningID != nil {
			step.OpeningID = strconv.FormatInt(*t.Task.OpeningID, 10)
		}
		row.Chain, before = append(row.Chain, step), key
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

// floatDays measures the float of GC dates in working days of their projects' calendars.
type floatDays struct {
	read      func(project *models.Project, year int) (problem.Calendar, error)
	calendars map[int64]*calendar.Calendar
}

// of is the working time between forecast and date in days of the calendar's usual length, negative when late.
func (w *floatDays) of(r *models.DateRow) (float64, error) {
	if r.ForecastAt == nil {
		return 0, nil
	}
	spec, err := w.read(&r.Project, r.DueAt.Year())
	if err != nil {
		return 0, err
	}
	from, to := calendar.FromTime(*r.ForecastAt), calendar.FromTime(r.DueAt)
	compiled := w.calendars[r.Project.ID]
	if compiled == nil || !covers(compiled, from, to) {
		const month = 31 * 24 * 60
		if compiled, err = calendar.Compile(spec, min(from, to)-month, max(from, to)+month); err != nil {
			return 0, err
		}
		w.calendars[r.Project.ID] = compiled
	}
	return float64(compiled.Count(from, to)) / float64(usualDay(&spec)), nil
}

func covers(c *calendar.Calendar, a, b calendar.Instant) bool {
	from, to := c.Horizon()
	return from <= min(a, b) && max(a, b) <= to
}

// usualDay is the working time of the calendar's longest weekday, in minutes; 480 where it has none.
func usualDay(spec *problem.Calendar) int {
	longest := 0
	for day := range 7 {
		minutes := 0
		for _, shift := range spec.Week.Day(time.Weekday(day)) {
			minutes += shift.To - shift.From
		}
		longest = max(longest, minutes)
	}
	if longest == 0 {
		return 480
	}
	return longest
}
