package server

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/server/planning"
	"jambwright/web"
)

// nightsShown is how many runs the list shows.
const nightsShown = 60

// alerts are the standing warnings for managers: projects whose newest night failed.
func (s *Server) alerts(c *gin.Context) []web.Alert {
	failed, err := models.FailedNights(c.Request.Context(), s.db)
	if err != nil {
		s.log.Error("alerts", "error", err)
		return nil
	}
	var alerts []web.Alert
	for _, night := range failed {
		alerts = append(alerts, web.Alert{
			Text: fmt.Sprintf("The re-plan of %s failed in the night of %s. The plan in force stays as it is.",
				night.Project.Name, night.LocalDate.At(0, time.UTC).Format("Mon 2 Jan")),
			Href: "/nights/" + strconv.FormatInt(night.ID, 10), LinkText: "See why",
		})
	}
	return append(alerts, s.noticeAlerts(c)...)
}

func (s *Server) nights(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	rows, err := models.Nights(ctx, s.db, p.projects, nightsShown)
	if err != nil {
		return err
	}
	due, err := planning.DueProjects(s.db)(ctx)
	if err != nil {
		return err
	}
	page := web.NightsPage{Chrome: s.chrome(c), CanRun: p.role == web.RoleOperations}
	for i := range rows {
		page.Runs = append(page.Runs, nightLine(&rows[i]))
		page.Running = page.Running || rows[i].Status == models.NightRunning
	}
	for _, d := range due {
		_, last := d.Schedule.LastDue(s.db.Now())
		next := d.Schedule.At(last.In(d.Schedule.Zone).Year(), last.In(d.Schedule.Zone).Month(), last.In(d.Schedule.Zone).Day()+1)
		if page.NextRun.IsZero() || next.Before(page.NextRun) {
			page.NextRun = next
		}
	}
	if page.Projects, err = s.projectChoices(c, p); err != nil {
		return err
	}
	s.render(c, http.StatusOK, page)
	return nil
}

func nightLine(n *models.NightRow) web.NightLine {
	return web.NightLine{
		ID: strconv.FormatInt(n.ID, 10), Project: n.Project.Name, Night: n.StartedAt, ByHand: n.AskedBy,
		Outcome: outcome(n.Status), Failure: n.Error, Moved: n.Moved, Reports: n.Reports, DatesOut: n.DatesLate, DatesOpen: n.DatesOpen,
	}
}

func outcome(status models.NightStatus) web.NightOutcome {
	switch status {
	case models.NightOK:
		return web.NightDone
	case models.NightFailed:
		return web.NightFailed
	}
	return web.NightRunning
}

func (s *Server) night(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	id, err := strconv.ParseInt(c.Param("id"), 10, 64)
	if err != nil {
		return notFound("")
	}
	night, err := models.NightByID(ctx, s.db, id)
	if err != nil {
		return err
	}
	if !p.mayRead(night.ProjectID) {
		return notAllowed("")
	}
	page := web.NightPage{
		Chrome: s.chrome(c), ID: c.Param("id"), Project: night.Project.Name, Night: night.StartedAt, Started: night.StartedAt,
		ByHand: night.AskedBy, Outcome: outcome(night.Status), Failure: night.Error, Issued: night.Issued,
		NoForecast: night.ForecastTrouble,
	}
	page.Format = s.format(c, &night.Project)
	if night.FinishedAt != nil {
		page.Finished = *night.FinishedAt
	}
	switch {
	case night.PlanID != nil:
		if err := s.nightPlan(c, night, &page); err != nil {
			return err
		}
	case night.Status == models.NightOK:
		page.Found = "There was nothing to plan yet: read in the sheets of openings and crews first."
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// nightPlan fills in what a good run read and moved.
func (s *Server) nightPlan(c *gin.Context, night *models.Night, page *web.NightPage) error {
	ctx := c.Request.Context()
	plan, err := models.PlanByID(ctx, s.db, *night.PlanID)
	if err != nil {
		return err
	}
	changes, err := models.ChangesOf(ctx, s.db, plan.ID, night.ProjectID)
	if err != nil {
		return err
	}
	unplanned, err := models.UnplannedOf(ctx, s.db, plan.ID, night.ProjectID)
	if err != nil {
		return err
	}
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	names, floats := newNamer(d), newFloatDays(ctx, s.db)
	for i := range changes {
		if changes[i].GCDate == nil {
			page.Moved = append(page.Moved, movedTask(&changes[i], names))
			continue
		}
		effect, err := dateEffect(&changes[i], &night.Project, floats)
		if err != nil {
			return err
		}
		page.Dates = append(page.Dates, effect)
	}
	for _, u := range unplanned {
		line := web.UnplannedLine{Mark: names.know(u.Task.Key).names.Tasks[u.Task.Key], Kind: kindOf(u.Task.Kind), Why: u.Why}
		if u.Task.Opening != nil {
			line.Mark, line.OpeningID = u.Task.Opening.Mark, strconv.FormatInt(u.Task.Opening.ID, 10)
		}
		page.Unplanned = append(page.Unplanned, line)
	}
	page.Notes = names.notes(plan.Notes)
	dates, err := models.PlanDates(ctx, s.db, plan.ID, nil)
	if err != nil {
		return err
	}
	page.Found = fmt.Sprintf("%s tried; %s.", page.Format.Of(plan.Schedules, "schedule", "schedules"), foundWords(plan, dates, page.Format))
	return s.nightRead(c, night, page)
}

// nightRead lists the news of the night's project that the run read.
func (s *Server) nightRead(c *gin.Context, night *models.Night, page *web.NightPage) error {
	if night.ReadTo == nil {
		return nil
	}
	from := time.Time{}
	if night.ReadFrom != nil {
		from = *night.ReadFrom
	}
	news, err := models.NewsBetween(c.Request.Context(), s.db, from, *night.ReadTo)
	if err != nil {
		return err
	}
	for _, item := range news {
		if item.ProjectID == night.ProjectID {
			page.Read = append(page.Read, web.ReadLine{
				At: item.At, Text: planning.Describe(item, localeOf(page.Format)),
				Usual: item.Report != nil && (item.Report.Kind == models.ReportStart || item.Report.Kind == models.ReportDone),
			})
		}
	}
	return nil
}

// localeOf is how the reader of a page reads reports.
func localeOf(f web.Format) planning.Locale {
	return planning.Locale{Zone: f.In(time.Time{}).Location(), Units: models.Units(f.Units)}
}

// foundWords says how good a plan is. Dates with work that cannot be planned cost it nothing, so that its figures alone would
// call them kept.
func foundWords(p *models.Plan, dates []models.DateRow, f web.Format) string {
	open := 0
	for i := range dates {
		if dates[i].ForecastAt == nil {
			open++
		}
	}
	switch {
	case len(dates) == 0:
		return "no GC date is held yet"
	case open == len(dates):
		return "no GC date has a forecast, because some of its work cannot be planned"
	case open > 0:
		return fmt.Sprintf("%s no forecast, because some of the work cannot be planned; of the others, %s",
			f.Of(open, "GC date has", "GC dates have"), boundWords(p, f))
	}
	return boundWords(p, f)
}

// boundWords says how good a plan is against what no plan can beat.
func boundWords(p *models.Plan, f web.Format) string {
	switch {
	case p.BoundProved:
		return "no plan can be better on dates and finish"
	case p.BoundLatenessProved && p.LatenessCost == 0:
		return "every GC date is kept"
	case p.BoundLatenessProved:
		return "no plan can be less late on the GC dates"
	case p.LatenessCost > 0:
		return fmt.Sprintf("damages of the forecast lateness %s, at least %s in any plan", f.Money(p.LatenessCost), f.Money(p.BoundLatenessCost))
	}
	return "every GC date is kept"
}

// dateEffect is what a plan did to a GC date of the project.
func dateEffect(c *models.PlanChange, project *models.Project, floats *floatDays) (web.DateEffect, error) {
	e := web.DateEffect{Name: c.GCDate.Name, Before: c.OldFinish, After: c.NewFinish}
	if location, err := time.LoadLocation(project.Zone); err == nil {
		e.Date = c.GCDate.Due.AddDays(1).At(0, location)
	}
	return e, floats.effect(project, &e)
}

// movedTask is a task that a plan moved.
func movedTask(c *models.PlanChange, names *namer) web.MovedTask {
	m := web.MovedTask{Cause: c.CauseText, Turn: c.CauseKind == planning.CauseReordered}
	if c.Task != nil {
		m.Kind, m.Mark = kindOf(c.Task.Kind), names.subject(c.Task.Key)
		if c.Task.Opening != nil {
			m.OpeningID = strconv.FormatInt(c.Task.Opening.ID, 10)
		}
	}
	m.CrewBefore, m.CrewAfter = names.crewByID(c.OldCrewID), names.crewByID(c.NewCrewID)
	m.Before, m.After = shownMove(c.OldStart, c.NewStart, c.OldFinish, c.NewFinish)
	return m
}

// shownMove is what a page shows of a task that moved: its starts, or its finishes where only those moved. A zero time
// means not planned.
func shownMove(oldStart, newStart, oldFinish, newFinish *time.Time) (before, after time.Time) {
	onlyFinish := oldStart != nil && newStart != nil && oldStart.Equal(*newStart) &&
		oldFinish != nil && newFinish != nil && !oldFinish.Equal(*newFinish)
	if onlyFinish {
		return *oldFinish, *newFinish
	}
	if oldStart != nil {
		before = *oldStart
	}
	if newStart != nil {
		after = *newStart
	}
	return before, after
}

// runNight asks for a re-plan now, of one project or of all; the queue runs it like a night's own.
func (s *Server) runNight(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	projects, err := s.projectsToRun(c)
	if err != nil {
		return err
	}
	var asked []string
	for i := range projects {
		added, err := s.askForPlan(ctx, p, &projects[i], s.db.Now().Format(time.RFC3339)) // a button pressed twice asks once
		if err != nil {
			return err
		}
		if added {
			asked = append(asked, projects[i].Name)
		}
	}
	if len(asked) == 0 {
		s.say(c, "That re-plan is in the queue already.")
	} else {
		s.say(c, "The re-plan of "+strings.Join(asked, ", ")+" is in the queue. This page shows it when it is done.")
	}
	c.Redirect(http.StatusSeeOther, "/nights")
	return nil
}

// projectsToRun are the project that the form names, or all open ones when it names none.
func (s *Server) projectsToRun(c *gin.Context) ([]models.Project, error) {
	name := c.PostForm("project")
	if name == "" {
		return models.Projects(c.Request.Context(), s.db)
	}
	id, err := strconv.ParseInt(name, 10, 64)
	if err != nil {
		return nil, badRequest("Choose the project to plan anew.")
	}
	project, err := models.ProjectByID(c.Request.Context(), s.db, id)
	if err != nil {
		return nil, err
	}
	return []models.Project{*project}, nil
}
