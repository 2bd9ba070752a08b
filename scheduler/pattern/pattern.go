package pattern

import (
	"slices"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// When says which openings a part of a pattern holds for.
type When string

// The cases. An empty value reads as Always.
const (
	Always         When = "always"
	WithPanes      When = "panes"       // the opening has panes to glaze
	WithLeaves     When = "leaves"      // it has leaves to hang
	WithButtJoints When = "butt_joints" // it has panes that meet at a sealed joint
	WhenPowered    When = "powered"     // it has hardware that needs power
)

// Pattern is the work that an opening type takes after its material is there: steps of the kinds frame, glaze, hang and
// punch, in the order of Steps, and the links between them. Survey, order, lead and delivery are shared tasks and follow
// from the openings' material.
type Pattern struct {
	Type  takeoff.Type
	Steps []Step
	// Links come on top of the chain: each step follows the one before it that the opening has, finish to start, unless
	// Links hold a link between the two.
	Links []StepLink
}

// Step is one kind of task in a pattern.
type Step struct {
	Kind  takeoff.Kind
	When  When // the opening has the step at all
	Needs []Need
	Items []Item // material that must be on site before it starts
}

// Need is a handover that must be complete before a step starts.
type Need struct {
	Condition Condition
	When      When
}

// StepLink is a link between two steps of one opening. When either step is missing from an opening, the link is left out.
type StepLink struct {
	From, To    takeoff.Kind
	Type        problem.LinkType
	LagMinutes  int
	LagCalendar string // "" reads as problem.Always; SiteCalendar for the project's own
	When        When
}

// SiteCalendar as a lag calendar of a pattern stands for the calendar of the opening's project.
const SiteCalendar = "site"

// StepFor is the kind of work that needs an item at openings of a type, by the firm's own pattern of the type or the default
// one; "" when none does.
func (f *Firm) StepFor(typ takeoff.Type, item Item) takeoff.Kind {
	for _, patterns := range [][]Pattern{f.Patterns, DefaultPatterns(f.Settings)} {
		for i := range patterns {
			if patterns[i].Type != typ {
				continue
			}
			for _, s := range patterns[i].Steps {
				if slices.Contains(s.Items, item) {
					return s.Kind
				}
			}
			return ""
		}
	}
	return ""
}
