package models

import (
	"time"

	"jambwright/scheduler/length"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// GCDate is a date that the general contractor holds us to: met when all its work is finished by the end of the day Due.
type GCDate struct {
	ID                 int64
	ProjectID          int64
	Code               string // unique in the project, stable
	Name               string
	AreaID             *int64       // nil: the whole project
	Kind               takeoff.Kind // "": all work
	Due                Date
	DamagesCentsPerDay *int64
	Note               string
	Versioned
	Area *Area
}

// Task is one piece of work as the planner knows it by Key, with the state folded from its field reports.
type Task struct {
	ID               int64
	ProjectID        int64
	Key              string
	Kind             takeoff.Kind
	OpeningID        *int64
	ReleaseID        *int64
	ItemID           *int64 // remake that the task orders or brings
	HandoverID       *int64
	AreaID           *int64
	DropNumber       *int // lead and delivery: the drop of the release
	LabourMinutes    *int
	MinHeads         int                 `gorm:"default:1"`
	Basis            JSON[takeoff.Basis] // of a task that several openings share: what its planned hours hang on
	StartedAt        *time.Time
	FinishedAt       *time.Time
	CrewID           *int64
	RemainingMinutes *int // crew minutes left when last reported
	LabourReported   int  // labour minutes reported so far
	Held             bool
	HeldUntil        *time.Time
	HoldCause        string
	HoldParty        string
	DroppedAt        *time.Time // no longer part of the work
	CreatedAt        time.Time
	UpdatedAt        time.Time
	Project          Project
	Opening          *Opening
	Release          *Release
	Item             *MaterialItem
	Handover         *Handover
	Area             *Area
	Crew             *Crew
}

// TaskLink says that a task comes before another one, as the problem planned last has it.
type TaskLink struct {
	ID       int64
	BeforeID int64
	AfterID  int64
	LinkType problem.LinkType
	Before   Task
}

// ReportKind is what a field report says.
type ReportKind string

// The kinds of report.
const (
	ReportStart       ReportKind = "start"
	ReportDone        ReportKind = "done"
	ReportPartDone    ReportKind = "part_done" // with the minutes that remain
	ReportHours       ReportKind = "hours"     // labour minutes spent
	ReportHold        ReportKind = "hold"      // with cause, party, expected date
	ReportReleaseHold ReportKind = "release_hold"
	ReportDamaged     ReportKind = "damaged"  // with the item
	ReportMeasured    ReportKind = "measured" // with width and height
	ReportPunch       ReportKind = "punch"    // an item for the punch list, in the note
)

// FieldReport is what a foreman sent. Rows are only ever appended. ClientID is made where the report is written; a
// report that arrives twice is stored once.
type FieldReport struct {
	ID               int64
	ClientID         string
	TaskID           int64
	Kind             ReportKind
	CrewID           *int64
	UserID           *int64
	Reporter         string
	At               time.Time // when it happened
	ReceivedAt       time.Time // when it reached us
	RemainingMinutes *int
	LabourMinutes    *int
	Until            *time.Time
	Cause            string
	Party            string
	ItemKind         pattern.Item
	Width            *length.Length
	Height           *length.Length
	OutOfPlumb       *length.Length
	OutOfLevel       *length.Length
	OutOfSquare      *length.Length
	Withdraws        *int64 // the report of a size that this one takes back
	Note             string
	Task             Task
	Crew             *Crew
	Photos           []Photo `gorm:"foreignKey:ReportID"`
}

// Pin is a person's decision that planning must not move: a crew, a start, or both.
type Pin struct {
	ID      int64
	TaskID  int64
	CrewID  *int64
	StartAt *time.Time
	UserID  *int64
	Note    string
	Versioned
	Task Task
	Crew *Crew
}
