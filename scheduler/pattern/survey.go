package pattern

import (
	"time"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// survey is the field measuring of an area's openings, one task for all of them.
type survey struct {
	key      TaskKey
	area     string
	openings []*openingPlan
	open     int // not yet measured
}

// surveyArea is the area that is surveyed in one go with an opening's: its level, or the area inside the level whose
// handover the survey needs, because what is handed over together can be measured together.
func (p *projectBuilder) surveyArea(area string) string {
	level := p.tree.level(area)
	for _, c := range p.settings.SurveyNeeds {
		if h := p.handoverFor(area, c); h != nil && h.Area != level && p.tree.isInside(h.Area, level) {
			return h.Area
		}
	}
	return level
}

// addSurveys adds the surveys first of all, since orders and first steps link to them. Openings already measured are listed with
// their survey but cost it no more time.
//
// It adds one survey for each area that has openings to measure.
func (p *projectBuilder) addSurveys() {
	var list []*survey
	for _, o := range p.openings {
		s := p.surveys[o.survey]
		if s == nil {
			s = &survey{key: SurveyTask(p.pr.Code, o.survey), area: o.survey}
			p.surveys[o.survey] = s
			list = append(list, s)
		}
		s.openings = append(s.openings, o)
		if o.Measured == nil {
			s.open++
		}
	}
	for _, s := range list {
		p.addSurvey(s)
	}
}

func (p *projectBuilder) addSurvey(s *survey) {
	basis := takeoff.SharedBasis(s.open, 0)
	hours := p.rates.SharedHours(takeoff.Survey, basis)
	minutes := hours.Minutes
	t := problem.Task{
		ID: string(s.key), Kind: string(takeoff.Survey), Site: p.pr.Site, Area: AreaID(p.pr.Code, s.area), LabourMinutes: &minutes, MinHeads: 1,
	}
	e := Entry{Kind: takeoff.Survey, Project: p.pr.Code, Area: s.area, Openings: marks(s.openings), Hours: &hours, Basis: basis, Hands: 1}
	if _, reported := p.f.States[s.key]; !reported && s.open == 0 {
		t.Status = measuredStatus(s.openings, p.f.DataDate)
	}
	p.applyState(&t, &e, false)
	p.staff(&t, &e)
	p.add(t, e)
	for _, c := range p.settings.SurveyNeeds {
		p.need(s.key, s.area, c)
	}
}

// measuredStatus is the state of a survey whose openings have all been measured.
func measuredStatus(openings []*openingPlan, dataDate time.Time) *problem.Status {
	first, last := *openings[0].Measured, *openings[0].Measured
	for _, o := range openings {
		first, last = earlier(first, *o.Measured), later(last, *o.Measured)
	}
	last = earlier(last, dataDate)
	return &problem.Status{Started: earlier(first, dataDate), Finished: &last}
}

// linkSurvey makes a task follow the survey of an opening, unless the opening has been measured while others of the area
// have not.
func (p *projectBuilder) linkSurvey(o *openingPlan, task TaskKey) {
	if s := p.surveys[o.survey]; o.Measured == nil || s.open == 0 {
		p.link(s.key, task)
	}
}

func marks(openings []*openingPlan) []string {
	list := make([]string, len(openings))
	for i, o := range openings {
		list[i] = o.Mark
	}
	return list
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
