package models

import (
	"time"

	"jambwright/scheduler/recovery"
)

// RecoverySettings is the one row of what moves cost with us. Money is in cents.
type RecoverySettings struct {
	ID                  int64
	Loss                float64
	OvertimePremium     float64
	SaturdayPremium     float64
	HirePremium         float64
	HireDays            int
	HireAtLeastDays     int
	HireCents           int64
	ExpediteCentsPerDay int64
	Versioned
}

// TableName keeps the plural that the word already is.
func (RecoverySettings) TableName() string { return "recovery_settings" }

// RunStatus is how far a search for moves has come.
type RunStatus string

// The states.
const (
	RunWaiting   RunStatus = "waiting"
	RunRunning   RunStatus = "running"
	RunDone      RunStatus = "done"
	RunFailed    RunStatus = "failed"
	RunCancelled RunStatus = "cancelled"
)

// Open reports whether the search may still come to something.
func (s RunStatus) Open() bool { return s == RunWaiting || s == RunRunning }

// RecoveryRun is one search for moves that win days for a GC date, on a plan.
type RecoveryRun struct {
	ID         int64
	GCDateID   int64
	PlanID     int64
	UserID     *int64
	AskedAt    time.Time
	FinishedAt *time.Time
	Status     RunStatus
	Done       int // plans made
	Total      int // plans to be made at most
	Error      string
	Result     []byte // compressed JSON of recovery.Result, when done
}

// ScenarioState is what a scenario counts for.
type ScenarioState string

// The states.
const (
	ScenarioDraft     ScenarioState = "draft"
	ScenarioInForce   ScenarioState = "in_force"
	ScenarioWithdrawn ScenarioState = "withdrawn"
)

// Scenario is a set of moves. In force, every problem made from stored rows has them in it.
type Scenario struct {
	ID             int64
	ProjectID      int64
	GCDateID       *int64 // the date that it was made for; nil once that is gone
	Name           string
	State          ScenarioState
	Moves          List[recovery.Move]
	ForecastBefore *time.Time // of the date, without the moves, when it was tried
	ForecastAfter  *time.Time // with them
	CostCents      int64      // when it was tried
	UserID         *int64
	MadeBy         string
	PlanID         *int64 // made when it came into force
	InForceAt      *time.Time
	InForceBy      string
	WithdrawnAt    *time.Time
	WithdrawnBy    string
	Versioned
	Project Project
	GCDate  *GCDate
}
