package web

import (
	"math"
	"time"
)

func (RecoveryPage) template() string       { return "recovery" }
func (ScenarioPage) template() string       { return "scenario" }
func (RecoveryPricesPage) template() string { return "recovery_prices" }

// RecoveryPage answers a project manager: what would win days back for a GC date, and at what price.
// GET /dates/{id}/recovery; its forms are POST /dates/{id}/recovery, /dates/{id}/recovery/cancel and /dates/{id}/recovery/try.
type RecoveryPage struct {
	Chrome
	ID        string // of the GC date
	Name      string
	Project   string
	Date      time.Time
	Forecast  *time.Time // of the plan shown
	FloatDays float64    // working days, negative when late
	PerDay    float64    // damages a day; 0 when none are agreed
	DataDate  time.Time  // of the plan shown; zero when there is none
	Search    Search
	Moves     []MoveLine // to tick: those that win something by themselves, then those that do so with others
	Sets      []MoveLine // of two and more
	Useless   []UselessLine
	Untried   int // moves farther from the driving chain that were not tried
	Scenarios []ScenarioLine
	Prices    []Fact
	MayPrice  bool // may edit the prices
	Faults    Faults
}

// SearchState is how far a search for moves is.
type SearchState string

// The states of a search; "" when none was made yet.
const (
	SearchWaiting   SearchState = "waiting"
	SearchRunning   SearchState = "running"
	SearchDone      SearchState = "done"
	SearchFailed    SearchState = "failed"
	SearchCancelled SearchState = "cancelled"
)

// Search is the newest search for moves.
type Search struct {
	State   SearchState
	Done    int // plans made
	Total   int // at most
	Failure string
	Old     bool      // it was made for an earlier plan than the one shown
	At      time.Time // data date of the plan it was made for
}

// Open reports whether a search goes on.
func (s Search) Open() bool { return s.State == SearchWaiting || s.State == SearchRunning }

// MoveLine is a move, or a set of moves, with what it comes to.
type MoveLine struct {
	Value     string // of its tick box or button
	Letter    string // its name on the drawing
	Texts     []string
	Chosen    bool
	Days      float64 // of 24 hours won by itself; 0 for a move that helps only with others
	WorkDays  float64
	After     *time.Time // forecast then
	Keeps     bool       // the GC date is kept then
	Cost      float64    // of the moves themselves: premiums, unproductive paid time, prices
	Work      float64    // what the work itself costs more, or less, because other crews do it
	Unpriced  bool       // a risk, or an agreement, that no price is set for
	Damages   float64    // damages saved, of all GC dates
	Worse     []string   // what gets worse, in sentences
	Cautions  []string
	TellsCost bool // false when crews have no cost an hour
}

// PerDay is the cost of each day won.
func (m MoveLine) PerDay() float64 {
	if m.Days <= 0 {
		return 0
	}
	return m.Cost / m.Days
}

// DamagesWords is the amount of damages saved, or more, without its sign.
func (m MoveLine) DamagesWords() float64 { return math.Abs(m.Damages) }

// WorkWords is the amount of Work without its sign, 0 where it is too small to tell.
func (m MoveLine) WorkWords() float64 {
	if math.Abs(m.Work) < 1 {
		return 0
	}
	return math.Abs(m.Work)
}

// UselessLine is a move that would not help, and why.
type UselessLine struct {
	Texts []string // moves with the same reason
	Why   string
}

// ScenarioLine names a scenario in a list.
type ScenarioLine struct {
	ID    string
	Name  string
	State string // "draft", "in force", "withdrawn"
	Texts []string
	Since time.Time
	By    string
}

// ScenarioPage shows a set of moves: what it does before it comes into force, what withdrawing it does when it is.
// GET /scenarios/{id}; its form is POST /scenarios/{id} with do=adopt, do=drop or do=withdraw.
type ScenarioPage struct {
	Chrome
	ScenarioLine
	Project   string
	DateName  string
	DateID    string // "" once the date is gone
	Promised  *time.Time
	Without   *time.Time // forecast without the moves, when it was tried
	Cost      float64    // when it was tried
	MayDecide bool
	Withdrawn time.Time
	LetGoBy   string
	Cautions  []string
	// What changing it does; empty for a scenario that is withdrawn.
	Dates []DateEffect
	Moved []MovedTask
	Sums  CostEffect
}

// Draft reports whether the scenario can be put in force.
func (p ScenarioPage) Draft() bool { return p.State == "draft" }

// InForce reports whether every plan has its moves in it.
func (p ScenarioPage) InForce() bool { return p.State == "in force" }

// RecoveryPricesPage edits what moves cost with us. GET and POST /recovery/prices.
type RecoveryPricesPage struct {
	Chrome
	Form    RecoveryPricesForm
	Default bool // nothing has been saved yet
	Faults  Faults
}

// RecoveryPricesForm is what the form sends.
type RecoveryPricesForm struct {
	Version  int64  `form:"version"`
	Loss     string `form:"loss"`     // percent
	Overtime string `form:"overtime"` // times the cost an hour
	Saturday string `form:"saturday"`
	Hire     string `form:"hire"`
	HireDays string `form:"hire_days"`
	AtLeast  string `form:"at_least"`
	Bring    string `form:"bring"`
	Expedite string `form:"expedite"`
}

// priceField is one field of the form of prices.
type priceField struct{ Name, Label, Value, Help, Fault string }

func priced(p RecoveryPricesPage, name, label, value, help string) priceField {
	return priceField{name, label, value, help, p.Faults.On(name)}
}
