package models

import (
	"time"

	"jambwright/scheduler/ledger"
)

// FloatOwner says whom a contract lets use the days between a forecast and its GC date.
type FloatOwner string

// The owners.
const (
	FloatFirstUse FloatOwner = "first_use" // whoever uses it first
	FloatOfGC     FloatOwner = "gc"
	FloatOurs     FloatOwner = "us"
)

// DelayTerms are what a project's contract says of delays. Nil days: no notice is agreed for that kind of cause.
type DelayTerms struct {
	ProjectID    int64 `gorm:"primaryKey;autoIncrement:false"`
	TradeDays    *int  // calendar days from an event of another trade to its notice
	GCDays       *int  `gorm:"column:gc_days"`
	SupplierDays *int
	WeatherDays  *int
	FloatOwner   FloatOwner `gorm:"default:first_use"`
	Pacing       bool       // the contract recognises pacing
	Versioned
}

// TableName keeps the plural that the word already is.
func (DelayTerms) TableName() string { return "delay_terms" }

// NoticeDays are the days that a cause's notice has, nil when none is agreed or the cause is our own.
func (t *DelayTerms) NoticeDays(cause ledger.Cause) *int {
	switch cause {
	case ledger.OtherTrade:
		return t.TradeDays
	case ledger.GCChange:
		return t.GCDays
	case ledger.Supplier:
		return t.SupplierDays
	case ledger.Weather:
		return t.WeatherDays
	case ledger.OwnWork, ledger.CrewShortage, ledger.Replanning, ledger.Unknown:
	}
	return nil
}

// LedgerWindow is the ledger from one issued plan of a project to the next one or to a draft. It is computed once.
type LedgerWindow struct {
	ID         int64
	ProjectID  int64
	FromPlanID int64
	ToPlanID   int64
	ComputedAt time.Time
	Replans    int
}

// LedgerDate is one GC date over a window. Nil: not known to that plan, or without a forecast.
type LedgerDate struct {
	ID             int64
	WindowID       int64
	GCDateID       int64
	DueBefore      *time.Time
	DueAfter       *time.Time
	ForecastBefore *time.Time
	ForecastAfter  *time.Time
	MovedMinutes   int
	AloneMinutes   int // sum of what each line would have done alone
	GCDate         GCDate
	Parts          []LedgerPart `gorm:"foreignKey:DateID"`
}

// EvidenceKind is what a piece of evidence is.
type EvidenceKind string

// The kinds of evidence.
const (
	EvidenceReport   EvidenceKind = "report"
	EvidenceHandover EvidenceKind = "handover"
	EvidenceMaterial EvidenceKind = "material"
	EvidenceTask     EvidenceKind = "task"
)

// Evidence is one record that tells of a line, in words that stay what they were. ID names the row: a report, a change of a
// handover or of material. The ids say what it is about, nil for none.
type Evidence struct {
	Kind       EvidenceKind `json:"kind"`
	ID         int64        `json:"id,omitempty"`
	OpeningID  *int64       `json:"opening_id,omitempty"`
	HandoverID *int64       `json:"handover_id,omitempty"`
	ReleaseID  *int64       `json:"release_id,omitempty"`
	RemakeID   *int64       `json:"remake_id,omitempty"`
	At         *time.Time   `json:"at,omitempty"`
	Text       string       `json:"text"`
}

// LedgerLine is one cause in a window.
type LedgerLine struct {
	ID       int64
	WindowID int64
	Position int
	LineKey  string // names the event for good
	Cause    ledger.Cause
	Kind     ledger.Kind
	At       time.Time
	Text     string // what happened, in words
	Party    string // who is proposed to answer for it, in words
	Evidence List[Evidence]
}

// LedgerPart is what a line did to a GC date.
type LedgerPart struct {
	ID           int64
	DateID       int64
	LineID       int64
	Minutes      int
	AloneMinutes int
	CountedWith  *int      // position of the line whose minutes hold these
	Concurrent   List[int] // positions of lines that could have moved the date over the same days
	Lost         bool      // with this line the date's forecast went missing
	Line         LedgerLine
}

// LedgerConfirmation is what a person confirmed of an event for a GC date.
type LedgerConfirmation struct {
	ID          int64
	GCDateID    int64
	LineKey     string
	Party       string
	Excusable   bool
	Compensable bool
	Note        string
	UserID      *int64
	Actor       string
	Versioned
}

// DelayNotice is a notice of an event that was sent.
type DelayNotice struct {
	ID        int64
	ProjectID int64
	LineKey   string
	SentOn    Date
	Reference string
	UserID    *int64
	Actor     string
	Versioned
}
