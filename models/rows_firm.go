package models

import (
	"time"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/scheduler/tolerance"
)

// Supplier makes or sells material. Without a calendar its lead times count calendar days.
type Supplier struct {
	ID         int64
	Code       string // unique, stable; the planner's id
	Name       string
	CalendarID *int64
	Contact    string
	Note       string
	Versioned
	Calendar *Calendar
	Items    []SupplierItem
}

// SupplierItem is a lead time of a supplier, from order to arrival in working days of its calendar, and what must be known
// before the item can be ordered. An empty ItemKind holds for every kind without a line of its own.
type SupplierItem struct {
	ID         int64
	SupplierID int64
	ItemKind   pattern.Item
	Basis      pattern.OrderBasis `gorm:"default:drawings"`
	LeastDays  int
	LikelyDays int
	MostDays   int
}

// Crew is people who work as one.
type Crew struct {
	ID               int64
	Code             string // unique, stable; the planner's id
	Name             string
	Heads            int
	CalendarID       int64
	HomeSiteID       *int64
	Foreman          string
	Note             string
	CostCentsPerHour int64
	Active           bool
	Versioned
	Calendar Calendar
	HomeSite *Site
	Skills   []CrewSkill
	Sites    []CrewSite
	Absences []CrewAbsence
}

// CrewSkill is a kind of task that a crew can do, with its productivity against the rate table.
type CrewSkill struct {
	ID           int64
	CrewID       int64
	Kind         takeoff.Kind
	Productivity float64 `gorm:"default:1"`
}

// CrewSite is a site that a crew may work on; a crew without any may work on all.
type CrewSite struct {
	ID     int64
	CrewID int64
	SiteID int64
	Site   Site
}

// CrewAbsence is a time in which a crew is away, half-open.
type CrewAbsence struct {
	ID         int64
	CrewID     int64
	StartsAt   time.Time
	FinishesAt time.Time
	Note       string
}

// LimitKind is what a limit is.
type LimitKind string

// The kinds of limit.
const (
	Hoist LimitKind = "hoist"
	Dock  LimitKind = "dock"
	Buyer LimitKind = "buyer"
)

// Limit is a capacity that tasks share. Without a site it is the firm's.
type Limit struct {
	ID         int64
	Code       string // unique, stable; the planner's id
	Name       string
	Kind       LimitKind
	SiteID     *int64
	Capacity   int
	CalendarID *int64
	Versioned
	Calendar *Calendar
}

// Rate is a line of the company table: labour hours a unit of a driver.
type Rate struct {
	ID          int64
	Kind        takeoff.Kind
	OpeningType takeoff.Type // "" holds for every type
	Driver      takeoff.Driver
	Hours       float64
	Source      string
	Versioned
}

// RateFactor multiplies hours under a condition. An empty kind holds for every kind without a line of its own.
type RateFactor struct {
	ID        int64
	Condition takeoff.Condition
	Kind      takeoff.Kind
	Factor    float64
	Source    string
	Versioned
}

// RateLearning says that a kind of task takes less time each time it is done.
type RateLearning struct {
	ID           int64
	Kind         takeoff.Kind
	Rate         float64 // each doubling of the count multiplies the hours by it
	StandardUnit int     `gorm:"default:1"` // the unit at which the company rate is right
	Floor        float64 // least share of the rate that learning can reach
	Versioned
}

// TableName keeps the uncountable noun.
func (RateLearning) TableName() string { return "rate_learning" }

// RateObservation is what one finished task taught about the hours of its kind.
type RateObservation struct {
	ID              int64
	TaskID          int64
	CrewID          *int64
	Kind            takeoff.Kind
	OpeningType     takeoff.Type
	At              time.Time
	LabourMinutes   int
	ExpectedMinutes int // by the table in force when it was planned
	Basis           JSON[takeoff.Basis]
	Crew            *Crew
}

// RateDecision is a dated decision on hours learned from finished tasks. Rows are only ever appended; the newest of a kind and
// crew holds.
type RateDecision struct {
	ID           int64
	Kind         takeoff.Kind
	CrewID       *int64 // nil: of the kind, whoever does it
	InForce      bool   // the learned factor is planned with; false: the company rate, or the crew's stated pace, is kept
	Factor       float64
	Spread       float64 // of a single task when it was decided
	Observations int     // finished tasks that it was decided on
	At           time.Time
	UserID       *int64
	Actor        string
	Note         string
	Crew         *Crew
}

// WorkPattern is a work pattern of our own for an opening type.
type WorkPattern struct {
	ID          int64
	OpeningType takeoff.Type
	Body        JSON[pattern.Pattern]
	Versioned
}

// FirmSettings is the one row of the firm's own settings. A 0 reads as the planner's default.
type FirmSettings struct {
	ID                     int64
	Name                   string
	Zone                   string
	Units                  Units `gorm:"default:imperial"` // of new projects
	BuyerCalendarID        *int64
	BuyerLimitID           *int64
	FrozenDays             int
	OverdueHandoverMinutes int
	OverdueDeliveryDays    int
	SealantCureMinutes     int
	SurveyNeeds            List[pattern.Condition]
	TakeoffRules           JSON[takeoff.Rules]
	Crowding               List[pattern.Crowding]
	Tolerances             JSON[tolerance.Set] // what is not given here is tolerance.Usual
	WeightLateness         *float64
	WeightChange           *float64
	WeightTravel           *float64
	WeightEarly            *float64
	Versioned
	BuyerCalendar *Calendar
	BuyerLimit    *Limit
}

// TableName keeps the plural that the word already is.
func (FirmSettings) TableName() string { return "firm_settings" }
