package pattern

import (
	"cmp"
	"fmt"
	"slices"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// addOpenings adds the work on every opening, in walking order.
func (p *projectBuilder) addOpenings() {
	for _, o := range p.openings {
		for _, s := range o.steps {
			p.addStep(o, s)
		}
		p.linkSteps(o)
		if len(o.steps) > 0 {
			p.linkSurvey(o, p.key(o, o.steps[0].Kind))
		}
	}
}

func (p *projectBuilder) key(o *openingPlan, kind takeoff.Kind) TaskKey {
	return OpeningTask(p.pr.Code, o.Mark, kind)
}

// addStep adds one kind of work on one opening with its hours, hands, material and handovers.
func (p *projectBuilder) addStep(o *openingPlan, s Step) {
	key := p.key(o, s.Kind)
	hours := p.workHours(s.Kind, o.takeoff, p.unit(o, s.Kind))
	t, e := p.crewWork(key, o, s.Kind, hours)
	if o.unbuildable != "" {
		p.wait(&t, &e, "size: "+o.unbuildable)
	}
	e.Items = p.items(o, s)
	for _, item := range e.Items {
		p.linkMaterial(&t, &e, o, item)
	}
	p.applyState(&t, &e, p.awaitsRemake(o, s))
	p.lift(&t, &e)
	p.staff(&t, &e)
	p.pin(&t)
	p.add(t, e)
	for _, n := range s.Needs {
		if n.When.holds(o.Opening, o.takeoff) {
			p.need(key, o.Area, n.Condition)
		}
	}
}

// crewWork makes a task of crew work on an opening.
func (p *projectBuilder) crewWork(key TaskKey, o *openingPlan, kind takeoff.Kind, hours *takeoff.Breakdown) (problem.Task, Entry) {
	minutes := hours.Minutes
	t := problem.Task{ID: string(key), Kind: string(kind), Site: p.pr.Site, Area: AreaID(p.pr.Code, o.Area), LabourMinutes: &minutes, MinHeads: 1}
	e := Entry{Kind: kind, Project: p.pr.Code, Area: o.Area, Opening: o.Mark, Takeoff: o.takeoff, Hours: hours, Hands: 1}
	switch kind {
	case takeoff.Glaze:
		e.Hands = o.takeoff.GlazeHands
	case takeoff.Hang:
		e.Hands = o.takeoff.HangHands
	}
	t.MinHeads = e.Hands
	return t, e
}

// unit is the number that a learning curve asks for. Work already finished counts, as people have learned from it.
//
// It counts how many openings of the same type and size the project has had by now, this one included.
func (p *projectBuilder) unit(o *openingPlan, kind takeoff.Kind) int {
	k := alike{p.pr.Code, kind, o.Takeoff.Type, int64(cmp.Or(o.DrawnWidth, o.Takeoff.Width)), int64(cmp.Or(o.DrawnHeight, o.Takeoff.Height))}
	p.alike[k]++
	return p.alike[k]
}

// items are those of a step's items that the opening has at all: no leaf for a light, no glass for a flush door.
func (p *projectBuilder) items(o *openingPlan, s Step) []Item {
	var list []Item
	for _, item := range s.Items {
		switch {
		case item == Glass && len(o.takeoff.Panes) == 0:
		case (item == Leaf || item == Hardware) && len(o.takeoff.Leaves) == 0:
		default:
			list = append(list, item)
		}
	}
	return list
}

// linkMaterial makes a task follow the deliveries of an item, or wait when nobody has released it.
func (p *projectBuilder) linkMaterial(t *problem.Task, e *Entry, o *openingPlan, item Item) {
	released := false
	for _, m := range o.Material {
		if m.Item != item {
			continue
		}
		released = true
		if !m.OnSite {
			p.link(DeliverTask(p.pr.Code, m.Release, m.Drop), TaskKey(t.ID))
		}
	}
	if !released {
		p.wait(t, e, fmt.Sprintf("material: no release holds the %s of %s", item.words(), o.Mark))
	}
}

// linkSteps chains the steps of an opening and adds the pattern's own links.
func (p *projectBuilder) linkSteps(o *openingPlan) {
	for i := 1; i < len(o.steps); i++ {
		from, to := o.steps[i-1].Kind, o.steps[i].Kind
		if !slices.ContainsFunc(o.pattern.Links, func(l StepLink) bool {
			return l.From == from && l.To == to && l.When.holds(o.Opening, o.takeoff)
		}) {
			p.link(p.key(o, from), p.key(o, to))
		}
	}
	for _, l := range o.pattern.Links {
		_, from := o.has(l.From)
		_, to := o.has(l.To)
		if !from || !to || !l.When.holds(o.Opening, o.takeoff) {
			continue
		}
		calendar := l.LagCalendar
		if calendar == SiteCalendar {
			calendar = p.pr.Calendar
		}
		p.p.Links = append(p.p.Links, problem.Link{
			From: string(p.key(o, l.From)), To: string(p.key(o, l.To)), Type: l.Type, LagMinutes: l.LagMinutes, LagCalendar: calendar,
		})
	}
}

// lift settles hands that no crew has: with lifting gear fewer people are enough, and the entry says so. What even the gear
// does not take waits; it is never planned silently.
func (p *projectBuilder) lift(t *problem.Task, e *Entry) {
	most := p.mostHeads(t)
	if t.IsFinished() || most == 0 || t.MinHeads <= most {
		return
	}
	grams := e.Takeoff.Heaviest
	if e.Kind == takeoff.Hang {
		grams = e.Takeoff.HangGrams
	}
	if grams == 0 {
		return
	}
	rules := p.rules.Lifting
	weight, piece := p.weight(grams), "a pane of "
	if e.Kind == takeoff.Hang {
		piece = "a glass leaf of "
	}
	e.Gear = true
	if grams > rules.GearLimitGrams && !t.IsStarted() {
		t.MinHeads = 1
		p.wait(t, e, fmt.Sprintf("hands: the glass weighs %s, more than the lifting gear takes, %s", weight, p.weight(rules.GearLimitGrams)))
		return
	}
	t.MinHeads = rules.GearHands
	p.noteTask(NoteGear, TaskKey(t.ID), e.Opening, "%s%s weighs %s and needs %d people by hand, the largest crew for it has %d: lifting gear and %d people are planned",
		piece, e.Opening, weight, e.Hands, most, rules.GearHands)
}

// weight writes grams with the unit of the project's people first.
func (p *projectBuilder) weight(grams int64) string {
	kilograms, pounds := fmt.Sprintf("%.1f kg", float64(grams)/1000), fmt.Sprintf("%.1f lb", takeoff.Pounds(grams))
	if p.pr.Metric {
		return kilograms + " (" + pounds + ")"
	}
	return pounds + " (" + kilograms + ")"
}

// mostHeads is the head count of the largest crew with the skill that may enter the site.
func (b *builder) mostHeads(t *problem.Task) int {
	work := [2]string{t.Kind, t.Site}
	most, known := b.heads[work]
	if known {
		return most
	}
	for _, c := range b.crews {
		if c.HasSkill(t.Kind) && c.MayEnter(t.Site) {
			most = max(most, c.Heads)
		}
	}
	b.heads[work] = most
	return most
}

// staff turns work that no crew can do into a task that waits, with the rule that refuses every crew.
func (p *projectBuilder) staff(t *problem.Task, e *Entry) {
	if t.Status == nil || (t.IsStarted() && t.Status.Crew == "") {
		switch most := p.mostHeads(t); {
		case most == 0:
			p.unstaffed(t, e, fmt.Sprintf("crew: none has the skill %q and may enter site %s", t.Kind, t.Site))
		case most < t.MinHeads:
			p.unstaffed(t, e, fmt.Sprintf("crew: it needs %d people, the largest crew for it has %d", t.MinHeads, most))
		}
	}
	p.noteWait(t, e)
}

// noteWait tells of a task that waits without a date.
func (p *projectBuilder) noteWait(t *problem.Task, e *Entry) {
	if e.Waiting != "" {
		p.noteTask(NoteWaits, TaskKey(t.ID), cmp.Or(e.Opening, e.Release, e.Area), "%s waits without a date: %s", t.ID, e.Waiting)
	}
}

// unstaffed makes crew work that no crew can do wait. The crew work itself is taken out, because a document must not ask for
// a crew that does not exist.
func (p *projectBuilder) unstaffed(t *problem.Task, e *Entry, cause string) {
	if t.Status != nil {
		e.Began, t.Status = copied(&t.Status.Started), nil
	}
	zero := 0
	t.LabourMinutes, t.DurationMinutes, t.Calendar, t.MinHeads = nil, &zero, problem.Always, 0
	p.wait(t, e, cause)
}
