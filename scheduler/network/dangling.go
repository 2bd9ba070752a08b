package network

import "jambwright/scheduler/calendar"

// Dangling is a task whose dates hang in the air on one side or both, as schedule reviews look for it (GAO-16-89G,
// "Schedule Assessment Guide", practice 2: every activity has a finish-to-start or start-to-start predecessor and a
// finish-to-start or finish-to-finish successor).
type Dangling struct {
	Task          TaskIndex
	NoPredecessor bool // nothing is linked to it
	NoSuccessor   bool // nothing is linked from it, and it is neither in a GC date nor has a deadline
	OpenStart     bool // it has predecessors, but none bounds its start
	OpenFinish    bool // it has successors, but none waits for its finish, nor does a GC date or a deadline
}

// DanglingTasks lists the unfinished tasks that dangle, all links of the document counted, in the order of the
// document. Every network has a first and a last task, so an entry is a question to ask, not a fault. O(tasks + links).
func (c *Compiled) DanglingTasks() []Dangling {
	const startBound, finishBound, linkedTo, linkedFrom = 1, 2, 4, 8
	ties := make([]uint8, c.Tasks())
	for _, links := range [][]Link{c.Links, c.Loose} {
		for i := range links {
			l := &links[i]
			ties[l.To] |= linkedTo
			ties[l.From] |= linkedFrom
			if !l.Relation.BoundsFinish() {
				ties[l.To] |= startBound
			}
			if !l.Relation.FromStart() {
				ties[l.From] |= finishBound
			}
		}
	}
	for i := range c.GCDates {
		for _, t := range c.GCDates[i].Tasks {
			ties[t] |= linkedFrom | finishBound
		}
	}
	var list []Dangling
	for t := range TaskIndex(c.Tasks()) {
		if c.Deadline(t) != calendar.Never {
			ties[t] |= linkedFrom | finishBound
		}
		d := Dangling{
			Task:          t,
			NoPredecessor: ties[t]&linkedTo == 0,
			NoSuccessor:   ties[t]&linkedFrom == 0,
			OpenStart:     ties[t]&linkedTo != 0 && ties[t]&startBound == 0,
			OpenFinish:    ties[t]&linkedFrom != 0 && ties[t]&finishBound == 0,
		}
		if c.State[t] != Done && d != (Dangling{Task: t}) {
			list = append(list, d)
		}
	}
	return list
}
