package ledger

import (
	"context"
	"fmt"
	"time"

	"jambwright/scheduler/problem"
)

// Cause is whose affair a line is, as proposed from the records.
type Cause string

// The causes.
const (
	OtherTrade   Cause = "other_trade"
	Supplier     Cause = "supplier"
	GCChange     Cause = "gc_change"
	OwnWork      Cause = "own_work"      // our own productivity and progress
	CrewShortage Cause = "crew_shortage" // crews away, smaller or gone
	Weather      Cause = "weather"       // days that a working calendar lost
	Unknown      Cause = "unknown"
	Replanning   Cause = "replanning" // our own decisions on crews and order
)

// Kind is what a line's patches are. Lines of one instant are applied in the order of the constants.
type Kind string

// The kinds, in their order.
const (
	NewWork     Kind = "new_work"     // tasks added
	GoneWork    Kind = "gone_work"    // tasks taken out
	GCDates     Kind = "gc_dates"     // a GC date moved, came or went, or holds other work
	Handover    Kind = "handover"     // a fixed date of others: a task without length
	Lead        Kind = "lead"         // the length of fixed work: lead time, cure time
	Hold        Kind = "hold"         // a bound on a start: an answer owed, a promise
	Scope       Kind = "scope"        // hours, hands or place of work not begun
	Pace        Kind = "pace"         // what begun work took against what it was to take
	Crews       Kind = "crews"        // absence, heads, skills, sites, calendars, productivity
	Calendars   Kind = "calendars"    // shifts, holidays and exceptions
	Places      Kind = "places"       // areas, sites, travel and limits
	Links       Kind = "links"        // order between tasks that both plans have
	Decisions   Kind = "decisions"    // pins
	Progress    Kind = "progress"     // the data date rolled over work that was not done as planned
	Rest        Kind = "rest"         // left between the last step and the later problem
	PlannedAnew Kind = "planned_anew" // the later plan against staying with the earlier one
)

// kindOrder ranks kinds.
var kindOrder = map[Kind]int{
	NewWork: 0, GoneWork: 1, GCDates: 2, Handover: 3, Lead: 4, Hold: 5, Scope: 6, Pace: 7, Crews: 8, Calendars: 9, Places: 10,
	Links: 11, Decisions: 12, Progress: 13, Rest: 14, PlannedAnew: 15,
}

// Event is something that became known in the window about a task of either problem.
type Event struct {
	Task  string
	At    time.Time
	Ref   string // the caller's name for it, handed back as evidence; events with one Ref are one
	Cause Cause  // "": the task's owner answers for it
}

// Input is a window. The problems must have passed validation; the plans are theirs.
type Input struct {
	Earlier, Later         *problem.Problem
	EarlierPlan, LaterPlan *problem.Plan
	Events                 []Event          // in order of time
	Owner                  map[string]Cause // who answers for a task's dates; absent: OwnWork for crew work, else Unknown
	Subject                map[string]string
	// Subject names what a task is about, such as its opening; tasks that come or go with one subject are one line. Absent: the
	// task itself.
	Schedules int // budget of each re-plan; 0 means DefaultSchedules
	Seed      uint64
}

// DefaultSchedules is the budget of a re-plan: the schedule that stays with the issued plan, and its two repairs.
const DefaultSchedules = 3

// Line is one cause of movement with its evidence.
type Line struct {
	Cause Cause
	Kind  Kind
	At    time.Time // when it took effect
	About []string  // ids of tasks, crews, calendars or GC dates, sorted
	Refs  []string  // of the events that tell of it, in order of time
}

// Part is what a line did to a GC date. Minutes are of always-time, positive is later.
type Part struct {
	Line    int // index of Result.Lines
	Minutes int
	// Alone is what the line does to the date when nothing else happens; meaningless for Progress, Rest and PlannedAnew,
	// which cannot stand alone, and there equal to Minutes.
	Alone int
	// CountedWith is the index of the line whose minutes hold this one's, where the plan in between had no forecast or was
	// no plan at all; -1 else.
	CountedWith int
	Concurrent  []int // indexes of other lines that could have moved the date over the same days, ascending
}

// Date is one GC date over the window. The parts are in the order of the lines and only those that moved the date, would
// have moved it alone, or are counted with another line. With both forecasts known their minutes sum to Moved exactly.
type Date struct {
	ID                  string
	DueBefore, DueAfter time.Time  // zero where the problem does not know the date
	Before, After       *time.Time // forecasts; nil: unknown, or work of the date could not be planned
	Moved               int        // 0 when a forecast is missing
	Parts               []Part
	AloneSum            int   // sum of Alone over all lines that can stand alone
	Lost                []int // lines with which the forecast went missing and stayed so
	LateBefore, LateNow int   // minutes after the due date, 0 in time or unknown
}

// Measured reports whether both forecasts are known, so that parts sum to the whole.
func (d *Date) Measured() bool { return d.Before != nil && d.After != nil }

// Result is the ledger of a window. Lines are in order of time, then kind, the three of the rest at the end.
type Result struct {
	From, To time.Time // data dates
	Lines    []Line
	Dates    []Date // in the later problem's order, then those that only the earlier one has
	Replans  int    // how many plans were made
}

// Compute makes the ledger of a window. The same input gives the same result on every machine. A cancelled context is an
// error. Cost: one re-plan for each instant and each line, again one for each line alone, and one for each pair of lines that
// move a date alone, at most maxPairs.
func Compute(ctx context.Context, in Input) (*Result, error) {
	if in.Later.DataDate.Before(in.Earlier.DataDate) {
		return nil, fmt.Errorf("ledger: the later plan is of %s, before the earlier one of %s",
			in.Later.DataDate.Format(time.RFC3339), in.Earlier.DataDate.Format(time.RFC3339))
	}
	w, err := newWindow(ctx, &in)
	if err != nil {
		return nil, err
	}
	if err := w.walk(); err != nil {
		return nil, err
	}
	if err := w.compareAlone(); err != nil {
		return nil, err
	}
	return w.result(), nil
}
