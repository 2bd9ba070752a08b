package check

// mostNetworkTasks is up to how many tasks the network's dates are computed anew. Beyond that they are only held against the plan:
// a plan of a whole firm has to be checked while a person waits.
const mostNetworkTasks = 30_000

// checkNetwork holds early and late dates and floats against the checker's own. No plan finishes before the early finish of a
// network that shares neither crews nor limits.
func (c *checker) checkNetwork() {
	var n *network
	if len(c.p.Tasks) <= mostNetworkTasks {
		n = c.newNetwork()
	}
	for i := range c.p.Tasks {
		pt := c.work[i].planned
		if pt == nil {
			continue
		}
		if c.p.Tasks[i].IsFinished() {
			c.checkFinishedDates(i)
			continue
		}
		if earlyFinish := minuteOf(pt.EarlyFinish); earlyFinish > c.work[i].finish {
			c.report(RuleNetwork, pt.ID, "finishes at %s, before its early finish %s", c.text(c.work[i].finish), c.text(earlyFinish))
		}
		if pt.Critical != (pt.TotalFloatMinutes <= 0) {
			c.report(RuleNetwork, pt.ID, "critical is %v with a total float of %d minutes", pt.Critical, pt.TotalFloatMinutes)
		}
		if minuteOf(pt.EarlyFinish) < minuteOf(pt.EarlyStart) || minuteOf(pt.LateFinish) < minuteOf(pt.LateStart) {
			c.report(RuleNetwork, pt.ID, "early %s to %s, late %s to %s: a finish lies before its start", c.text(minuteOf(pt.EarlyStart)),
				c.text(minuteOf(pt.EarlyFinish)), c.text(minuteOf(pt.LateStart)), c.text(minuteOf(pt.LateFinish)))
		}
		if n != nil {
			c.compareNetwork(i, n)
		}
	}
}

// checkFinishedDates checks that finished work has its own dates and no float.
func (c *checker) checkFinishedDates(task int) {
	pt, w := c.work[task].planned, &c.work[task]
	own := minuteOf(pt.EarlyStart) == w.start && minuteOf(pt.EarlyFinish) == w.finish &&
		minuteOf(pt.LateStart) == w.start && minuteOf(pt.LateFinish) == w.finish
	if !own || pt.TotalFloatMinutes != 0 || pt.FreeFloatMinutes != 0 || pt.Critical {
		c.report(RuleNetwork, pt.ID, "is finished: its early and late dates are its own, it has no float and is not critical")
	}
}

// compareNetwork reports every figure of one unfinished task that differs from the checker's own.
func (c *checker) compareNetwork(task int, n *network) {
	pt, d := c.work[task].planned, &n.dates[task]
	if !d.placed {
		return // planned all the same, and so reported elsewhere
	}
	earlyStart, lateStart := d.earlyBegin, d.lateBegin
	if c.p.Tasks[task].IsStarted() {
		earlyStart = minuteOf(c.p.Tasks[task].Status.Started)
		lateStart = min(lateStart, earlyStart)
	}
	c.compareDate(pt.ID, "early start", minuteOf(pt.EarlyStart), earlyStart)
	c.compareDate(pt.ID, "early finish", minuteOf(pt.EarlyFinish), d.earlyFinish)
	if got := int64(pt.FreeFloatMinutes); d.hasFree && got != d.freeFloat {
		c.report(RuleNetwork, pt.ID, "has a free float of %d minutes, given as %d", d.freeFloat, got)
	}
	if !d.hasLate {
		return
	}
	c.compareDate(pt.ID, "late start", minuteOf(pt.LateStart), lateStart)
	c.compareDate(pt.ID, "late finish", minuteOf(pt.LateFinish), d.lateFinish)
	if got := int64(pt.TotalFloatMinutes); got != d.totalFloat {
		c.report(RuleNetwork, pt.ID, "has a total float of %d minutes, given as %d", d.totalFloat, got)
	}
}

func (c *checker) compareDate(task, what string, got, want minute) {
	if got != want {
		c.report(RuleNetwork, task, "its %s is %s, given as %s", what, c.text(want), c.text(got))
	}
}

// farFuture lies behind every instant of a document.
const farFuture = minute(1) << 40

// option is one crew for a task, or the one way of fixed work.
type option struct {
	axis   *worktime
	length int64
}

// networkDates are one task's own dates in the network.
type networkDates struct {
	placed                  bool
	earlyBegin, earlyFinish minute // on the option that finishes first, the first listed on a tie
	firstStart              minute // the earliest over all options; the reported start of started work
	own                     *worktime
	totalFloat, freeFloat   int64

	hasFree                           bool
	hasLate                           bool // the late dates lie in the years that a planner is sure to look at
	lateBegin, lateFinish, lastFinish minute
}

// network computes early and late dates by relaxation: every task's dates are worked out from those of its neighbours, and again
// whenever one of them changes, until nothing does.
type network struct {
	*checker
	options       [][]option
	dates         []networkDates
	projectFinish minute
	paces         map[pace][2]int64
	gcDue         map[string]minute
}

func (c *checker) newNetwork() *network {
	n := &network{checker: c, options: make([][]option, len(c.p.Tasks)), dates: make([]networkDates, len(c.p.Tasks)), paces: map[pace][2]int64{}}
	for task := range c.p.Tasks {
		n.options[task] = n.optionsOf(task)
	}
	n.relax(c.linksFrom, func(link int) string { return c.p.Links[link].To }, n.early)
	n.projectFinish = c.dataDate
	first := true
	for i := range n.dates {
		if d := &n.dates[i]; d.placed && (first || d.earlyFinish > n.projectFinish) {
			n.projectFinish, first = d.earlyFinish, false
		}
	}
	n.relax(c.linksInto, func(link int) string { return c.p.Links[link].From }, n.late)
	for task := range n.dates {
		n.floats(task)
	}
	return n
}

// relax works through all tasks, and again through the neighbours of each one that changes.
func (n *network) relax(neighbours [][]int, end func(link int) string, work func(task int) (changed bool)) {
	queue, waits := make([]int, len(n.dates)), make([]bool, len(n.dates))
	for i := range queue {
		queue[i], waits[i] = i, true
	}
	for len(queue) > 0 {
		task := queue[0]
		queue, waits[task] = queue[1:], false
		if !work(task) {
			continue
		}
		for _, link := range neighbours[task] {
			if next := n.tasks[end(link)]; !waits[next] {
				queue, waits[next] = append(queue, next), true
			}
		}
	}
}

// optionsOf lists who may do a task: the crew that started it; else the crew of its pin if that one may; else all that may.
func (n *network) optionsOf(task int) (list []option) {
	t := &n.p.Tasks[task]
	switch {
	case t.IsFinished():
		return nil
	case !t.IsCrewWork():
		return []option{{n.axisOf(task, -1), n.lengthOf(task, -1)}}
	case t.IsStarted() && t.Status.Crew != "":
		crew := n.crews[t.Status.Crew]
		return []option{{n.axisOf(task, crew), n.lengthOf(task, crew)}}
	}
	pinned := -1
	if t.Pin != nil && t.Pin.Crew != "" && n.refusal(task, n.crews[t.Pin.Crew]) == "" {
		pinned = n.crews[t.Pin.Crew]
	}
	for crew := range n.p.Crews {
		if (pinned < 0 || crew == pinned) && n.refusal(task, crew) == "" {
			list = append(list, option{n.axisOf(task, crew), n.lengthOn(task, crew)})
		}
	}
	return list
}
