package compare

import (
	"time"

	"jambwright/scheduler/problem"
)

// pushCauses finds the causes of changes by links alone. A task's reason names what lets go of it last, often its crew; but where
// a task that it follows now ends after its old start, it could not have stayed whatever its crew does, and what moved that
// one moved it, too. O(changes + links).
func (c *comparison) pushCauses(changes []Change, at map[string]int) {
	var queue []int
	for i := range changes {
		if changes[i].Cause != nil {
			queue = append(queue, i)
		}
	}
	out := map[string][]*problem.Link{}
	for i := range c.problem.Links {
		l := &c.problem.Links[i]
		if _, moved := at[l.To]; moved {
			out[l.From] = append(out[l.From], l)
		}
	}
	for len(queue) > 0 { // breadth first, as in orderCauses
		from := queue[0]
		queue = queue[1:]
		for _, l := range out[changes[from].Task] {
			to := at[l.To]
			if changes[to].Cause != nil || !c.pushes(l, &changes[to]) {
				continue
			}
			changes[to].Cause = changes[from].Cause
			changes[to].Chain = append([]string{l.To}, changes[from].Chain...)
			queue = append(queue, to)
		}
	}
}

// pushes reports whether a link keeps a task from where the old plan had it, with what it follows where the new plan has that. Lag
// on a calendar counts as no lag, which is less than it is, and nothing where it is negative.
func (c *comparison) pushes(l *problem.Link, change *Change) bool {
	from := c.new.task[l.From]
	if from == nil || change.OldStart.IsZero() || change.NewStart.IsZero() {
		return false
	}
	bound := from.Finish
	if l.Type == problem.StartToStart || l.Type == problem.StartToFinish {
		bound = from.Start
	}
	if l.LagCalendar == "" || l.LagCalendar == problem.Always {
		bound = bound.Add(time.Duration(l.LagMinutes) * time.Minute)
	} else if l.LagMinutes < 0 {
		return false
	}
	if l.Type == problem.FinishToFinish || l.Type == problem.StartToFinish {
		return bound.After(change.OldFinish)
	}
	return bound.After(change.OldStart)
}
