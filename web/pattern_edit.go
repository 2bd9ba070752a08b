package web

import (
	"strconv"
	"time"
)

// PatternEditPage edits the work pattern of one type of opening. GET and POST /patterns/edit.
type PatternEditPage struct {
	Chrome
	Type    string // in words
	Value   string // as the form sends it
	Version string // of the firm's own pattern; 0 for the usual one
	Own     bool
	Steps   []StepForm
	Links   []LinkForm // the ones there are, then empty ones
	Kinds   []Choice
	Cases   []Choice // which openings a part of it holds for
	Types   []Choice // of links
	Clocks  []Choice // on which lags count
	Faults  Faults
	History []PatternChange // newest first
}

// Places are where a step can stand; the first is not at all.
func (p PatternEditPage) Places() []Choice {
	list := []Choice{{Text: "not part of it"}}
	for i := range p.Steps {
		n := strconv.Itoa(i + 1)
		list = append(list, Choice{Value: n, Text: "step " + n})
	}
	return list
}

// StepForm is one step as the form has it.
type StepForm struct {
	Kind    TaskKind
	Name    string // "framing"
	Place   string // "" when it is not part of the pattern
	When    string
	Needs   []NeedForm
	Items   []ItemForm
	Drivers []Choice // quantities that its hours hang on, with the address of their rates
}

// NeedForm is one handover that a step may need.
type NeedForm struct{ Condition, Text, When string }

// ItemForm is one item of material that a step may need.
type ItemForm struct {
	Item, Text string
	Needed     bool
}

// LinkForm is one link as the form has it; empty without From and To.
type LinkForm struct{ From, To, Type, Lag, Clock, When string }

// PatternChange is one line of the history.
type PatternChange struct {
	At      time.Time
	By      string
	Changes []string
}

func (PatternEditPage) template() string { return "pattern_edit" }
