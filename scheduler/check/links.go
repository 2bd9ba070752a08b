package check

import "jambwright/scheduler/problem"

func (c *checker) checkLinks() {
	for i := range c.p.Links {
		l := &c.p.Links[i]
		from, to := c.tasks[l.From], c.tasks[l.To]
		if c.work[from].planned == nil || !c.live(to) || !c.bound(to) {
			continue
		}
		until, ok := c.linkUntil(l)
		if !ok {
			c.report(RuleLink, l.To, "the lag of %d minutes from task %q never passes in calendar %q", l.LagMinutes, l.From, l.Calendar())
			continue
		}
		held, end := c.work[to].begin, "begins"
		if bindsFinish(l) {
			held, end = c.work[to].finish, "finishes"
		}
		if held < until {
			c.report(RuleLink, l.To, "%s at %s, but the %s link from task %q with %d minutes of lag holds it until %s",
				end, c.text(held), l.Relation(), l.From, l.LagMinutes, c.text(until))
		}
	}
}

// bindsFinish reports whether a link holds its successor's finish, not its start.
func bindsFinish(l *problem.Link) bool {
	return l.Relation() == problem.FinishToFinish || l.Relation() == problem.StartToFinish
}

// linkUntil is the instant until which a link holds its successor, by the planned dates of the other end.
func (c *checker) linkUntil(l *problem.Link) (minute, bool) {
	w := &c.work[c.tasks[l.From]]
	at := w.finish
	if countsFromStart(l) {
		at = w.start
	}
	return c.calendars[l.Calendar()].shift(at, l.LagMinutes)
}

// countsFromStart reports whether a link's lag runs from the start of its first task, not from its finish.
func countsFromStart(l *problem.Link) bool {
	return l.Relation() == problem.StartToStart || l.Relation() == problem.StartToFinish
}
