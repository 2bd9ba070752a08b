package server

import (
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/recovery"
	"jambwright/server/planning"
	"jambwright/web"
)

// readScenario reads the scenario of the address, when the person may see it.
func (s *Server) readScenario(c *gin.Context, p *person) (*models.Scenario, error) {
	id, err := strconv.ParseInt(c.Param("id"), 10, 64)
	if err != nil {
		return nil, notFound("")
	}
	scenario, err := models.ScenarioByID(c.Request.Context(), s.db, id)
	if err != nil {
		return nil, err
	}
	if !p.mayRead(scenario.ProjectID) {
		return nil, notAllowed("")
	}
	return scenario, nil
}

// scenario shows what a draft does, or what withdrawing a scenario in force does.
func (s *Server) scenario(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	scenario, err := s.readScenario(c, p)
	if err != nil {
		return err
	}
	page := web.ScenarioPage{Chrome: s.chrome(c), MayDecide: p.role == web.RoleOperations, Project: scenario.Project.Name}
	page.Format = s.format(c, &scenario.Project)
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	words := moveWords{names: newNamer(d), format: page.Format}
	page.ScenarioLine, page.Cautions = words.scenarioLine(scenario), words.cautions(scenario.Moves)
	page.Promised, page.Without, page.Cost = scenario.ForecastAfter, scenario.ForecastBefore, float64(scenario.CostCents)/100
	if scenario.GCDate != nil {
		page.DateID, page.DateName = strconv.FormatInt(scenario.GCDate.ID, 10), scenario.GCDate.Name
	}
	if scenario.WithdrawnAt != nil {
		page.Withdrawn, page.LetGoBy = *scenario.WithdrawnAt, scenario.WithdrawnBy
		s.render(c, http.StatusOK, page)
		return nil
	}
	if err := s.scenarioEffects(c, scenario, words.names, &page); err != nil {
		return err
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// scenarioEffects plans the change and fills in what it does.
func (s *Server) scenarioEffects(c *gin.Context, scenario *models.Scenario, names *namer, page *web.ScenarioPage) error {
	ctx := c.Request.Context()
	tried, err := planning.TryScenario(ctx, s.db, scenario)
	if err != nil {
		return err
	}
	effects := effectsOf{names: names, tried: tried}
	for i := range tried.Changes {
		if change := &tried.Changes[i]; change.Task != "" {
			moved := effects.moved(change)
			moved.Cause = "" // all of them for the one reason that the page is about
			page.Moved = append(page.Moved, moved)
		}
	}
	projects, err := models.Projects(ctx, s.db)
	if err != nil {
		return err
	}
	if page.Dates, err = effects.dates(projects, newFloatDays(ctx, s.db)); err != nil {
		return err
	}
	page.Sums = effects.cost()
	page.Sums.CrewAfter = recovery.Price(tried.Unmoved, tried.Moves, tried.Plan).Total()
	if before := tried.Before.Plan; before != nil {
		page.Sums.CrewBefore = recovery.Price(tried.Unmoved, otherMoves(tried, scenario), before).Total()
	}
	return nil
}

// otherMoves are the moves of the plan before: those in force, with the scenario's own exactly when it is in force.
func otherMoves(tried *planning.Tried, scenario *models.Scenario) []recovery.Move {
	if scenario.State == models.ScenarioInForce {
		return append(append([]recovery.Move{}, tried.Moves...), scenario.Moves...)
	}
	return tried.Moves[:len(tried.Moves)-len(scenario.Moves)]
}

// decideScenario puts a draft in force or drops it, or withdraws a scenario in force.
func (s *Server) decideScenario(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	scenario, err := s.readScenario(c, p)
	if err != nil {
		return err
	}
	back := "/dates"
	switch do := c.PostForm("do"); {
	case do == "adopt" && scenario.State == models.ScenarioDraft:
		if _, err := planning.Adopt(ctx, s.db, scenario.ID, p.actor()); err != nil {
			return err
		}
		s.say(c, "In force. The new plan is a draft until you issue it on the crews page.")
	case do == "withdraw" && scenario.State == models.ScenarioInForce:
		if _, err := planning.WithdrawScenario(ctx, s.db, scenario.ID, p.actor()); err != nil {
			return err
		}
		s.say(c, "Withdrawn. The plan without it is a draft until you issue it on the crews page.")
	case do == "drop" && scenario.State == models.ScenarioDraft:
		if err := s.db.Write(ctx, func(tx *models.Tx) error { return models.Withdraw(ctx, tx, scenario, p.actor()) }); err != nil {
			return err
		}
		if scenario.GCDateID != nil {
			back = "/dates/" + strconv.FormatInt(*scenario.GCDateID, 10) + "/recovery"
		}
		s.say(c, "Dropped. Nothing was changed.")
	default:
		return badRequest("This scenario is no longer in the state that the form was made for. Open its page again.")
	}
	c.Redirect(http.StatusSeeOther, back)
	return nil
}
