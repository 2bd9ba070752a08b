package server

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/slippage"
	"jambwright/web"
)

// handover shows one handover.
func (s *Server) handover(c *gin.Context, p *person) error {
	page, err := s.handoverPage(c, p, c.Param("id"))
	if err != nil {
		return err
	}
	s.render(c, http.StatusOK, *page)
	return nil
}

// handoverPage reads the page of one handover that the person may see.
func (s *Server) handoverPage(c *gin.Context, p *person, id string) (*web.HandoverPage, error) {
	ctx := c.Request.Context()
	n, err := strconv.ParseInt(id, 10, 64)
	if err != nil {
		return nil, notFound("")
	}
	plain, err := models.HandoverRow(ctx, s.db, n)
	if err != nil {
		return nil, err
	}
	project, err := s.projectOf(c, p, strconv.FormatInt(plain.Area.ProjectID, 10))
	if err != nil {
		return nil, err
	}
	view, err := s.readHandoverView(c, project)
	if err != nil {
		return nil, err
	}
	if view.board, err = models.ReadHandoverBoard(ctx, s.db, project.ID, view.planID); err != nil {
		return nil, err
	}
	i := slices.IndexFunc(view.board.Handovers, func(h models.HandoverStanding) bool { return h.ID == n })
	if i < 0 {
		return nil, notFound("")
	}
	page := &web.HandoverPage{Chrome: s.chrome(c), MayRecord: true}
	page.Format = view.format
	page.Form.Drop = true
	return page, view.describe(page, &view.board.Handovers[i])
}

// describe fills in one handover's page.
func (v *handoverView) describe(page *web.HandoverPage, h *models.HandoverStanding) (err error) {
	page.ID, page.Version = strconv.FormatInt(h.ID, 10), h.Version
	page.Project, page.ProjectID, page.Area = v.project.Name, strconv.FormatInt(v.project.ID, 10), v.areaName(&h.Area)
	page.Code = string(h.Condition)
	if page.Cell, err = v.cell(h); err != nil {
		return err
	}
	for _, change := range slices.Backward(h.History) {
		page.Changes = append(page.Changes, v.changeLine(&change))
	}
	for _, change := range h.History {
		if change.Field == models.FieldActual {
			continue
		}
		step := web.PromiseStep{At: change.At, Ours: change.Field == models.FieldForecast}
		if change.NewDate != nil {
			step.Date = change.NewDate.Date
		}
		page.Steps = append(page.Steps, step)
	}
	open := h.Open()
	page.NeedsDone = len(h.Needs) - len(open)
	for i := range open {
		page.Needs = append(page.Needs, v.needLine(&open[i], h.TaskKey))
	}
	for i := range v.board.Areas {
		a := &v.board.Areas[i]
		if a.ID != h.AreaID && v.board.HandoverFor(a.ID, h.Condition) == h {
			page.Holds = append(page.Holds, v.areaName(a))
		}
	}
	stories := make([]slippage.Story, 0, len(v.board.Handovers))
	for i := range v.board.Handovers {
		if v.board.Handovers[i].Trade == h.Trade {
			stories = append(stories, v.board.Handovers[i].Story())
		}
	}
	if records := slippage.ByTrade(stories); len(records) == 1 {
		page.Record = &records[0]
	}
	return nil
}

// changeLine is one line of a handover's history in words.
func (v *handoverView) changeLine(c *models.HandoverChange) web.HandoverChangeLine {
	line := web.HandoverChangeLine{At: c.At, Cause: c.Cause, Source: c.Source}
	if c.User != nil {
		line.By = c.User.Name
	}
	old, now := plainDate(c.OldDate), plainDate(c.NewDate)
	switch {
	case c.Field == models.FieldActual && now != nil && old == nil:
		line.Text = "handed over " + v.format.Date(*now)
	case c.Field == models.FieldActual && now == nil:
		line.Text = "not handed over after all; " + v.format.Date(*old) + " was wrong"
	case c.Field == models.FieldActual:
		line.Text = "handed over " + v.format.Date(*now) + ", not " + v.format.Date(*old)
	case old == nil && now != nil:
		line.Text = strings.Replace(fieldWords(c.Field), "promise", "promised", 1) + " " + v.format.Date(*now)
	default:
		line.Text = fieldWords(c.Field) + " " + v.format.SlipWords(old, now)
	}
	line.Photos = photoRefs(c.Photos, line.Text)
	return line
}

// fieldWords names a date of a handover.
func fieldWords(f models.HandoverField) string {
	switch f {
	case models.FieldPromised:
		return "promise"
	case models.FieldForecast:
		return "our forecast"
	}
	return "handed over"
}

// photoRefs are stored photos as pages name them; about is what they are evidence of.
func photoRefs(photos []models.Photo, about string) []web.PhotoRef {
	refs := make([]web.PhotoRef, len(photos))
	for i, p := range photos {
		refs[i] = web.PhotoRef{ID: p.ID, Width: p.Width, Height: p.Height, About: "Photo: " + about}
	}
	return refs
}
