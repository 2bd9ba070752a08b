package compare

import (
	"time"

	"jambwright/scheduler/problem"
)

// findCauses gives each change its cause: its own event; else the cause of what holds it by links, handovers and material; else
// that of the work that its crew does before it in both plans; else that of what crews and limits do at other times; else, under
// way, that of going on. What is met from nothing stays without.
func (c *comparison) findCauses(changes []Change) {
	at := make(map[string]int, len(changes))
	for i := range changes {
		at[changes[i].Task] = i
		changes[i].Cause = c.events[changes[i].Task]
	}
	held := c.heldBy(changes, at)
	spread(changes, held, causedOf(changes), false)
	c.queue(changes, at, held)
	grave, slight := weigh(changes)
	spread(changes, held, grave, false)
	spread(changes, held, slight, false)
	c.orderCauses(changes, at, held)
	var goingOn []int
	for i := range changes {
		if id := changes[i].Task; changes[i].Cause == nil && c.started[id] {
			changes[i].Cause = &Event{Task: id, Ref: GoingOn}
			goingOn = append(goingOn, i)
		}
	}
	spread(changes, held, goingOn, false)
}

// causedOf are the places of the changes that have a cause.
func causedOf(changes []Change) (list []int) {
	for i := range changes {
		if changes[i].Cause != nil {
			list = append(list, i)
		}
	}
	return list
}

// spread hands causes on from some changes to those that follow them, breadth first, so that the shortest way to a cause counts.
func spread(changes []Change, follows [][]int, from []int, byOrder bool) {
	for len(from) > 0 {
		next := from[0]
		from = from[1:]
		for _, i := range follows[next] {
			if changes[i].Cause != nil {
				continue
			}
			changes[i].Cause, changes[i].ByOrder = changes[next].Cause, byOrder
			changes[i].Chain = append([]string{changes[i].Task}, changes[next].Chain...)
			from = append(from, i)
		}
	}
}

// heldBy lists for each change those that it moves whatever crews do:
//
//	later   what follows it by a link and could no longer stay where it was
//	sooner  what it holds in the new plan or held in the old one, when both move sooner
//
// A reason names what lets go of a task last, often its crew, although it could not have stayed for what it follows; so links are
// asked before reasons.
func (c *comparison) heldBy(changes []Change, at map[string]int) [][]int {
	follows := make([][]int, len(changes))
	for i := range c.problem.Links {
		l := &c.problem.Links[i]
		from, moved := at[l.From]
		if to, follow := at[l.To]; moved && follow && c.pushes(l, &changes[to]) {
			follows[from] = append(follows[from], to)
		}
	}
	for to := range changes {
		for _, v := range []view{c.new, c.old} {
			holder := v.holder(changes[to].Task)
			from, moved := at[holder]
			if moved && !v.isTurn(changes[to].Task) && goTogether(&changes[from], &changes[to]) {
				follows[from] = append(follows[from], to)
			}
		}
	}
	return follows
}

// queue adds to what is held the work that stands behind the same work of the same crew in both plans, when both go the same way: a
// crew that works on in its order.
func (c *comparison) queue(changes []Change, at map[string]int, held [][]int) {
	for to := range changes {
		change := &changes[to]
		if change.OldCrew == "" || change.OldCrew != change.NewCrew || !c.new.isTurn(change.Task) || !c.old.isTurn(change.Task) {
			continue
		}
		holder := c.new.holder(change.Task)
		from, moved := at[holder]
		if moved && holder == c.old.holder(change.Task) && changes[from].OldCrew == change.OldCrew && goTogether(&changes[from], change) {
			held[from] = append(held[from], to)
		}
	}
}

// isTurn reports whether what holds a task is the turn of its crew or of a limit.
func (v view) isTurn(id string) bool {
	t := v.task[id]
	return t != nil && (t.Reason.Kind == problem.ReasonCrew || t.Reason.Kind == problem.ReasonCapacity)
}

// goTogether reports whether what is held goes the way in which the finish of what holds it went. What only one plan places goes with
// anything.
func goTogether(holder, held *Change) bool {
	finish := minutes(holder.OldFinish, holder.NewFinish)
	if holder.OldStart.IsZero() || holder.NewStart.IsZero() {
		finish = 0
	}
	return finish == 0 || held.Moved == 0 || finish > 0 == (held.Moved > 0)
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
	if l.Calendar() == problem.Always {
		bound = bound.Add(time.Duration(l.LagMinutes) * time.Minute)
	} else if l.LagMinutes < 0 {
		return false
	}
	if l.Type == problem.FinishToFinish || l.Type == problem.StartToFinish {
		return bound.After(change.OldFinish)
	}
	return bound.After(change.OldStart)
}
