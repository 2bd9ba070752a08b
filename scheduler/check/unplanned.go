package check

// checkUnplanned checks that the tasks left out are those that wait, those that can never be done, and what follows
// them, and no others.
func (c *checker) checkUnplanned() {
	waits := make([]bool, len(c.p.Tasks))
	for i := range c.p.Tasks {
		waits[i] = c.p.Tasks[i].Waits && !c.p.Tasks[i].IsFinished()
	}
	c.spread(waits)
	excused := make([]bool, len(c.p.Tasks))
	for i := range c.p.Tasks {
		if waits[i] && c.work[i].planned != nil {
			c.report(RuleUnplanned, c.p.Tasks[i].ID, "is planned, but waits, or follows a task that waits, without a date")
		}
		excused[i] = waits[i] || c.unplanned[i] && c.impossible(i)
	}
	c.spread(excused)
	for i := range c.p.Tasks {
		if c.unplanned[i] && !excused[i] {
			c.report(RuleUnplanned, c.p.Tasks[i].ID, "is left out, but neither it nor a task before it waits, and there is time for it")
		}
	}
}

// spread marks all that follows the marked tasks, over links of any type. What is finished, and what is under way
// under let_run, follows nothing.
func (c *checker) spread(marked []bool) {
	var queue []int
	for i, is := range marked {
		if is {
			queue = append(queue, i)
		}
	}
	for len(queue) > 0 {
		task := queue[0]
		queue = queue[1:]
		for _, link := range c.linksFrom[task] {
			to := c.tasks[c.p.Links[link].To]
			if !marked[to] && c.bound(to) {
				marked[to] = true
				queue = append(queue, to)
			}
		}
	}
}

// bound reports whether links into a task hold it.
func (c *checker) bound(task int) bool {
	t := &c.p.Tasks[task]
	return !t.IsFinished() && (!t.IsStarted() || c.p.KeepsOrder())
}

// impossible reports whether no crew that may do the task, or the task's own calendar, has room for it within 20 years
// of the data date. Time that comes only now and then, such as the shifts that two zones have in common, can be taken by other work; a
// regular week has room after all other work.
func (c *checker) impossible(task int) bool {
	t := &c.p.Tasks[task]
	switch {
	case t.IsFinished():
		return false
	case !t.IsCrewWork():
		return !c.hasRoom(task, -1)
	case t.IsStarted() && t.Status.Crew != "":
		return !c.hasRoom(task, c.crews[t.Status.Crew])
	}
	for crew := range c.p.Crews {
		if t.Pin != nil && t.Pin.Crew != "" && t.Pin.Crew != c.p.Crews[crew].ID {
			continue
		}
		if c.refusal(task, crew) == "" && c.hasRoom(task, crew) {
			return false
		}
	}
	return true
}

// hasRoom reports whether a task could be done by a crew (-1 for fixed work) with all other work where the plan has it.
func (c *checker) hasRoom(task, crew int) bool {
	length, horizon := c.lengthOf(task, crew), c.dataDate+minutesPer20y
	from, ok := c.earliest(task)
	if !ok || from > horizon {
		return false
	}
	axis := c.axisOf(task, crew)
	if idle, ok := c.idleFrom(task, crew, from); ok && idle <= horizon && axis.minutes(idle, horizon) >= length {
		return true
	}
	if axis.minutes(from, horizon) < length {
		return false
	}
	for _, start := range c.openings(task, crew, from) {
		if c.barrier(task, crew, start) == "" {
			return true
		}
	}
	return false
}

// idleFrom is an instant from which on nothing else is planned and the crew is at the task's place; ok is false when it
// never gets there.
func (c *checker) idleFrom(task, crew int, from minute) (idle minute, ok bool) {
	idle = from
	for i := range c.work {
		if c.live(i) {
			idle = max(idle, c.work[i].finish)
		}
	}
	if crew < 0 {
		return idle, true
	}
	way := c.homeMinutes(crew, task)
	if done := c.lastDone[crew]; done >= 0 {
		way = max(way, c.moveMinutes(done, task))
	}
	for _, other := range c.sequences[crew] {
		way = max(way, c.moveMinutes(other, task))
	}
	return c.crewTime[crew].after(idle, int64(way))
}

// earliest is the instant before which a task may not start, links to its finish aside.
func (c *checker) earliest(task int) (from minute, ok bool) {
	t := &c.p.Tasks[task]
	from = c.dataDate
	if t.NotBefore != nil { // of started work too: a planner may take it for a dated hold
		from = max(from, minuteOf(*t.NotBefore))
	}
	if t.Pin != nil && t.Pin.Start != nil && !t.IsStarted() {
		from = max(from, minuteOf(*t.Pin.Start))
	}
	if !c.bound(task) {
		return from, true
	}
	for _, i := range c.linksInto[task] {
		l := &c.p.Links[i]
		if c.work[c.tasks[l.From]].planned == nil {
			continue
		}
		until, ok := c.linkUntil(l)
		if !ok {
			return 0, false
		}
		if !bindsFinish(l) {
			from = max(from, until)
		}
	}
	return from, true
}

// openings are the instants at which a task could first start: where its working time begins, and where the crew or
// what the task uses comes free.
func (c *checker) openings(task, crew int, from minute) (starts []minute) {
	axis := c.axisOf(task, crew)
	if c.lengthOf(task, crew) == 0 {
		starts = append(starts, from)
	}
	for _, piece := range axis.pieces(from, c.dataDate+minutesPer20y) {
		starts = append(starts, piece.from)
	}
	add := func(at minute) {
		if end, ok := axis.after(max(at, from), 1); ok && end <= c.dataDate+minutesPer20y {
			starts = append(starts, end-1)
		}
	}
	if crew >= 0 {
		for _, other := range c.sequences[crew] {
			if at, ok := c.crewTime[crew].after(c.work[other].finish, int64(c.moveMinutes(other, task))); ok {
				add(at)
			}
		}
	}
	for id, units := range c.p.Tasks[task].Uses {
		for _, h := range c.limitHolds[c.limits[id]] {
			if units > 0 {
				add(h.to)
			}
		}
	}
	return starts
}
