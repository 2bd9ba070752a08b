package models

import (
	"time"

	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/tolerance"
)

// Units is the system of measure that a project's people read.
type Units string

// The systems.
const (
	Imperial Units = "imperial"
	Metric   Units = "metric"
)

// Write writes a length as people read it.
func (u Units) Write(l length.Length) string {
	if u == Metric {
		return l.Millimetres() + " mm"
	}
	return l.FeetInches()
}

// Project is one job on one site.
type Project struct {
	ID            int64
	Code          string // unique, short, stable; first part of every task key
	Name          string
	SiteID        int64
	CalendarID    int64
	Zone          string // IANA zone of the nightly hour and of display
	NightlyHour   int
	NightlyMinute int
	OutOfOrder    problem.OutOfOrder `gorm:"default:let_run"`
	AutoIssue     bool
	Units         Units               `gorm:"default:imperial"`
	Tolerances    JSON[tolerance.Set] // what is not given here is the firm's
	DockID        *int64
	HoistID       *int64
	ClosedAt      *time.Time
	Versioned
	Site     Site
	Calendar Calendar
	Dock     *Limit
	Hoist    *Limit
}

// Area is a part of a project; areas nest by ParentID.
type Area struct {
	ID           int64
	ProjectID    int64
	ParentID     *int64
	Code         string // unique in the project, stable; part of task keys
	Name         string
	Kind         pattern.AreaKind
	WalkOrder    int
	MaxCrews     *int
	SetupMinutes *int
	Hoisted      bool
	MaxStored    *int // items of openings that can lie in it between delivery and use; nil: no limit
	Versioned
}

// Handover is the state of one condition of one area.
type Handover struct {
	ID        int64
	AreaID    int64
	Condition pattern.Condition
	Trade     string
	Promised  *Date
	Forecast  *Date
	Actual    *Date
	Note      string
	Versioned
	Area Area
}

// HandoverField names one of a handover's dates.
type HandoverField string

// The dates.
const (
	FieldPromised HandoverField = "promised"
	FieldForecast HandoverField = "forecast"
	FieldActual   HandoverField = "actual"
)

// HandoverChange is one line of the append-only history of a handover's dates. A nil date was or became unknown.
type HandoverChange struct {
	ID         int64
	HandoverID int64
	At         time.Time
	UserID     *int64
	Field      HandoverField
	OldDate    *Date
	NewDate    *Date
	Cause      string
	Source     string // the sheet or page that it came by
	Handover   Handover
	User       *User
	Photos     []Photo
}
