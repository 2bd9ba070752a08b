package web

import "time"

func (CostPage) template() string { return "cost" }

// CostPage answers managers: what was the crews' work to cost, what has it cost, what will it. GET /cost.
type CostPage struct {
	Chrome
	DataDate time.Time // zero when nothing has been planned
	Projects []CostProject
	InForce  []ScenarioLine
	Known    bool // crews have a cost an hour
	// Of the whole firm, by the latest plan.
	OvertimeHours float64
	Premiums      float64 // premiums and unproductive paid time of longer hours and second crews in force
	Prices        float64 // paid once by scenarios in force
	TravelMinutes int
	IdleMinutes   int
	Firm          bool // the reader sees all of the firm
}

// CostProject is one project's work and its GC dates.
type CostProject struct {
	Name    string
	Whole   CostLine
	Dates   []CostLine
	Damages float64 // of forecast lateness, all dates together
}

// CostLine is some work in hours and money. Hours are labour hours.
type CostLine struct {
	Name, ID      string // of a GC date; ID "" for a project
	Tasks, Done   int
	WithoutHours  int // finished tasks that count as planned
	PlannedHours  float64
	SpentHours    float64
	ForecastHours float64
	Planned       float64
	Spent         float64
	Forecast      float64
	Damages       float64
	Late          bool
}
