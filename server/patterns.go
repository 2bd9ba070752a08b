package server

import (
	"fmt"
	"net/http"
	"slices"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// patterns shows the work patterns that plans go by.
func (s *Server) patterns(c *gin.Context, _ *person) error {
	ctx := c.Request.Context()
	own, settings, err := models.PatternsInForce(ctx, s.db)
	if err != nil {
		return err
	}
	rates, err := models.PlannedRates(ctx, s.db)
	if err != nil {
		return err
	}
	page := web.PatternsPage{Chrome: s.chrome(c)}
	for _, condition := range settings.SurveyNeeds {
		page.Survey = append(page.Survey, conditionWords(condition))
	}
	for _, p := range pattern.DefaultPatterns(settings) {
		i := slices.IndexFunc(own, func(o pattern.Pattern) bool { return o.Type == p.Type })
		if i >= 0 {
			p = own[i]
		}
		shown := patternView(&p, &rates, page.Format)
		shown.Own = i >= 0
		page.Patterns = append(page.Patterns, shown)
	}
	s.render(c, http.StatusOK, page)
	return nil
}

func patternView(p *pattern.Pattern, rates *takeoff.Rates, f web.Format) web.WorkPattern {
	view := web.WorkPattern{Type: typeWords(p.Type), Edit: "/patterns/edit?type=" + string(p.Type)}
	for _, step := range p.Steps {
		shown := web.PatternStep{Kind: kindOf(step.Kind), When: whenWords(step.When)}
		for _, need := range step.Needs {
			words := conditionWords(need.Condition)
			if when := whenWords(need.When); when != "" {
				words += " (" + when + ")"
			}
			shown.Needs = append(shown.Needs, words)
		}
		for _, item := range step.Items {
			shown.Items = append(shown.Items, itemWords(item))
		}
		for _, d := range rates.DriversOf(step.Kind, p.Type) {
			shown.Drivers = append(shown.Drivers, driverWords(d, f))
		}
		view.Steps = append(view.Steps, shown)
	}
	for _, l := range p.Links {
		view.Links = append(view.Links, linkWords(l, f))
	}
	return view
}

// whenWords says which openings a part of a pattern holds for; "" for all.
func whenWords(w pattern.When) string {
	switch w {
	case pattern.WithPanes:
		return "where it has panes"
	case pattern.WithLeaves:
		return "where it has leaves"
	case pattern.WithButtJoints:
		return "where panes meet at sealed joints"
	case pattern.WhenPowered:
		return "where its hardware needs power"
	}
	return ""
}

// linkWords is a link between two steps as a sentence.
func linkWords(l pattern.StepLink, f web.Format) string {
	from, to := gerund(l.From), gerund(l.To)
	text := to + " starts once " + from + " is finished"
	switch l.Type {
	case problem.StartToStart:
		text = to + " starts once " + from + " has started"
	case problem.FinishToFinish:
		text = to + " finishes once " + from + " is finished"
	case problem.StartToFinish:
		text = to + " finishes once " + from + " has started"
	}
	if l.LagMinutes > 0 {
		calendar := "round the clock"
		switch l.LagCalendar {
		case "", problem.Always:
		case pattern.SiteCalendar:
			calendar = "of the site's working time"
		default:
			calendar = "of calendar " + l.LagCalendar
		}
		text += fmt.Sprintf(" and %s %s have passed", f.Hours(l.LagMinutes), calendar)
	} else if l.LagMinutes < 0 {
		text += fmt.Sprintf(", less %s", f.Hours(-l.LagMinutes))
	}
	if when := whenWords(l.When); when != "" {
		text += ", " + when
	}
	return text
}
