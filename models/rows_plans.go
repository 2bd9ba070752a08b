package models

import "time"

// MadeBecause is what led to a plan.
type MadeBecause string

// The causes.
const (
	MadeByPerson MadeBecause = "person"
	MadeByNight  MadeBecause = "night"
	MadeByImport MadeBecause = "import"
	MadeByReport MadeBecause = "report"
	MadeByDemo   MadeBecause = "demo"
)

// Plan is one result of planning the whole firm. It is a draft for a project until it is issued there.
type Plan struct {
	ID                  int64
	DataDate            time.Time
	MadeAt              time.Time
	ReadAt              *time.Time // up to when everything known had been read; nil in plans of before this was kept
	MadeBecause         MadeBecause
	UserID              *int64
	Schedules           int
	Seed                string // decimal; more than a signed column holds
	StoppedBy           string
	ElapsedMS           int64
	LatenessCost        float64
	Changes             int
	TravelMinutes       int
	IdleMinutes         int
	Makespan            *time.Time
	ObjectiveTotal      float64
	BoundLatenessCost   float64
	BoundLatenessProved bool
	BoundMakespan       *time.Time
	BoundMakespanProved bool
	BoundProved         bool
	WeightLateness      float64
	WeightChange        float64
	WeightTravel        float64
	WeightEarly         float64
	Notes               List[string]
}

// ReadUntil is the instant after which something is news to the plan. The data date is earlier by part of a minute, in which what
// the plan knew would be news once more.
func (p *Plan) ReadUntil() time.Time {
	if p.ReadAt != nil {
		return *p.ReadAt
	}
	return p.DataDate
}

// PlanDocument holds a plan's two documents as compressed JSON.
type PlanDocument struct {
	PlanID  int64 `gorm:"primaryKey;autoIncrement:false"`
	Problem []byte
	Plan    []byte
}

// Segment is a span of working time in minutes since 1970-01-01 UTC, half-open.
type Segment [2]int64

// PlanTask is one task's dates in a plan.
type PlanTask struct {
	ID                int64
	PlanID            int64
	TaskID            int64
	CrewID            *int64
	StartAt           time.Time
	ResumeAt          *time.Time
	FinishAt          time.Time
	Segments          List[Segment]
	EarlyStart        time.Time
	EarlyFinish       time.Time
	LateStart         time.Time
	LateFinish        time.Time
	TotalFloatMinutes int
	FreeFloatMinutes  int
	Critical          bool
	ReasonKind        string
	ReasonRef         string
	ReasonUntil       *time.Time
	Task              Task
	Crew              *Crew
}

// PlanDate is the outlook of one GC date in a plan.
type PlanDate struct {
	ID           int64
	PlanID       int64
	GCDateID     int64
	DueAt        time.Time
	ForecastAt   *time.Time // nil: work of the date is unplanned
	FloatMinutes int
	LateDays     float64
	DrivingChain List[string] // task keys from the data date to the date
	GCDate       GCDate
}

// PlanUnplanned is a task left out of a plan.
type PlanUnplanned struct {
	ID     int64
	PlanID int64
	TaskID int64
	Why    string
	Task   Task
}

// TableName keeps the participle.
func (PlanUnplanned) TableName() string { return "plan_unplanned" }

// PlanChange is one difference between a plan and the one it was compared with: of a task or of a GC date.
type PlanChange struct {
	ID           int64
	PlanID       int64
	ProjectID    int64
	AgainstID    *int64
	TaskID       *int64
	GCDateID     *int64
	OldCrewID    *int64
	NewCrewID    *int64
	OldStart     *time.Time
	NewStart     *time.Time
	OldFinish    *time.Time
	NewFinish    *time.Time
	MovedMinutes int // of the finish; negative: sooner
	CauseKind    string
	CauseRef     string
	CauseText    string
	ReportID     *int64
	Task         *Task
	GCDate       *GCDate
	Report       *FieldReport
}

// PlanIssue says that a project's crews follow a plan from IssuedAt on, until the next issue.
type PlanIssue struct {
	ID        int64
	PlanID    int64
	ProjectID int64
	IssuedAt  time.Time
	UserID    *int64
	Automatic bool
	Plan      Plan
}

// Baseline is an issued plan that the general contractor accepted.
type Baseline struct {
	ID        int64
	ProjectID int64
	PlanID    int64
	Name      string
	SetAt     time.Time
	UserID    *int64
}

// NightStatus is how far a night's run has come.
type NightStatus string

// The states.
const (
	NightRunning NightStatus = "running"
	NightOK      NightStatus = "ok"
	NightFailed  NightStatus = "failed"
)

// Night is one nightly run of a project.
type Night struct {
	ID         int64
	ProjectID  int64
	LocalDate  Date
	Asked      string // names a run that a person asked for; "" is the night's own
	AskedBy    string
	StartedAt  time.Time
	FinishedAt *time.Time
	Status     NightStatus
	Error      string
	ReadFrom   *time.Time // what was read: (ReadFrom, ReadTo]
	ReadTo     *time.Time
	Reports    int
	Handovers  int
	Materials  int
	PlanID     *int64
	Issued     bool
	// ForecastTrouble is why the night has a plan and no forecast; empty when it has both.
	ForecastTrouble string
	Project         Project
}
