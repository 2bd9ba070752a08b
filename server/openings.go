package server

import (
	"cmp"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/server/planning"
	"jambwright/web"
	"jambwright/web/elevation"
)

// openings shows where every opening of a project stands.
func (s *Server) openings(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	page := web.OpeningsPage{Chrome: s.chrome(c)}
	if err := c.ShouldBindQuery(&page.Filter); err != nil {
		return bindFault(err)
	}
	var err error
	var project *models.Project
	if page.Projects, project, err = s.chosenProject(c, p, &page.Filter.Project); err != nil {
		return err
	}
	if project == nil {
		s.render(c, http.StatusOK, page)
		return nil
	}
	page.Format = s.format(c, project)
	query := models.OpeningQuery{ProjectID: project.ID, Type: takeoff.Type(page.Filter.Type), Text: strings.TrimSpace(page.Filter.Query)}
	if id, err := strconv.ParseInt(page.Filter.Area, 10, 64); err == nil {
		query.AreaID = &id
	}
	list, err := models.ListOpenings(ctx, s.db, query)
	if err != nil {
		return err
	}
	surveyed, err := models.SurveyedAreas(ctx, s.db, project.ID)
	if err != nil {
		return err
	}
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	page.Total = list.Total
	for _, t := range takeoff.Types() {
		page.Types = append(page.Types, web.Choice{Value: string(t), Text: elevation.Type(t).Name()})
	}
	for _, a := range list.Areas {
		page.Areas = append(page.Areas, web.Choice{Value: strconv.FormatInt(a.ID, 10), Text: d.ByID[a.ID]})
	}
	page.Strips = strips(list.Openings, page.Filter.State, surveyed, d)
	s.render(c, http.StatusOK, page)
	return nil
}

// strips groups openings, which come in walking order, by area; state keeps those that stand there.
func strips(openings []models.OpeningStanding, state string, surveyed map[int64]bool, d *models.Directory) []web.AreaStrip {
	var list []web.AreaStrip
	last := int64(0)
	for i := range openings {
		o := &openings[i]
		mark := openingMark(o, surveyed[o.AreaID])
		held := mark.Elevation.Hold != ""
		if state != "" && state != mark.Elevation.Progress.Word() && (state != "held" || !held) {
			continue
		}
		if len(list) == 0 || last != o.AreaID {
			list = append(list, web.AreaStrip{ID: strconv.FormatInt(o.AreaID, 10), Name: d.ByID[o.AreaID]})
			last = o.AreaID
		}
		strip := &list[len(list)-1]
		strip.Openings = append(strip.Openings, mark)
	}
	return list
}

func openingMark(o *models.OpeningStanding, surveyed bool) web.OpeningMark {
	hold := ""
	if t := o.Hold(); t != nil {
		hold = t.HoldCause
	}
	return web.OpeningMark{
		ID: strconv.FormatInt(o.ID, 10), Mark: o.Mark, Room: o.Room,
		Elevation: elevationOf(o.Mark, o.Takeoff(), o.Handing, progressOf(o, surveyed), hold),
	}
}

// progressOf is the last thing that has happened to an opening. Kinds of work that it does not need are passed over.
func progressOf(o *models.OpeningStanding, surveyed bool) elevation.Progress {
	progress := elevation.RoughOpening
	if surveyed || o.MeasuredAt != nil {
		progress = elevation.Measured
	}
	if o.MaterialOnSite() {
		progress = elevation.OnSite
	}
	for _, step := range []struct {
		kind takeoff.Kind
		to   elevation.Progress
	}{
		{takeoff.Frame, elevation.Framed}, {takeoff.Glaze, elevation.Glazed}, {takeoff.Hang, elevation.Hung}, {takeoff.Punch, elevation.Punched},
	} {
		if o.Done(step.kind) {
			progress = step.to
		}
	}
	return progress
}

// opening shows everything about one opening.
func (s *Server) opening(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	id, err := strconv.ParseInt(c.Param("id"), 10, 64)
	if err != nil {
		return notFound("")
	}
	detail, err := models.OpeningPage(ctx, s.db, id, nil)
	if err != nil {
		return err
	}
	if !p.mayRead(detail.Project.ID) {
		return notAllowed("This opening belongs to a project that is not yours.")
	}
	settings, err := models.Settings(ctx, s.db)
	if err != nil {
		return err
	}
	rates, err := models.PlannedRates(ctx, s.db)
	if err != nil {
		return err
	}
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	page := web.OpeningPage{Chrome: s.chrome(c)}
	page.Format = s.format(c, &detail.Project)
	v := dayView{format: page.Format, names: newNamer(d), rules: settings.TakeoffRules.V.WithDefaults()}
	v.describe(&page, detail)
	taken, err := takeoff.Of(detail.Opening.MadeTo(v.rules), v.rules)
	if err != nil {
		page.Cautions = append(page.Cautions, "The geometry of this opening is not whole: "+err.Error())
		taken = nil
	}
	v.path(&page, detail, taken, rates)
	if taken != nil {
		v.makeUp(&page, detail, taken)
		page.Sizes = v.sizes(detail, taken)
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// describe fills in what the schedule says of an opening, and where it stands.
func (v *dayView) describe(page *web.OpeningPage, d *models.OpeningDetail) {
	o := &d.Opening
	standing := models.OpeningStanding{Opening: *o}
	surveyed := false
	for i := range d.Work {
		t := &d.Work[i].Task
		if t.OpeningID != nil && *t.OpeningID == o.ID && t.ItemID == nil {
			standing.Tasks = append(standing.Tasks, *t)
		}
		surveyed = surveyed || t.Kind == takeoff.Survey && t.FinishedAt != nil
	}
	mark := openingMark(&standing, surveyed)
	page.ID, page.Mark, page.Room, page.Elevation = mark.ID, o.Mark, o.Room, mark.Elevation
	page.Project, page.ProjectID = d.Project.Name, strconv.FormatInt(d.Project.ID, 10)
	page.Area, page.TypeName, page.Width, page.Height = v.names.d.ByID[o.AreaID], mark.Elevation.Type.Name(), o.Width, o.Height
	facts := []web.Fact{
		{Name: "Glass", Value: cmp.Or(o.GlassText, glassWords(o.Takeoff().Glass, v.format))},
		{Name: "Handing", Value: o.Handing},
		{Name: "Hardware set", Value: o.HardwareSet},
		{Name: "Finish", Value: o.Finish},
		{Name: "Remarks", Value: o.Note},
	}
	if o.FireMinutes > 0 {
		facts = append(facts, web.Fact{Name: "Fire rating", Value: fmt.Sprintf("%d min", o.FireMinutes)})
	}
	for _, fact := range facts {
		if fact.Value != "" {
			page.Facts = append(page.Facts, fact)
		}
	}
	for _, h := range d.Handovers {
		page.Handovers = append(page.Handovers, v.handoverLine(&h))
	}
	for i := range o.Items {
		page.Material = append(page.Material, v.materialLine(&o.Items[i], d.Work))
	}
	page.Reports = v.reportLines(d.Reports)
}

func (v *dayView) handoverLine(h *models.Handover) web.HandoverLine {
	line := web.HandoverLine{Condition: conditionWords(h.Condition), Area: v.names.d.ByID[h.AreaID]}
	for _, d := range []struct {
		date *models.Date
		to   *time.Time
	}{{h.Promised, &line.Promised}, {h.Forecast, &line.Forecast}, {h.Actual, &line.Actual}} {
		if d.date != nil {
			*d.to = d.date.At(12*60, v.format.In(time.Time{}).Location()) // noon: the page shows the day alone
		}
	}
	return line
}

func (v *dayView) materialLine(item *models.MaterialItem, work []models.Work) web.MaterialLine {
	line := web.MaterialLine{Item: itemWords(item.Kind), State: strings.ReplaceAll(string(item.State), "_", " ")}
	if item.ParentID != nil {
		line.Item = "remade " + line.Item
		line.Href, line.Release = "/material/remakes/"+strconv.FormatInt(item.ID, 10), item.Code
	}
	line.OrderBy = orderBy(item, work)
	promised, received, supplier := item.Promised, item.ReceivedAt, item.Supplier
	if item.Release != nil {
		line.Href = "/material/releases/" + strconv.FormatInt(item.Release.ID, 10)
		line.Release = cmp.Or(item.Release.Name, item.Release.Code)
		supplier = &item.Release.Supplier
		for _, drop := range item.Release.Drops {
			if drop.Number == item.DropNumber {
				promised, received = drop.Promised, drop.ReceivedAt
			}
		}
	}
	if supplier != nil {
		line.Supplier = supplier.Name
	}
	if promised != nil {
		line.Promised = promised.At(12*60, v.format.In(time.Time{}).Location())
	}
	if received != nil {
		line.Received = *received
	} else if promised != nil && line.Promised.Before(v.format.Now) {
		line.Late = line.Supplier + " is late"
	}
	return line
}

// orderBy is when an item that is not ordered must be: the late finish of its order. Zero when it is ordered or not planned.
func orderBy(item *models.MaterialItem, work []models.Work) time.Time {
	for i := range work {
		t := &work[i].Task
		own := t.ItemID != nil && *t.ItemID == item.ID || t.ItemID == nil && t.ReleaseID != nil && item.ReleaseID != nil && *t.ReleaseID == *item.ReleaseID
		if t.Kind == takeoff.Order && own && work[i].Plan != nil && work[i].State != models.StateDone {
			return work[i].Plan.LateFinish
		}
	}
	return time.Time{}
}

// reportLines lists reports, with a way to take back the sizes that stand.
func (v *dayView) reportLines(reports []models.FieldReport) []web.ReportLine {
	back := map[int64]bool{}
	for i := range reports {
		if w := reports[i].Withdraws; w != nil {
			back[*w] = true
		}
	}
	var lines []web.ReportLine
	for i := range reports {
		r := &reports[i]
		line := v.reportLine(r)
		switch {
		case back[r.ID]:
			line.Text += " (taken back)"
		case r.Kind == models.ReportMeasured && r.Withdraws == nil:
			line.TakeBack, line.ReportID = strconv.FormatInt(r.ID, 10), newReportID()
		}
		lines = append(lines, line)
	}
	return lines
}

func (v *dayView) reportLine(r *models.FieldReport) web.ReportLine {
	line := web.ReportLine{At: r.At, By: r.Reporter, Text: planning.ReportWords(r, localeOf(v.format))}
	if r.Crew != nil {
		line.By += " (" + r.Crew.Name + ")"
	}
	line.Photos = photoRefs(r.Photos, line.Text)
	return line
}

// path fills in the tasks of an opening with dates, hours and reasons.
func (v *dayView) path(page *web.OpeningPage, d *models.OpeningDetail, taken *takeoff.Takeoff, rates takeoff.Rates) {
	for i := range d.Work {
		w := &d.Work[i]
		kind := w.Task.Kind
		if kind == pattern.Lead || kind == pattern.Handovers {
			continue // shown with the material and the handovers
		}
		step := web.PathStep{Key: w.Task.Key, Kind: kindOf(kind), State: stateWord(w.State), Why: v.why(w)}
		if w.Task.OpeningID == nil {
			step.Shared = v.names.subject(w.Task.Key)
		}
		v.planned(&step, w)
		if taken != nil && w.Task.OpeningID != nil {
			b := rates.Hours(kind, taken, 0)
			step.Working = hoursWords(b, v.format)
		}
		page.Path = append(page.Path, step)
	}
	slices.SortStableFunc(page.Path, func(a, b web.PathStep) int {
		return slices.Index(web.TaskKinds(), a.Kind) - slices.Index(web.TaskKinds(), b.Kind)
	})
}

// planned fills in the dates of a step: reported ones where there are any, else those of the plan in force.
func (v *dayView) planned(step *web.PathStep, w *models.Work) {
	if w.Task.Crew != nil {
		step.Crew = w.Task.Crew.Name
	}
	if w.Plan != nil {
		step.Start, step.Finish = w.Plan.StartAt, w.Plan.FinishAt
		step.Minutes = minutesWithin(w.Plan, time.Time{}, w.Plan.FinishAt.Add(time.Minute))
		if w.Plan.Crew != nil {
			step.Crew = w.Plan.Crew.Name
		}
		if w.State != models.StateDone {
			step.Float = v.format.FloatDays(float64(w.Plan.TotalFloatMinutes) / 480)
			if len(step.Why) == 0 {
				step.Why = []string{v.names.why(v.format, reasonOf(w.Plan), "")}
			}
		}
	}
	if w.Unplanned != "" {
		step.Why = append(step.Why, "not planned: "+w.Unplanned)
	}
	if w.Task.FinishedAt != nil && w.Task.StartedAt != nil {
		step.Start, step.Finish, step.Actual = *w.Task.StartedAt, *w.Task.FinishedAt, true
	}
}

// makeUp fills in what the opening is made of, with the workings, and what to look out for.
func (v *dayView) makeUp(page *web.OpeningPage, d *models.OpeningDetail, taken *takeoff.Takeoff) {
	gear := false
	for i := range d.Work {
		gear = gear || needsGear(&d.Work[i].Task, taken)
	}
	made := *taken
	made.Leaves = leavesAsMade(&d.Opening, taken, v.rules)
	page.Quantities = quantitiesOf(&made, v.format)
	page.Panes = panesOf(&made, cmp.Or(d.Opening.GlassText, glassWords(d.Opening.Takeoff().Glass, v.format)), gear)
	page.Cautions = append(page.Cautions, hintsOf(taken)...)
}

// hoursWords says where the hours of a task come from, so that a foreman can add them up by hand.
func hoursWords(b takeoff.Breakdown, f web.Format) string {
	var parts []string
	for _, l := range b.Lines {
		if l.Driver == takeoff.PerTask {
			parts = append(parts, fmt.Sprintf("set-up %.4g h", l.Hours))
			continue
		}
		unit := driverUnit(l.Driver, f)
		parts = append(parts, fmt.Sprintf("%.4g %s x %.4g h = %.4g h", l.Quantity/unit, countedDriver(l.Driver, l.Quantity/unit, f), l.Rate*unit, l.Hours))
	}
	text := strings.Join(parts, "; ")
	if len(b.Lines) > 1 {
		text += fmt.Sprintf("; together %.4g h", b.Sum)
	}
	for _, factor := range b.Factors {
		text += fmt.Sprintf("; x %.4g for %s", factor.Factor, factorWords(factor))
	}
	return text + "; so " + f.Hours(b.Minutes) + " of labour"
}

// factorWords names a factor of hours, with where it comes from when it was learned.
func factorWords(l takeoff.FactorLine) string {
	if l.Name == takeoff.AcceptedName {
		return l.Name + " (" + l.Source + ")"
	}
	return workConditionWords(takeoff.Condition(l.Name))
}
