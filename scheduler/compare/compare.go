// Package compare says what differs between two plans, how far it moved, and which event made it move.
//
// A cause is an Event: something that was reported about a task since the old plan was made. It is handed on from the task's own
// change to those that hang on it. What could no longer stay where it was, because what it follows ends after its old start, has
// moved for the cause of that, whatever its crew did next; what moves sooner has moved for the cause of what let go of it; and
// what a crew does in the order that it had moves with what it does before.
//
//	hang 204 moved +1 day          its glass ends after its old start
//	  glaze 204 moved +1 day       deliver R3 ends after its old start
//	    deliver R3                 event: "promise slipped to Wed 2 Dec"     <- the cause of all three
//
// Other work moves only since crews and limits are taken at other times. Its cause is looked for there: in what it waits
// for its turn behind, among the tasks whose time it takes or that take the time it had. Such a change says so (ByOrder). Events
// that hold nothing back by an hour are asked last for that. What no event is met from at all was planned otherwise for gain alone.
//
// A chain is evidence of what binds, not a split of days among causes: two causes may bind at once, and the one met
// first is named.
package compare

import (
	"cmp"
	"slices"
	"time"

	"jambwright/scheduler/problem"
)

// Event is something that became known between the two plans about a task of the problem: a field report on it, a
// changed handover or promise that it stands for.
type Event struct {
	Task string // task id in the problem
	Ref  string // the caller's own name for the event
}

// NotStarted is the Ref of the event that Plans makes up for a task that the old plan started before the new data date
// and that nobody reported started.
const NotStarted = "not started as planned"

// NotFinished is the Ref of the event that Plans makes up for started work that the old plan finished by the new data date and
// that nobody reported finished, such as a delivery that nobody has heard of.
const NotFinished = "not finished as planned"

// GoingOn is the Ref of the event that Plans makes up for work under way that ends at another time for no other cause: what is
// left of it counts from the new data date.
const GoingOn = "goes on from the data date"

// Change is one task that the new plan places elsewhere. A zero time means that the plan does not place it.
type Change struct {
	Task                 string
	OldCrew, NewCrew     string
	OldStart, NewStart   time.Time
	OldFinish, NewFinish time.Time
	// Moved is how far the start moved, in minutes of always-time: positive is later. When only the finish moved, it is
	// how far that did. 0 when one of the plans does not place the task or when only the crew changed.
	Moved int
	// Cause is the event that made it move; nil when it is met from none: the planner found another order.
	Cause *Event
	// ByOrder says that the cause reaches the task through the order of its crew's work, not through what holds its start.
	ByOrder bool
	// Chain are the tasks from this one back to the cause's, both included.
	Chain []string
}

// DateChange is one GC date and how its forecast moved. A nil forecast means that a task of the date is unplanned.
type DateChange struct {
	ID       string
	Old, New *problem.PlannedDate // nil where the plan does not know the date
	Moved    int                  // minutes of always-time, positive is later; 0 when one forecast is missing
	Cause    *Event
	ByOrder  bool // as of the task of its driving chain that the cause moved
}

// Result holds the differences; Tasks in order of new start, then old start, then id.
type Result struct {
	Tasks []Change
	Dates []DateChange
}

// Plans compares two plans. p is the problem of the new one; events are what became known since the old one was made.
// Tasks that only the finished past differs in are not listed unless an event names them. O(tasks x length of chains).
func Plans(p *problem.Problem, old, new *problem.Plan, events []Event) Result {
	c := newComparison(p, old, new, events)
	var r Result
	for i := range p.Tasks {
		if change, moved := c.change(p.Tasks[i].ID); moved {
			r.Tasks = append(r.Tasks, change)
		}
	}
	slices.SortStableFunc(r.Tasks, func(a, b Change) int {
		return cmp.Or(a.NewStart.Compare(b.NewStart), a.OldStart.Compare(b.OldStart), cmp.Compare(a.Task, b.Task))
	})
	c.findCauses(r.Tasks)
	r.Dates = c.dates(r.Tasks)
	return r
}

// comparison indexes both plans by task.
type comparison struct {
	problem  *problem.Problem
	old, new view
	events   map[string]*Event
	started  map[string]bool // started or finished in the new problem
}

// view is one plan indexed for walking back along its reasons.
type view struct {
	plan   *problem.Plan
	task   map[string]*problem.PlannedTask
	byCrew map[string][]*problem.PlannedTask // by finish
	date   map[string]*problem.PlannedDate
}

func newView(plan *problem.Plan) view {
	v := view{
		plan: plan, task: map[string]*problem.PlannedTask{},
		byCrew: map[string][]*problem.PlannedTask{}, date: map[string]*problem.PlannedDate{},
	}
	if plan == nil {
		return v
	}
	for i := range plan.Tasks {
		t := &plan.Tasks[i]
		v.task[t.ID] = t
		if t.Crew != nil {
			v.byCrew[*t.Crew] = append(v.byCrew[*t.Crew], t)
		}
	}
	for _, tasks := range v.byCrew {
		slices.SortFunc(tasks, func(a, b *problem.PlannedTask) int {
			return cmp.Or(a.Finish.Compare(b.Finish), cmp.Compare(a.ID, b.ID))
		})
	}
	for i := range plan.GCDates {
		v.date[plan.GCDates[i].ID] = &plan.GCDates[i]
	}
	return v
}

func newComparison(p *problem.Problem, old, new *problem.Plan, events []Event) *comparison {
	c := &comparison{
		problem: p, old: newView(old), new: newView(new),
		events: map[string]*Event{}, started: map[string]bool{},
	}
	for i := range events {
		if _, there := c.events[events[i].Task]; !there {
			c.events[events[i].Task] = &events[i]
		}
	}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		c.started[t.ID] = t.Status != nil
		was := c.old.task[t.ID]
		if _, there := c.events[t.ID]; there || was == nil {
			continue
		}
		switch {
		case t.Status == nil && was.Start.Before(p.DataDate):
			c.events[t.ID] = &Event{Task: t.ID, Ref: NotStarted}
		case t.Status != nil && t.Status.Finished == nil && !was.Finish.After(p.DataDate):
			c.events[t.ID] = &Event{Task: t.ID, Ref: NotFinished}
		}
	}
	return c
}

// change is the difference of one task; moved is false when there is none.
func (c *comparison) change(id string) (change Change, moved bool) {
	was, is := c.old.task[id], c.new.task[id]
	if was == nil && is == nil {
		return change, false
	}
	change = Change{Task: id}
	change.OldStart, change.OldFinish, change.OldCrew = placed(was)
	change.NewStart, change.NewFinish, change.NewCrew = placed(is)
	startMoved := !change.OldStart.Equal(change.NewStart)
	finishMoved := !change.OldFinish.Equal(change.NewFinish)
	if !startMoved && !finishMoved && change.OldCrew == change.NewCrew {
		return change, false
	}
	if was != nil && is != nil {
		change.Moved = minutes(change.OldStart, change.NewStart)
		if !startMoved {
			change.Moved = minutes(change.OldFinish, change.NewFinish)
		}
	}
	change.Chain = []string{id}
	return change, true
}

func placed(t *problem.PlannedTask) (start, finish time.Time, crew string) {
	if t == nil {
		return start, finish, crew
	}
	if t.Crew != nil {
		crew = *t.Crew
	}
	return t.Start, t.Finish, crew
}

func minutes(from, to time.Time) int { return int(to.Sub(from) / time.Minute) }

// holder is the task that holds another one's start according to its reason: the one that the reason names, or the one
// of the same crew that finished last before it. It is "" where the reason leads out of the network.
func (v view) holder(id string) string {
	t := v.task[id]
	if t == nil {
		return ""
	}
	if t.Reason.Ref != id && v.task[t.Reason.Ref] != nil {
		return t.Reason.Ref
	}
	if t.Reason.Kind != problem.ReasonCrew || t.Crew == nil {
		return ""
	}
	before := ""
	for _, other := range v.byCrew[*t.Crew] {
		if other.Finish.After(t.Start) {
			break
		}
		if other.ID != id {
			before = other.ID
		}
	}
	return before
}

// dates compares the GC dates in the order of the problem. The cause of a moved date is that of the last moved task of
// its driving chain, of the chain of the old plan where that of the new one has none.
func (c *comparison) dates(moved []Change) []DateChange {
	tasks := make(map[string]*Change, len(moved))
	for i := range moved {
		tasks[moved[i].Task] = &moved[i]
	}
	var changes []DateChange
	for _, d := range c.problem.GCDates {
		change := DateChange{ID: d.ID, Old: c.old.date[d.ID], New: c.new.date[d.ID]}
		if change.Old != nil && change.New != nil && change.Old.Forecast != nil && change.New.Forecast != nil {
			change.Moved = minutes(*change.Old.Forecast, *change.New.Forecast)
		}
		if !sameForecast(change.Old, change.New) {
			if by := causeOfChains(tasks, change.New, change.Old); by != nil {
				change.Cause, change.ByOrder = by.Cause, by.ByOrder
			}
		}
		changes = append(changes, change)
	}
	return changes
}

// causeOfChains is the last task of driving chains that moved for a cause: one that binds before one of the crews' order, the
// chain given first before the others. A task that stayed where it was holds nothing up, whatever was reported of it.
func causeOfChains(tasks map[string]*Change, dates ...*problem.PlannedDate) *Change {
	var byOrder *Change
	for _, d := range dates {
		if d == nil {
			continue
		}
		for _, id := range slices.Backward(d.DrivingChain) {
			switch change := tasks[id]; {
			case change == nil || change.Cause == nil:
			case !change.ByOrder:
				return change
			case byOrder == nil:
				byOrder = change
			}
		}
	}
	return byOrder
}

func sameForecast(a, b *problem.PlannedDate) bool {
	if a == nil || b == nil || a.Forecast == nil || b.Forecast == nil {
		return (a == nil || a.Forecast == nil) && (b == nil || b.Forecast == nil)
	}
	return a.Forecast.Equal(*b.Forecast)
}
