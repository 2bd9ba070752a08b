package server

import (
	"context"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/server/planning"
	"jambwright/server/reporting"
	"jambwright/web"
)

// maxTrade bounds the name of a trade, in characters.
const maxTrade = 120

// handoverEntry is the form for a handover that no sheet names, with what it is held against.
type handoverEntry struct {
	project *models.Project
	view    *handoverView
	page    web.HandoverNewPage
}

// readHandoverEntry reads what the form chooses from.
func (s *Server) readHandoverEntry(c *gin.Context, p *person, form web.HandoverNewForm) (e handoverEntry, err error) {
	ctx := c.Request.Context()
	if e.project, err = s.projectOf(c, p, form.Project); err != nil {
		return e, err
	}
	if e.view, err = s.readHandoverView(c, e.project); err != nil {
		return e, err
	}
	if e.view.board, err = models.ReadHandoverBoard(ctx, s.db, e.project.ID, e.view.planID); err != nil {
		return e, err
	}
	e.page = web.HandoverNewPage{Chrome: s.chrome(c), Project: e.project.Name, Form: form}
	e.page.Format = e.view.format
	for i := range e.view.board.Areas {
		a := &e.view.board.Areas[i]
		e.page.Areas = append(e.page.Areas, web.Choice{Value: strconv.FormatInt(a.ID, 10), Text: e.view.areaName(a)})
	}
	for _, condition := range e.conditions() {
		e.page.Conditions = append(e.page.Conditions, web.Choice{Value: string(condition), Text: conditionWords(condition)})
	}
	for i := range e.view.board.Handovers {
		if trade := e.view.board.Handovers[i].Trade; trade != "" && !slices.Contains(e.page.Trades, trade) {
			e.page.Trades = append(e.page.Trades, trade)
		}
	}
	slices.Sort(e.page.Trades)
	return e, nil
}

// conditions are the usual ones and those that the project lists besides.
func (e *handoverEntry) conditions() []pattern.Condition {
	list := usualConditions()
	for _, c := range e.view.conditions() {
		if !slices.Contains(list, c) {
			list = append(list, c)
		}
	}
	return list
}

// newHandover shows the form.
func (s *Server) newHandover(c *gin.Context, p *person) error {
	var form web.HandoverNewForm
	if err := c.ShouldBindQuery(&form); err != nil {
		return bindFault(err)
	}
	e, err := s.readHandoverEntry(c, p, form)
	if err != nil {
		return err
	}
	s.render(c, http.StatusOK, e.page)
	return nil
}

// enterHandover shows what a new handover moves, and stores it once that is confirmed.
func (s *Server) enterHandover(c *gin.Context, p *person) error {
	var form web.HandoverNewForm
	if err := c.ShouldBind(&form); err != nil {
		return bindFault(err)
	}
	e, err := s.readHandoverEntry(c, p, form)
	if err != nil {
		return err
	}
	row := e.read()
	if len(e.page.Faults) > 0 || form.Confirm == "no" {
		status := http.StatusOK
		if len(e.page.Faults) > 0 {
			status = http.StatusUnprocessableEntity
		}
		s.render(c, status, e.page)
		return nil
	}
	store := func(ctx context.Context, tx *models.Tx) error {
		own := *row // each try and the deed store a row of their own
		if err := models.CreateHandover(ctx, tx, &own, reporting.HandoverSource, p.actor()); err != nil {
			return err
		}
		row.ID = own.ID
		return nil
	}
	ctx := c.Request.Context()
	if form.Confirm == "yes" {
		if err := s.db.Write(ctx, func(tx *models.Tx) error { return store(ctx, tx) }); err != nil {
			return err
		}
		s.say(c, "Entered. The next re-plan takes it in.")
		c.Redirect(http.StatusSeeOther, "/handovers/"+strconv.FormatInt(row.ID, 10))
		return nil
	}
	e.page.Shown = true
	tried, err := planning.TryNews(ctx, s.db, store)
	if e.page.Effect, err = s.trialEffect(c, tried, err); err != nil {
		return err
	}
	s.render(c, http.StatusOK, e.page)
	return nil
}

// read turns the form into a handover; every fault goes onto the page.
func (e *handoverEntry) read() *models.Handover {
	form, page := &e.page.Form, &e.page
	fault := func(field, message string) {
		page.Faults = append(page.Faults, web.FieldFault{Field: field, Message: message})
	}
	row := &models.Handover{Condition: pattern.Condition(form.Condition), Trade: strings.TrimSpace(form.Trade)}
	area := slices.IndexFunc(e.view.board.Areas, func(a models.Area) bool { return strconv.FormatInt(a.ID, 10) == form.Area })
	if area < 0 {
		fault("area", "Choose the area that is handed over.")
	} else {
		row.AreaID, page.Area = e.view.board.Areas[area].ID, e.view.areaName(&e.view.board.Areas[area])
	}
	if !slices.Contains(e.conditions(), row.Condition) {
		fault("condition", "Choose what the area is brought to.")
	} else if area >= 0 {
		page.Condition = conditionWords(row.Condition)
		switch held := e.view.board.HandoverFor(row.AreaID, row.Condition); {
		case held == nil:
		case held.AreaID == row.AreaID:
			fault("condition", page.Area+" has this handover already. Record news of it on its own page.")
		default:
			page.Instead = e.view.areaName(&held.Area)
		}
	}
	if len([]rune(row.Trade)) > maxTrade {
		fault("trade", "Write the name of the trade in up to 120 characters.")
	}
	switch date, err := models.ParseDate(form.Date); {
	case form.Date == "":
		fault("date", "Say for which day it is promised.")
	case err != nil:
		fault("date", "Write the day as 2026-11-25.")
	default:
		row.Promised, page.Promised = &date, page.Format.Date(date.Date)
	}
	return row
}
