package server

import (
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
	ctx := c.Request.Context()
	page := web.CostPage{Chrome: s.chrome(c), Firm: p.projects == nil}
	plan, err := models.LatestPlan(ctx, s.db)
	if isNotFound(err) {
		s.render(c, http.StatusOK, page)
		return nil
	}
	if err != nil {
		return err
	}
	page.DataDate, page.TravelMinutes, page.IdleMinutes = plan.DataDate, plan.TravelMinutes, plan.IdleMinutes
	doc, made, err := models.PlanDocuments(ctx, s.db, plan.ID)
	if err != nil {
		return err
	}
	reported, err := models.ReportedLabour(ctx, s.db)
	if err != nil {
		return err
	}
	if page.InForce, err = scenariosInForce(ctx, s.db, p.projects, page.Format); err != nil {
		return err
	}
	moves, err := movesInForce(ctx, s.db)
	if err != nil {
		return err
	}
	bill := recovery.Price(recovery.WithoutLongerHours(doc), moves, made)
	page.OvertimeHours, page.Premiums, page.Prices, page.Known = bill.OvertimeHours, bill.Extra, bill.Prices, bill.Labour > 0
	sums := cost.Of(doc, made, reported, costGroups(doc))
	projects, err := models.Projects(ctx, s.db)
	if err != nil {
		return err
	}
	dates, err := models.PlanDates(ctx, s.db, plan.ID, p.projects)
	if err != nil {
		return err
	}
	for i := range projects {
		if sum := sums[projectGroup(projects[i].Code)]; sum != nil && p.mayRead(projects[i].ID) {
			page.Projects = append(page.Projects, costProject(&projects[i], sum, dates, sums))
		}
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// projectGroup and dateGroup name the groups that tasks count in.
func projectGroup(code string) string { return "project " + code }

func dateGroup(id string) string { return "date " + id }

// costGroups puts each task into its project and into every GC date that waits for it.
func costGroups(doc *problem.Problem) func(task string) []string {
	behind := cost.Behind(doc)
	return func(task string) []string {
		var names []string
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

func costProject(project *models.Project, whole *cost.Sum, dates []models.DateRow, sums map[string]*cost.Sum) web.CostProject {
	out := web.CostProject{Name: project.Name, Whole: costLine("Whole project", whole)}
	for i := range dates {
		date := &dates[i]
		if date.Project.ID != project.ID {
			continue
		}
		line := web.CostLine{Name: date.GCDate.Name}
		if sum := sums[dateGroup(pattern.GCDateID(project.Code, date.GCDate.Code))]; sum != nil {
			line = costLine(date.GCDate.Name, sum)
		}
		line.ID, line.Late = strconv.FormatInt(date.GCDateID, 10), date.LateDays > 0
		if date.GCDate.DamagesCentsPerDay != nil {
			line.Damages = date.LateDays * float64(*date.GCDate.DamagesCentsPerDay) / 100
		}
		out.Damages += line.Damages
		out.Dates = append(out.Dates, line)
	}
	out.Whole.Damages = out.Damages
	return out
}

func costLine(name string, s *cost.Sum) web.CostLine {
	return web.CostLine{
		Name: name, Tasks: s.Tasks, Done: s.Done, WithoutHours: s.WithoutHours,
		PlannedHours: s.PlannedHours, SpentHours: s.SpentHours, ForecastHours: s.ForecastHours(),
		Planned: s.Planned, Spent: s.Spent, Forecast: s.Forecast(),
	}
}
