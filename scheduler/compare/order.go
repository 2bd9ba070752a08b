package compare

import (
	"maps"
	"slices"
	"time"

	"jambwright/scheduler/problem"
)

// slightMinutes is the move by less than which what an event holds explains little of what crews do: such events are asked last.
const slightMinutes = 60

// orderCauses finds the causes of changes that nothing holds where they are, through the time of crews and limits: a task may
// stand in time that another one left, may have lost its own to another one, or have its turn after it. Where that other one moved for
// a cause, so did this one, by the order of work. O(changes x tasks met in their time).
func (c *comparison) orderCauses(changes []Change, at map[string]int, held [][]int) {
	follows := make([][]int, len(changes))
	limits := newLimits(c, changes, at)
	for to := range changes {
		if changes[to].Cause != nil {
			continue
		}
		for _, id := range c.beside(&changes[to]) {
			if from, moved := at[id]; moved && from != to {
				follows[from] = append(follows[from], to)
			}
		}
		for _, from := range limits.beside(to) {
			follows[from] = append(follows[from], to)
		}
	}
	for from := range held {
		follows[from] = append(follows[from], held[from]...)
	}
	grave, slight := weigh(changes)
	spread(changes, follows, grave, true)
	spread(changes, follows, slight, true)
}

// weigh are the changes with a cause, apart by whether it holds anything back by an hour.
func weigh(changes []Change) (grave, slight []int) {
	weight := map[*Event]int{}
	for i := range changes {
		if e := changes[i].Cause; e != nil {
			weight[e] = max(weight[e], reach(&changes[i]))
		}
	}
	for _, i := range causedOf(changes) {
		if weight[changes[i].Cause] >= slightMinutes {
			grave = append(grave, i)
		} else {
			slight = append(slight, i)
		}
	}
	return grave, slight
}

// reach is how far a change goes, in minutes; a task that only one plan places goes far.
func reach(c *Change) int {
	if c.OldStart.IsZero() || c.NewStart.IsZero() {
		return slightMinutes
	}
	return max(c.Moved, -c.Moved, minutes(c.OldFinish, c.NewFinish), minutes(c.NewFinish, c.OldFinish))
}

// beside are the tasks that a change may hang on by its crew: those that hold it in either plan, those of the old plan whose time
// it takes, those of the new plan that take the time it had.
func (c *comparison) beside(change *Change) []string {
	var ids []string
	for _, id := range []string{c.new.holder(change.Task), c.old.holder(change.Task)} {
		if id != "" {
			ids = append(ids, id)
		}
	}
	ids = append(ids, c.old.during(change.NewCrew, change.NewStart, change.NewFinish)...)
	return append(ids, c.new.during(change.OldCrew, change.OldStart, change.OldFinish)...)
}

// during are the tasks of a crew that take time between two instants.
func (v view) during(crew string, from, to time.Time) (ids []string) {
	tasks := v.byCrew[crew]
	i, _ := slices.BinarySearchFunc(tasks, from, func(t *problem.PlannedTask, at time.Time) int {
		if t.Finish.After(at) {
			return 1
		}
		return -1
	})
	for ; i < len(tasks); i++ {
		if tasks[i].Start.Before(to) {
			ids = append(ids, tasks[i].ID)
		}
	}
	return ids
}

// limits are the changes by the limits that they use.
type limits struct {
	changes []Change
	uses    [][]string       // by change
	of      map[string][]int // by limit
}

func newLimits(c *comparison, changes []Change, at map[string]int) *limits {
	l := &limits{changes: changes, uses: make([][]string, len(changes)), of: map[string][]int{}}
	for i := range c.problem.Tasks {
		t := &c.problem.Tasks[i]
		change, moved := at[t.ID]
		if !moved {
			continue
		}
		for _, id := range slices.Sorted(maps.Keys(t.Uses)) {
			l.uses[change] = append(l.uses[change], id)
			l.of[id] = append(l.of[id], change)
		}
	}
	return l
}

// beside are the changes that take a limit's time that this one had, or left the time that it takes.
func (l *limits) beside(to int) (list []int) {
	change := &l.changes[to]
	for _, id := range l.uses[to] {
		for _, from := range l.of[id] {
			other := &l.changes[from]
			takes := other.NewStart.Before(change.OldFinish) && other.NewFinish.After(change.OldStart)
			left := other.OldStart.Before(change.NewFinish) && other.OldFinish.After(change.NewStart)
			if from != to && (takes || left) {
				list = append(list, from)
			}
		}
	}
	return list
}
