package server

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/server/planning"
	"jambwright/web"
)

// move reads the small form of a block, keeps it and goes on to the preview.
func (s *Server) move(c *gin.Context, p *person) error {
	page := web.CrewsPage{Chrome: s.chrome(c)}
	if err := c.ShouldBind(&page.Form); err != nil {
		return bindFault(err)
	}
	move, faults, err := s.readMove(c, page.Form, page.Format)
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		page.Faults, page.Open = faults, page.Form.Block
		c.Request.URL.RawQuery = "from=" + page.Form.From
		if err := s.fillCrews(c, p, &page); err != nil {
			return err
		}
		if page.OpenBlock() == nil { // there is no form to show the faults in
			return badRequest(faultWords(faults))
		}
		s.render(c, http.StatusUnprocessableEntity, page)
		return nil
	}
	token, err := s.keepTried(c.Request.Context(), p, models.KeptMove, move, map[string]string{"from": page.Form.From})
	if err != nil {
		return err
	}
	c.Redirect(http.StatusSeeOther, "/crews/move/"+token)
	return nil
}

func faultWords(faults web.Faults) string {
	words := make([]string, len(faults))
	for i, f := range faults {
		words[i] = f.Message
	}
	return strings.Join(words, " ")
}

// readMove turns the form into a move; every field that cannot be read is a fault.
func (s *Server) readMove(c *gin.Context, form web.MoveForm, f web.Format) (m planning.Move, faults web.Faults, err error) {
	m = planning.Move{Tasks: form.Tasks, Pin: form.Pin}
	if len(m.Tasks) == 0 {
		faults = append(faults, web.FieldFault{Field: "task", Message: "Choose at least one opening to move."})
	}
	if form.Crew != "" {
		crews, err := models.Crews(c.Request.Context(), s.db)
		if err != nil {
			return m, nil, err
		}
		i := slices.IndexFunc(crews, func(crew models.Crew) bool { return strconv.FormatInt(crew.ID, 10) == form.Crew })
		if i < 0 {
			faults = append(faults, web.FieldFault{Field: "crew", Message: "There is no such crew."})
		} else {
			m.Crew = crews[i].Code
		}
	}
	if form.Date != "" {
		clock := form.Time
		if clock == "" {
			clock = "07:00"
		}
		at, err := time.ParseInLocation("2006-01-02 15:04", form.Date+" "+clock, f.In(time.Time{}).Location())
		if err != nil {
			faults = append(faults, web.FieldFault{Field: "date", Message: "Write the date as 2026-11-25 and the time as 07:00."})
		}
		m.Start = &at
	}
	return m, faults, nil
}

// keptMove reads the move behind a token.
func (s *Server) keptMove(c *gin.Context, p *person, token string) (m planning.Move, back string, err error) {
	const gone = "This move was accepted, put back, or is too old. Make it again on the crews page."
	about, err := s.readTried(c.Request.Context(), p, models.KeptMove, token, gone, &m)
	if err != nil {
		return m, "", err
	}
	back = "/crews"
	if from := about["from"]; from != "" {
		back += "?from=" + from
	}
	return m, back, nil
}

// movePreview shows what a move does before it is done.
func (s *Server) movePreview(c *gin.Context, p *person) error {
	token := c.Param("token")
	m, back, err := s.keptMove(c, p, token)
	if err != nil {
		return err
	}
	tried, err := planning.Try(c.Request.Context(), s.db, m)
	if err != nil {
		return err
	}
	d, err := models.ReadDirectory(c.Request.Context(), s.db)
	if err != nil {
		return err
	}
	page := web.MovePreviewPage{Chrome: s.chrome(c), Token: token, Back: back, Pin: m.Pin}
	effects := effectsOf{names: newNamer(d), tried: tried}
	effects.fill(&page, m)
	projects, err := models.Projects(c.Request.Context(), s.db)
	if err != nil {
		return err
	}
	if page.Dates, err = effects.dates(projects, newFloatDays(c.Request.Context(), s.db)); err != nil {
		return err
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// acceptMove does a move, or puts it back.
func (s *Server) acceptMove(c *gin.Context, p *person) error {
	ctx, token := c.Request.Context(), c.PostForm("token")
	m, back, err := s.keptMove(c, p, token)
	if err != nil {
		return err
	}
	if c.PostForm("do") == "accept" {
		if _, err := planning.Accept(ctx, s.db, m, p.actor()); err != nil {
			return err
		}
		s.say(c, "Moved. The plan is a draft until you issue it.")
	} else {
		s.say(c, "Put back. Nothing was changed.")
	}
	if err := s.db.Write(ctx, func(tx *models.Tx) error { return models.DropKept(ctx, tx, token) }); err != nil {
		return err
	}
	c.Redirect(http.StatusSeeOther, back)
	return nil
}

// effectsOf turns a tried move into what its page shows.
type effectsOf struct {
	names *namer
	tried *planning.Tried
}

func (e *effectsOf) fill(page *web.MovePreviewPage, m planning.Move) {
	for _, key := range m.Tasks {
		mark := e.names.know(key).names.Tasks[key]
		page.Marks = append(page.Marks, mark)
	}
	before, after := planned(e.tried.Before.Plan, m.Tasks), planned(e.tried.Plan, m.Tasks)
	page.FromCrew, page.ToCrew = e.crewOf(before), e.crewOf(after)
	if after != nil {
		page.Start = after.Start
	}
	page.Refused = strings.Join(append(e.underWay(page.Format, m), e.tried.Refused...), "; ")
	for i := range e.tried.Changes {
		if change := &e.tried.Changes[i]; change.Task != "" {
			page.Moved = append(page.Moved, e.moved(change))
		}
	}
	page.Cost = e.cost()
}

// underWay tells which tasks of a move have begun: they stay where they are.
func (e *effectsOf) underWay(f web.Format, m planning.Move) (reasons []string) {
	if m.Start == nil {
		return nil
	}
	for _, key := range m.Tasks {
		if t := planned(e.tried.Plan, []string{key}); t != nil && t.Reason.Kind == problem.ReasonStatus {
			reasons = append(reasons, fmt.Sprintf("%s began %s; what is under way is not moved", e.names.know(key).names.Tasks[key], f.Moment(t.Start)))
		}
	}
	return reasons
}

// planned is the first of some tasks that a plan places.
func planned(plan *problem.Plan, keys []string) *problem.PlannedTask {
	if plan == nil {
		return nil
	}
	i := slices.IndexFunc(plan.Tasks, func(t problem.PlannedTask) bool { return slices.Contains(keys, t.ID) })
	if i < 0 {
		return nil
	}
	return &plan.Tasks[i]
}

func (e *effectsOf) crewOf(t *problem.PlannedTask) string {
	if t == nil || t.Crew == nil {
		return ""
	}
	return e.names.names.Crews[*t.Crew]
}

// dates compares every GC date of both plans; stored are the projects as they are stored, floats measures in their days.
func (e *effectsOf) dates(stored []models.Project, floats *floatDays) ([]web.DateEffect, error) {
	before := map[string]problem.PlannedDate{}
	if e.tried.Before.Plan != nil {
		for _, d := range e.tried.Before.Plan.GCDates {
			before[d.ID] = d
		}
	}
	names, projects := map[string]string{}, map[string]*models.Project{}
	for _, p := range e.tried.Firm.Projects {
		at := slices.IndexFunc(stored, func(s models.Project) bool { return s.Code == p.Code })
		for _, g := range p.GCDates {
			names[pattern.GCDateID(p.Code, g.ID)] = g.Name
			if at >= 0 {
				projects[pattern.GCDateID(p.Code, g.ID)] = &stored[at]
			}
		}
	}
	var list []web.DateEffect
	for i, d := range e.tried.Plan.GCDates {
		effect := web.DateEffect{
			Name: names[d.ID], Date: e.tried.Problem.GCDates[i].Date, After: d.Forecast, Before: before[d.ID].Forecast,
		}
		if project := projects[d.ID]; project != nil {
			if err := floats.effect(project, &effect); err != nil {
				return nil, err
			}
		}
		list = append(list, effect)
	}
	return list, nil
}

func (e *effectsOf) moved(c *models.ChangeToSave) web.MovedTask {
	m := web.MovedTask{
		Mark: e.names.subject(c.Task), CrewBefore: e.names.names.Crews[c.OldCrew],
		CrewAfter: e.names.names.Crews[c.NewCrew], Cause: c.CauseText, Turn: c.CauseKind == planning.CauseReordered,
	}
	if k, err := pattern.TaskKey(c.Task).Parse(); err == nil {
		m.Kind = kindOf(k.Kind)
	}
	m.Before, m.After = shownMove(c.OldStart, c.NewStart, c.OldFinish, c.NewFinish)
	return m
}

// cost compares crew hours at cost, damages, travel and idle time.
func (e *effectsOf) cost() web.CostEffect {
	rates := map[string]float64{}
	for _, crew := range e.tried.Problem.Crews {
		rates[crew.ID] = crew.CostPerHour
	}
	after := e.tried.Plan
	effect := web.CostEffect{
		CrewAfter: crewCost(after, rates), DamagesAfter: after.Objective.LatenessCost,
		TravelAfter: after.Objective.TravelMinutes, IdleAfter: after.Objective.IdleMinutes,
	}
	effect.Known = effect.CrewAfter > 0
	if before := e.tried.Before.Plan; before != nil {
		effect.CrewBefore, effect.DamagesBefore = crewCost(before, rates), before.Objective.LatenessCost
		effect.TravelBefore, effect.IdleBefore = before.Objective.TravelMinutes, before.Objective.IdleMinutes
	}
	return effect
}

// crewCost is the cost of the work still to come.
func crewCost(plan *problem.Plan, rates map[string]float64) float64 {
	total := 0.0
	for i := range plan.Tasks {
		t := &plan.Tasks[i]
		if t.Crew == nil {
			continue
		}
		for _, s := range t.Segments {
			total += s[1].Sub(s[0]).Hours() * rates[*t.Crew]
		}
	}
	return total
}

// issueForm lists what changes for the crews before a plan is issued.
func (s *Server) issueForm(c *gin.Context, _ *person) error {
	ctx := c.Request.Context()
	plan, err := models.LatestPlan(ctx, s.db)
	if isNotFound(err) {
		return notFound("There is no plan to issue yet.")
	}
	if err != nil {
		return err
	}
	page := web.IssuePage{Chrome: s.chrome(c)}
	if page.Draft, err = s.draft(c, plan); err != nil {
		return err
	}
	changes, dates, err := planning.AgainstIssued(ctx, s.db, plan.ID)
	if err != nil {
		return err
	}
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	e := effectsOf{names: newNamer(d)}
	page.Notes = e.names.notes(plan.Notes)
	for i := range changes {
		page.Moved = append(page.Moved, e.moved(&changes[i]))
	}
	floats := newFloatDays(ctx, s.db)
	for i := range dates {
		effect := web.DateEffect{Name: dates[i].Name, Date: dates[i].Due, Before: dates[i].Before, After: dates[i].After}
		if err := floats.effect(&dates[i].Project, &effect); err != nil {
			return err
		}
		page.Dates = append(page.Dates, effect)
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// issue makes the latest plan the one that all crews follow.
func (s *Server) issue(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	id, err := strconv.ParseInt(c.PostForm("plan"), 10, 64)
	if err != nil {
		return badRequest("The form does not say which plan to issue. Open the page again.")
	}
	projects, err := models.Projects(ctx, s.db)
	if err != nil {
		return err
	}
	ids := make([]int64, 0, len(projects))
	for _, project := range projects {
		ids = append(ids, project.ID)
	}
	if err := planning.Issue(ctx, s.db, id, ids, p.actor()); err != nil {
		return err
	}
	s.say(c, "Issued. Foremen see this plan from now on.")
	c.Redirect(http.StatusSeeOther, "/crews")
	return nil
}
