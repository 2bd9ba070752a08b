package check

// checkLocks checks that pins and the frozen window hold. A lock on a start may be left for a later start, a frozen one
// for another crew too, but only when a note of the plan says so and something in the plan bars the locked place.
func (c *checker) checkLocks() {
	for i := range c.p.Tasks {
		t := &c.p.Tasks[i]
		if !c.live(i) || t.Pin == nil || t.IsStarted() {
			continue
		}
		w := &c.work[i]
		if t.Pin.Crew != "" && t.IsCrewWork() && w.crew >= 0 && c.p.Crews[w.crew].ID != t.Pin.Crew {
			c.report(RulePin, t.ID, "is pinned to crew %q, but crew %q is planned", t.Pin.Crew, c.p.Crews[w.crew].ID)
		}
		if t.Pin.Start == nil {
			continue
		}
		switch pinned := minuteOf(*t.Pin.Start); {
		case w.start < pinned:
			c.report(RulePin, t.ID, "is pinned to start at %s, but starts before it, at %s", c.text(pinned), c.text(w.start))
		case w.start > pinned:
			c.checkMoved(RulePin, i, w.crew, pinned)
		}
	}
	c.checkFrozen()
}

func (c *checker) checkFrozen() {
	if c.p.FrozenUntil == nil {
		return
	}
	frozenUntil := minuteOf(*c.p.FrozenUntil)
	for _, line := range c.p.Issued {
		task, issued := c.tasks[line.Task], minuteOf(line.Start)
		if t := &c.p.Tasks[task]; issued >= frozenUntil || !c.live(task) || t.Status != nil || t.Pin != nil {
			continue
		}
		w, crew := &c.work[task], c.work[task].crew
		if line.Crew != "" {
			crew = c.crews[line.Crew]
		}
		if w.start != issued || w.crew != crew {
			c.checkMoved(RuleFrozen, task, crew, issued)
		}
	}
}

// checkMoved judges work that is not where it was locked to: on a crew (-1 for fixed work), from a start.
func (c *checker) checkMoved(rule Rule, task, crew int, start minute) {
	t, w := &c.p.Tasks[task], &c.work[task]
	if w.axis == nil {
		return // already reported: nobody who could do it
	}
	if !c.moved[t.ID] {
		c.report(rule, t.ID, "is locked to %s, but starts at %s, and no note says why", c.text(start), c.text(w.start))
		return
	}
	if c.barrier(task, crew, start) == "" {
		c.report(rule, t.ID, "is locked to %s, but starts at %s, though nothing in the plan bars the locked place", c.text(start), c.text(w.start))
	}
}

// barrier names what keeps a task from a crew and a start, with all other work where the plan has it; "" when nothing
// does.
func (c *checker) barrier(task, crew int, start minute) string {
	t := &c.p.Tasks[task]
	switch {
	case start < c.dataDate:
		return "data date"
	case t.NotBefore != nil && start < minuteOf(*t.NotBefore):
		return "not_before"
	case crew >= 0 && c.refusal(task, crew) != "":
		return "crew may not"
	}
	axis, length := c.axisOf(task, crew), c.lengthOf(task, crew)
	if length > 0 && !axis.works(start) {
		return "calendar"
	}
	finish, ok := axis.after(start, length)
	if !ok {
		return "calendar"
	}
	if c.linkBars(task, start, finish) {
		return "link"
	}
	if crew >= 0 && c.crewBars(task, crew, start, finish) {
		return "crew"
	}
	if length > 0 && c.capacityBars(task, span{start, finish}) {
		return "capacity"
	}
	return ""
}

func (c *checker) linkBars(task int, start, finish minute) bool {
	for _, i := range c.linksInto[task] {
		l := &c.p.Links[i]
		if c.work[c.tasks[l.From]].planned == nil {
			continue
		}
		held := start
		if bindsFinish(l) {
			held = finish
		}
		if until, ok := c.linkUntil(l); !ok || held < until {
			return true
		}
	}
	// On another crew the task may take longer and push what follows it.
	own := &c.work[task]
	planned := *own
	defer func() { *own = planned }()
	own.start, own.begin, own.finish = start, start, finish
	for _, i := range c.linksFrom[task] {
		l := &c.p.Links[i]
		to := c.tasks[l.To]
		if !c.live(to) || !c.bound(to) {
			continue
		}
		held := c.work[to].begin
		if bindsFinish(l) {
			held = c.work[to].finish
		}
		if until, ok := c.linkUntil(l); !ok || held < until {
			return true
		}
	}
	return false
}

// crewBars reports whether the crew cannot get to the task from some other work before it, from home, or on to some work
// after it. All other work counts, not only the neighbours in the crew's sequence: where the way by a third site is
// shorter than the direct one, the planner may have put work in between only after it had to move the task.
func (c *checker) crewBars(task, crew int, start, finish minute) bool {
	lacks := func(from, to minute, need int) bool {
		return to < from || c.crewTime[crew].minutes(from, to) < int64(need)
	}
	for _, other := range c.sequences[crew] {
		w := &c.work[other]
		switch {
		case other == task:
		case w.begin < start || w.begin == start && w.finish <= start:
			if lacks(w.finish, start, c.moveMinutes(other, task)) {
				return true
			}
		case lacks(finish, w.begin, c.moveMinutes(task, other)):
			return true
		}
	}
	done := c.lastDone[crew]
	return lacks(c.dataDate, start, c.homeMinutes(crew, task)) ||
		done >= 0 && lacks(c.work[done].finish, start, c.moveMinutes(done, task))
}

func (c *checker) capacityBars(task int, inside span) bool {
	t := &c.p.Tasks[task]
	for id, units := range t.Uses {
		if limit := c.limits[id]; units > 0 && peak(c.limitHolds[limit], inside, task)+units > c.p.Limits[limit].Capacity {
			return true
		}
	}
	if t.Area == "" || !t.IsCrewWork() {
		return false
	}
	area := c.areas[t.Area]
	most := c.p.Areas[area].MaxCrews
	return most != nil && peak(c.areaHolds[area], inside, task)+1 > *most
}
