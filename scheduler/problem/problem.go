package problem

import (
	"slices"
	"time"
)

// Version is the only document version this package reads and writes.
const Version = 1

// Always is the identifier of the built-in calendar in which every minute works.
const Always = "always"

// Problem is everything the planner needs to know; see the package comment for its conventions.
type Problem struct {
	Version     int        `json:"version"`
	Zone        string     `json:"zone"`
	DataDate    time.Time  `json:"data_date"`
	Calendars   []Calendar `json:"calendars,omitempty"`
	Sites       []Site     `json:"sites,omitempty"`
	Travel      []Travel   `json:"travel,omitempty"`
	Areas       []Area     `json:"areas,omitempty"`
	Crews       []Crew     `json:"crews,omitempty"`
	Limits      []Limit    `json:"limits,omitempty"`
	Tasks       []Task     `json:"tasks"`
	Links       []Link     `json:"links,omitempty"`
	GCDates     []GCDate   `json:"gc_dates,omitempty"`
	FrozenUntil *time.Time `json:"frozen_until,omitempty"`
	Issued      []Issued   `json:"issued,omitempty"`
	OutOfOrder  OutOfOrder `json:"out_of_order,omitempty"`
	Weights     *Weights   `json:"weights,omitempty"`
	// Uncertainty is what the forecast varies; nil when everything is certain. Planning takes no notice of it.
	Uncertainty *Uncertainty `json:"uncertainty,omitempty"`
}

// Calendar is a working pattern in a site's own zone. An exception replaces its date's shifts, holiday or not.
type Calendar struct {
	ID         string      `json:"id"`
	Zone       string      `json:"zone"`
	Week       Week        `json:"week"`
	Holidays   []Date      `json:"holidays,omitempty"`
	Exceptions []Exception `json:"exceptions,omitempty"`
}

// ShiftsOn are the shifts of a date: those of its exception, none on a holiday, else those of its weekday. The slice is the
// calendar's own.
func (c *Calendar) ShiftsOn(d Date) []Shift {
	for i := range c.Exceptions {
		if c.Exceptions[i].Date == d {
			return c.Exceptions[i].Shifts
		}
	}
	if slices.Contains(c.Holidays, d) {
		return nil
	}
	return c.Week.Day(d.Weekday())
}

// Week lists the shifts of each weekday; an absent day has no work.
type Week struct {
	Mon []Shift `json:"mon,omitempty"`
	Tue []Shift `json:"tue,omitempty"`
	Wed []Shift `json:"wed,omitempty"`
	Thu []Shift `json:"thu,omitempty"`
	Fri []Shift `json:"fri,omitempty"`
	Sat []Shift `json:"sat,omitempty"`
	Sun []Shift `json:"sun,omitempty"`
}

// Day returns the shifts of one weekday. The slice belongs to the week.
func (w *Week) Day(d time.Weekday) []Shift {
	return [...][]Shift{w.Sun, w.Mon, w.Tue, w.Wed, w.Thu, w.Fri, w.Sat}[d]
}

// Exception replaces the shifts of one date. No shifts means no work that day.
type Exception struct {
	Date   Date    `json:"date"`
	Shifts []Shift `json:"shifts"`
}

// Site is a place that crews travel to.
type Site struct {
	ID string `json:"id"`
}

// Travel is the crew working time, in minutes, lost between two sites. It counts both ways unless both are given.
type Travel struct {
	From    string `json:"from"`
	To      string `json:"to"`
	Minutes int    `json:"minutes"`
}

// Area is part of a site. MaxCrews is the number of crews that may work in it at one instant (nil: any number).
// SetupMinutes is crew working time lost when a crew comes here from another area of the same site.
type Area struct {
	ID           string `json:"id"`
	Site         string `json:"site"`
	MaxCrews     *int   `json:"max_crews,omitempty"`
	SetupMinutes int    `json:"setup_minutes,omitempty"`
}

// Crew is people who work as one. Productivity defaults to 1 for a kind that is not named; Sites absent means all.
// Away intervals are taken out of the crew's calendar.
type Crew struct {
	ID           string             `json:"id"`
	Skills       []string           `json:"skills"`
	Heads        int                `json:"heads"`
	Calendar     string             `json:"calendar"`
	Productivity map[string]float64 `json:"productivity,omitempty"`
	Sites        []string           `json:"sites,omitempty"`
	HomeSite     string             `json:"home_site,omitempty"`
	CostPerHour  float64            `json:"cost_per_hour,omitempty"`
	Away         []Span             `json:"away,omitempty"`
}

// Span is a half-open interval of time.
type Span struct {
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
}

// Limit is a renewable capacity shared by tasks: hoist, dock, the buyer's desk. With a calendar it can be used only in
// that calendar's working time, as all of the using task's working time.
type Limit struct {
	ID       string `json:"id"`
	Capacity int    `json:"capacity"`
	Calendar string `json:"calendar,omitempty"`
}

// Task is crew work (LabourMinutes set) or fixed work (DurationMinutes and Calendar set), never both.
type Task struct {
	ID              string         `json:"id"`
	Kind            string         `json:"kind"`
	Site            string         `json:"site,omitempty"`
	Area            string         `json:"area,omitempty"`
	LabourMinutes   *int           `json:"labour_minutes,omitempty"`
	MinHeads        int            `json:"min_heads,omitempty"` // 0 reads as 1
	DurationMinutes *int           `json:"duration_minutes,omitempty"`
	Calendar        string         `json:"calendar,omitempty"`
	Uses            map[string]int `json:"uses,omitempty"`
	NotBefore       *time.Time     `json:"not_before,omitempty"`
	NotBeforeCause  string         `json:"not_before_cause,omitempty"`
	Deadline        *time.Time     `json:"deadline,omitempty"`
	Pin             *Pin           `json:"pin,omitempty"`
	Status          *Status        `json:"status,omitempty"`
	Waits           bool           `json:"waits,omitempty"` // held without a date: left out of the plan with all that follows
}

// IsCrewWork reports whether the task is done by a crew.
func (t *Task) IsCrewWork() bool { return t.LabourMinutes != nil }

// Pin is a person's decision that the planner must not move: a crew, a start, or both.
type Pin struct {
	Crew  string     `json:"crew,omitempty"`
	Start *time.Time `json:"start,omitempty"`
}

// Status is what has been reported. A started task has RemainingMinutes; a finished one has Finished.
type Status struct {
	Started          time.Time  `json:"started"`
	RemainingMinutes *int       `json:"remaining_minutes,omitempty"`
	Finished         *time.Time `json:"finished,omitempty"`
	Crew             string     `json:"crew,omitempty"`
}

// LinkType is one of the four precedence relations.
type LinkType string

// The four relations, in the short forms of the literature.
const (
	FinishToStart  LinkType = "FS"
	StartToStart   LinkType = "SS"
	FinishToFinish LinkType = "FF"
	StartToFinish  LinkType = "SF"
)

// Link is a relation between two tasks. Type "" reads as FinishToStart, LagCalendar "" as Always.
type Link struct {
	From        string   `json:"from"`
	To          string   `json:"to"`
	Type        LinkType `json:"type,omitempty"`
	LagMinutes  int      `json:"lag_minutes,omitempty"`
	LagCalendar string   `json:"lag_calendar,omitempty"`
}

// GCDate is a date the general contractor holds us to: all its tasks finished by Date. DamagesPerDay nil reads as 1.
type GCDate struct {
	ID            string    `json:"id"`
	Tasks         []string  `json:"tasks"`
	Date          time.Time `json:"date"`
	DamagesPerDay *float64  `json:"damages_per_day,omitempty"`
}

// Issued is one line of the plan in force. Resume says where the rest of a task under way was planned.
type Issued struct {
	Task   string     `json:"task"`
	Crew   string     `json:"crew,omitempty"`
	Start  time.Time  `json:"start"`
	Resume *time.Time `json:"resume,omitempty"`
}

// OutOfOrder says what happens to work that started before its predecessors allowed. "" reads as LetRun.
type OutOfOrder string

// The two treatments of out-of-order work.
const (
	LetRun    OutOfOrder = "let_run"
	KeepOrder OutOfOrder = "keep_order"
)

// Weights are the objective's factors; a nil Weights means DefaultWeights.
type Weights struct {
	Lateness float64 `json:"lateness"`
	Change   float64 `json:"change"`
	Travel   float64 `json:"travel"`
	Early    float64 `json:"early"`
}
