package server

import (
	"context"
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/cost"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/recovery"
	"jambwright/web"
)

// cost shows hours and money of the crews' work by project and by GC date.
func (s *Server) cost(c *gin.Context, p *person) error {
	page, err := s.costPage(c, p)
	if err != nil {
		return err
	}
	s.render(c, http.StatusOK, page)
	return nil
}

func (s *Server) costPage(c *gin.Context, p *person) (page web.CostPage, err error) {
	ctx := c.Request.Context()
	page = web.CostPage{Chrome: s.chrome(c), Firm: p.projects == nil}
	plan, err := models.LatestPlan(ctx, s.db)
	if isNotFound(err) {
		return page, nil
	}
	if err != nil {
		return page, err
	}
	page.DataDate = plan.DataDate
	if page.InForce, err = scenariosInForce(ctx, s.db, p.projects, page.Format); err != nil {
		return page, err
	}
	view, err := readCost(ctx, s.db, plan.ID)
	if err != nil {
		return page, err
	}
	if view.dates, err = models.PlanDates(ctx, s.db, plan.ID, p.projects); err != nil {
		return page, err
	}
	projects, err := models.Projects(ctx, s.db)
	if err != nil {
		return page, err
	}
	for i := range projects {
		if view.sums[projectGroup(projects[i].Code)] != nil && p.mayRead(projects[i].ID) {
			page.Projects = append(page.Projects, view.project(&projects[i]))
		}
	}
	page.Whole, page.Unshared, page.Known = view.line("All projects", wholeFirm), view.rest, view.known
	return page, nil
}

// costView is what the page of cost is made of.
type costView struct {
	sums   map[string]*cost.Sum // by group
	prices map[string]float64   // of moves in force, by group
	rest   float64              // what second crews without work cost
	known  bool                 // crews have a cost an hour
	names  *models.Directory
	dates  []models.DateRow
}

// readCost sums the latest plan by project and GC date.
func readCost(ctx context.Context, db *models.DB, planID int64) (v *costView, err error) {
	v = &costView{prices: map[string]float64{}}
	in := cost.Input{}
	if in.Problem, in.Plan, err = models.PlanDocuments(ctx, db, planID); err != nil {
		return nil, err
	}
	if in.Reported, err = models.ReportedLabour(ctx, db); err != nil {
		return nil, err
	}
	if in.Begun, err = models.BegunLabour(ctx, db); err != nil {
		return nil, err
	}
	if v.names, err = models.ReadDirectory(ctx, db); err != nil {
		return nil, err
	}
	scenarios, err := models.ScenariosInForce(ctx, db, nil)
	if err != nil {
		return nil, err
	}
	for i := range scenarios {
		in.Moves = append(in.Moves, scenarios[i].Moves...)
		v.addPrices(&scenarios[i])
	}
	for i := range in.Problem.Crews {
		v.known = v.known || in.Problem.Crews[i].CostPerHour > 0
	}
	if v.sums, err = cost.Of(in, costGroups(in.Problem)); err != nil {
		return nil, err
	}
	_, rest := recovery.Shares(recovery.WithoutLongerHours(in.Problem), in.Moves, in.Plan)
	v.rest = rest.Extra
	return v, nil
}

// addPrices adds what a scenario pays once to its project and to the GC date that it was made for.
func (v *costView) addPrices(scenario *models.Scenario) {
	groups := []string{wholeFirm, projectGroup(scenario.Project.Code)}
	if scenario.GCDate != nil {
		groups = append(groups, dateGroup(pattern.GCDateID(scenario.Project.Code, scenario.GCDate.Code)))
	}
	for _, m := range scenario.Moves {
		for _, name := range groups {
			v.prices[name] += m.Price
		}
	}
}

// projectGroup and dateGroup name the groups that tasks count in, beside that of all tasks.
func projectGroup(code string) string { return "project " + code }

func dateGroup(id string) string { return "date " + id }

const wholeFirm = "firm"

// costGroups puts each task into its project and into every GC date that waits for it.
func costGroups(doc *problem.Problem) func(task string) []string {
	behind := cost.Behind(doc)
	return func(task string) []string {
		names := []string{wholeFirm}
		if key, err := pattern.TaskKey(task).Parse(); err == nil {
			names = append(names, projectGroup(key.Project))
		}
		for i := range doc.GCDates {
			if id := doc.GCDates[i].ID; behind[id][task] {
				names = append(names, dateGroup(id))
			}
		}
		return names
	}
}

// project is a project's own line and those of its GC dates.
func (v *costView) project(project *models.Project) web.CostProject {
	out := web.CostProject{Name: project.Name, Whole: v.line("Whole project", projectGroup(project.Code))}
	for i := range v.dates {
		date := &v.dates[i]
		if date.Project.ID != project.ID {
			continue
		}
		line := v.line(date.GCDate.Name, dateGroup(pattern.GCDateID(project.Code, date.GCDate.Code)))
		line.ID, line.Late, line.Counts = strconv.FormatInt(date.GCDateID, 10), date.LateDays > 0, v.counts(&date.GCDate)
		if date.GCDate.DamagesCentsPerDay != nil {
			line.Damages = date.LateDays * float64(*date.GCDate.DamagesCentsPerDay) / 100
		}
		out.Whole.Damages += line.Damages
		out.Dates = append(out.Dates, line)
	}
	return out
}

// counts says what a GC date's line counts.
func (v *costView) counts(date *models.GCDate) string {
	work, area := "all work", "the whole job"
	if date.Kind != "" {
		work = gerund(date.Kind)
	}
	if date.AreaID != nil {
		area = v.names.ByID[*date.AreaID]
	}
	return work + " of " + area + ", and all crew work that it waits for"
}

// line is a group in hours and money; a group without crew work has zeros.
func (v *costView) line(name, group string) web.CostLine {
	s := v.sums[group]
	if s == nil {
		s = &cost.Sum{}
	}
	return web.CostLine{
		Name: name, Tasks: s.Tasks, Done: s.Done, WithoutHours: s.WithoutHours,
		Hours: web.CostHours{
			Planned: s.PlannedHours, Spent: s.SpentHours, ToCome: s.ToComeHours, Travel: s.TravelHours, Lost: s.LostHours,
			Overtime: s.OvertimeHours, Idle: s.IdleHours, Forecast: s.ForecastHours(),
		},
		Planned: s.Planned, Spent: s.Spent, ToCome: s.ToCome, Travel: s.Travel, Premiums: s.Extra, Prices: v.prices[group], Idle: s.Idle,
		Forecast: s.Forecast() + v.prices[group],
	}
}
