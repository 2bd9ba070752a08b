package server

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/server/importing"
	"jambwright/server/planning"
	"jambwright/web"
)

// factorRows are the conditions of the table as the rates page lists them.
func factorRows(factors []models.RateFactor) (list []web.FactorRow) {
	for _, f := range factors {
		query := url.Values{"condition": {string(f.Condition)}, "kind": {string(f.Kind)}}
		row := web.FactorRow{Name: workConditionWords(f.Condition), Factor: web.Decimal(f.Factor), Source: f.Source, Edit: "/rates/factor?" + query.Encode()}
		if f.Kind != "" {
			row.Work = gerund(f.Kind)
		}
		list = append(list, row)
	}
	return list
}

// factorForm shows the form of a condition's factor, or an empty one to add a condition.
func (s *Server) factorForm(c *gin.Context, _ *person) error {
	page := s.factorPage(c)
	page.Form = web.FactorForm{Condition: c.Query("condition"), Kind: c.Query("kind")}
	page.Adds = page.Form.Condition == ""
	if !page.Adds {
		stored, err := s.storedFactor(c.Request.Context(), takeoff.Condition(page.Form.Condition), takeoff.Kind(page.Form.Kind))
		if err != nil {
			return err
		}
		if stored == nil {
			return notFound("There is no such condition. Open the rates page again.")
		}
		page.Name = workConditionWords(stored.Condition)
		page.Form.Factor, page.Form.Source = strconv.FormatFloat(stored.Factor, 'f', -1, 64), stored.Source
		page.Form.Version = strconv.FormatInt(stored.Version, 10)
	}
	s.render(c, http.StatusOK, page)
	return nil
}

func (s *Server) factorPage(c *gin.Context) web.FactorPage {
	page := web.FactorPage{Chrome: s.chrome(c), Kinds: []web.Choice{{Text: "all work on an opening"}}}
	for _, kind := range pattern.StepKinds() {
		page.Kinds = append(page.Kinds, web.Choice{Value: string(kind), Text: gerund(kind)})
	}
	return page
}

// storedFactor finds a factor of the table; nil when there is none.
func (s *Server) storedFactor(ctx context.Context, condition takeoff.Condition, kind takeoff.Kind) (*models.RateFactor, error) {
	_, factors, _, err := models.RateTable(ctx, s.db)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(factors, func(f models.RateFactor) bool { return f.Condition == condition && f.Kind == kind })
	if i < 0 {
		return nil, nil //nolint:nilnil // nothing stored is an answer
	}
	return &factors[i], nil
}

// editFactor shows what a factor does, or saves it. A form without a version adds.
func (s *Server) editFactor(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	page := s.factorPage(c)
	if err := c.ShouldBind(&page.Form); err != nil {
		return bindFault(err)
	}
	page.Adds = page.Form.Version == ""
	row := models.RateFactor{Kind: takeoff.Kind(page.Form.Kind), Source: strings.TrimSpace(page.Form.Source)}
	fault := func(field, message string) {
		page.Faults = append(page.Faults, web.FieldFault{Field: field, Message: message})
	}
	var ok bool
	if row.Condition, ok = importing.ReadCondition(page.Form.Condition); !ok {
		fault("condition", "Name it in a few plain words, such as night work: letters, digits and spaces, a letter first, at most 40.")
	}
	if row.Factor, ok = importing.ReadFactor(page.Form.Factor); !ok {
		fault("factor", "Write what the hours are multiplied by, from 0.5 to 4, such as 1.2 for a fifth more.")
	}
	if row.Kind != "" && !slices.Contains(pattern.StepKinds(), row.Kind) {
		fault("kind", "Choose a kind of work from the list.")
	}
	stored, err := s.storedFactor(ctx, row.Condition, row.Kind)
	if err != nil {
		return err
	}
	if page.Adds && stored != nil {
		fault("condition", "This condition has a factor for that work already. Change it on the rates page.")
	}
	page.Name = workConditionWords(row.Condition)
	if len(page.Faults) > 0 {
		s.render(c, http.StatusUnprocessableEntity, page)
		return nil
	}
	row.Version, _ = strconv.ParseInt(page.Form.Version, 10, 64)
	return s.reviseFactor(c, p, &page, row, stored)
}

// reviseFactor saves a factor that was read, or shows what it does.
func (s *Server) reviseFactor(c *gin.Context, p *person, page *web.FactorPage, row models.RateFactor, stored *models.RateFactor) error {
	revision := planning.Revision{
		Cause: "factor of " + page.Name + " changed",
		Store: func(ctx context.Context, tx *models.Tx) error {
			again := row
			return models.SaveFactor(ctx, tx, &again, p.actor())
		},
	}
	if page.Form.Do == "save" {
		if _, err := planning.Revise(c.Request.Context(), s.db, revision, p.actor()); err != nil {
			return err
		}
		s.say(c, "The condition is saved. Openings have it by their own page; the plan is a draft until you issue it.")
		c.Redirect(http.StatusSeeOther, "/rates#conditions")
		return nil
	}
	lead := fmt.Sprintf("%s: hours are multiplied by %s.", page.Format.Capital(page.Name), web.Decimal(row.Factor))
	if stored != nil {
		lead = fmt.Sprintf("%s: hours are multiplied by %s, until now by %s.", page.Format.Capital(page.Name), web.Decimal(row.Factor), web.Decimal(stored.Factor))
	}
	preview := web.RevisionPage{
		Chrome: page.Chrome, Action: "/rates/factor", Back: "/rates#conditions", Accept: "Save", Title: "What this condition does",
		Lead: []string{lead, "Rates that were learned of this work and accepted end with a change: they were learned against the table as it is now."},
		Fields: fields(url.Values{
			"condition": {page.Form.Condition}, "kind": {page.Form.Kind}, "factor": {page.Form.Factor}, "source": {page.Form.Source}, "version": {page.Form.Version},
		}),
	}
	return s.showRevision(c, &preview, revision)
}
