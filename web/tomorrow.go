package web

import (
	"strings"
	"time"

	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"
	"jambwright/web/elevation"
)

// TomorrowPage answers a foreman: what is clear to start, what is not and why, what to bring.
// GET /tomorrow?crew=ID&date=YYYY-MM-DD.
type TomorrowPage struct {
	Chrome
	Date     problem.Date
	Previous problem.Date // the working day before, for the link
	Next     problem.Date
	Choices  []CrewRef // crews the viewer may look at; a foreman with one crew sees no choice
	Chosen   string    // crew id of the filter, empty for all
	Crews    []CrewDay
	NoPlan   bool // nothing has been issued yet: the empty state says what to do next
	Draft    bool // with NoPlan: a plan is made and waits to be issued
}

// CrewDay is one crew's day.
type CrewDay struct {
	Crew     CrewRef
	From, To time.Time // working time of the day; both zero when the crew is off
	Off      string    // why, in words, when the crew is off or away
	Minutes  int       // planned crew minutes of the day
	Tasks    []DayTask // in walking order
	Bring    BringList
	Cautions []string
	Next     *DayTask // the crew's next work, when it has none that day; nil when there is none within three weeks
}

// DayTask is one task of a crew's day.
type DayTask struct {
	Key       string // names the task in the address of its report
	Kind      TaskKind
	OpeningID string // empty for shared work such as the survey of a level
	Mark      string // the opening's mark, or the name of the shared work
	Room      string
	Area      string
	TypeName  string
	Width     length.Length
	Height    length.Length
	Elevation *elevation.Opening // nil for shared work
	Start     time.Time
	Finish    time.Time
	Minutes   int // crew minutes of the whole task
	Glass     GlassLift
	State     TaskState
	Why       []string // sentences on what it waits for or what holds it, from Format.Why or a hold
	Note      string   // what is worth knowing though it stops nothing: pinned, remake, out of order
	Pinned    bool
}

// Leads reports whether the first of the buttons is the one to press next.
func (t DayTask) Leads() bool { return t.State == StateClear || t.State == StateUnderWay }

// Counts gives the day's tasks by state.
func (d CrewDay) Counts() []StateCount {
	var counts []StateCount
	for _, state := range []TaskState{StateUnderWay, StateClear, StateWaiting, StateHeld, StateDone} {
		n := 0
		for i := range d.Tasks {
			if d.Tasks[i].State == state {
				n++
			}
		}
		if n > 0 {
			counts = append(counts, StateCount{Word: string(state), N: n})
		}
	}
	return counts
}

// Reports lists the buttons that make sense for the task as it stands.
func (t DayTask) Reports() []ReportKind {
	switch {
	case t.State == StateDone:
		return []ReportKind{ReportHours, ReportDamaged}
	case t.State == StateHeld:
		return []ReportKind{ReportLifted, ReportHold, ReportDamaged, ReportMeasured}
	case t.Kind == KindSurvey && t.State == StateUnderWay:
		return []ReportKind{ReportMeasured, ReportDone, ReportPartDone, ReportHold}
	case t.Kind == KindSurvey:
		return []ReportKind{ReportStart, ReportMeasured, ReportDone, ReportHold}
	case t.State == StateUnderWay:
		return []ReportKind{ReportDone, ReportPartDone, ReportHold, ReportDamaged, ReportMeasured}
	}
	return []ReportKind{ReportStart, ReportDone, ReportPartDone, ReportHold, ReportDamaged, ReportMeasured}
}

// GlassLift is the heaviest lift of a task.
type GlassLift struct {
	HeaviestKg float64 // 0 when nothing of glass is handled
	Panes      int
	Hands      int
	Gear       string // lifting gear where hands are not enough, in words
}

// BringList is what a crew takes along for the day.
type BringList struct {
	Fasteners     []Count
	Gasket        length.Length // both faces of each glazed frame
	SettingBlocks int
	Lifting       []string
	Other         []Count
}

// Empty reports whether there is nothing to bring.
func (b BringList) Empty() bool {
	return len(b.Fasteners) == 0 && b.Gasket == 0 && b.SettingBlocks == 0 && len(b.Lifting) == 0 && len(b.Other) == 0
}

// Count is a number of things.
type Count struct {
	What string // of several, such as "panes"
	N    int
}

// Name is what is counted, as it is called of that many.
func (c Count) Name() string {
	if c.N != 1 {
		return c.What
	}
	return strings.NewReplacer("leaves", "leaf", "pieces", "piece", "panes", "pane", "screws", "screw", "anchors", "anchor").Replace(c.What)
}
