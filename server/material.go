package server

import (
	"cmp"
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/ordering"
	"jambwright/scheduler/pattern"
	"jambwright/server/buying"
	"jambwright/web"
)

// material shows what must be ordered by when, what is on its way and what is late.
func (s *Server) material(c *gin.Context, p *person) error {
	page := web.MaterialPage{Chrome: s.chrome(c)}
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
	v, err := s.materialView(c.Request.Context(), project, page.Format)
	if err != nil {
		return err
	}
	if v.board.Plan != nil {
		page.DataDate = v.board.Plan.DataDate
	}
	v.fill(&page)
	page.Exports = orderListLinks(page.Filter.Project, "")
	if page.Days, err = v.days(page.Coming, page.ToOrder); err != nil {
		return err
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// materialView is what the pages of material are made with: the board of the firm and the names of one project's things.
type materialView struct {
	format    web.Format
	project   *models.Project
	board     *buying.Board
	names     *namer
	releases  []models.Release
	byCode    map[string]*models.Release
	remakes   map[string]*models.MaterialItem // by code, which holds the mark
	unplanned map[string]string               // why the plan leaves a task out, by its key
	areas     []models.Area
}

func (s *Server) materialView(ctx context.Context, project *models.Project, f web.Format) (v *materialView, err error) {
	v = &materialView{
		format: f, project: project, byCode: map[string]*models.Release{}, remakes: map[string]*models.MaterialItem{}, unplanned: map[string]string{},
	}
	if v.board, err = buying.Read(ctx, s.db); err != nil {
		return nil, err
	}
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return nil, err
	}
	v.names = newNamer(d)
	if v.releases, err = models.Releases(ctx, s.db, project.ID); err != nil {
		return nil, err
	}
	for i := range v.releases {
		v.byCode[v.releases[i].Code] = &v.releases[i]
	}
	remakes, err := models.Remakes(ctx, s.db, project.ID)
	if err != nil {
		return nil, err
	}
	for i := range remakes {
		v.remakes[remakes[i].Code] = &remakes[i]
	}
	if v.areas, err = models.Areas(ctx, s.db, project.ID); err != nil || v.board.Plan == nil {
		return v, err
	}
	left, err := models.UnplannedOf(ctx, s.db, v.board.Plan.ID, project.ID)
	for _, u := range left {
		v.unplanned[u.Task.Key] = u.Why
	}
	return v, err
}

// fill sorts the lines that pass the filter into the parts of the page.
func (v *materialView) fill(page *web.MaterialPage) {
	v.choices(page)
	for _, line := range ordering.ByUrgency(v.board.Lines) {
		if line.Project != v.project.Code {
			continue
		}
		page.Total++
		d := v.delivery(&line)
		if !v.passes(page.Filter, &line, &d) {
			continue
		}
		switch {
		case line.Received != nil:
			page.Here = append(page.Here, d)
		case line.Ordered == nil && line.Shipped == nil:
			page.ToOrder = append(page.ToOrder, d)
		default:
			page.Coming = append(page.Coming, d)
		}
		if line.Remake && line.Received == nil {
			page.Remakes = append(page.Remakes, d)
		}
	}
	slices.SortStableFunc(page.Coming, func(a, b web.Delivery) int {
		return cmp.Or(trouble(b)-trouble(a), a.Expected.Compare(b.Expected))
	})
	page.Merges, page.Splits = v.suggested()
	held := map[string][]ordering.Line{}
	for i := range v.board.Lines {
		if l := &v.board.Lines[i]; l.Project == v.project.Code {
			held[l.Release] = append(held[l.Release], *l)
		}
	}
	for i := range v.releases {
		page.Releases = append(page.Releases, v.releaseLine(&v.releases[i], held[v.releases[i].Code]))
	}
}

func trouble(d web.Delivery) int {
	if d.Trouble() {
		return 1
	}
	return 0
}

// choices are what the filter offers.
func (v *materialView) choices(page *web.MaterialPage) {
	suppliers := map[string]string{}
	for i := range v.board.Lines {
		if l := &v.board.Lines[i]; l.Project == v.project.Code && l.SupplierID != "" {
			suppliers[l.SupplierID] = l.Supplier
		}
	}
	for code, name := range suppliers {
		page.Suppliers = append(page.Suppliers, web.Choice{Value: code, Text: name})
	}
	slices.SortFunc(page.Suppliers, func(a, b web.Choice) int { return cmp.Or(cmp.Compare(a.Text, b.Text), cmp.Compare(a.Value, b.Value)) })
	for _, a := range v.areas {
		page.Areas = append(page.Areas, web.Choice{Value: a.Code, Text: v.names.d.ByID[a.ID]})
	}
	for _, item := range pattern.Items() {
		page.Items = append(page.Items, web.Choice{Value: string(item), Text: itemWords(item)})
	}
}

// passes reports whether a line passes the filter. An area holds for those inside it.
func (v *materialView) passes(f web.MaterialFilter, l *ordering.Line, d *web.Delivery) bool {
	if f.Supplier != "" && f.Supplier != l.SupplierID {
		return false
	}
	if f.Item != "" && !slices.ContainsFunc(l.Contents, func(c ordering.Content) bool { return string(c.Item) == f.Item }) {
		return false
	}
	if f.Area != "" && !slices.ContainsFunc(l.Contents, func(c ordering.Content) bool { return v.inside(c.Area, f.Area) }) {
		return false
	}
	switch f.Show {
	case "late":
		return l.Received == nil && (d.Trouble() || d.Urgency(v.format.Now) == "late")
	case "order":
		return l.Ordered == nil && l.Received == nil
	case "coming":
		return l.Ordered != nil && l.Received == nil
	case "here":
		return l.Received != nil
	}
	return true
}

// inside reports whether an area is another one or lies in it, by their codes.
func (v *materialView) inside(code, around string) bool {
	for steps := 0; steps <= len(v.areas); steps++ {
		if code == around {
			return true
		}
		i := slices.IndexFunc(v.areas, func(a models.Area) bool { return a.Code == code })
		if i < 0 || v.areas[i].ParentID == nil {
			return false
		}
		j := slices.IndexFunc(v.areas, func(a models.Area) bool { return a.ID == *v.areas[i].ParentID })
		if j < 0 {
			return false
		}
		code = v.areas[j].Code
	}
	return false
}

// delivery is a line as the pages show it.
func (v *materialView) delivery(l *ordering.Line) web.Delivery {
	d := web.Delivery{
		DeliverKey: string(pattern.DeliverTask(l.Project, l.Release, l.Drop)), Name: l.Release, Drop: l.Drop, Remake: l.Remake, Cause: l.Cause, Supplier: l.Supplier, What: whatWords(l.Contents),
		Where: v.where(l.Contents), Basis: basisWords(l.Basis), Least: l.Days.Least, Likely: l.Days.Likely, Most: l.Days.Most,
		Rule: string(l.Rule), MarginDays: l.MarginDays, OrderDays: l.OrderDays, Waits: v.waits(l),
	}
	for _, t := range []struct {
		from *time.Time
		to   *time.Time
	}{
		{l.Ordered, &d.Ordered},
		{l.Promised, &d.Promised},
		{l.Shipped, &d.Shipped},
		{l.Received, &d.Received},
		{l.Need, &d.Need},
		{l.UsedFrom, &d.UsedFrom},
		{l.CanOrder, &d.CanOrder},
		{l.Expected, &d.Expected},
		{l.Latest, &d.Latest},
	} {
		if t.from != nil {
			*t.to = *t.from
		}
	}
	if l.OrderBy != nil {
		d.OrderLeast, d.OrderBy, d.OrderMost = l.OrderBy.Least, l.OrderBy.Likely, l.OrderBy.Most
	}
	v.addresses(&d, l)
	return d
}

// addresses fills in where the pages and forms of a line are, and what people call it.
func (v *materialView) addresses(d *web.Delivery, l *ordering.Line) {
	if item := v.remakes[l.Release]; l.Remake && item != nil {
		id := strconv.FormatInt(item.ID, 10)
		d.Name, d.Basis = "Remade "+itemWords(item.Kind)+" of "+item.Opening.Mark, ""
		d.Href, d.EditHref = "/material/remakes/"+id, "/material/edit?remake="+id
		d.OpeningID, d.Mark = strconv.FormatInt(item.OpeningID, 10), item.Opening.Mark
		return
	}
	rel := v.byCode[l.Release]
	if rel == nil {
		return // a release that is only tried
	}
	id := strconv.FormatInt(rel.ID, 10)
	d.Name, d.Drops = cmp.Or(rel.Name, rel.Code), len(rel.Drops)
	d.Href, d.EditHref = "/material/releases/"+id, fmt.Sprintf("/material/edit?release=%s&drop=%d", id, l.Drop)
	for i := range rel.Drops {
		if rel.Drops[i].Number == l.Drop && rel.Drops[i].RestOf != nil {
			d.RestOf = *rel.Drops[i].RestOf
		}
	}
}

// waits says why the plan leaves an order or a delivery out.
func (v *materialView) waits(l *ordering.Line) string {
	for _, key := range []pattern.TaskKey{
		pattern.OrderTask(l.Project, l.Release), pattern.LeadTask(l.Project, l.Release, l.Drop), pattern.DeliverTask(l.Project, l.Release, l.Drop),
	} {
		if why := v.unplanned[string(key)]; why != "" {
			return strings.TrimSuffix(strings.Join(v.names.notes([]string{why}), " "), ".")
		}
	}
	return ""
}

// whatWords counts what comes, in the order in which openings need it.
func whatWords(contents []ordering.Content) string {
	counts := map[pattern.Item]int{}
	for _, c := range contents {
		counts[c.Item]++
	}
	var parts []string
	for _, item := range pattern.Items() {
		n := counts[item]
		if n == 0 {
			continue
		}
		switch {
		case item == pattern.FrameKit && n == 1:
			parts = append(parts, "1 frame kit")
		case item == pattern.FrameKit:
			parts = append(parts, strconv.Itoa(n)+" frame kits")
		case item == pattern.Leaf:
			parts = append(parts, "door leaves of "+openingCount(n))
		default:
			parts = append(parts, itemWords(item)+" of "+openingCount(n))
		}
	}
	return strings.Join(parts, ", ")
}

func openingCount(n int) string {
	if n == 1 {
		return "1 opening"
	}
	return strconv.Itoa(n) + " openings"
}

// where names the areas that a delivery is for, at most two of them.
func (v *materialView) where(contents []ordering.Content) string {
	const shown = 2
	var names []string
	for _, c := range contents {
		if name := v.names.d.Areas[v.project.Code+"/"+c.Area]; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) > shown {
		return fmt.Sprintf("%s and %d more areas", strings.Join(names[:shown], ", "), len(names)-shown)
	}
	return strings.Join(names, ", ")
}

func basisWords(b pattern.OrderBasis) string {
	switch b {
	case pattern.FromSurvey:
		return "the survey"
	case pattern.AfterFraming:
		return "the set frames"
	}
	return "drawings"
}

func (v *materialView) releaseLine(rel *models.Release, lines []ordering.Line) web.ReleaseLine {
	row := web.ReleaseLine{
		Href: "/material/releases/" + strconv.FormatInt(rel.ID, 10), Name: cmp.Or(rel.Name, rel.Code), Supplier: rel.Supplier.Name,
		Basis: basisWords(rel.Basis), Empty: len(lines) == 0,
	}
	var contents []ordering.Content
	for i := range lines {
		contents = append(contents, lines[i].Contents...)
		d := v.delivery(&lines[i])
		state := d.State()
		if len(lines) > 1 {
			state = fmt.Sprintf("drop %d %s", lines[i].Drop, state)
		}
		row.States = append(row.States, state)
	}
	row.What, row.Where = whatWords(contents), v.where(contents)
	return row
}

// days are the site's next three weeks with what is expected at the gate.
func (v *materialView) days(lists ...[]web.Delivery) ([]web.DeliveryDay, error) {
	const weeks = 3
	dock, err := v.dock(weeks * 7)
	if err != nil {
		return nil, err
	}
	expected := map[models.Date][]web.Delivery{}
	zone := v.format.In(time.Time{}).Location()
	for _, list := range lists {
		for i := range list {
			if !list[i].Expected.IsZero() {
				day := models.DateIn(list[i].Expected, zone)
				expected[day] = append(expected[day], list[i])
			}
		}
	}
	var days []web.DeliveryDay
	left := 0
	for i := range weeks * 7 {
		date := models.DateIn(v.format.Now, zone).AddDays(i)
		open := dock.minutes(date)
		row := web.DeliveryDay{Day: web.Day{Date: date.Date}, Lines: expected[date], Carried: left, DockMinutes: left, DockRoom: open * dock.capacity}
		if open == 0 {
			row.Day.Off = "no work on site"
		}
		for _, l := range row.Lines {
			row.DockMinutes += dock.unloading(l)
		}
		if dock.capacity > 0 {
			left = max(0, row.DockMinutes-row.DockRoom)
		}
		if len(row.Lines) > 0 || row.Carried > 0 && open > 0 {
			days = append(days, row)
		}
	}
	return days, nil
}
