package pattern

import (
	"maps"
	"slices"
	"strings"

	"jambwright/scheduler/takeoff"
)

// What is a fault and what is not: a reference to something that does not exist, a name that is given twice and a number that
// means nothing are faults, because nobody can say what was meant, and the remedy is to correct a row. What is known too
// little of, what contradicts itself in time and what no crew can do is planned around and noted: people report such things
// every day, and one report must not stop the plan of twenty jobs.

// checkFirm finds the faults of what projects share. What goes into the document as it is, calendars, crews and limits,
// is left to the document's own validation.
func (b *builder) checkFirm() {
	for _, err := range unjoin(b.rates.Check()) {
		b.fault("rates", "", "%v", err)
	}
	for _, err := range unjoin(b.rules.Check()) {
		b.fault("rules", "", "%v", err)
	}
	if id := b.f.BuyerCalendar; id != "" && !b.clock.knows(id) {
		b.fault("firm", "", "the buyer's calendar %q does not exist", id)
	}
	b.checkLimit("firm", "the buyer's desk", b.f.BuyerDesk)
	b.checkPatterns()
	b.checkCrowding()
	b.checkPaces()
	seen := map[string]bool{}
	for i := range b.f.Projects {
		code := b.f.Projects[i].Code
		switch {
		case strings.TrimSpace(code) == "":
			b.fault("projects", "", "project %q has no code", b.f.Projects[i].Name)
		case seen[code]:
			b.fault("projects", "", "two projects have the code %q", code)
		}
		seen[code] = true
	}
	checkKeys(b, "states", b.f.States)
	checkKeys(b, "pins", b.f.Pins)
}

// checkKeys finds keys that are none.
func checkKeys[V any](b *builder, what string, m map[TaskKey]V) {
	for _, key := range slices.Sorted(maps.Keys(m)) {
		if _, err := key.Parse(); err != nil {
			b.fault(what, "", "%v", err)
		}
	}
}

func (b *builder) checkLimit(place, what, id string) {
	if id != "" && !b.limits[id] {
		b.fault(place, "add it to the limits", "%s is the limit %q, which does not exist", what, id)
	}
}

// StepKinds are the kinds that a pattern may hold, in their usual order.
func StepKinds() []takeoff.Kind {
	return []takeoff.Kind{takeoff.Frame, takeoff.Glaze, takeoff.Hang, takeoff.Punch}
}

// checkPatterns finds faults in the firm's own work patterns; the usual ones are ours and sound.
func (b *builder) checkPatterns() {
	seen := map[takeoff.Type]bool{}
	for i := range b.f.Patterns {
		pattern := &b.f.Patterns[i]
		place := "pattern of " + string(pattern.Type)
		if seen[pattern.Type] {
			b.fault(place, "", "type %q has two work patterns", pattern.Type)
		}
		seen[pattern.Type] = true
		b.checkSteps(place, pattern)
	}
}

func (b *builder) checkSteps(place string, pattern *Pattern) {
	steps := map[takeoff.Kind]bool{}
	if len(pattern.Steps) == 0 {
		b.fault(place, "", "the work pattern has no steps")
	}
	for _, s := range pattern.Steps {
		if !slices.Contains(StepKinds(), s.Kind) || steps[s.Kind] {
			b.fault(place, "a pattern has each of frame, glaze, hang and punch at most once", "step %q", s.Kind)
		}
		steps[s.Kind] = true
		if !s.When.isKnown() {
			b.fault(place, "", "step %q is for openings with %q, which is not known", s.Kind, s.When)
		}
		for _, item := range s.Items {
			if !slices.Contains(Items(), item) {
				b.fault(place, "", "step %q needs the item %q, which is not one of %v", s.Kind, item, Items())
			}
		}
		for _, n := range s.Needs {
			if !n.When.isKnown() {
				b.fault(place, "", "step %q needs %s for openings with %q, which is not known", s.Kind, n.Condition, n.When)
			}
		}
	}
	if ring := pattern.Ring(); ring != nil {
		names := make([]string, len(ring))
		for i, kind := range ring {
			names[i] = string(kind)
		}
		b.fault(place, "take out a link of the ring, or change the order of the steps", "its steps wait for one another in a ring: %s", strings.Join(names, ", "))
	}
	for _, l := range pattern.Links {
		if !steps[l.From] || !steps[l.To] || !l.When.isKnown() {
			b.fault(place, "", "link from %q to %q for openings with %q: the pattern lacks a step, or the case is not known", l.From, l.To, l.When)
		}
		if l.LagCalendar != "" && l.LagCalendar != SiteCalendar && !b.clock.knows(l.LagCalendar) {
			b.fault(place, "", "link from %q to %q counts its lag on the calendar %q, which does not exist", l.From, l.To, l.LagCalendar)
		}
	}
}

// checkProject finds the faults of a project's own rows, list by list.
func (p *projectBuilder) checkProject() {
	place := "project " + p.pr.Code
	if !p.sites[p.pr.Site] {
		p.fault(place, "", "its site %q does not exist", p.pr.Site)
	}
	if !p.clock.knows(p.pr.Calendar) {
		p.fault(place, "", "its calendar %q does not exist", p.pr.Calendar)
	}
	p.checkLimit(place, "its dock", p.pr.Dock)
	p.checkLimit(place, "its hoist", p.pr.Hoist)
	p.checkAreas()
	p.checkHandovers()
	p.checkSuppliers()
	p.checkReleases()
	p.checkOpenings()
	p.checkRemakes()
	p.checkGCDates()
}

// unique finds blank and repeated names in a list. Names are compared as they are written; whether A-1 and a-1 are the same
// opening is for the import to ask.
func unique[T any](p *projectBuilder, what string, rows []T, name func(*T) string) {
	seen := map[string]bool{}
	for i := range rows {
		switch id := name(&rows[i]); {
		case strings.TrimSpace(id) == "":
			p.fault(p.place(what), "", "%s number %d has no name", what, i+1)
		case seen[id]:
			p.fault(p.place(what+" "+id), "", "two rows have the name %q", id)
		default:
			seen[id] = true
		}
	}
}

// checkAreas finds areas inside what does not exist or inside themselves, and limits that would stop all work.
func (p *projectBuilder) checkAreas() {
	unique(p, "area", p.pr.Areas, func(a *Area) string { return a.ID })
	for i := range p.pr.Areas {
		a := &p.pr.Areas[i]
		place := p.place("area " + a.ID)
		if a.Parent != "" && p.tree.byID[a.Parent] == nil {
			p.fault(place, "", "it is inside %q, which does not exist", a.Parent)
		}
		if path := p.tree.path(a.ID); len(path) > 0 && path[len(path)-1].Parent != "" && p.tree.byID[path[len(path)-1].Parent] != nil {
			p.fault(place, "correct the areas they are inside of", "the areas around it form a ring")
		}
		if a.MaxCrews != nil && *a.MaxCrews < 1 {
			p.fault(place, "leave it out for any number", "at most %d crews may work in it", *a.MaxCrews)
		}
		if a.MaxStored != nil && *a.MaxStored < 1 {
			p.fault(place, "leave it out for any number", "at most %d items may be stored in it", *a.MaxStored)
		}
		if a.SetupMinutes != nil && *a.SetupMinutes < 0 {
			p.fault(place, "", "its set-up takes %d minutes", *a.SetupMinutes)
		}
	}
}

// checkHandovers finds handovers of unknown areas and conditions whose key would read as another task's.
func (p *projectBuilder) checkHandovers() {
	seen := map[handoverKey]bool{}
	for i := range p.pr.Handovers {
		h := &p.pr.Handovers[i]
		place := p.place("handover " + h.Area + " " + string(h.Condition))
		if p.tree.byID[h.Area] == nil {
			p.fault(place, "", "its area %q does not exist", h.Area)
		}
		if first, _, _ := strings.Cut(string(h.Condition), "."); first == "" || isStep(takeoff.Kind(first)) {
			p.fault(place, "", "%q cannot name a condition", h.Condition)
		}
		if k := (handoverKey{h.Area, h.Condition}); seen[k] {
			p.fault(place, "", "it is listed twice")
		} else {
			seen[k] = true
		}
	}
}

func (p *projectBuilder) checkSuppliers() {
	unique(p, "supplier", p.pr.Suppliers, func(s *Supplier) string { return s.ID })
	for i := range p.pr.Suppliers {
		s := &p.pr.Suppliers[i]
		place := p.place("supplier " + s.ID)
		if s.Calendar != "" && !p.clock.knows(s.Calendar) {
			p.fault(place, "", "its calendar %q does not exist", s.Calendar)
		}
		p.checkLead(place, s.Lead)
	}
}

// checkLead wants the three estimates in rising order, as the forecast draws from between them.
func (p *projectBuilder) checkLead(place string, l LeadTime) {
	const mostDays = 2000
	if l.Least < 0 || l.Likely < l.Least || l.Most < l.Likely || l.Most > mostDays {
		p.fault(place, "give least, likely and most days in rising order, up to 2000", "lead time of %d, %d, %d days", l.Least, l.Likely, l.Most)
	}
}

func (p *projectBuilder) checkReleases() {
	unique(p, "release", p.pr.Releases, func(r *Release) string { return r.ID })
	for i := range p.pr.Releases {
		r := &p.pr.Releases[i]
		place := p.place("release " + r.ID)
		p.checkSupplier(place, r.Supplier)
		switch r.Basis {
		case "", FromDrawings, FromSurvey, AfterFraming:
		default:
			p.fault(place, "write drawings, survey or after_framing", "order basis %q is not known", r.Basis)
		}
		if r.Lead != nil {
			p.checkLead(place, *r.Lead)
		}
		seen := map[int]bool{}
		for _, d := range r.Drops {
			if d.Number < 1 || seen[d.Number] {
				p.fault(place, "number drops 1, 2, 3", "drop %d", d.Number)
			}
			seen[d.Number] = true
		}
	}
}

func (p *projectBuilder) checkSupplier(place, id string) {
	if p.suppliers[id] == nil {
		p.fault(place, "name one of the project's suppliers", "its supplier %q does not exist", id)
	}
}

func (p *projectBuilder) checkOpenings() {
	unique(p, "opening", p.pr.Openings, func(o *Opening) string { return o.Mark })
	for i := range p.pr.Openings {
		o := &p.pr.Openings[i]
		place := p.place("opening " + o.Mark)
		if p.tree.byID[o.Area] == nil {
			p.fault(place, "", "its area %q does not exist", o.Area)
		}
		for _, m := range o.Material {
			p.checkMaterialRow(place, m)
		}
	}
}

// checkMaterialRow finds material that comes by a release or drop that does not exist.
func (p *projectBuilder) checkMaterialRow(place string, m Material) {
	if !slices.Contains(Items(), m.Item) {
		p.fault(place, "", "item %q is not one of %v", m.Item, Items())
	}
	if m.OnSite {
		return
	}
	r := p.releases[m.Release]
	switch {
	case r == nil:
		p.fault(place, "", "its %s comes by release %q, which does not exist", m.Item, m.Release)
	case max(m.Drop, 1) == 1 && len(r.Drops) == 0:
	case !slices.ContainsFunc(r.Drops, func(d Drop) bool { return d.Number == max(m.Drop, 1) }):
		p.fault(place, "", "its %s comes by drop %d of release %q, which has no such drop", m.Item, max(m.Drop, 1), m.Release)
	}
}

// checkRemakes finds remakes of unknown openings, and names that would give two tasks one key: a remake's tasks are named
// like a release's and, for repairs, like an opening's.
func (p *projectBuilder) checkRemakes() {
	unique(p, "remake", p.pr.Remakes, func(r *Remake) string { return r.ID })
	known := make(map[string]bool, len(p.pr.Openings))
	for i := range p.pr.Openings {
		known[p.pr.Openings[i].Mark] = true
	}
	for i := range p.pr.Remakes {
		r := &p.pr.Remakes[i]
		place := p.place("remake " + r.ID)
		if r.Supplier != "" {
			p.checkSupplier(place, r.Supplier)
		}
		if p.releases[r.ID] != nil {
			p.fault(place, "", "a release has the same name")
		}
		if !known[r.Opening] {
			p.fault(place, "", "its opening %q does not exist", r.Opening)
		}
		if known[r.ID] {
			p.fault(place, "", "an opening has the same name")
		}
		if r.Lead != nil {
			p.checkLead(place, *r.Lead)
		}
	}
}

func (p *projectBuilder) checkGCDates() {
	unique(p, "GC date", p.pr.GCDates, func(d *GCDate) string { return d.ID })
	for i := range p.pr.GCDates {
		d := &p.pr.GCDates[i]
		place := p.place("GC date " + d.ID)
		if d.Area != "" && p.tree.byID[d.Area] == nil {
			p.fault(place, "", "its area %q does not exist", d.Area)
		}
		if d.Kind != "" && d.Kind != takeoff.Survey && !slices.Contains(StepKinds(), d.Kind) {
			p.fault(place, "leave it empty for all work", "kind %q is not survey, frame, glaze, hang or punch", d.Kind)
		}
	}
}

// unjoin takes a joined error apart.
func unjoin(err error) []error {
	if err == nil {
		return nil
	}
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		return many.Unwrap()
	}
	return []error{err}
}

// oneLine puts the lines of an error after one another.
func oneLine(err error) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(err.Error(), "\n", "; ")), " ")
}
