package server

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/slippage"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// handovers shows which areas are ready and which slip.
func (s *Server) handovers(c *gin.Context, p *person) error {
	page, board, err := s.handoversPage(c, p)
	if err != nil {
		return err
	}
	if board != nil {
		stories := make([]slippage.Story, len(board.Handovers))
		for i := range board.Handovers {
			stories[i] = board.Handovers[i].Story()
		}
		page.Records = slippage.ByTrade(stories)
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// handoversPage reads the handovers that the address chooses; board is nil without a project.
func (s *Server) handoversPage(c *gin.Context, p *person) (page web.HandoversPage, board *models.HandoverBoard, err error) {
	ctx := c.Request.Context()
	page = web.HandoversPage{Chrome: s.chrome(c)}
	if err := c.ShouldBindQuery(&page.Filter); err != nil {
		return page, nil, bindFault(err)
	}
	var project *models.Project
	if page.Projects, project, err = s.chosenProject(c, p, &page.Filter.Project); err != nil || project == nil {
		return page, nil, err
	}
	page.Format = s.format(c, project)
	view, err := s.readHandoverView(c, project)
	if err != nil {
		return page, nil, err
	}
	if board, err = models.ReadHandoverBoard(ctx, s.db, project.ID, view.planID); err != nil {
		return page, nil, err
	}
	view.board, page.PlannedAt, page.Total = board, view.plannedAt, len(board.Handovers)
	return page, board, view.fill(&page)
}

// handoverView turns stored handovers into cells.
type handoverView struct {
	format    web.Format
	names     *namer
	project   *models.Project
	board     *models.HandoverBoard
	planID    *int64
	plannedAt time.Time
	dates     []models.DateRow
	floats    *floatDays
}

// readHandoverView reads what cells need beside the handovers: the latest plan and its outlook on the GC dates.
func (s *Server) readHandoverView(c *gin.Context, project *models.Project) (*handoverView, error) {
	ctx := c.Request.Context()
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return nil, err
	}
	v := &handoverView{format: s.format(c, project), names: newNamer(d), project: project, floats: newFloatDays(ctx, s.db)}
	plan, err := models.LatestPlan(ctx, s.db)
	if isNotFound(err) {
		return v, nil
	}
	if err != nil {
		return nil, err
	}
	v.planID, v.plannedAt = &plan.ID, plan.DataDate
	v.dates, err = models.PlanDates(ctx, s.db, plan.ID, []int64{project.ID})
	return v, err
}

// fill makes the grid of areas by conditions.
func (v *handoverView) fill(page *web.HandoversPage) error {
	conditions := v.conditions()
	for _, a := range v.board.Areas {
		page.Areas = append(page.Areas, web.Choice{Value: strconv.FormatInt(a.ID, 10), Text: v.names.d.ByID[a.ID]})
	}
	for i := range v.board.Handovers {
		if t := v.board.Handovers[i].Trade; t != "" && !slices.ContainsFunc(page.Trades, func(c web.Choice) bool { return c.Value == t }) {
			page.Trades = append(page.Trades, web.Choice{Value: t, Text: t})
		}
	}
	slices.SortFunc(page.Trades, func(a, b web.Choice) int { return cmp.Compare(a.Text, b.Text) })
	var shown []pattern.Condition
	for _, c := range conditions {
		page.Conditions = append(page.Conditions, web.Choice{Value: string(c), Text: conditionWords(c)})
		if page.Filter.Condition == "" || page.Filter.Condition == string(c) {
			shown = append(shown, c)
			page.Columns = append(page.Columns, web.HandoverColumn{Condition: conditionWords(c), Needed: v.needed(c)})
		}
	}
	inside := v.chosenAreas(page.Filter.Area)
	for i := range v.board.Areas {
		a := &v.board.Areas[i]
		if inside != nil && !slices.Contains(inside, a.ID) {
			continue
		}
		row := web.HandoverRow{
			AreaID: strconv.FormatInt(a.ID, 10), Area: v.areaName(a), Depth: v.depth(a), Openings: v.board.OpeningsInside(a.ID),
		}
		any := false
		for _, condition := range shown {
			cell, err := v.cellOf(a.ID, condition)
			if err != nil {
				return err
			}
			passes := passesHandover(page.Filter, &cell)
			if !passes {
				cell = web.HandoverCell{Condition: cell.Condition, State: web.NotListed, Within: cell.Within}
			}
			any = any || passes && cell.ID != "" && (cell.From == "" || row.Openings > 0)
			row.Cells = append(row.Cells, cell)
		}
		if any {
			page.Rows = append(page.Rows, row)
		}
	}
	return nil
}

// passesHandover reports whether a cell passes the filter on trade and standing.
func passesHandover(f web.HandoversFilter, c *web.HandoverCell) bool {
	if f.Trade != "" && f.Trade != c.Trade {
		return false
	}
	switch f.Show {
	case "":
		return true
	case "open":
		return c.ID != "" && c.State != web.HandedOver
	case "slipped":
		return c.Slips > 0
	}
	return string(c.State) == f.Show
}

// areaName is an area with those around it.
func (v *handoverView) areaName(a *models.Area) string { return v.names.d.ByID[a.ID] }

// usualConditions are what tasks wait for, in the order in which a building gets them.
func usualConditions() []pattern.Condition {
	return []pattern.Condition{pattern.WallsBoarded, pattern.CeilingClosed, pattern.FloorFinished, pattern.PowerLive}
}

// conditions are those that are listed: the usual ones in the order in which a building gets them, then others by name.
func (v *handoverView) conditions() []pattern.Condition {
	usual := usualConditions()
	var list []pattern.Condition
	for i := range v.board.Handovers {
		if c := v.board.Handovers[i].Condition; !slices.Contains(list, c) {
			list = append(list, c)
		}
	}
	slices.SortFunc(list, func(a, b pattern.Condition) int {
		rankA, rankB := slices.Index(usual, a), slices.Index(usual, b)
		if rankA < 0 {
			rankA = len(usual)
		}
		if rankB < 0 {
			rankB = len(usual)
		}
		return cmp.Or(rankA-rankB, cmp.Compare(a, b))
	})
	return list
}

// needed are the kinds of task that wait for a condition anywhere on the job.
func (v *handoverView) needed(c pattern.Condition) []string {
	var kinds []string
	for _, kind := range web.TaskKinds() {
		for i := range v.board.Handovers {
			h := &v.board.Handovers[i]
			if h.Condition == c && slices.Contains(h.Kinds(), takeoff.Kind(kind)) && !slices.Contains(kinds, string(kind)) {
				kinds = append(kinds, string(kind))
			}
		}
	}
	return kinds
}

// chosenAreas are the area of a filter and those inside it; nil for all.
func (v *handoverView) chosenAreas(id string) []int64 {
	n, err := strconv.ParseInt(id, 10, 64)
	if err != nil {
		return nil
	}
	return v.board.Inside(n)
}

func (v *handoverView) depth(a *models.Area) int {
	n := 0
	for parent := a.ParentID; parent != nil && n < len(v.board.Areas); n++ {
		i := slices.IndexFunc(v.board.Areas, func(around models.Area) bool { return around.ID == *parent })
		if i < 0 {
			break
		}
		parent = v.board.Areas[i].ParentID
	}
	return n
}
