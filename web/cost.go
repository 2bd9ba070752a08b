package web

import (
	"math"
	"time"
)

func (CostPage) template() string { return "cost" }

// CostPage answers managers: what was the crews' work to cost, what has it cost, what will it. GET /cost; its export is
// GET /cost/export/{file}.
type CostPage struct {
	Chrome
	DataDate time.Time // zero when nothing has been planned
	Projects []CostProject
	InForce  []ScenarioLine
	Known    bool // crews have a cost an hour
	Firm     bool // the reader sees all of the firm
	// Of the whole firm, by the latest plan.
	Whole    CostLine
	Unshared float64 // what second crews cost for which the plan has no work
}

// CostProject is one project's work and its GC dates.
type CostProject struct {
	Name  string
	Whole CostLine // with the damages of all dates
	Dates []CostLine
}

// CostLine is some work in hours and money.
type CostLine struct {
	Name, ID     string // of a GC date; ID "" for a project
	Counts       string // what a GC date's line counts
	Tasks, Done  int
	WithoutHours int // finished tasks that count as planned
	Hours        CostHours
	Planned      float64
	Spent        float64
	ToCome       float64 // of work
	Travel       float64 // and set-up, to come
	Premiums     float64 // with paid hours without work of long weeks and second crews
	Prices       float64 // of moves in force, paid once
	Forecast     float64 // at completion
	Idle         float64 // beside the forecast
	Damages      float64
	Late         bool
}

// CostHours are labour hours: three people for an hour are three.
type CostHours struct {
	Planned, Spent, ToCome float64
	Travel                 float64 // and set-up, to come
	Lost                   float64 // paid without work, in long weeks and by second crews
	Forecast               float64 // at completion
	Overtime               float64 // of them, beyond ordinary days
	Idle                   float64 // beside the forecast
}

// labour writes hours of people, which are 0 or more, to the hour, so that figures stand under each other: "8", "1,204".
func labour(hours float64) string {
	if hours > 0 && hours < 0.5 {
		return "under 1"
	}
	return thousands(int64(math.Round(hours)))
}

// costed is a line of money; known says that crews have a cost an hour.
func costed(known bool, line CostLine) costedLine { return costedLine{known, line} }

type costedLine struct {
	Known bool
	Line  CostLine
}
