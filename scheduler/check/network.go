package check

// checkNetwork checks that early and late dates and floats can be those of a network that shares neither crews nor
// limits: no plan finishes before the early finish. An early start can lie after a planned one, when a slower crew was
// free sooner, and early and late dates can be those of different crews, so that float and dates may differ in sign. It
// does not recompute the dates.
func (c *checker) checkNetwork() {
	for i := range c.p.Tasks {
		pt := c.work[i].planned
		if pt == nil {
			continue
		}
		earlyStart, earlyFinish := minuteOf(pt.EarlyStart), minuteOf(pt.EarlyFinish)
		lateStart, lateFinish := minuteOf(pt.LateStart), minuteOf(pt.LateFinish)
		if earlyFinish < earlyStart || lateFinish < lateStart {
			c.report(RuleNetwork, pt.ID, "early %s to %s, late %s to %s: a finish lies before its start",
				c.text(earlyStart), c.text(earlyFinish), c.text(lateStart), c.text(lateFinish))
		}
		if c.p.Tasks[i].IsFinished() {
			if earlyStart != c.work[i].start || earlyFinish != c.work[i].finish || pt.TotalFloatMinutes != 0 || pt.FreeFloatMinutes != 0 || pt.Critical {
				c.report(RuleNetwork, pt.ID, "is finished: its early dates are its own, it has no float and is not critical")
			}
			continue
		}
		if earlyFinish > c.work[i].finish {
			c.report(RuleNetwork, pt.ID, "finishes at %s, before its early finish %s", c.text(c.work[i].finish), c.text(earlyFinish))
		}
		if pt.Critical != (pt.TotalFloatMinutes <= 0) {
			c.report(RuleNetwork, pt.ID, "critical is %v with a total float of %d minutes", pt.Critical, pt.TotalFloatMinutes)
		}
	}
}
