package pattern

import (
	"time"

	"jambwright/scheduler/takeoff"
)

// Index says what each task of a built problem is about. Pages and reports read it beside the plan.
type Index struct {
	Tasks []Entry // in the order of the problem's tasks
	Notes []Note  // what a planner should know, ordered by project and subject
	// Storage are the limits of stored material, by project and area in walking order.
	Storage []Storage

	byKey map[TaskKey]int
}

// Entry is what one task is about. Fields that do not apply are empty.
type Entry struct {
	Key     TaskKey
	Kind    takeoff.Kind // one of the seven, Lead or Handovers
	Project string
	Area    string // of the project, not of the document

	Opening  string   // mark, for work on one opening
	Openings []string // marks that share the task, in walking order: survey, order, lead, deliver
	Release  string   // order, lead, deliver: release or remake
	Remake   bool     // the release is a remake, or the work repairs what a remake replaces
	Drop     int
	Supplier string // name
	Lead     LeadTime
	// LeadDayMinutes is the working time of one lead day on the supplier's calendar: durations of a lead are days x this.
	LeadDayMinutes int

	Condition Condition // of a handover
	Trade     string

	Takeoff  *takeoff.Takeoff   // of the opening, shared by all openings alike: not to be changed
	Hours    *takeoff.Breakdown // where the minutes come from; shared as well
	Basis    takeoff.Basis      // of a task that several openings share: what its hours hang on
	Hands    int                // people the heaviest piece needs, by weight and size
	Gear     bool               // no crew has the hands: lifting gear is needed, and then Heads people
	Heads    int                // people the plan asks for
	Items    []Item             // material the task needs, or the shared task brings
	Waiting  string             // why it waits without a date; "" when it does not
	Late     *Late              // who is late with it, and what was promised
	Promised *time.Time         // handover or arrival, as promised
	Forecast *time.Time         // handover, our own view
	// Began is when work under way started that a hold or a remake has stopped: what is left is planned as a task of its own.
	Began *time.Time
}

// Late is a promise that has passed.
type Late struct {
	Party    string // in words
	Promised time.Time
}

// Bases are what the hours of tasks that several openings share hang on, by key. They share memory with the index.
func (x *Index) Bases() map[string]takeoff.Basis {
	list := map[string]takeoff.Basis{}
	for i := range x.Tasks {
		if e := &x.Tasks[i]; e.Basis.IsKnown() {
			list[string(e.Key)] = e.Basis
		}
	}
	return list
}

// Find returns the entry of a task by its id in the document.
func (x *Index) Find(id string) (*Entry, bool) {
	i, ok := x.byKey[TaskKey(id)]
	if !ok {
		return nil, false
	}
	return &x.Tasks[i], true
}

// OfOpening returns the entries of one opening's own tasks, in the order of its pattern.
func (x *Index) OfOpening(project, mark string) []*Entry {
	var list []*Entry
	for i := range x.Tasks {
		if e := &x.Tasks[i]; e.Project == project && e.Opening == mark {
			list = append(list, e)
		}
	}
	return list
}
