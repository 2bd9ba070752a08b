package server

import (
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/recovery"
	"jambwright/web"
)

// tryMoves keeps the chosen moves as a draft and goes on to what they do.
func (s *Server) tryMoves(c *gin.Context, p *person) error {
	r, err := s.readRecovery(c, p)
	if err != nil {
		return err
	}
	if r.found == nil {
		return badRequest("There are no moves to choose from. Look for them first.")
	}
	trial, fault := chosenMoves(c, r.found)
	if fault != "" {
		page := web.RecoveryPage{Chrome: s.chrome(c), Faults: web.Faults{{Field: "move", Message: fault}}}
		if err := s.fillRecovery(c, p, &r, &page); err != nil {
			return err
		}
		for i := range page.Moves {
			page.Moves[i].Chosen = slices.Contains(c.PostFormArray("move"), page.Moves[i].Value)
		}
		s.render(c, http.StatusUnprocessableEntity, page)
		return nil
	}
	draft := &models.Scenario{
		ProjectID: r.project.ID, GCDateID: &r.date.ID, Name: scenarioName(r.date.Name, s.db.Now(), s.format(c, r.project)), Moves: trial.Moves,
	}
	id := pattern.GCDateID(r.project.Code, r.date.Code)
	if i := slices.IndexFunc(trial.Dates, func(d recovery.DateEffect) bool { return d.ID == id }); i >= 0 {
		draft.ForecastBefore, draft.ForecastAfter, draft.CostCents = trial.Dates[i].Before, trial.Dates[i].After, models.Cents(trial.Cost)
	}
	ctx := c.Request.Context()
	err = s.db.Write(ctx, func(tx *models.Tx) error { return models.CreateScenario(ctx, tx, draft, p.actor()) })
	if err != nil {
		return err
	}
	c.Redirect(http.StatusSeeOther, "/scenarios/"+strconv.FormatInt(draft.ID, 10))
	return nil
}

func scenarioName(date string, now time.Time, f web.Format) string {
	return "Win days for " + date + ", " + f.Day(now)
}

// chosenMoves are the set or the ticked moves of the form. A trial that was made with exactly these moves comes with its
// dates; fault says what is wrong with the choice.
func chosenMoves(c *gin.Context, found *recovery.Result) (trial recovery.Trial, fault string) {
	if number, isSet := strings.CutPrefix(c.PostForm("do"), "set-"); isSet {
		i, err := strconv.Atoi(number)
		if err != nil || i < 0 || i >= len(found.Sets) {
			return trial, "There is no such set. Choose again."
		}
		return found.Sets[i], ""
	}
	list := tickable(found)
	levers := map[string]bool{}
	var picked []recovery.Trial
	for _, text := range c.PostFormArray("move") {
		i, err := strconv.Atoi(text)
		if err != nil || i < 0 || i >= len(list) {
			return trial, "There is no such move. Choose again."
		}
		lever := list[i].Moves[0].Lever()
		if levers[lever] {
			return trial, "Two of the ticked moves are the same one, done less and done more. Tick one of them."
		}
		levers[lever] = true
		picked = append(picked, list[i])
		trial.Moves = append(trial.Moves, list[i].Moves[0])
	}
	switch len(picked) {
	case 0:
		return trial, "Tick at least one move."
	case 1:
		return picked[0], ""
	}
	return trial, ""
}
