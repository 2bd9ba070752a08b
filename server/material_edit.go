package server

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/ordering"
	"jambwright/scheduler/pattern"
	"jambwright/server/buying"
	"jambwright/web"
)

// materialSubject is the release or remake that a form is about.
type materialSubject struct {
	release *models.Release
	remake  *models.MaterialItem
	project *models.Project
}

// materialSubject finds what a form is about, if the person may change it.
func (s *Server) materialSubject(c *gin.Context, p *person, form web.MaterialForm) (m materialSubject, err error) {
	ctx := c.Request.Context()
	projectID := int64(0)
	if id, err := strconv.ParseInt(form.Remake, 10, 64); err == nil {
		if m.remake, err = models.RemakeByID(ctx, s.db, id); err != nil {
			return m, err
		}
		projectID = m.remake.Opening.ProjectID
	} else {
		id, err := strconv.ParseInt(form.Release, 10, 64)
		if err != nil {
			return m, notFound("There is no such release.")
		}
		if m.release, err = models.ReleaseByID(ctx, s.db, id); err != nil {
			return m, err
		}
		projectID = m.release.ProjectID
	}
	m.project, err = s.projectOf(c, p, strconv.FormatInt(projectID, 10))
	return m, err
}

func (m materialSubject) name() string {
	if m.remake != nil {
		return "remade " + itemWords(m.remake.Kind) + " of " + m.remake.Opening.Mark
	}
	return cmp.Or(m.release.Name, m.release.Code)
}

func (m materialSubject) href() string {
	if m.remake != nil {
		return "/material/remakes/" + strconv.FormatInt(m.remake.ID, 10)
	}
	return "/material/releases/" + strconv.FormatInt(m.release.ID, 10)
}

func (m materialSubject) code() string {
	if m.remake != nil {
		return m.remake.Code
	}
	return m.release.Code
}

// title says what a form does to what.
func (m materialSubject) title(do string, drop int) string {
	name := m.name()
	if m.release != nil && len(m.release.Drops) > 1 && drop > 0 {
		name += ", drop " + strconv.Itoa(drop)
	}
	switch buying.Action(do) {
	case buying.Order:
		return "Order of " + name
	case buying.Promise:
		return "Promise for " + name
	case buying.Ship:
		return "Shipment of " + name
	case buying.Receive:
		return "Arrival of " + name
	case buying.ReceivePart:
		return "Arrival of a part of " + name
	case buying.TakeBack:
		return "Take back a date of " + name
	case buying.Terms:
		return "How " + name + " is ordered"
	case buying.Move:
		return "Move items of " + name
	}
	return name
}

// materialEditForm shows the form of one change, filled with what is known.
func (s *Server) materialEditForm(c *gin.Context, p *person) error {
	var form web.MaterialForm
	if err := c.ShouldBindQuery(&form); err != nil {
		return bindFault(err)
	}
	m, err := s.materialSubject(c, p, form)
	if err != nil {
		return err
	}
	if !slices.Contains(buying.Actions(), buying.Action(form.Do)) {
		return notFound("There is no such change of material.")
	}
	f := s.format(c, m.project)
	form.Date = cmp.Or(form.Date, f.ISO(s.db.Now()))
	m.prefill(&form)
	return s.showMaterialEdit(c, http.StatusOK, m, web.MaterialEditPage{Form: form})
}

// prefill fills in how the release or remake is ordered now.
func (m materialSubject) prefill(form *web.MaterialForm) {
	number := func(n *int) string {
		if n == nil {
			return ""
		}
		return strconv.Itoa(*n)
	}
	if m.remake != nil {
		form.Version, form.Drop = strconv.FormatInt(m.remake.Version, 10), "1"
		if m.remake.SupplierID != nil {
			form.Supplier = strconv.FormatInt(*m.remake.SupplierID, 10)
		}
		form.Least, form.Likely, form.Most = number(m.remake.LeastDays), number(m.remake.LikelyDays), number(m.remake.MostDays)
		return
	}
	form.Version, form.Drop = strconv.FormatInt(m.release.Version, 10), cmp.Or(form.Drop, "1")
	if form.Do == string(buying.Terms) {
		form.Name, form.Basis = m.release.Name, string(m.release.Basis)
	}
	form.Supplier = strconv.FormatInt(m.release.SupplierID, 10)
	form.Least, form.Likely, form.Most = number(m.release.LeastDays), number(m.release.LikelyDays), number(m.release.MostDays)
}

// showMaterialEdit fills in what the form offers.
func (s *Server) showMaterialEdit(c *gin.Context, status int, m materialSubject, page web.MaterialEditPage) error {
	ctx := c.Request.Context()
	page.Chrome = s.chrome(c)
	page.Format = s.format(c, m.project)
	drop, _ := strconv.Atoi(page.Form.Drop)
	page.Title, page.Back = m.title(page.Form.Do, drop), m.href()
	v, err := s.materialView(ctx, m.project, page.Format)
	if err != nil {
		return err
	}
	do := buying.Action(page.Form.Do)
	if do != buying.Terms && do != buying.Move {
		for _, line := range v.board.Of(m.project.Code, m.code()) {
			if m.remake != nil || line.Drop == drop {
				d := v.delivery(&line)
				page.Line = &d
			}
		}
	}
	if m.release != nil && (do == buying.ReceivePart || do == buying.Move) {
		items, err := models.ReleaseItems(ctx, s.db, m.release.ID)
		if err != nil {
			return err
		}
		for i := range items {
			if do == buying.Move && items[i].State != models.Received || items[i].DropNumber == drop && do == buying.ReceivePart {
				page.Items = append(page.Items, v.itemLine(&items[i], nil, ""))
			}
		}
		page.Targets = v.targets(m.release)
	}
	if do == buying.Terms {
		suppliers, err := models.Suppliers(ctx, s.db)
		if err != nil {
			return err
		}
		for i := range suppliers {
			page.Suppliers = append(page.Suppliers, web.Choice{Value: strconv.FormatInt(suppliers[i].ID, 10), Text: suppliers[i].Name})
		}
		for _, b := range []pattern.OrderBasis{pattern.FromDrawings, pattern.FromSurvey, pattern.AfterFraming} {
			page.Bases = append(page.Bases, web.Choice{Value: string(b), Text: basisWords(b)})
		}
	}
	s.render(c, status, page)
	return nil
}

// targets are the drops and releases that items of a release can go to.
func (v *materialView) targets(from *models.Release) []web.Choice {
	list := []web.Choice{{Value: fmt.Sprintf("%d.0", from.ID), Text: "a new drop of this release"}}
	if from.OrderedAt == nil {
		list = append(list, web.Choice{Value: "new", Text: "a new release"})
	}
	for i := range v.releases {
		rel := &v.releases[i]
		if rel.SupplierID != from.SupplierID || rel.ID != from.ID && (rel.OrderedAt == nil) != (from.OrderedAt == nil) {
			continue
		}
		for _, d := range rel.Drops {
			if d.ReceivedAt == nil && (rel.ID != from.ID || len(from.Drops) > 1) {
				list = append(list, web.Choice{
					Value: fmt.Sprintf("%d.%d", rel.ID, d.Number), Text: fmt.Sprintf("%s, drop %d", cmp.Or(rel.Name, rel.Code), d.Number),
				})
			}
		}
	}
	return list
}

// materialEdit shows what a change does, and makes it when it is confirmed.
func (s *Server) materialEdit(c *gin.Context, p *person) error {
	var form web.MaterialForm
	if err := c.ShouldBind(&form); err != nil {
		return bindFault(err)
	}
	m, err := s.materialSubject(c, p, form)
	if err != nil {
		return err
	}
	f := s.format(c, m.project)
	edit, faults := readMaterialEdit(form, m, f, s.db.Now())
	if len(faults) == 0 && form.Confirm == "yes" {
		err = buying.Do(c.Request.Context(), s.db, edit, p.actor())
		if err == nil {
			s.say(c, "Written down. The next re-plan takes it in.")
			c.Redirect(http.StatusSeeOther, m.href())
			return nil
		}
	} else if len(faults) == 0 {
		err = s.checkMaterialEdit(c, m, form, edit, f)
		if err == nil {
			return nil
		}
	}
	var refused buying.Faults
	switch {
	case errors.As(err, &refused):
		for _, fault := range refused {
			faults = append(faults, web.FieldFault{Field: fault.Field, Message: fault.Message})
		}
	case err != nil:
		return err
	}
	return s.showMaterialEdit(c, http.StatusUnprocessableEntity, m, web.MaterialEditPage{Form: form, Faults: faults})
}

// checkMaterialEdit plans the firm with the change and shows what it does.
func (s *Server) checkMaterialEdit(c *gin.Context, m materialSubject, form web.MaterialForm, edit buying.Edit, f web.Format) error {
	ctx := c.Request.Context()
	tried, err := buying.Try(ctx, s.db, edit)
	if err != nil {
		return err
	}
	v, err := s.materialView(ctx, m.project, f)
	if err != nil {
		return err
	}
	page := web.MaterialCheckPage{Chrome: s.chrome(c), Form: form, Title: m.title(form.Do, edit.Drop), Back: m.href(), NoPlan: tried.Plan == nil}
	page.Format = f
	page.Says = saysOf(edit, tried, f)
	show := func(lines []ordering.Line) (list []web.Delivery) {
		for i := range lines {
			list = append(list, v.delivery(&lines[i]))
		}
		return list
	}
	page.Before, page.After = show(tried.Before), show(tried.After)
	if tried.Plan != nil {
		effects := effectsOf{names: v.names, tried: tried.Plan}
		projects, err := models.Projects(ctx, s.db)
		if err != nil {
			return err
		}
		if page.Dates, err = effects.dates(projects, newFloatDays(ctx, s.db)); err != nil {
			return err
		}
		for i := range tried.Plan.Changes {
			if change := &tried.Plan.Changes[i]; change.Task != "" {
				page.Moved = append(page.Moved, effects.moved(change))
			}
		}
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// saysOf says what will be written down.
func saysOf(e buying.Edit, t *buying.Tried, f web.Format) (says []string) {
	switch e.Action {
	case buying.Order:
		says = append(says, "it was ordered "+f.Day(e.At)+"; arrivals count from there")
	case buying.Promise:
		says = append(says, "it is promised for "+f.Date(e.Date.Date)+"; this replaces the date that the lead time gives")
	case buying.Ship:
		says = append(says, "it was shipped "+f.Day(e.At))
	case buying.Receive:
		says = append(says, "all of it came "+f.Day(e.At)+"; what waits for it may start")
	case buying.ReceivePart:
		says = append(says, fmt.Sprintf("%s came %s; what is missing becomes a drop of its own", f.Of(len(e.Items), "item", "items"), f.Day(e.At)))
		if e.Date != nil {
			says = append(says, "the rest is promised for "+f.Date(e.Date.Date))
		} else {
			says = append(says, "nobody has promised the rest; it counts by its lead time")
		}
	case buying.TakeBack:
		says = append(says, "the date written down last is taken back; the history keeps both")
	case buying.Terms:
		says = append(says, "ordered from "+basisWords(e.Basis))
		if e.Lead != nil {
			says = append(says, fmt.Sprintf("lead time of its own: %d to %d working days, likely %d", e.Lead.Least, e.Lead.Most, e.Lead.Likely))
		}
	case buying.Move:
		says = append(says, f.Of(len(e.Items), "item moves", "items move"))
	}
	if t.NeverOrdered {
		says = append(says, "nobody wrote down when it was ordered: "+f.Day(e.At)+" is taken")
	}
	return says
}
