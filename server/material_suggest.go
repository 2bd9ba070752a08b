package server

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/ordering"
	"jambwright/server/buying"
	"jambwright/server/planning"
	"jambwright/web"
	"jambwright/web/elevation"
)

// The most that a person can mean: working days that material lies, and items that one truck brings.
const (
	longestStorage = 250
	largestTruck   = 5000
)

// suggestReleases shows how what is not ordered would best be ordered.
func (s *Server) suggestReleases(c *gin.Context, p *person) error {
	project, err := s.projectOf(c, p, c.Query("project"))
	if err != nil {
		return err
	}
	page := web.SuggestPage{Days: ordering.DefaultStorageDays, Items: ordering.DefaultTruckItems}
	for _, field := range []struct {
		name, what string
		value      *int
		most       int
	}{{"days", "working days", &page.Days, longestStorage}, {"items", "items", &page.Items, largestTruck}} {
		text := strings.TrimSpace(c.Query(field.name))
		if text == "" {
			continue
		}
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > field.most {
			page.Faults = append(page.Faults, web.FieldFault{Field: field.name, Message: fmt.Sprintf("Write a number of %s from 1 to %d.", field.what, field.most)})
			continue
		}
		*field.value = n
	}
	return s.showSuggestions(c, http.StatusOK, project, page)
}

func (s *Server) showSuggestions(c *gin.Context, status int, project *models.Project, page web.SuggestPage) error {
	page.Chrome = s.chrome(c)
	page.Format = s.format(c, project)
	page.Project, page.ProjectID = project.Name, strconv.FormatInt(project.ID, 10)
	v, err := s.materialView(c.Request.Context(), project, page.Format)
	if err != nil {
		return err
	}
	page.Planned = v.board.Plan != nil
	joins := map[string]bool{}
	merges := v.board.Merges(project.Code, ordering.MergeRules{StorageDays: page.Days, TruckItems: page.Items})
	for i := range merges {
		page.Merges = append(page.Merges, v.merging(&merges[i]))
		for _, code := range merges[i].Codes() {
			joins[code] = true
		}
	}
	list := v.board.Suggestions(project.Code, page.Days)
	for i := range list {
		r := v.regrouping(&list[i], page.Days)
		switch {
		case !list[i].Same:
			page.Regroup = append(page.Regroup, r)
		case !joins[list[i].Release]:
			page.Kept = append(page.Kept, r)
		}
	}
	if len(page.Faults) > 0 && status == http.StatusOK {
		status = http.StatusUnprocessableEntity
	}
	s.render(c, status, page)
	return nil
}

// releasesOf are the releases of a project with these ids.
func (s *Server) releasesOf(ctx context.Context, project *models.Project, ids []int64) ([]*models.Release, error) {
	list := make([]*models.Release, len(ids))
	for i, id := range ids {
		rel, err := models.ReleaseByID(ctx, s.db, id)
		if err != nil {
			return nil, err
		}
		if rel.ProjectID != project.ID {
			return nil, notFound("This project has no such release.")
		}
		list[i] = rel
	}
	return list, nil
}

// acceptReleases shows what grouping one release, or making one of several, as suggested does, or does it.
func (s *Server) acceptReleases(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	project, err := s.projectOf(c, p, c.PostForm("project"))
	if err != nil {
		return err
	}
	var form suggestForm
	if err := c.ShouldBind(&form); err != nil || !form.isWhole() {
		return badRequest("The form is not whole; open the page again.")
	}
	releases, err := s.releasesOf(ctx, project, form.Releases)
	if err != nil {
		return err
	}
	page := form.page(releases)
	revision := buying.Regrouped(releases[0], project, form.Days, form.Seen, p.actor())
	if len(releases) > 1 {
		revision = buying.Merged(releases, project, form.rules(), form.Seen, p.actor())
	}
	if form.Do == "save" {
		_, err = planning.Revise(ctx, s.db, revision, p.actor())
	} else {
		page.Chrome = s.chrome(c)
		page.Format = s.format(c, project)
		err = s.showRevision(c, &page, revision)
	}
	var refused buying.Faults
	if errors.As(err, &refused) {
		again := web.SuggestPage{Days: form.Days, Items: form.Items}
		for _, f := range refused {
			again.Faults = append(again.Faults, web.FieldFault{Field: f.Field, Message: again.Format.Capital(f.Message) + "."})
		}
		return s.showSuggestions(c, http.StatusConflict, project, again)
	}
	if err != nil || form.Do != "save" {
		return err
	}
	s.say(c, page.Accept+": done. The plan is a draft until you issue it.")
	c.Redirect(http.StatusSeeOther, "/material?project="+strconv.FormatInt(project.ID, 10))
	return nil
}

// regrouping is a suggestion as its page shows it, with a sentence for each order and drop.
func (v *materialView) regrouping(g *ordering.Suggestion, days int) web.Regrouping {
	r := web.Regrouping{Name: g.Release, Unknown: g.Unknown, Seen: buying.Fingerprint(g)}
	if rel := v.byCode[g.Release]; rel != nil {
		r.ID = strconv.FormatInt(rel.ID, 10)
		r.Name, r.Href = cmp.Or(rel.Name, rel.Code), "/material/releases/"+r.ID
	}
	for i := range g.Orders {
		o := &g.Orders[i]
		order := web.SuggestedOrder{Name: r.Name, OrderBy: o.OrderBy, Late: o.Late()}
		if i > 0 {
			order.Name = fmt.Sprintf("new release %d", i+1)
		}
		for j := range o.Drops {
			contents := contentsOfDrop(&o.Drops[j])
			order.Drops = append(order.Drops, web.SuggestedDrop{
				Number: j + 1, What: whatWords(contents), Where: v.where(contents), Need: o.Drops[j].Need,
			})
		}
		r.Orders = append(r.Orders, order)
		r.Why = append(r.Why, v.suggestionWords(g, i, days)...)
	}
	if len(g.Behind) > 0 {
		r.Why = append([]string{v.behindWords(g)}, r.Why...)
	}
	return r
}

// behindWords says for what a release is ordered too late as it is.
func (v *materialView) behindWords(g *ordering.Suggestion) string {
	var parts []string
	ready := g.Orders[0].Ready
	for i := range g.Orders {
		if g.Orders[i].Ready.After(ready) {
			ready = g.Orders[i].Ready
		}
	}
	items := 0
	for i := range g.Behind {
		parts = append(parts, v.parcelWords(&g.Behind[i]))
		items += len(g.Behind[i].Contents)
	}
	return fmt.Sprintf("As one order it waits until %s, when the last of it can be ordered. That is too late for %s: %s. Split it.",
		v.format.FinishDay(ready), v.format.Of(items, "item", "items"), strings.Join(parts, ", "))
}

func contentsOfDrop(d *ordering.SuggestedDrop) (list []ordering.Content) {
	for _, p := range d.Parcels {
		list = append(list, p.Contents...)
	}
	return list
}

// parcelWords names openings of one type in one area.
func (v *materialView) parcelWords(p *ordering.Parcel) string {
	return elevation.Type(p.Type).Name() + " of " + v.names.d.Areas[v.project.Code+"/"+p.Area]
}

// suggestionWords says why an order is one of its own and why it comes in these drops.
func (v *materialView) suggestionWords(g *ordering.Suggestion, index, days int) (why []string) {
	f, o := v.format, &g.Orders[index]
	first := &o.Drops[0].Parcels[0]
	if index > 0 {
		before := &g.Orders[index-1]
		why = append(why, fmt.Sprintf("%s cannot be ordered before %s (%s), and what comes before must be ordered by %s: a release of its own.",
			f.Capital(v.parcelWords(first)), f.FinishDay(first.Ready), basisWords(g.Basis), f.FinishDay(before.OrderBy)))
	}
	text := fmt.Sprintf("%s needs it first, by %s", f.Capital(v.parcelWords(first)), f.Day(first.Need))
	if o.Late() {
		text += fmt.Sprintf("; by the likely lead of %d working days it had to be ordered by %s and can only be by %s.", g.Days.Likely, f.FinishDay(o.OrderBy), f.FinishDay(o.Ready))
	} else {
		text += fmt.Sprintf("; by the likely lead of %d working days the order is due by %s, and all of it can be ordered by %s.", g.Days.Likely, f.FinishDay(o.OrderBy), f.FinishDay(o.Ready))
	}
	why = append(why, text)
	for j := 1; j < len(o.Drops); j++ {
		why = append(why, fmt.Sprintf("%s is needed from %s on: delivered with the first it would lie longer than %s, so it comes as a drop of its own.",
			f.Capital(v.parcelWords(&o.Drops[j].Parcels[0])), f.Day(o.Drops[j].Need), f.Of(days, "working day", "working days")))
	}
	return why
}
