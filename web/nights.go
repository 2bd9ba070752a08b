package web

import "time"

// NightsPage answers the operations manager: what changed overnight. GET /nights.
type NightsPage struct {
	Chrome
	Runs     []NightLine // newest first
	NextRun  time.Time   // zero when no project has a night set
	Projects []Choice    // projects that can be re-planned by hand
	CanRun   bool
	Running  bool // a run is in the queue or at work
}

// NightOutcome is how a run ended.
type NightOutcome string

// The outcomes of a night run.
const (
	NightQueued  NightOutcome = "queued"
	NightRunning NightOutcome = "running"
	NightDone    NightOutcome = "done"
	NightFailed  NightOutcome = "failed"
)

// NightLine is one run in the list.
type NightLine struct {
	ID        string
	Project   string
	Night     time.Time // when it was due or asked for
	ByHand    string    // who asked for it; empty for the timer
	Outcome   NightOutcome
	Failure   string // the cause in words
	Moved     int
	Reports   int // field reports read
	DatesOut  int // GC dates forecast late
	DatesOpen int // GC dates without a forecast
}

// NightPage shows one run. GET /nights/{id}.
type NightPage struct {
	Chrome
	ID        string
	Project   string
	Night     time.Time
	Started   time.Time
	Finished  time.Time
	ByHand    string
	Outcome   NightOutcome
	Failure   string // the cause in words; everything was left as it was
	Reference string // short reference into the log, empty when there is none
	Read      []ReadLine
	Dates     []DateEffect
	Moved     []MovedTask
	Unplanned []UnplannedLine
	Notes     []string
	Issued    bool   // the plan was issued by the run itself
	Found     string // how good the plan is, in a sentence; may be empty
	// NoForecast is why the plan came without a forecast of chances; empty when it has one.
	NoForecast string
}

// ReadLine is one thing that the run read: a report, a handover change, a material change.
type ReadLine struct {
	At    time.Time
	Text  string
	Usual bool // work begun and done, which most of a day's reports say
}

// News lists what a reader should see first: all but the usual.
func (p NightPage) News() (lines []ReadLine) {
	for _, line := range p.Read {
		if !line.Usual {
			lines = append(lines, line)
		}
	}
	return lines
}

// Usual lists the reports of work begun and done.
func (p NightPage) Usual() (lines []ReadLine) {
	for _, line := range p.Read {
		if line.Usual {
			lines = append(lines, line)
		}
	}
	return lines
}

// UnplannedLine is a task that could not be placed.
type UnplannedLine struct {
	Mark      string
	OpeningID string
	Kind      TaskKind
	Why       string
}
