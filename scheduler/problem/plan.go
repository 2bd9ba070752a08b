package problem

import "time"

// Plan is one result of planning. Slices follow the problem's own order of tasks and GC dates.
type Plan struct {
	Version    int           `json:"version"`
	Tasks      []PlannedTask `json:"tasks"`
	Unplanned  []Unplanned   `json:"unplanned"`
	GCDates    []PlannedDate `json:"gc_dates"`
	Objective  Objective     `json:"objective"`
	LowerBound LowerBound    `json:"lower_bound"`
	Run        Run           `json:"run"`
	Notes      []string      `json:"notes,omitempty"` // out-of-order work, dangling tasks, pins and frozen work that had to move
}

// PlannedTask is one task's dates. Network dates ignore that crews and limits are shared.
type PlannedTask struct {
	ID                string         `json:"id"`
	Crew              *string        `json:"crew"`
	Start             time.Time      `json:"start"`
	Resume            *time.Time     `json:"resume,omitempty"` // started, unfinished tasks only
	Finish            time.Time      `json:"finish"`
	Segments          [][2]time.Time `json:"segments"` // working time still to come; empty for a finished task
	EarlyStart        time.Time      `json:"early_start"`
	EarlyFinish       time.Time      `json:"early_finish"`
	LateStart         time.Time      `json:"late_start"`
	LateFinish        time.Time      `json:"late_finish"`
	TotalFloatMinutes int            `json:"total_float_minutes"`
	FreeFloatMinutes  int            `json:"free_float_minutes"`
	Critical          bool           `json:"critical"`
	Reason            Reason         `json:"reason"`
}

// ReasonKind names what holds a start where it is.
type ReasonKind string

// The kinds of reason.
const (
	ReasonPredecessor ReasonKind = "predecessor"
	ReasonHandover    ReasonKind = "handover"
	ReasonMaterial    ReasonKind = "material"
	ReasonCrew        ReasonKind = "crew"
	ReasonCapacity    ReasonKind = "capacity"
	ReasonCalendar    ReasonKind = "calendar"
	ReasonPin         ReasonKind = "pin"
	ReasonStatus      ReasonKind = "status"
	ReasonDataDate    ReasonKind = "data_date"
)

// Reason is the binding cause of a start: Ref names the task, crew, limit, area, calendar or cause; Until is when it
// lets go.
type Reason struct {
	Kind  ReasonKind `json:"kind"`
	Ref   string     `json:"ref"`
	Until time.Time  `json:"until"`
}

// Unplanned is a task left out, with the rule that refused it.
type Unplanned struct {
	Task string `json:"task"`
	Why  string `json:"why"`
}

// PlannedDate is the outlook of one GC date. FloatMinutes is in always-time, negative when late; LateDays is the
// lateness in days of 24 h (0 when in time). DrivingChain runs from the data date to the date, crew waits included.
type PlannedDate struct {
	ID           string     `json:"id"`
	Forecast     *time.Time `json:"forecast"` // nil when a task of the date is unplanned
	FloatMinutes int        `json:"float_minutes"`
	LateDays     float64    `json:"late_days"`
	DrivingChain []string   `json:"driving_chain"`
}

// Objective is what the plan scored.
type Objective struct {
	LatenessCost  float64   `json:"lateness_cost"` // sum of damages a day x late days
	Changes       int       `json:"changes"`       // tasks whose crew or start differ from the issued plan
	TravelMinutes int       `json:"travel_minutes"`
	IdleMinutes   int       `json:"idle_minutes"`
	Makespan      time.Time `json:"makespan"` // latest finish of all tasks
	Total         float64   `json:"total"`
}

// LowerBound holds proven bounds; Proved says that the plan meets it.
type LowerBound struct {
	LatenessCost       float64   `json:"lateness_cost"`
	LatenessCostProved bool      `json:"lateness_cost_proved"`
	Makespan           time.Time `json:"makespan"`
	MakespanProved     bool      `json:"makespan_proved"`
	Proved             bool      `json:"proved"`
}

// Run tells how the plan was found.
type Run struct {
	Schedules int    `json:"schedules"`
	Seed      uint64 `json:"seed"`
	StoppedBy string `json:"stopped_by"` // budget, proved, time limit
	ElapsedMS int64  `json:"elapsed_ms"`
}
