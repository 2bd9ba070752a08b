package web

import (
	"math"
	"time"

	"jambwright/scheduler/problem"
)

// CrewsPage answers the operations manager: who is where for three weeks, who is idle, double-booked or away.
// GET /crews?from=YYYY-MM-DD&crew=ID&open=BLOCK.
type CrewsPage struct {
	Chrome
	From     problem.Date
	Previous problem.Date
	Next     problem.Date
	Days     []Day // 21 of them
	DataDate time.Time
	Lanes    []CrewLane
	Chosen   string // crew shown alone on a phone; empty means the first
	Open     string // key of the block whose form is open; empty for none
	Form     MoveForm
	Faults   Faults
	Draft    Draft
	InForce  []ScenarioLine // moves that the plan has in it
}

// Draft tells how the shown plan differs from the one in force.
type Draft struct {
	PlanID   string
	Issued   bool      // the shown plan is the one in force
	IssuedAt time.Time // when the plan in force was issued; zero when none ever was
	IssuedBy string
	Changes  int // tasks whose crew or start differ from the plan in force
}

// CrewLane is one crew's three weeks, one LaneDay for each day of the page.
type CrewLane struct {
	Crew        CrewRef
	Site        string // where it is this week, in words
	Days        []LaneDay
	IdleMinutes int
	Trouble     []string // double-booked, overloaded: whole sentences
}

// LaneDay is one crew on one day: pieces in order of time.
type LaneDay struct {
	Date   problem.Date
	Off    string // "weekend", "away: training"; the day has no pieces then
	Pieces []LanePiece
}

// PieceKind is what a piece of a day is.
type PieceKind string

// The kinds of piece.
const (
	PieceWork   PieceKind = "work"
	PieceTravel PieceKind = "travel"
	PieceSetup  PieceKind = "setup"
	PieceIdle   PieceKind = "idle"
)

// LanePiece is a stretch of a crew's day: work in one area, or time lost.
type LanePiece struct {
	Key     string // names the block in the address; empty for time lost
	Kind    PieceKind
	Area    string // of work; the place gone to for travel and set-up
	Site    string
	Minutes int
	Start   time.Time
	Finish  time.Time
	Marks   []LaneMark
	Trouble string // "also booked on L3 north from 10:00"
}

// LaneMark is one task of a block.
type LaneMark struct {
	TaskKey   string
	OpeningID string
	Mark      string
	Kind      TaskKind
	State     TaskState
	Start     time.Time
	Pinned    bool
	Gear      bool // lifting gear is planned: no crew has the hands
}

// Pinned reports whether every mark of the piece is pinned.
func (p LanePiece) Pinned() bool {
	for _, m := range p.Marks {
		if !m.Pinned {
			return false
		}
	}
	return len(p.Marks) > 0
}

// OpenBlock is the block whose form is open, or nil.
func (p CrewsPage) OpenBlock() *OpenBlock {
	if p.Open == "" {
		return nil
	}
	for _, lane := range p.Lanes {
		for _, day := range lane.Days {
			for i := range day.Pieces {
				if day.Pieces[i].Key == p.Open {
					return &OpenBlock{Crew: lane.Crew, Piece: &day.Pieces[i]}
				}
			}
		}
	}
	return nil
}

// OpenBlock is a block with its crew.
type OpenBlock struct {
	Crew  CrewRef
	Piece *LanePiece
}

// MoveForm is what the small form of a block sends. POST /crews/move.
type MoveForm struct {
	Block string   `form:"block"`
	Tasks []string `form:"task"` // keys of the marks that go along
	Crew  string   `form:"crew"`
	Date  string   `form:"date"` // ISO 8601; empty keeps the start for the planner to choose
	Time  string   `form:"time"` // HH:MM
	Pin   bool     `form:"pin"`  // an unchecked box sends nothing
	From  string   `form:"from"` // first day of the page to go back to
}

// MovePreviewPage shows what a move does before it is done. POST /crews/move renders it or redirects to it; its form is
// POST /crews/accept with token and do=accept or do=put_back.
type MovePreviewPage struct {
	Chrome
	Token    string // names the kept preview
	Back     string // address of the crews page
	Marks    []string
	FromCrew string
	ToCrew   string
	Start    time.Time // zero when the planner chose
	Pin      bool
	Refused  string // why it cannot be done, in words; there is nothing to accept then
	Dates    []DateEffect
	Moved    []MovedTask
	Cost     CostEffect
}

// DateEffect is what a change does to one GC date. A nil forecast means that something cannot be planned.
type DateEffect struct {
	Name        string
	Date        time.Time
	Before      *time.Time
	After       *time.Time
	FloatBefore float64 // working days, negative when late
	FloatAfter  float64
}

// Verdict says in one word which way the date goes: "sooner", "later" or "same".
func (d DateEffect) Verdict() string {
	switch {
	case d.Before == nil || d.After == nil:
		if d.Before == d.After {
			return "same"
		}
		if d.After == nil {
			return "lost"
		}
		return "found"
	case d.isSame():
		return "same"
	case d.After.Before(*d.Before):
		return "sooner"
	case d.After.After(*d.Before):
		return "later"
	}
	return "same"
}

// isSame reports whether the change is too small to act on: less than a quarter of a working day, within half a day.
func (d DateEffect) isSame() bool {
	return math.Abs(d.FloatAfter-d.FloatBefore) < 0.25 && d.After.Sub(*d.Before).Abs() < 12*time.Hour
}

// MovedTask is a task that a plan places elsewhere than the plan before it. Zero times mean not planned.
type MovedTask struct {
	Mark       string
	OpeningID  string
	Kind       TaskKind
	CrewBefore string
	CrewAfter  string
	Before     time.Time
	After      time.Time
	Cause      string // what made it move, in words; empty when not known
	Turn       bool   // it moves only since its crew takes its work at another time
}

// CostEffect is what a change does to money and lost time.
type CostEffect struct {
	Known         bool
	CrewBefore    float64 // work still to come at its crews' cost, without travel and idle time
	CrewAfter     float64
	DamagesBefore float64 // damages for forecast lateness
	DamagesAfter  float64
	TravelBefore  int // minutes
	TravelAfter   int
	IdleBefore    int
	IdleAfter     int
}

// IssuePage lists what changes for the crews before a plan is issued. GET /plans/issue; its form is POST /plans/issue
// with plan=PlanID.
type IssuePage struct {
	Chrome
	Draft Draft
	Dates []DateEffect
	Moved []MovedTask
	Notes []string // out-of-order work, pins that had to move
}
