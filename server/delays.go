package server

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/server/delays"
	"jambwright/web"
)

// ledgerPatience is how long a page waits for a ledger that is still to be computed.
const ledgerPatience = 20 * time.Second

// delays shows who caused which days.
func (s *Server) delaysPage(c *gin.Context, p *person) error {
	page, err := s.readDelays(c, p, c.Query("project"), c.Query("window"))
	if err != nil {
		return err
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// readDelays reads the page of a project and a run of windows; an empty project is the first that the person may see.
func (s *Server) readDelays(c *gin.Context, p *person, project, run string) (page web.DelaysPage, err error) {
	page = web.DelaysPage{Chrome: s.chrome(c)}
	if page.Projects, err = s.projectChoices(c, p); err != nil || len(page.Projects) == 0 {
		page.NoIssue = true
		return page, err
	}
	if project == "" {
		project = page.Projects[0].Value
	}
	statement, ready, err := s.statement(c, p, project, run)
	if err != nil {
		return page, err
	}
	page.ProjectID, page.Project = project, statement.Project.Name
	page.Format = s.format(c, &statement.Project)
	v := delayView{format: page.Format, statement: statement}
	v.fill(&page)
	page.Working = !ready && len(statement.Windows) > 0
	if len(statement.Windows) == 0 {
		_, err := models.IssuedPlan(c.Request.Context(), s.db, statement.Project.ID)
		if err != nil && !isNotFound(err) {
			return page, err
		}
		page.NoIssue, page.NoWindow = err != nil, err == nil
	}
	return page, nil
}

// statement computes what is missing of a project's ledger, as long as patience lasts, and reads the statement.
func (s *Server) statement(c *gin.Context, p *person, project, run string) (*delays.Statement, bool, error) {
	id, err := strconv.ParseInt(project, 10, 64)
	if err != nil {
		return nil, false, notFound("")
	}
	if !p.mayRead(id) {
		return nil, false, notAllowed("")
	}
	ctx := c.Request.Context()
	if _, err := models.ProjectByID(ctx, s.db, id); err != nil {
		return nil, false, err
	}
	patience, cancel := context.WithTimeout(ctx, ledgerPatience)
	defer cancel()
	if _, err := s.delays.Ensure(patience, id); err != nil {
		return nil, false, err
	}
	statement, err := delays.Read(ctx, s.db, id, run)
	if err != nil {
		return nil, false, err
	}
	return statement, statement.Missing == 0, nil
}

// confirmDelay stores what a person confirms of a line.
func (s *Server) confirmDelay(c *gin.Context, p *person) error {
	id, err := s.delayProject(c, p)
	if err != nil {
		return err
	}
	date, err := strconv.ParseInt(c.PostForm("date"), 10, 64)
	if err != nil {
		return badRequest("The form does not say which GC date it is about. Open the page again.")
	}
	party, note := strings.TrimSpace(c.PostForm("party")), strings.TrimSpace(c.PostForm("note"))
	excusable, compensable := c.PostForm("excusable") == "yes", c.PostForm("compensable") == "yes"
	switch {
	case party == "":
		return badRequest("Say who answers for the delay, then confirm again.")
	case len(party) > 120 || len(note) > 1000:
		return badRequest("The party may have 120 characters and the note 1,000. Shorten them and confirm again.")
	case compensable && !excusable:
		return badRequest("A delay that is not excusable cannot be compensable. Choose excusable, or not compensable.")
	}
	ctx := c.Request.Context()
	version, _ := strconv.ParseInt(c.PostForm("version"), 10, 64) // 0: the first
	err = s.db.Write(ctx, func(tx *models.Tx) error {
		if err := delays.MayConfirm(ctx, tx, id, date, c.PostForm("line")); err != nil {
			return err
		}
		row := &models.LedgerConfirmation{
			GCDateID: date, LineKey: c.PostForm("line"), Party: party, Excusable: excusable, Compensable: compensable, Note: note,
		}
		row.Version = version
		return models.Confirm(ctx, tx, id, row, p.actor())
	})
	if errors.Is(err, models.ErrDuplicate) {
		return badRequest("Somebody else has confirmed this line meanwhile. Open the page again to see what.")
	}
	if err != nil {
		return err
	}
	s.say(c, "Confirmed. The statement says so from now on.")
	s.backToDelays(c)
	return nil
}

// delayProject is the project of a form, which the person may change.
func (s *Server) delayProject(c *gin.Context, p *person) (int64, error) {
	id, err := strconv.ParseInt(c.PostForm("project"), 10, 64)
	if err != nil {
		return 0, badRequest("The form does not say which project it is about. Open the page again.")
	}
	if !p.mayRead(id) {
		return 0, notAllowed("")
	}
	return id, nil
}

// backToDelays returns to the run and the line that a form came from.
func (s *Server) backToDelays(c *gin.Context) {
	query := url.Values{"project": {c.PostForm("project")}, "window": {c.PostForm("window")}}
	address := url.URL{Path: "/delays", RawQuery: query.Encode(), Fragment: c.PostForm("back")}
	c.Redirect(http.StatusSeeOther, address.String())
}

// delayNotice keeps that a notice was sent.
func (s *Server) delayNotice(c *gin.Context, p *person) error {
	id, err := s.delayProject(c, p)
	if err != nil {
		return err
	}
	sent, err := models.ParseDate(c.PostForm("sent_on"))
	if err != nil {
		return badRequest("Say on which date the notice was sent, then keep it again.")
	}
	reference := strings.TrimSpace(c.PostForm("reference"))
	if len(reference) > 200 {
		return badRequest("The reference may have 200 characters. Shorten it and keep it again.")
	}
	ctx := c.Request.Context()
	version, _ := strconv.ParseInt(c.PostForm("version"), 10, 64)
	err = s.db.Write(ctx, func(tx *models.Tx) error {
		if err := delays.MaySend(ctx, tx, id, c.PostForm("line"), sent); err != nil {
			return err
		}
		row := &models.DelayNotice{ProjectID: id, LineKey: c.PostForm("line"), SentOn: sent, Reference: reference}
		row.Version = version
		return models.SendNotice(ctx, tx, row, p.actor())
	})
	switch {
	case errors.Is(err, models.ErrDuplicate):
		return badRequest("Somebody else has kept this notice meanwhile. Open the page again to see it.")
	case errors.Is(err, delays.ErrNotYet):
		return badRequest("The notice is dated after today. Keep it once it has been sent.")
	case err != nil:
		return err
	}
	s.say(c, "Kept: the notice was sent "+sent.At(0, time.UTC).Format("Mon 2 Jan 2006")+".")
	s.backToDelays(c)
	return nil
}

// delayTerms stores what the contract says of delays.
func (s *Server) delayTerms(c *gin.Context, p *person) error {
	id, err := s.delayProject(c, p)
	if err != nil {
		return err
	}
	form := web.DelayTermsForm{
		Trade: c.PostForm("trade"), GC: c.PostForm("gc"), Supplier: c.PostForm("supplier"), Weather: c.PostForm("weather"),
		FloatOwner: c.PostForm("float"), Pacing: c.PostForm("pacing") == "yes",
	}
	form.Version, _ = strconv.ParseInt(c.PostForm("version"), 10, 64)
	terms, faults := termsOf(form)
	if len(faults) > 0 {
		page, err := s.readDelays(c, p, c.PostForm("project"), c.PostForm("window"))
		if err != nil {
			return err
		}
		page.Terms, page.Faults, page.Form = form, faults, "terms"
		s.render(c, http.StatusUnprocessableEntity, page)
		return nil
	}
	terms.ProjectID = id
	ctx := c.Request.Context()
	if err := s.db.Write(ctx, func(tx *models.Tx) error { return models.SaveTerms(ctx, tx, terms, p.actor()) }); err != nil {
		return err
	}
	s.say(c, "Kept. Deadlines and the statement follow from it.")
	s.backToDelays(c)
	return nil
}

// mostNoticeDays is longer than any contract gives; more is a slip of the keyboard.
const mostNoticeDays = 365

// termsOf reads the form, with all its faults at once.
func termsOf(form web.DelayTermsForm) (*models.DelayTerms, web.Faults) {
	t := &models.DelayTerms{Pacing: form.Pacing, FloatOwner: models.FloatOwner(form.FloatOwner)}
	t.Version = form.Version
	var faults web.Faults
	for _, field := range []struct {
		name, text string
		days       **int
	}{{"trade", form.Trade, &t.TradeDays}, {"gc", form.GC, &t.GCDays}, {"supplier", form.Supplier, &t.SupplierDays}, {"weather", form.Weather, &t.WeatherDays}} {
		text := strings.TrimSpace(field.text)
		if text == "" {
			continue
		}
		n, err := strconv.Atoi(text)
		if err != nil || n < 0 || n > mostNoticeDays {
			faults = append(faults, web.FieldFault{Field: field.name, Message: fmt.Sprintf("“%s” is no number of days from 0 to %d; leave it empty where no notice is agreed.", text, mostNoticeDays)})
			continue
		}
		*field.days = &n
	}
	if !slices.Contains([]models.FloatOwner{models.FloatFirstUse, models.FloatOfGC, models.FloatOurs}, t.FloatOwner) {
		t.FloatOwner = models.FloatFirstUse
	}
	return t, faults
}
