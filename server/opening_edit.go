package server

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/takeoff"
	"jambwright/server/planning"
	"jambwright/web"
)

// What a form says leaves are made of.
const (
	glassLeaves = "glass"
	solidLeaves = "solid"
)

// openingForm shows what people set by hand of an opening.
func (s *Server) openingForm(c *gin.Context, p *person) error {
	o, page, err := s.editedOpening(c, p)
	if err != nil {
		return err
	}
	page.Form = web.OpeningForm{Leaf: solidLeaves, Version: strconv.FormatInt(o.Version, 10)}
	if t := o.Takeoff(); t.HasGlassLeaves() {
		page.Form.Leaf = glassLeaves
	}
	for _, condition := range o.Conditions {
		page.Form.Conditions = append(page.Form.Conditions, string(condition))
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// editedOpening reads the opening of an address and fills in what its form says around its fields.
func (s *Server) editedOpening(c *gin.Context, p *person) (*models.Opening, web.OpeningEditPage, error) {
	ctx := c.Request.Context()
	page := web.OpeningEditPage{Chrome: s.chrome(c)}
	id, err := strconv.ParseInt(c.Param("id"), 10, 64)
	if err != nil {
		return nil, page, notFound("")
	}
	o, err := models.OpeningByID(ctx, s.db, id)
	if err != nil {
		return nil, page, err
	}
	if !p.mayRead(o.ProjectID) {
		return nil, page, notAllowed("This opening belongs to a project that is not yours.")
	}
	project, err := models.ProjectByID(ctx, s.db, o.ProjectID)
	if err != nil {
		return nil, page, err
	}
	_, factors, _, err := models.RateTable(ctx, s.db)
	if err != nil {
		return nil, page, err
	}
	page.Format = s.format(c, project)
	page.ID, page.Mark = strconv.FormatInt(o.ID, 10), o.Mark
	geometry := o.Takeoff()
	page.HasLeaves = geometry.HasLeaves()
	known := slices.Clone([]takeoff.Condition(o.Conditions))
	for _, f := range factors {
		known = append(known, f.Condition)
	}
	slices.Sort(known)
	for _, condition := range slices.Compact(known) {
		page.Conditions = append(page.Conditions, web.Choice{Value: string(condition), Text: page.Format.Capital(workConditionWords(condition))})
	}
	return o, page, nil
}

// editOpening shows what a changed opening does, or saves it.
func (s *Server) editOpening(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	o, page, err := s.editedOpening(c, p)
	if err != nil {
		return err
	}
	if err := c.ShouldBind(&page.Form); err != nil {
		return bindFault(err)
	}
	change := models.OpeningEdit{ID: o.ID}
	change.Version, _ = strconv.ParseInt(page.Form.Version, 10, 64)
	change.GlassLeaves = page.Form.Leaf == glassLeaves
	if page.HasLeaves && !change.GlassLeaves && page.Form.Leaf != solidLeaves {
		page.Faults = append(page.Faults, web.FieldFault{Field: "leaf", Message: "Say whether the leaves are solid or of glass."})
	}
	for _, condition := range page.Form.Conditions {
		if !slices.ContainsFunc(page.Conditions, func(c web.Choice) bool { return c.Value == condition }) {
			page.Faults = append(page.Faults, web.FieldFault{Field: "conditions", Message: "There is no condition " + strconv.Quote(condition) + ". Add it on the rates page first."})
		}
	}
	for _, choice := range page.Conditions { // each once, however often it was sent: two of one would count twice
		if page.Form.Has(choice.Value) {
			change.Conditions = append(change.Conditions, takeoff.Condition(choice.Value))
		}
	}
	if len(page.Faults) > 0 {
		s.render(c, http.StatusUnprocessableEntity, page)
		return nil
	}
	revision := planning.Revision{
		Cause: "leaves or conditions of " + o.Mark + " changed",
		Store: func(ctx context.Context, tx *models.Tx) error { return models.EditOpening(ctx, tx, change, p.actor()) },
	}
	back := "/openings/" + page.ID
	if page.Form.Do == "save" {
		if _, err := planning.Revise(ctx, s.db, revision, p.actor()); err != nil {
			return err
		}
		s.say(c, "The opening is changed. The plan is a draft until it is issued.")
		c.Redirect(http.StatusSeeOther, back)
		return nil
	}
	preview := web.RevisionPage{
		Chrome: page.Chrome, Action: back + "/edit", Back: back, Accept: "Save", Title: "What this change of " + o.Mark + " does",
		Lead:   []string{"Quantities, hands and hours follow at once."},
		Fields: fields(url.Values{"leaf": {page.Form.Leaf}, "conditions": page.Form.Conditions, "version": {page.Form.Version}}),
	}
	return s.showRevision(c, &preview, revision)
}
