package server

import (
	"errors"
	"net/http"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/server/recovering"
)

// lookAgain is after how many seconds the page of an open search or forecast is asked for again, by the browser itself.
const lookAgain = "2"

// askRecovery begins a search.
func (s *Server) askRecovery(c *gin.Context, p *person) error {
	r, err := s.readRecovery(c, p)
	if err != nil {
		return err
	}
	if r.plan == nil {
		return badRequest("Nothing has been planned yet. Plan first, then look for moves.")
	}
	_, err = recovering.Ask(c.Request.Context(), s.db, s.recovery, r.plan.ID, r.date.ID, p.actor())
	if errors.Is(err, models.ErrDuplicate) {
		s.say(c, "Moves for this date are looked for already.")
	} else if err != nil {
		return err
	}
	c.Redirect(http.StatusSeeOther, "/dates/"+c.Param("id")+"/recovery")
	return nil
}

// cancelRecovery stops a search.
func (s *Server) cancelRecovery(c *gin.Context, p *person) error {
	r, err := s.readRecovery(c, p)
	if err != nil {
		return err
	}
	if r.run != nil {
		if err := recovering.Cancel(c.Request.Context(), s.db, r.run.ID); err != nil {
			return err
		}
	}
	c.Redirect(http.StatusSeeOther, "/dates/"+c.Param("id")+"/recovery")
	return nil
}
