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

// impossible reports whether no crew that may do the task, or the task's own calendar, has time for it within 20 years.
func (c *checker) impossible(task int) bool {
	t := &c.p.Tasks[task]
	if t.IsFinished() {
		return false
	}
	from := c.dataDate
	if t.NotBefore != nil && !t.IsStarted() {
		from = max(from, minuteOf(*t.NotBefore))
	}
	fits := func(crew int) bool {
		length := c.lengthOf(task, crew)
		return length == 0 || c.axisOf(task, crew).minutes(from, from+minutesPer20y) >= length
	}
	switch {
	case !t.IsCrewWork():
		return !fits(-1)
	case t.IsStarted() && t.Status.Crew != "":
		return !fits(c.crews[t.Status.Crew])
	}
	for crew := range c.p.Crews {
		if t.Pin != nil && t.Pin.Crew != "" && t.Pin.Crew != c.p.Crews[crew].ID {
			continue
		}
		if c.refusal(task, crew) == "" && fits(crew) {
			return false
		}
	}
	return true
}
