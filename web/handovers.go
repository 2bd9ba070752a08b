package web

import (
	"fmt"
	"net/url"
	"strings"
	"time"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/slippage"
)

// HandoversPage answers a project manager: which areas are ready, which slip. GET /handovers?project=&area=&condition=&trade=&show=.
type HandoversPage struct {
	Chrome
	Filter     HandoversFilter
	Projects   []Choice
	Areas      []Choice
	Conditions []Choice
	Trades     []Choice
	Columns    []HandoverColumn // conditions across
	Rows       []HandoverRow    // areas in walking order, only those with a cell that passes the filter
	Total      int              // handovers of the project before filtering
	Records    []slippage.Record
	PlannedAt  time.Time // data date of the plan behind what waits; zero without one
}

// HandoversFilter is the part of the address that chooses handovers.
type HandoversFilter struct {
	Project   string `form:"project"`
	Area      string `form:"area"`
	Condition string `form:"condition"`
	Trade     string `form:"trade"`
	Show      string `form:"show"` // a HandoverState, "open" or "slipped"; empty shows all
}

// Active reports whether anything but the project is chosen.
func (f HandoversFilter) Active() bool {
	return f.Area != "" || f.Condition != "" || f.Trade != "" || f.Show != ""
}

// Query is the filter as an address has it.
func (f HandoversFilter) Query() string {
	q := url.Values{}
	for name, value := range map[string]string{
		"project": f.Project, "area": f.Area, "condition": f.Condition, "trade": f.Trade, "show": f.Show,
	} {
		if value != "" {
			q.Set(name, value)
		}
	}
	return q.Encode()
}

// HandoverColumn is one condition.
type HandoverColumn struct {
	Condition string   // in words
	Needed    []string // kinds of task that wait for it
}

// HandoverRow is one area.
type HandoverRow struct {
	AreaID   string
	Area     string // with the areas around it
	Depth    int    // how many areas are around it
	Openings int    // in it and inside it
	Cells    []HandoverCell
}

// HandoverState is where a handover stands.
type HandoverState string

// The states, from done to unknown.
const (
	HandedOver   HandoverState = "handed over"
	Overdue      HandoverState = "overdue"       // the promised day has passed
	ExpectedLate HandoverState = "expected late" // we expect it after the promised day
	PromisedDate HandoverState = "promised"      // and not contradicted
	ExpectedDate HandoverState = "expected"      // nobody promised anything, we expect a day
	NoDate       HandoverState = "no date"
	NotListed    HandoverState = "not listed" // no sheet names the condition for the area: nothing waits for it
)

// HandoverStates lists the states that a filter may choose.
func HandoverStates() []HandoverState {
	return []HandoverState{Overdue, ExpectedLate, PromisedDate, ExpectedDate, NoDate, HandedOver}
}

// Class is the state as the style sheet names it.
func (s HandoverState) Class() string { return strings.ReplaceAll(string(s), " ", "-") }

// Bad reports whether the state asks for attention.
func (s HandoverState) Bad() bool { return s == Overdue || s == ExpectedLate || s == NoDate }

// HandoverCell is one condition of one area.
type HandoverCell struct {
	ID        string // empty when nothing is listed
	Condition string
	From      string // the area around this one whose handover holds here; empty for its own
	Trade     string
	State     HandoverState
	Within    bool // nothing is listed for the area itself, but for areas inside it
	Promised  *problem.Date
	Forecast  *problem.Date // ours
	Actual    *problem.Date
	Slips     int // how often the promise moved to a later day
	Moved     int // calendar days that the promise has moved since it was first made
	Waiting   int // openings whose work waits for it
	Next      *NextTask
	Dates     []WaitingDate
	Latest    time.Time // when it may come at the latest without moving a GC date, crews apart; zero when unknown or over
}

// NextTask is the first task that waits for a handover.
type NextTask struct {
	Kind      TaskKind
	Mark      string
	OpeningID string
	Start     time.Time // zero when the plan does not place it
}

// WaitingDate is a GC date that work behind a handover counts for.
type WaitingDate struct {
	Name     string
	Forecast bool    // the plan has one
	Float    float64 // working days
	Drives   bool    // the handover stands in what drives the date
}

// Late is how many calendar days the handover came or is expected after the standing promise; negative is early.
func (c HandoverCell) Late() int {
	switch {
	case c.Promised == nil:
		return 0
	case c.Actual != nil:
		return slippage.Days(*c.Promised, *c.Actual)
	case c.Forecast != nil:
		return slippage.Days(*c.Promised, *c.Forecast)
	}
	return 0
}

// Slipped says how the promise has moved: "slipped twice, 9 days in all", "2 days sooner than first promised".
func (c HandoverCell) Slipped() string { return slippedWords(c.Slips, c.Moved) }

func slippedWords(slips, moved int) string {
	switch {
	case slips > 0 && moved > 0:
		return fmt.Sprintf("slipped %s, %s in all", times(slips), days(moved))
	case slips > 0 && moved == 0:
		return fmt.Sprintf("slipped %s, back at the first promise", times(slips))
	case slips > 0:
		return fmt.Sprintf("slipped %s, now %s sooner than first promised", times(slips), days(-moved))
	case moved < 0:
		return days(-moved) + " sooner than first promised"
	}
	return ""
}

func times(n int) string {
	switch n {
	case 0:
		return "never"
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// days writes a count of calendar days.
func days(n int) string {
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}

// LateWords says how far a day lies from the promised one: "3 days late", "2 days early", "on the day".
func LateWords(n int) string {
	switch {
	case n > 0:
		return days(n) + " late"
	case n < 0:
		return days(-n) + " early"
	}
	return "on the day"
}

// SlipWords says how a date moved, with both days: "slipped 6 days (Fri 4 Dec to Thu 10 Dec)".
func (f Format) SlipWords(old, new *problem.Date) string {
	switch {
	case old == nil && new == nil:
		return "no date"
	case old == nil:
		return "now " + f.Date(*new)
	case new == nil:
		return "no date any more, was " + f.Date(*old)
	}
	span := " (" + f.Date(*old) + " to " + f.Date(*new) + ")"
	switch n := slippage.Days(*old, *new); {
	case n > 0:
		return "slipped " + days(n) + span
	case n < 0:
		return "sooner by " + days(-n) + span
	}
	return "stays " + f.Date(*old)
}

// Counts gives the shown handovers by state, in the order of HandoverStates, each own handover once.
func (p HandoversPage) Counts() []StateCount {
	n := map[HandoverState]int{}
	for _, row := range p.Rows {
		for _, c := range row.Cells {
			if c.ID != "" && c.From == "" {
				n[c.State]++
			}
		}
	}
	var counts []StateCount
	for _, s := range HandoverStates() {
		if n[s] > 0 {
			counts = append(counts, StateCount{Word: string(s), N: n[s]})
		}
	}
	return counts
}

// Shows are the choices of the filter on states.
func (p HandoversPage) Shows() []Choice {
	list := []Choice{{Value: "open", Text: "not handed over"}, {Value: "slipped", Text: "promise slipped"}}
	for _, s := range HandoverStates() {
		list = append(list, Choice{Value: string(s), Text: string(s)})
	}
	return list
}

// SpreadWords says how a trade's outcomes lie: "median 3 days late, the middle half 1 to 6.5 days late".
func SpreadWords(s slippage.Spread) string {
	switch s.N {
	case 0:
		return "nothing handed over yet"
	case 1:
		return LateFigure(s.Median)
	}
	return fmt.Sprintf("median %s; middle half from %s to %s; extremes %s and %s",
		LateFigure(s.Median), LateFigure(s.Lower), LateFigure(s.Upper), LateFigure(s.Least), LateFigure(s.Most))
}

// LateFigure writes calendar days to a quarter of a day: "2.5 days late", "1 day early", "on the day".
func LateFigure(d float64) string {
	number := strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", max(d, -d)), "0"), ".")
	unit := " days "
	if number == "1" {
		unit = " day "
	}
	switch {
	case number == "0":
		return "on the day"
	case d > 0:
		return number + unit + "late"
	}
	return number + unit + "early"
}

// HandoverPage shows one handover: what was promised when, and what waits for it. GET /handovers/{id}.
type HandoverPage struct {
	Chrome
	ID        string
	Version   int64
	Project   string
	ProjectID string
	Area      string
	Code      string // of its condition, as forms send it
	Cell      HandoverCell
	Changes   []HandoverChangeLine // newest first
	Steps     []PromiseStep        // oldest first
	Needs     []NeedLine           // open tasks that wait, by planned start
	NeedsDone int                  // tasks that needed it and are done
	Holds     []string             // areas inside this one that go by it
	Record    *slippage.Record     // of its trade
	MayRecord bool
	Form      HandoverForm
	Faults    Faults
}

// Deeds are what may be recorded of the handover as it stands.
func (p HandoverPage) Deeds() []Choice {
	if p.Cell.Actual != nil {
		return []Choice{{Value: "undo", Text: "It was not handed over after all"}}
	}
	return []Choice{
		{Value: "promise", Text: "The trade promises another day"},
		{Value: "forecast", Text: "We expect another day"},
		{Value: "actual", Text: "It was handed over"},
	}
}

// needsAtOnce is how many waiting tasks a page shows before the rest folds away.
const needsAtOnce = 12

// FirstNeeds are the waiting tasks that the page shows at once.
func (p HandoverPage) FirstNeeds() []NeedLine { return p.Needs[:min(len(p.Needs), needsAtOnce)] }

// MoreNeeds are those that fold away.
func (p HandoverPage) MoreNeeds() []NeedLine { return p.Needs[min(len(p.Needs), needsAtOnce):] }

// HandoverTryPage shows what news of a handover would move before they are recorded. GET /handovers/try/{token}.
type HandoverTryPage struct {
	Chrome
	Token     string // names the kept news
	ID        string
	Condition string
	Area      string
	News      string // "promise slipped 6 days (Fri 4 Dec to Thu 10 Dec)"
	Rules     string // what the plan goes by instead, in a sentence; empty when it goes by the news
	Cause     string
	Photos    int // sent with it
	Effect    TrialEffect
}

// HandoverForm is what a person records of a handover. POST /handovers/{id}/try, with photos in the field photo.
type HandoverForm struct {
	Do      string `form:"do"` // promise, forecast, actual or undo
	Version int64  `form:"version"`
	Date    string `form:"date"`
	Cause   string `form:"cause"`
	Drop    bool   `form:"drop"` // with a promise: our own forecast is dropped, and planning goes by the promise
}

// HandoverChangeLine is one line of the history.
type HandoverChangeLine struct {
	At     time.Time
	By     string
	Text   string // "promise slipped 6 days (Fri 4 Dec to Thu 10 Dec)"
	Cause  string
	Source string
	Photos []PhotoRef
}

// PhotoRef names a stored photo.
type PhotoRef struct {
	ID            int64
	Width, Height int
	About         string // what it shows, for people who cannot see it
}

// SmallSize is the size at which the photo is shown in lists: at most 160 pixels a side.
func (p PhotoRef) SmallSize() (size struct{ W, H int }) {
	const side = 160
	size.W, size.H = p.Width, p.Height
	if longest := max(p.Width, p.Height); longest > side {
		size.W, size.H = max(1, p.Width*side/longest), max(1, p.Height*side/longest)
	}
	return size
}

// PromiseStep is one date as it stood from an instant on.
type PromiseStep struct {
	At   time.Time
	Date problem.Date // zero: the date before was taken back
	Ours bool         // our own forecast, not the trade's promise
}

// none reports whether no date stands from here on.
func (s PromiseStep) none() bool { return s.Date == problem.Date{} }

// NeedLine is a task that waits for a handover.
type NeedLine struct {
	Kind      TaskKind
	Mark      string
	OpeningID string
	Area      string
	Start     time.Time // zero when not planned
	Crew      string
	Driven    bool // the handover is what holds its start
}
