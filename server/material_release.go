package server

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/ordering"
	"jambwright/scheduler/pattern"
	"jambwright/server/buying"
	"jambwright/server/planning"
	"jambwright/web"
)

// release shows one release with its drops and items.
func (s *Server) release(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	id, err := strconv.ParseInt(c.Param("id"), 10, 64)
	if err != nil {
		return notFound("")
	}
	rel, err := models.ReleaseByID(ctx, s.db, id)
	if err != nil {
		return err
	}
	project, err := s.projectOf(c, p, strconv.FormatInt(rel.ProjectID, 10))
	if err != nil {
		return err
	}
	items, err := models.ReleaseItems(ctx, s.db, id)
	if err != nil {
		return err
	}
	history, err := models.MaterialHistory(ctx, s.db, id)
	if err != nil {
		return err
	}
	page := web.ReleasePage{Chrome: s.chrome(c), ID: c.Param("id"), Name: cmp.Or(rel.Name, rel.Code), Code: rel.Code, Note: rel.Note}
	page.Format = s.format(c, project)
	page.Project, page.ProjectID = project.Name, strconv.FormatInt(project.ID, 10)
	page.EditHref = fmt.Sprintf("/material/edit?release=%d&version=%d", rel.ID, rel.Version)
	v, err := s.materialView(ctx, project, page.Format)
	if err != nil {
		return err
	}
	page.Facts, page.Exports = v.releaseFacts(rel), orderListLinks(page.ProjectID, page.ID)
	tasks, err := models.KeysOfProject(ctx, s.db, project.ID)
	if err != nil {
		return err
	}
	for _, line := range v.board.Of(project.Code, rel.Code) {
		part := web.DropPart{Delivery: v.delivery(&line), Actions: actionsOf(&line)}
		part.EditHref += fmt.Sprintf("&version=%d", rel.Version)
		for i := range items {
			if items[i].DropNumber == line.Drop {
				part.Items = append(part.Items, v.itemLine(&items[i], tasks, c.Request.URL.Path))
			}
		}
		page.Movable = page.Movable || line.Received == nil
		page.Drops = append(page.Drops, part)
	}
	page.History = v.history(history)
	s.render(c, http.StatusOK, page)
	return nil
}

// remake shows one item that is ordered again.
func (s *Server) remake(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	id, err := strconv.ParseInt(c.Param("id"), 10, 64)
	if err != nil {
		return notFound("")
	}
	item, err := models.RemakeByID(ctx, s.db, id)
	if err != nil {
		return err
	}
	project, err := s.projectOf(c, p, strconv.FormatInt(item.Opening.ProjectID, 10))
	if err != nil {
		return err
	}
	history, err := models.HistoryOfRemake(ctx, s.db, id)
	if err != nil {
		return err
	}
	page := web.ReleasePage{Chrome: s.chrome(c), ID: c.Param("id"), Remake: true, Code: item.Code}
	page.Format = s.format(c, project)
	page.Project, page.ProjectID = project.Name, strconv.FormatInt(project.ID, 10)
	page.Name = "Remade " + itemWords(item.Kind) + " of " + item.Opening.Mark
	page.EditHref = fmt.Sprintf("/material/edit?remake=%d&version=%d", item.ID, item.Version)
	v, err := s.materialView(ctx, project, page.Format)
	if err != nil {
		return err
	}
	page.Facts = []web.Fact{
		{Name: "Opening", Value: item.Opening.Mark},
		{Name: "Why", Value: cmp.Or(item.Cause, "not said")},
		{Name: "Reported", Value: page.Format.Moment(*item.ReportedAt)},
	}
	if item.Supplier != nil {
		page.Facts = append(page.Facts, web.Fact{Name: "Supplier", Value: item.Supplier.Name})
	}
	for _, line := range v.board.Of(project.Code, item.Code) {
		part := web.DropPart{Delivery: v.delivery(&line), Actions: actionsOf(&line)}
		part.EditHref += fmt.Sprintf("&version=%d", item.Version)
		part.Items = []web.ItemLine{v.itemLine(item, nil, "")}
		page.Drops = append(page.Drops, part)
	}
	page.History = v.history(history)
	s.render(c, http.StatusOK, page)
	return nil
}

func (v *materialView) releaseFacts(rel *models.Release) []web.Fact {
	facts := []web.Fact{
		{Name: "Supplier", Value: rel.Supplier.Name}, {Name: "Ordered from", Value: basisWords(rel.Basis)},
	}
	if rel.LikelyDays != nil {
		facts = append(facts, web.Fact{Name: "Lead time of its own", Value: fmt.Sprintf("%d to %d working days, likely %d", *rel.LeastDays, *rel.MostDays, *rel.LikelyDays)})
	}
	if rel.OrderedAt != nil {
		facts = append(facts, web.Fact{Name: "Ordered", Value: v.format.Day(*rel.OrderedAt)})
	}
	return facts
}

// actionsOf are the things that can be written down of a delivery, as far as it has come.
func actionsOf(l *ordering.Line) []web.Choice {
	var list []web.Choice
	add := func(action buying.Action, text string) {
		list = append(list, web.Choice{Value: string(action), Text: text})
	}
	if l.Received == nil {
		if l.Ordered == nil {
			add(buying.Order, "Record order")
		}
		if l.Promised == nil {
			add(buying.Promise, "Record promise")
		} else {
			add(buying.Promise, "New promise")
		}
		if l.Shipped == nil {
			add(buying.Ship, "Shipped")
		}
		add(buying.Receive, "All received")
		if len(l.Contents) > 1 {
			add(buying.ReceivePart, "Part received")
		}
	}
	if l.Ordered != nil || l.Promised != nil || l.Shipped != nil || l.Received != nil {
		add(buying.TakeBack, "Take the last date back")
	}
	return list
}

// itemLine is one item. With the keys of tasks, one that is on site can be reported as damaged.
func (v *materialView) itemLine(item *models.MaterialItem, tasks map[string]bool, back string) web.ItemLine {
	o := item.Opening
	line := web.ItemLine{
		ID: strconv.FormatInt(item.ID, 10), What: itemWords(item.Kind), OpeningID: strconv.FormatInt(o.ID, 10), Mark: o.Mark, Room: o.Room,
		Area: v.names.d.ByID[o.AreaID], Size: v.format.Size(o.Width, o.Height), State: strings.ReplaceAll(string(item.State), "_", " "),
	}
	if key := v.taskOfItem(o, item.Kind); item.State == models.Received && tasks[key] {
		line.DamageHref = "/report?" + url.Values{"task": {key}, "kind": {string(web.ReportDamaged)}, "return": {back}}.Encode()
	}
	return line
}

// history writes changes in words, the newest first.
func (v *materialView) history(changes []models.MaterialChange) []web.HistoryLine {
	zone := v.format.In(time.Time{}).Location()
	lines := make([]web.HistoryLine, 0, len(changes))
	for i := len(changes) - 1; i >= 0; i-- {
		ch := &changes[i]
		text := planning.MaterialWords(ch, zone)
		if ch.DropNumber != nil && *ch.DropNumber > 1 {
			text = fmt.Sprintf("drop %d, %s", *ch.DropNumber, text)
		}
		for _, note := range []string{ch.Cause, ch.Source} {
			if note != "" {
				text += "; " + note
			}
		}
		lines = append(lines, web.HistoryLine{At: ch.At, Text: text})
	}
	return lines
}

// taskOfItem is the key of the work that needs an item of an opening.
func (v *materialView) taskOfItem(o *models.Opening, item pattern.Item) string {
	kind := v.board.Firm.StepFor(o.OpeningType, item)
	if kind == "" {
		return ""
	}
	return string(pattern.OpeningTask(v.project.Code, o.Mark, kind))
}
