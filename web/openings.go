package web

import (
	"slices"
	"time"

	"jambwright/scheduler/length"
	"jambwright/web/elevation"
)

// OpeningsPage answers everybody: where does every opening stand.
// GET /openings?project=&area=&state=&type=&q=.
type OpeningsPage struct {
	Chrome
	Filter   OpeningsFilter
	Projects []Choice
	Areas    []Choice
	Types    []Choice
	Strips   []AreaStrip // areas in walking order, only openings that pass the filter
	Total    int         // openings of the project before filtering
}

// OpeningsFilter is the part of the address that chooses openings.
type OpeningsFilter struct {
	Project string `form:"project"`
	Area    string `form:"area"`
	State   string `form:"state"` // a progress word (elevation.Progress.Word) or "held"
	Type    string `form:"type"`
	Query   string `form:"q"` // part of a mark or a room
}

// Active reports whether anything but the project is chosen.
func (f OpeningsFilter) Active() bool {
	return f.Area != "" || f.State != "" || f.Type != "" || f.Query != ""
}

// AreaStrip is one area's openings in walking order.
type AreaStrip struct {
	ID       string
	Name     string // with its parents: "North building / Level 2"
	Openings []OpeningMark
}

// OpeningMark is one opening of a strip; where it stands is in its elevation.
type OpeningMark struct {
	ID        string
	Mark      string
	Room      string
	Elevation elevation.Opening
}

// StateCount is how many openings stand where.
type StateCount struct {
	Word string
	N    int
}

// Counts gives the openings of the strip by progress, in order of progress, held ones last. Words with none are left out.
func (s AreaStrip) Counts() []StateCount { return countStates(s.Openings) }

// Shown is the number of openings that pass the filter.
func (p OpeningsPage) Shown() int {
	n := 0
	for _, strip := range p.Strips {
		n += len(strip.Openings)
	}
	return n
}

// Counts gives all shown openings by progress.
func (p OpeningsPage) Counts() []StateCount {
	var all []OpeningMark
	for _, strip := range p.Strips {
		all = append(all, strip.Openings...)
	}
	return countStates(all)
}

// States are the choices of the state filter.
func (p OpeningsPage) States() []Choice {
	var states []Choice
	for progress := elevation.RoughOpening; progress <= elevation.Punched; progress++ {
		states = append(states, Choice{Value: progress.Word(), Text: progress.Word()})
	}
	return append(states, Choice{Value: "held", Text: "held"})
}

func countStates(openings []OpeningMark) []StateCount {
	var byProgress [elevation.Punched + 1]int
	held := 0
	for _, o := range openings {
		byProgress[o.Elevation.Progress]++
		if o.Elevation.Hold != "" {
			held++
		}
	}
	var counts []StateCount
	for progress, n := range byProgress {
		if n > 0 {
			counts = append(counts, StateCount{Word: elevation.Progress(progress).Word(), N: n})
		}
	}
	if held > 0 {
		counts = append(counts, StateCount{Word: "held", N: held})
	}
	return counts
}

// OpeningPage shows one opening: where it stands, why, and what it is made of. GET /openings/{id}.
type OpeningPage struct {
	Chrome
	ID         string
	Mark       string
	Project    string
	ProjectID  string
	Area       string
	Room       string
	TypeName   string
	Width      length.Length
	Height     length.Length
	Facts      []Fact // handing, glass, wall, fire rating, release: name and value as people read them
	Elevation  elevation.Opening
	Path       []PathStep // the seven kinds in order; a kind that the opening does not need is left out
	Sizes      OpeningSizes
	Quantities []Quantity
	Panes      []Pane
	Handovers  []HandoverLine
	Material   []MaterialLine
	Reports    []ReportLine // newest first
	Cautions   []string
}

// HasHints reports whether any pane has something to check.
func (p OpeningPage) HasHints() bool {
	return slices.ContainsFunc(p.Panes, func(pane Pane) bool { return pane.Hint != "" })
}

// Fact is a named value.
type Fact struct {
	Name  string
	Value string
}

// PathStep is one task of an opening's path.
type PathStep struct {
	Key     string // for a report; empty when the viewer may not report on it
	Kind    TaskKind
	Shared  string // "release R3" or "survey of Level 2" when the task is shared
	State   TaskState
	Crew    string // empty for work without a crew
	Start   time.Time
	Finish  time.Time // both zero when the task is not planned
	Actual  bool      // reported, not planned
	Minutes int       // crew minutes
	Working string    // how the hours come about
	Why     []string  // sentences
	Float   string    // float in words, from Format.FloatDays
}

// Quantity is a takeoff figure with the way it was found.
type Quantity struct {
	Name    string
	Value   string // with its unit, in the viewer's own system
	Working string // the formula in plain words and numbers
}

// Pane is one sheet of glass.
type Pane struct {
	Name     string
	Width    length.Length
	Height   length.Length
	Glass    string
	WeightKg float64
	Hands    int
	Gear     string
	Hint     string // safety-glazing hint, as something to check
}

// HandoverLine is one condition that another trade owes.
type HandoverLine struct {
	Condition string
	Area      string
	Needed    string // which kinds of task need it
	Promised  time.Time
	Forecast  time.Time // zero when it is the promise
	Actual    time.Time // zero while open
}

// MaterialLine is one item of material.
type MaterialLine struct {
	Item     string
	Href     string // of its release or remake, for those who buy; empty when it comes with none
	Release  string // what the release is called
	Supplier string
	State    string // to order, ordered, acknowledged, shipped, received, damaged, remade
	OrderBy  time.Time
	Promised time.Time
	Received time.Time
	Late     string // late by whom, in words
}

// ReportLine is one field report, newest first on its page.
type ReportLine struct {
	At     time.Time
	By     string
	Text   string
	Photos []PhotoRef
	// TakeBack is the id of a measured size that stands and may be taken back, ReportID the id of the report that does so.
	TakeBack, ReportID string
}

// OpeningSizes sets the size by the drawings beside the one measured on site.
type OpeningSizes struct {
	Measured   string    // width by height
	MeasuredAt time.Time // zero when nothing was measured
	Differs    string    // by how much, in words
	Items      []Fact    // which size each item of material is made to
	Panes      []PaneChange
}

// PaneChange is a pane whose size is not that of the drawings.
type PaneChange struct {
	Name, Drawn, Made, Differs string
	Weight                     string // by the drawings and as made
}
