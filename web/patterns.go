package web

// PatternsPage shows what work each type of opening takes. GET /patterns.
type PatternsPage struct {
	Chrome
	Patterns []WorkPattern
	Survey   []string // handovers that an area needs before it is surveyed
}

// WorkPattern is the work on one type of opening.
type WorkPattern struct {
	Type  string
	Edit  string // address of its form
	Own   bool   // the firm's own, not the one everybody starts from
	Steps []PatternStep
	Links []string // on top of each step following the one before, in sentences
}

// PatternStep is one kind of task.
type PatternStep struct {
	Kind    TaskKind
	When    string   // "" always
	Needs   []string // handovers, with the case where it is not always
	Items   []string // material on site before it
	Drivers []string // quantities that its hours hang on
}

func (PatternsPage) template() string { return "patterns" }
