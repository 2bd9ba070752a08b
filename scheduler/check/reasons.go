package check

import "jambwright/scheduler/problem"

// checkReasons checks that each reason can be one: it lets go by the time the work begins, with no working minute lost
// in between, and names something that the task has to do with.
func (c *checker) checkReasons() {
	for i := range c.p.Tasks {
		w := &c.work[i]
		if w.planned == nil {
			continue
		}
		reason, until := w.planned.Reason, minuteOf(w.planned.Reason.Until)
		if c.p.Tasks[i].IsFinished() {
			if reason.Kind != problem.ReasonStatus || until != w.start {
				c.report(RuleReason, w.planned.ID, "is finished: the reason of its start is its status, not %q until %s", reason.Kind, c.text(until))
			}
			continue
		}
		if until > w.begin {
			c.report(RuleReason, w.planned.ID, "is held by %q until %s, but begins at %s", reason.Kind, c.text(until), c.text(w.begin))
		} else if w.length > 0 && w.axis != nil && w.axis.minutes(until, w.begin) > 0 {
			c.report(RuleReason, w.planned.ID, "%q lets go at %s, but it begins %d working minutes later, at %s",
				reason.Kind, c.text(until), w.axis.minutes(until, w.begin), c.text(w.begin))
		}
		if !c.refers(i, &reason) {
			c.report(RuleReason, w.planned.ID, "%q of %q has nothing to do with it", reason.Kind, reason.Ref)
		}
	}
}

// refers reports whether a reason's kind and reference fit the task.
func (c *checker) refers(task int, r *problem.Reason) bool {
	t, w := &c.p.Tasks[task], &c.work[task]
	switch r.Kind {
	case problem.ReasonPredecessor:
		return c.follows(task, r.Ref)
	case problem.ReasonHandover, problem.ReasonMaterial:
		return t.NotBefore != nil || c.follows(task, r.Ref)
	case problem.ReasonCrew:
		return w.crew >= 0 && r.Ref == c.p.Crews[w.crew].ID
	case problem.ReasonCapacity:
		return t.Uses[r.Ref] > 0 || r.Ref != "" && r.Ref == t.Area
	case problem.ReasonPin:
		return t.Pin != nil || c.issued[t.ID]
	case problem.ReasonStatus:
		return t.Status != nil
	case problem.ReasonCalendar, problem.ReasonDataDate:
		return true
	}
	return false
}

func (c *checker) follows(task int, id string) bool {
	for _, i := range c.linksInto[task] {
		if c.p.Links[i].From == id {
			return true
		}
	}
	return false
}
