package pattern

import (
	"time"

	"jambwright/scheduler/leadtime"
	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// Firm is everything the planner needs to know about the company and its jobs at one data date. It is a plain value: rows of
// a database, a demo scenario and a test all fill the same one. Build reads it and never changes it.
//
// Instants are on whole minutes. A date that the trade gives as a day only (a promise, a handover) is the instant from
// which work can use it: the start of that day's shift.
type Firm struct {
	Zone      string    // IANA zone for display
	DataDate  time.Time // nothing unfinished is planned before it
	Calendars []problem.Calendar
	Sites     []problem.Site
	Travel    []problem.Travel
	Crews     []problem.Crew
	Limits    []problem.Limit // hoist, dock, buyer's desk

	BuyerCalendar string // calendar of the people who place orders; "" reads as problem.Always
	BuyerDesk     string // id of the limit that an order occupies while it is placed; "" for none

	Patterns []Pattern     // own work patterns; a type without one has the one of DefaultPatterns
	Rates    takeoff.Rates // the zero value reads as takeoff.DefaultRates
	Rules    takeoff.Rules // the zero value reads as takeoff.DefaultRules
	Settings Settings
	Weights  *problem.Weights

	// Experience is what finished tasks have taught of hours, for forecasts; Paces are what a person accepted of it for crews.
	Experience []Experience
	Paces      []Pace

	History History // what has been recorded of dates and breakage, for forecasts
	Risk    *Risk   // what forecasts assume beside it; nil reads as DefaultRisk

	Projects []Project

	FrozenUntil *time.Time
	Issued      []problem.Issued // lines whose task no longer exists are dropped with a note
	Pins        map[TaskKey]problem.Pin
	States      map[TaskKey]State
}

// Settings are the firm's own rules of thumb. A zero field reads as its default.
type Settings struct {
	// OverdueHandoverMinutes is the working time, on the site's calendar from the data date, that a handover gets whose
	// promised and forecast dates have passed. Default 480: a day.
	OverdueHandoverMinutes int
	// OverdueDeliveryDays is the least number of the supplier's working days that a delivery gets whose promise has passed;
	// the spread between likely and most lead days replaces it when it is longer. Default 1.
	OverdueDeliveryDays int
	// SealantCureMinutes is the elapsed time from glazing with sealed butt joints to the next task. Default 1440: a day.
	SealantCureMinutes int
	// Crowding says for kinds of task how many people of one crew find room at one opening. None by default.
	Crowding []Crowding
	// SurveyNeeds are the handovers that an area needs before it is surveyed. Default: walls boarded.
	SurveyNeeds []Condition
}

// Crowding is the loss of large crews on small work: up to Room people work at full pace, each further one is worth Extra of
// a person, from 0 to 1.
type Crowding struct {
	Kind  takeoff.Kind
	Room  int
	Extra float64
}

// Project is one job on one site.
type Project struct {
	Code       string // short, stable, first part of every task key: "NC"
	Name       string
	Site       string // id in Firm.Sites
	Calendar   string // site calendar: deliveries, other trades' work
	OutOfOrder problem.OutOfOrder
	Metric     bool   // its people read kilograms first
	Dock       string // id of the limit that a drop occupies while it is unloaded; "" for none
	Hoist      string // id of the limit that a drop for a hoisted area occupies as well; "" for none

	Areas     []Area
	Handovers []Handover
	Suppliers []Supplier
	Releases  []Release
	Remakes   []Remake
	Openings  []Opening
	GCDates   []GCDate
}

// AreaKind tells the levels of nesting apart.
type AreaKind string

// The kinds of area.
const (
	Building AreaKind = "building"
	Level    AreaKind = "level"
	Zone     AreaKind = "zone"
)

// Area is a part of the job. Areas nest by Parent: what is handed over, limited or hoisted for an area holds for the areas
// inside it that say nothing of their own.
type Area struct {
	ID           string // unique in the project: "L2", "L2-E"
	Parent       string // "" at the top
	Name         string
	Kind         AreaKind
	WalkOrder    int  // the order in which a foreman walks them; ties go by ID
	MaxCrews     *int // crews at work in it at one instant; nil takes the parent's number
	SetupMinutes *int // crew time lost on entering from another area of the site; nil takes the parent's number
	Hoisted      bool // material comes up by the hoist; holds for the areas inside too
	// MaxStored is how many items of openings lie in it and the areas inside it at one instant, from their delivery to the end
	// of the work that uses them; nil is without limit. An item is a frame kit, the glass, the leaves or the hardware of one
	// opening. Limits of areas around it hold as well.
	MaxStored *int
}

// Condition is what another trade must bring an area to.
type Condition string

// The usual conditions. A project may use others in its own patterns.
const (
	WallsBoarded  Condition = "walls_boarded"
	CeilingClosed Condition = "ceiling_closed"
	FloorFinished Condition = "floor_finished"
	PowerLive     Condition = "power_live"
)

// Handover is the state of one condition of one area. Actual rules, then Forecast, which is our own view, then Promised.
// With none of them set, the tasks that need it wait without a date. A condition that is listed neither for an opening's
// area nor for any area around it holds nothing up.
type Handover struct {
	Area      string
	Condition Condition
	Trade     string // who owes it, in words
	Promised  *time.Time
	Forecast  *time.Time
	Actual    *time.Time
}

// LeadTime counts working days of the supplier's calendar from order to arrival on site.
type LeadTime = leadtime.Days

// Supplier makes or sells material. With Calendar "" or problem.Always the lead time counts calendar days.
type Supplier struct {
	ID       string
	Name     string
	Calendar string
	Lead     LeadTime
}

// OrderBasis says what must be known before a release can be ordered.
type OrderBasis string

// The bases.
const (
	FromDrawings OrderBasis = "drawings"
	FromSurvey   OrderBasis = "survey"        // field-measured: after the survey of its openings
	AfterFraming OrderBasis = "after_framing" // measured in the set frame: after framing of its openings
)

// Release is material ordered together. Which items it holds is said by the openings' Material.
type Release struct {
	ID       string // unique in the project: "R3"
	Supplier string
	Basis    OrderBasis // "" reads as FromDrawings
	Lead     *LeadTime  // where it differs from the supplier's
	Ordered  *time.Time
	Drops    []Drop // none reads as a single drop of number 1 with nothing known yet
}

// Drop is one delivery of a release.
type Drop struct {
	Number   int        // 1, 2, ...
	Promised *time.Time // acknowledged arrival on site
	Shipped  *time.Time
	Received *time.Time
}

// Remake is one item of one opening ordered again after damage or a wrong size. It is an order of its own, and the task
// that needs the item does not go on without it.
type Remake struct {
	ID       string // unique among releases and remakes of the project: "D-204-glass-1"
	Opening  string // mark
	Item     Item
	Supplier string // "" reads as the one whose release the item came by; without one the order waits
	Reported time.Time
	Cause    string    // in words
	Lead     *LeadTime // where it differs from the supplier's
	Ordered  *time.Time
	Promised *time.Time
	Shipped  *time.Time
	Received *time.Time
}

// Item is a part of an opening's material.
type Item string

// The items.
const (
	FrameKit Item = "frame_kit"
	Glass    Item = "glass"
	Leaf     Item = "leaf"
	Hardware Item = "hardware"
)

// Items returns the four items in the order in which an opening needs them.
func Items() []Item { return []Item{FrameKit, Glass, Leaf, Hardware} }

// Material says by which release and drop an item of an opening comes. OnSite means that there is nothing to wait for:
// in our shop, or furnished by others. An item that a task needs and no row names makes the task wait without a date.
type Material struct {
	Item    Item
	Release string
	Drop    int // 0 reads as 1
	OnSite  bool
}

// Opening is one place to be filled.
type Opening struct {
	Mark      string
	Area      string          // innermost area
	WalkOrder int             // within the area; ties go by Mark
	Takeoff   takeoff.Opening // of the size that it is made to: the field size where the order basis has it
	// DrawnWidth and DrawnHeight are the drawings' size, by which openings are alike; 0 reads as Takeoff's.
	DrawnWidth, DrawnHeight length.Length
	Hardware                string // hardware set, in words
	Handing                 string
	Powered                 bool // operator, electric strike or lock: hanging needs live power
	Material                []Material
	Measured                *time.Time // when its field size was taken; its share of the survey is then done
}

// GCDate is a date the general contractor holds us to: every task of the kind in the area and the areas inside it.
type GCDate struct {
	ID            string // unique in the project
	Name          string
	Area          string       // "" for the whole project
	Kind          takeoff.Kind // "" for all work on the openings, which their last tasks stand for
	Date          time.Time
	DamagesPerDay *float64 // nil reads as 1
}

// State is what has been reported of a task. A task that is under way has Started and no Finished.
type State struct {
	Started  *time.Time
	Finished *time.Time
	Crew     string
	// RemainingMinutes is crew time left at the data date of a task under way; nil reads as what is left of the planned
	// hours of that crew, at least 1 minute.
	RemainingMinutes *int

	Held      bool
	HeldUntil *time.Time // when the answer is expected; nil means nobody knows
	HoldCause string     // in words
	HoldParty string     // who owes the answer
}
