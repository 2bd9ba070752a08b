package server

import (
	"context"
	"net/http"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/server/planning"
	"jambwright/server/reporting"
	"jambwright/web"
)

// keptReport is a report that was tried and not yet sent.
type keptReport struct {
	Report reporting.Report
	Form   web.ReportForm
}

// tryReport reads a report that somebody wants to look at before it is sent, keeps it and goes on to what it would move.
func (s *Server) tryReport(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	page, task, report, err := s.sentReport(c, p)
	if err != nil {
		return err
	}
	if len(page.Faults) == 0 {
		var refused error
		err = s.db.Undone(ctx, func(tx *models.Tx) error { // whether it would be taken
			_, refused = reporting.Record(ctx, tx, report)
			return nil
		})
		if err != nil {
			return err
		}
		if page.Faults, err = reportFaults(refused); err != nil {
			return err
		}
	}
	if len(page.Faults) > 0 {
		return s.showReport(c, http.StatusUnprocessableEntity, task, page)
	}
	token, err := s.keepTried(ctx, p, models.KeptReport, keptReport{Report: report, Form: page.Form}, nil)
	if err != nil {
		return err
	}
	c.Redirect(http.StatusSeeOther, "/report/try/"+token)
	return nil
}

// keptReport reads the report behind a token, with its task.
func (s *Server) keptReport(c *gin.Context, p *person, token string) (kept keptReport, task *models.Task, err error) {
	const gone = "This was sent, left or is too old. Begin again on the page of the opening."
	if _, err := s.readTried(c.Request.Context(), p, models.KeptReport, token, gone, &kept); err != nil {
		return kept, nil, err
	}
	task, err = s.reportTask(c, p, kept.Report.TaskKey)
	return kept, task, err
}

// reportPreview shows what a report would move.
func (s *Server) reportPreview(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	kept, task, err := s.keptReport(c, p, c.Param("token"))
	if err != nil {
		return err
	}
	page := web.ReportTryPage{Chrome: s.chrome(c), Token: c.Param("token"), Photos: len(kept.Report.Pictures)}
	page.Format = s.format(c, &task.Project)
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	page.Task = reportedTask(task, d, s.db.Now())
	row := kept.Report.Row(task)
	row.Task = *task
	page.News = planning.ReportWords(row, localeOf(page.Format))
	report := kept.Report
	report.Pictures = nil // photos move nothing
	tried, err := planning.TryNews(ctx, s.db, func(ctx context.Context, tx *models.Tx) error {
		_, err := reporting.Record(ctx, tx, report)
		return err
	})
	if faults, failed := reportFaults(err); failed == nil && len(faults) > 0 {
		return s.showReport(c, http.StatusConflict, task, web.ReportPage{Form: kept.Form, Faults: faults}) // something came in between
	}
	if page.Effect, err = s.trialEffect(c, tried, err); err != nil {
		return err
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// recordReport sends a kept report, or forgets it.
func (s *Server) recordReport(c *gin.Context, p *person) error {
	ctx, token := c.Request.Context(), c.PostForm("token")
	kept, task, err := s.keptReport(c, p, token)
	if err != nil {
		return err
	}
	send := c.PostForm("do") == "record"
	var taken reporting.Taken
	err = s.db.Write(ctx, func(tx *models.Tx) error {
		if send {
			if taken, err = reporting.Record(ctx, tx, kept.Report); err != nil {
				return err
			}
		}
		return models.DropKept(ctx, tx, token)
	})
	faults, err := reportFaults(err)
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		return s.showReport(c, http.StatusConflict, task, web.ReportPage{Form: kept.Form, Faults: faults})
	}
	if send {
		s.sayTaken(c, task, &taken, kept.Form.Kind)
	} else {
		s.say(c, "Left as it was. Nothing was reported.")
	}
	c.Redirect(http.StatusSeeOther, localAddress(kept.Form.Return, "/tomorrow"))
	return nil
}
