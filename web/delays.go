package web

import (
	"slices"
	"strconv"
	"strings"
	"time"
)

// DelaysPage answers a project manager: who caused which days. GET /delays?project=&window=.
type DelaysPage struct {
	Chrome
	ProjectID string
	Project   string
	Projects  []Choice
	Window    string // the chosen run of windows
	Windows   []Choice
	FromPlan  time.Time // data date of the issued plan that the run begins with
	ToPlan    time.Time
	Running   bool // the run ends with a draft
	Working   bool // the ledger is still being worked out
	NoWindow  bool // fewer than two plans to compare: the page says what to do next
	NoIssue   bool // no plan has been issued at all
	Dates     []DelayDate
	Notices   []DelayWarning // due soon and overdue, the most urgent first
	Terms     DelayTermsForm
	Faults    Faults // of the form that was sent back; Form says which
	Form      string // "terms", "confirm" or "notice" with the line's ID
}

// DelayWarning is a notice that is due soon or overdue.
type DelayWarning struct {
	Text     string
	Deadline time.Time
	DaysLeft int // negative when overdue
}

// DelayTermsForm is what the contract says of delays, as text fields.
type DelayTermsForm struct {
	Trade, GC, Supplier, Weather string // calendar days; empty: no notice is agreed
	FloatOwner                   string // first_use, gc, us
	Pacing                       bool
	Version                      int64 // 0: nothing stored yet
}

// DelayDate is one GC date over the run of windows.
type DelayDate struct {
	ID            string
	Name          string
	DueBefore     *time.Time
	DueAfter      *time.Time
	Before, After *time.Time // forecasts
	Moved         int        // minutes, positive is later
	AloneSum      int        // what the causes would have done each alone
	FloatWords    string     // what the contract's rule on float says of it
	Untold        int        // minutes that no line holds
	Lines         []DelayLine
	Excusable     int // confirmed minutes
	Compensable   int
}

// Measured reports whether the movement can be split.
func (d DelayDate) Measured() bool { return d.Before != nil && d.After != nil }

// Falls reports whether there is anything to draw: some cause moved the date.
func (d DelayDate) Falls() bool {
	return d.Measured() && (d.Untold != 0 || slices.ContainsFunc(d.Lines, func(l DelayLine) bool { return l.Minutes != 0 }))
}

// Concurrent reports whether causes overlap: each alone, they would have moved the date further.
func (d DelayDate) Concurrent() bool {
	for i := range d.Lines {
		if len(d.Lines[i].Concurrent) > 0 {
			return true
		}
	}
	return false
}

// DelayCause is whose affair a line is, as proposed. The words are the page's.
type DelayCause string

// The causes.
const (
	DelayTrade    DelayCause = "other trade"
	DelaySupplier DelayCause = "supplier"
	DelayGC       DelayCause = "GC change"
	DelayOwn      DelayCause = "our own work"
	DelayCrew     DelayCause = "crew shortage"
	DelayWeather  DelayCause = "weather or closed site"
	DelayUnknown  DelayCause = "cause unknown"
	DelayReplan   DelayCause = "re-planning"
)

// side is the pattern that a cause is drawn in: not ours, ours, or nobody's.
func (c DelayCause) side() string {
	switch c {
	case DelayTrade, DelaySupplier, DelayGC:
		return "theirs"
	case DelayOwn, DelayCrew, DelayReplan:
		return "ours"
	}
	return "nobody"
}

// DelayLine is one cause with its evidence.
type DelayLine struct {
	ID          string // unique on the page
	Key         string
	Cause       DelayCause
	At          time.Time
	Text        string
	Party       string
	Minutes     int
	Alone       int
	CanStand    bool // Alone means something
	CountedWith string
	Concurrent  []string
	Pacing      string // what the contract says of own work that may have been slowed; empty: nothing to say
	Lost        bool
	Records     []DelayRecord
	CanConfirm  bool
	Confirm     DelayConfirmForm
	Confirmed   string // who confirmed what when; empty: proposed only
	Notice      *DelayNotice
}

// Side is the pattern that the line's cause is drawn in.
func (l DelayLine) Side() string { return l.Cause.side() }

// CauseWords is the cause in words.
func (l DelayLine) CauseWords() string { return string(l.Cause) }

// Standing says what the line counts as.
func (l DelayLine) Standing() string {
	switch {
	case l.Confirm.Excusable == "":
		return "not proposed"
	case l.Confirm.Excusable == "no":
		return "not excusable"
	case l.Confirm.Compensable == "yes":
		return "excusable, compensable"
	}
	return "excusable, not compensable"
}

// DelayRecord is a piece of evidence.
type DelayRecord struct {
	At   *time.Time
	Text string
	Href string // empty when there is no page to go to
}

// DelayConfirmForm holds what the form shows; Excusable and Compensable are yes, no or empty.
type DelayConfirmForm struct {
	Party       string
	Excusable   string
	Compensable string
	Note        string
	Version     int64
}

// DelayNotice is the notice that the contract asks for.
type DelayNotice struct {
	Deadline  time.Time
	Words     string // "overdue by 3 days", "due in 5 days", "sent Mon 2 Nov"
	Urgent    bool
	SentOn    string // ISO date, for the form
	Reference string
	Version   int64
}

// Span writes minutes of the clock as days: "3 days 2 h 10 min", "1 day", "45 min". It is exact, so that parts can be added
// up by hand.
func (f Format) Span(minutes int) string {
	if minutes < 0 {
		minutes = -minutes
	}
	const day = 24 * 60
	var parts []string
	if days := minutes / day; days > 0 {
		parts = append(parts, f.Of(days, "day", "days"))
	}
	if hours := minutes % day / 60; hours > 0 {
		parts = append(parts, strconv.Itoa(hours)+" h")
	}
	if rest := minutes % 60; rest > 0 {
		parts = append(parts, strconv.Itoa(rest)+" min")
	}
	if len(parts) == 0 {
		return "nothing"
	}
	return strings.Join(parts, " ")
}

// Signed writes a span with its sign: "+3 days", "−2 h", "0".
func (f Format) Signed(minutes int) string {
	switch {
	case minutes > 0:
		return "+" + f.Span(minutes)
	case minutes < 0:
		return "−" + f.Span(minutes)
	}
	return "0"
}

// Shift writes a movement in words: "3 days later", "2 h sooner", "not moved".
func (f Format) Shift(minutes int) string {
	switch {
	case minutes > 0:
		return f.Span(minutes) + " later"
	case minutes < 0:
		return f.Span(minutes) + " sooner"
	}
	return "not moved"
}
