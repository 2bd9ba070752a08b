package server

import (
	"context"
	"errors"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
	"jambwright/server/planning"
	"jambwright/web"
)

// patternEdit is the work pattern of one type as it is.
type patternEdit struct {
	now     pattern.Pattern // in force
	usual   pattern.Pattern
	version int64 // of the firm's own; 0 for the usual one
	rates   takeoff.Rates
}

// readPatternEdit reads the pattern of a type.
func (s *Server) readPatternEdit(ctx context.Context, typ string) (e *patternEdit, err error) {
	_, settings, err := models.PatternsInForce(ctx, s.db)
	if err != nil {
		return nil, err
	}
	usual := pattern.DefaultPatterns(settings)
	i := slices.IndexFunc(usual, func(p pattern.Pattern) bool { return string(p.Type) == typ })
	if i < 0 {
		return nil, notFound("There is no such type of opening.")
	}
	e = &patternEdit{now: usual[i], usual: usual[i]}
	own, err := models.WorkPatternOf(ctx, s.db, usual[i].Type)
	switch {
	case err == nil:
		e.now, e.version = own.Body.V, own.Version
	case !errors.Is(err, models.ErrNotFound):
		return nil, err
	}
	e.rates, err = models.PlannedRates(ctx, s.db)
	return e, err
}

// patternForm shows the form of a type's pattern.
func (s *Server) patternForm(c *gin.Context, _ *person) error {
	e, err := s.readPatternEdit(c.Request.Context(), c.Query("type"))
	if err != nil {
		return err
	}
	return s.showPatternForm(c, http.StatusOK, e, sentPattern(&e.now), nil)
}

// editPattern shows what a changed pattern does, or saves it.
func (s *Server) editPattern(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	if err := c.Request.ParseForm(); err != nil {
		return badRequest("The form could not be read. Open the page again.")
	}
	sent := c.Request.PostForm
	e, err := s.readPatternEdit(ctx, sent.Get("type"))
	if err != nil {
		return err
	}
	version, err := strconv.ParseInt(sent.Get("version"), 10, 64)
	if err != nil {
		return badRequest("The form is not whole. Open the page again.")
	}
	next, back := e.usual, sent.Get("do") == "usual" || sent.Get("back") == "yes"
	if !back {
		var faults web.Faults
		if next, faults = readPattern(sent, e.now.Type); len(faults) > 0 {
			return s.showPatternForm(c, http.StatusUnprocessableEntity, e, sent, faults)
		}
	}
	changes := patternChanges(&e.now, &next, s.format(c, nil))
	if len(changes) == 0 && version == e.version {
		s.say(c, "Nothing was changed.")
		c.Redirect(http.StatusSeeOther, "/patterns")
		return nil
	}
	revision, err := s.patternRevision(ctx, next, version, back, changes, p.actor())
	if err != nil {
		return err
	}
	if sent.Get("do") == "save" {
		if _, err = planning.Revise(ctx, s.db, revision, p.actor()); err == nil {
			s.say(c, "The work pattern is changed. The plan is a draft until you issue it.")
			c.Redirect(http.StatusSeeOther, "/patterns")
			return nil
		}
	} else {
		err = s.previewPattern(c, e.now.Type, sent, back, changes, revision)
	}
	var refused problem.Faults
	if errors.As(err, &refused) {
		return s.showPatternForm(c, http.StatusUnprocessableEntity, e, sent, firmFaults(refused))
	}
	return err
}

// firmFaults are the faults of a pattern that only a whole firm shows: they are of no one field.
func firmFaults(refused problem.Faults) (faults web.Faults) {
	for _, fault := range refused {
		faults = append(faults, web.FieldFault{Message: web.Format{}.Capital(fault.String()) + "."})
	}
	return faults
}

// previewPattern shows what a changed pattern does, with all that was sent beside the button that saves it.
func (s *Server) previewPattern(c *gin.Context, typ takeoff.Type, sent url.Values, back bool, changes []string, revision planning.Revision) error {
	again := maps.Clone(sent)
	again.Del("do")
	if back {
		again.Set("back", "yes")
	}
	page := web.RevisionPage{
		Chrome: s.chrome(c), Title: "What this work pattern does", Lead: changes, Action: "/patterns/edit", Back: "/patterns/edit?type=" + string(typ),
		Accept: "Save", Fields: fields(again),
	}
	return s.showRevision(c, &page, revision)
}

// patternRevision is the change of a pattern, or the way back to the usual one.
func (s *Server) patternRevision(ctx context.Context, next pattern.Pattern, version int64, back bool, changes []string, actor models.Actor) (planning.Revision, error) {
	keys, err := models.TasksOfType(ctx, s.db, next.Type)
	return planning.Revision{
		Cause: "work pattern of " + typeWords(next.Type) + " changed", Tasks: keys,
		Store: func(ctx context.Context, tx *models.Tx) error {
			if back {
				return models.RemoveWorkPattern(ctx, tx, next.Type, version, changes, actor)
			}
			return models.SaveWorkPattern(ctx, tx, next, version, changes, actor)
		},
	}, err
}

// emptyLinks is how many empty rows for further links a form offers.
const emptyLinks = 2

// showPatternForm shows the form filled as it was sent.
func (s *Server) showPatternForm(c *gin.Context, status int, e *patternEdit, sent url.Values, faults web.Faults) error {
	page := web.PatternEditPage{
		Chrome: s.chrome(c), Type: typeWords(e.now.Type), Value: string(e.now.Type), Version: strconv.FormatInt(e.version, 10), Own: e.version > 0, Faults: faults,
		Cases: caseChoices(), Types: linkTypeChoices(), Clocks: e.clockChoices(),
	}
	conditions := e.conditions()
	for _, kind := range pattern.StepKinds() {
		k := string(kind)
		page.Kinds = append(page.Kinds, web.Choice{Value: k, Text: gerund(kind)})
		step := web.StepForm{Kind: kindOf(kind), Name: gerund(kind), Place: sent.Get("place_" + k), When: sent.Get("when_" + k)}
		for _, condition := range conditions {
			step.Needs = append(step.Needs, web.NeedForm{
				Condition: string(condition), Text: conditionWords(condition), When: sent.Get("need_" + k + "_" + string(condition)),
			})
		}
		for _, item := range pattern.Items() {
			step.Items = append(step.Items, web.ItemForm{Item: string(item), Text: itemWords(item), Needed: slices.Contains(sent["item_"+k], string(item))})
		}
		for _, d := range e.rates.DriversOf(kind, e.now.Type) {
			query := url.Values{"kind": {k}, "driver": {string(d)}, "type": {string(e.now.Type)}}
			step.Drivers = append(step.Drivers, web.Choice{Value: "/rates/edit?" + query.Encode(), Text: driverWords(d, page.Format)})
		}
		page.Steps = append(page.Steps, step)
	}
	page.Links = sentLinks(sent)
	history, err := models.WorkPatternHistory(c.Request.Context(), s.db, e.now.Type)
	if err != nil {
		return err
	}
	for i := range history {
		line := web.PatternChange{At: history[i].At, By: history[i].Actor}
		if list, ok := history[i].Detail.V["changes"].([]any); ok {
			for _, text := range list {
				if words, ok := text.(string); ok {
					line.Changes = append(line.Changes, words)
				}
			}
		}
		page.History = append(page.History, line)
	}
	s.render(c, status, page)
	return nil
}

// conditions are what a step may be said to need: the usual conditions and those that the pattern names already.
func (e *patternEdit) conditions() []pattern.Condition {
	list := usualConditions()
	for _, step := range e.now.Steps {
		for _, need := range step.Needs {
			if !slices.Contains(list, need.Condition) {
				list = append(list, need.Condition)
			}
		}
	}
	return list
}
