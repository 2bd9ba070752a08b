package compare

import (
	"slices"
	"time"

	"jambwright/scheduler/problem"
)

// orderCauses finds the causes of changes that no chain of reasons explains, through the order of the crews' work. A task may
// stand in time that another one left, or may have lost its own to another one; where that other one moved for a cause, so
// did this one, by its crew's order. Changes that are met from no cause stay without. O(changes x tasks met in their time).
func (c *comparison) orderCauses(changes []Change, at map[string]int) {
	// follows[i] are the changes that look to change i for their cause, in the order of changes.
	follows := make([][]int, len(changes))
	var queue []int
	for i := range changes {
		if changes[i].Cause != nil {
			queue = append(queue, i)
			continue
		}
		for _, id := range c.beside(&changes[i]) {
			if j, moved := at[id]; moved && j != i {
				follows[j] = append(follows[j], i)
			}
		}
	}
	for i := range c.problem.Links {
		l := &c.problem.Links[i]
		j, moved := at[l.From]
		to, follow := at[l.To]
		if moved && follow && changes[to].Cause == nil && c.pushes(l, &changes[to]) {
			follows[j] = append(follows[j], to)
		}
	}
	for len(queue) > 0 { // breadth first: the shortest way to a cause counts
		from := queue[0]
		queue = queue[1:]
		for _, i := range follows[from] {
			if changes[i].Cause != nil {
				continue
			}
			changes[i].Cause, changes[i].ByOrder = changes[from].Cause, true
			changes[i].Chain = append([]string{changes[i].Task}, changes[from].Chain...)
			queue = append(queue, i)
		}
	}
}

// beside are the tasks that a change may hang on, besides what the reasons lead to: those that hold it in either plan, those
// of the old plan whose time it takes, those of the new plan that take the time it had.
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
