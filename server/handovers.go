package server

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
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

// conditions are those that are listed: the usual ones in the order in which a building gets them, then others by name.
func (v *handoverView) conditions() []pattern.Condition {
	usual := []pattern.Condition{pattern.WallsBoarded, pattern.CeilingClosed, pattern.FloorFinished, pattern.PowerLive}
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

// cellOf is the handover of a condition that holds for an area: its own, or that of an area around it.
func (v *handoverView) cellOf(areaID int64, c pattern.Condition) (web.HandoverCell, error) {
	h := v.board.HandoverFor(areaID, c)
	if h == nil {
		inside := v.board.Inside(areaID)
		within := slices.ContainsFunc(v.board.Handovers, func(h models.HandoverStanding) bool {
			return h.Condition == c && slices.Contains(inside, h.AreaID)
		})
		return web.HandoverCell{Condition: conditionWords(c), State: web.NotListed, Within: within}, nil
	}
	cell, err := v.cell(h)
	if h.AreaID != areaID {
		cell.From = v.areaName(&h.Area)
	}
	return cell, err
}

// cell is one handover as it stands.
func (v *handoverView) cell(h *models.HandoverStanding) (web.HandoverCell, error) {
	story := h.Story()
	cell := web.HandoverCell{
		ID: strconv.FormatInt(h.ID, 10), Condition: conditionWords(h.Condition), Trade: h.Trade, State: v.state(&h.Handover),
		Promised: plainDate(h.Promised), Forecast: plainDate(h.Forecast), Actual: plainDate(h.Actual), Slips: story.Slips(), Moved: story.Moved(),
	}
	if h.Actual != nil {
		return cell, nil
	}
	open := h.Open()
	cell.Waiting = v.openingsWaiting(open)
	if len(open) > 0 {
		next := v.needLine(&open[0], h.TaskKey)
		cell.Next = &web.NextTask{Kind: next.Kind, Mark: next.Mark, OpeningID: next.OpeningID, Start: next.Start}
	}
	if h.Planned != nil && h.Planned.TotalFloatMinutes > 0 {
		cell.Latest = h.Planned.LateFinish
	}
	return cell, v.waitingDates(h, open, &cell)
}

func plainDate(d *models.Date) *problem.Date {
	if d == nil {
		return nil
	}
	return &d.Date
}

// state is where a handover stands on the day of the page.
func (v *handoverView) state(h *models.Handover) web.HandoverState {
	today := models.DateIn(v.format.Now, v.format.In(time.Time{}).Location())
	switch {
	case h.Actual != nil:
		return web.HandedOver
	case h.Promised != nil && h.Promised.Before(today):
		return web.Overdue
	case h.Forecast != nil && h.Promised != nil && h.Promised.Before(*h.Forecast):
		return web.ExpectedLate
	case h.Promised != nil:
		return web.PromisedDate
	case h.Forecast != nil && h.Forecast.Before(today):
		return web.Overdue
	case h.Forecast != nil:
		return web.ExpectedDate
	}
	return web.NoDate
}

// openingsWaiting counts the openings of tasks; a survey stands for all openings of its area.
func (v *handoverView) openingsWaiting(open []models.NeedingTask) int {
	direct, areas := map[int64]bool{}, map[int64]bool{}
	for i := range open {
		t := &open[i].Task
		if t.OpeningID != nil {
			direct[*t.OpeningID] = true
		} else if t.AreaID != nil && v.board != nil {
			for _, id := range v.board.Inside(*t.AreaID) {
				areas[id] = true
			}
		}
	}
	n := 0
	for id := range areas {
		n += v.board.Openings[id]
	}
	for i := range open {
		if o := open[i].Task.Opening; o != nil && areas[o.AreaID] {
			delete(direct, o.ID) // counted with its area
		}
	}
	return n + len(direct)
}

// needLine is a task that waits; handover is the key of what it waits for.
func (v *handoverView) needLine(n *models.NeedingTask, handover string) web.NeedLine {
	line := web.NeedLine{Kind: kindOf(n.Task.Kind), Mark: v.names.subject(n.Task.Key)}
	if n.Task.Opening != nil {
		line.Mark, line.OpeningID = n.Task.Opening.Mark, strconv.FormatInt(n.Task.Opening.ID, 10)
		line.Area = v.names.d.ByID[n.Task.Opening.AreaID]
	} else if n.Task.AreaID != nil {
		line.Area = v.names.d.ByID[*n.Task.AreaID]
	}
	if n.Planned != nil {
		line.Start, line.Driven = n.Planned.StartAt, n.Planned.ReasonRef == handover
		line.Crew = v.names.crewByID(n.Planned.CrewID)
	}
	return line
}

// waitingDates are the GC dates that the work behind a handover counts for, the tightest first.
func (v *handoverView) waitingDates(h *models.HandoverStanding, open []models.NeedingTask, cell *web.HandoverCell) error {
	for i := range v.dates {
		d := &v.dates[i]
		if d.Openings > 0 && d.OpeningsDone == d.Openings || !v.counts(d, open) {
			continue
		}
		float, err := v.floats.between(v.project, d.ForecastAt, d.DueAt)
		if err != nil {
			return err
		}
		cell.Dates = append(cell.Dates, web.WaitingDate{
			Name: d.GCDate.Name, Forecast: d.ForecastAt != nil, Float: float, Drives: slices.Contains(d.DrivingChain, h.TaskKey),
		})
	}
	slices.SortStableFunc(cell.Dates, func(a, b web.WaitingDate) int { return cmp.Compare(a.Float, b.Float) })
	return nil
}

// counts reports whether any of the tasks lies in the area of a GC date.
func (v *handoverView) counts(d *models.DateRow, open []models.NeedingTask) bool {
	if d.GCDate.AreaID == nil {
		return len(open) > 0
	}
	inside := v.board.Inside(*d.GCDate.AreaID)
	return slices.ContainsFunc(open, func(n models.NeedingTask) bool {
		area := n.Task.AreaID
		if n.Task.Opening != nil {
			area = &n.Task.Opening.AreaID
		}
		return area != nil && slices.Contains(inside, *area)
	})
}

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
