package models

import (
	"time"

	"jambwright/scheduler/forecast"
)

// ForecastBecause is what led to a forecast.
type ForecastBecause string

// The causes.
const (
	ForecastByNight  ForecastBecause = "night"
	ForecastByPerson ForecastBecause = "person"
)

// ForecastState is how far a forecast has come.
type ForecastState string

// The states. A forecast of a night or the demo is stored once it is done.
const (
	ForecastWaiting   ForecastState = "waiting"
	ForecastRunning   ForecastState = "running"
	ForecastDone      ForecastState = "done"
	ForecastFailed    ForecastState = "failed"
	ForecastCancelled ForecastState = "cancelled"
)

// IsOpen reports whether the forecast waits or runs.
func (s ForecastState) IsOpen() bool { return s == ForecastWaiting || s == ForecastRunning }

// Forecast is one forecast of a plan's GC dates.
type Forecast struct {
	ID          int64
	PlanID      int64
	Because     ForecastBecause
	State       ForecastState
	AskedAt     time.Time
	UserID      *int64
	AskedBy     string
	MadeAt      *time.Time
	CancelAt    *time.Time // somebody wants it to stop
	SamplesDone int
	SamplesMost int
	Seed        string // decimal; more than a signed column holds
	StoppedBy   string
	Spread      float64
	ElapsedMS   int64
	Failure     string
	Notes       List[string]
	Dates       []ForecastDate
}

// ForecastDate is one GC date in a forecast. Times are nil where the plan does not finish the date.
type ForecastDate struct {
	ID            int64
	ForecastID    int64
	GCDateID      int64 `gorm:"column:gc_date_id"`
	DueAt         time.Time
	PlanAt        *time.Time
	P10At         *time.Time `gorm:"column:p10_at"`
	P50At         *time.Time `gorm:"column:p50_at"`
	P80At         *time.Time `gorm:"column:p80_at"`
	P90At         *time.Time `gorm:"column:p90_at"`
	P80LowAt      *time.Time `gorm:"column:p80_low_at"`
	P80HighAt     *time.Time `gorm:"column:p80_high_at"`
	Settled       bool
	Chance        *float64
	LateDays      float64
	Damages       float64
	Unfinished    int
	DoneAt        *time.Time // all of its work was done when the forecast was made: when the last of it was
	Sensitivities List[forecast.Sensitivity]
	Criticality   List[forecast.Criticality]
}
