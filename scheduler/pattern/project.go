package pattern

import (
	"cmp"
	"slices"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// projectBuilder builds one project into the shared problem.
type projectBuilder struct {
	*builder
	pr        *Project
	tree      *areaTree
	openings  []*openingPlan // in walking order
	byMark    map[string]*openingPlan
	suppliers map[string]*Supplier
	releases  map[string]*Release
	remakes   []*Remake // those that can be planned, in the order of their ids
	handovers map[handoverKey]*Handover
	wanted    map[handoverKey]bool // handovers whose task exists
	surveys   map[string]*survey
	firstLink int               // of the project in the shared list
	unlisted  map[Condition]int // openings that need a handover nobody listed
}

type handoverKey struct {
	area      string
	condition Condition
}

// openingPlan is an opening with what was worked out for it.
type openingPlan struct {
	*Opening
	takeoff *takeoff.Takeoff
	pattern *Pattern
	steps   []Step // those that the opening has
	survey  string // area of its survey
	// unbuildable says why the opening cannot be taken off; "" for most. Its takeoff is empty then, and its work waits.
	unbuildable string
}

// has returns the step of a kind and whether the opening has it.
func (o *openingPlan) has(kind takeoff.Kind) (Step, bool) {
	i := slices.IndexFunc(o.steps, func(s Step) bool { return s.Kind == kind })
	if i < 0 {
		return Step{}, false
	}
	return o.steps[i], true
}

// stepFor returns the kind of step that needs an item.
func (o *openingPlan) stepFor(item Item) (takeoff.Kind, bool) {
	for _, s := range o.steps {
		if slices.Contains(s.Items, item) {
			return s.Kind, true
		}
	}
	return "", false
}

// buildProject adds a project's areas, tasks, links and dates. A project with faults of its own is checked whole but
// built no further.
func (b *builder) buildProject(pr *Project) {
	p := &projectBuilder{
		builder: b, pr: pr, tree: growTree(pr.Areas),
		byMark: map[string]*openingPlan{}, suppliers: map[string]*Supplier{}, releases: map[string]*Release{},
		handovers: map[handoverKey]*Handover{}, wanted: map[handoverKey]bool{}, surveys: map[string]*survey{}, unlisted: map[Condition]int{},
	}
	for i := range pr.Suppliers {
		p.suppliers[pr.Suppliers[i].ID] = &pr.Suppliers[i]
	}
	for i := range pr.Releases {
		p.releases[pr.Releases[i].ID] = &pr.Releases[i]
	}
	for i := range pr.Handovers {
		p.handovers[handoverKey{pr.Handovers[i].Area, pr.Handovers[i].Condition}] = &pr.Handovers[i]
	}
	before := len(b.faults)
	p.checkProject()
	p.planOpenings()
	p.sortRemakes()
	if len(b.faults) > before {
		return
	}
	p.firstLink = len(b.p.Links)
	b.keepsOrder[pr.Code] = pr.OutOfOrder == problem.KeepOrder
	p.addAreas()
	p.addSurveys()
	p.addReleases()
	p.addRemakes()
	p.addOpenings()
	p.addRepairs()
	p.addStorage()
	p.noteUnlisted()
	p.noteOutOfOrder()
	p.addGCDates()
}

// planOpenings takes every opening off and sorts them in walking order. One bad size in a sheet must not stop the plan of the
// whole firm: work on an opening that cannot be taken off waits, and says why.
func (p *projectBuilder) planOpenings() {
	for i := range p.pr.Openings {
		o := &openingPlan{Opening: &p.pr.Openings[i]}
		place := p.place("opening " + o.Mark)
		if o.pattern = p.patterns[o.Takeoff.Type]; o.pattern == nil {
			p.fault(place, "give the firm a work pattern for the type", "type %q has no work pattern", o.Takeoff.Type)
			continue
		}
		t, err := p.takeOff(o.Takeoff)
		if err != nil {
			t, o.unbuildable = &takeoff.Takeoff{Type: o.Takeoff.Type, GlazeHands: 1, HangHands: 1}, oneLine(err)
		}
		o.takeoff = t
		for _, s := range o.pattern.Steps {
			if s.When.holds(o.Opening, t) {
				o.steps = append(o.steps, s)
			}
		}
		o.survey = p.surveyArea(o.Area)
		p.openings = append(p.openings, o)
		p.byMark[o.Mark] = o
	}
	slices.SortStableFunc(p.openings, func(a, b *openingPlan) int {
		return cmp.Or(cmp.Compare(p.tree.rank[a.Area], p.tree.rank[b.Area]), cmp.Compare(a.WalkOrder, b.WalkOrder), cmp.Compare(a.Mark, b.Mark))
	})
}

func (p *projectBuilder) place(what string) string { return p.pr.Code + " " + what }

// addAreas writes the areas in walking order. A limit on crews set around several areas with openings holds for each of
// them alone: the document's areas do not nest.
func (p *projectBuilder) addAreas() {
	used := map[string]bool{}
	for _, o := range p.openings {
		used[o.Area], used[o.survey] = true, true
	}
	shared := map[string]int{}
	for _, a := range p.tree.list {
		if !used[a.ID] {
			continue
		}
		p.p.Areas = append(p.p.Areas, problem.Area{
			ID: AreaID(p.pr.Code, a.ID), Site: p.pr.Site, MaxCrews: p.tree.maxCrews(a.ID), SetupMinutes: p.tree.setup(a.ID),
		})
		for _, outer := range p.tree.path(a.ID) {
			if outer.MaxCrews != nil {
				shared[outer.ID]++
				break
			}
		}
	}
	for _, a := range p.tree.list {
		if shared[a.ID] > 1 {
			p.noteOf(NoteCrews, a.ID, "the limit of crews in %s is applied to each of the areas inside it", a.ID)
		}
	}
}
