package check

import (
	"cmp"
	"slices"
)

// checkCrews checks that each crew works on one task at a time, with time to move between them.
func (c *checker) checkCrews() {
	c.sequences = make([][]int, len(c.p.Crews))
	c.lastDone = slices.Repeat([]int{-1}, len(c.p.Crews))
	for i := range c.p.Tasks {
		switch w := &c.work[i]; {
		case w.crew < 0:
		case c.live(i):
			c.sequences[w.crew] = append(c.sequences[w.crew], i)
		case c.lastDone[w.crew] < 0 || w.finish >= c.work[c.lastDone[w.crew]].finish:
			c.lastDone[w.crew] = i
		}
	}
	for crew, sequence := range c.sequences {
		slices.SortFunc(sequence, c.byBegin)
		for i, task := range sequence {
			if i == 0 {
				c.checkFirstMove(crew, task, c.lastDone[crew])
			} else {
				c.checkMove(crew, c.latest(sequence[:i]), task)
			}
		}
	}
}

func (c *checker) byBegin(a, b int) int {
	x, y := &c.work[a], &c.work[b]
	return cmp.Or(cmp.Compare(x.begin, y.begin), cmp.Compare(x.finish, y.finish), cmp.Compare(a, b))
}

// latest is the task before the next one of a sequence. It is the last of them, unless that lies inside another.
func (c *checker) latest(sequence []int) int {
	last := sequence[len(sequence)-1]
	if n := len(sequence); n > 1 && c.work[sequence[n-2]].finish > c.work[last].finish {
		return sequence[n-2]
	}
	return last
}

func (c *checker) checkMove(crew, from, to int) {
	a, b := &c.work[from], &c.work[to]
	if b.begin < a.finish {
		c.report(RuleOverlap, c.p.Tasks[to].ID, "crew %q begins it at %s, but is on task %q until %s",
			c.p.Crews[crew].ID, c.text(b.begin), c.p.Tasks[from].ID, c.text(a.finish))
		return
	}
	need := int64(c.moveMinutes(from, to))
	if has := c.crewTime[crew].minutes(a.finish, b.begin); has < need {
		c.report(RuleTravel, c.p.Tasks[to].ID, "crew %q needs %d minutes to come from task %q, it has %d between %s and %s",
			c.p.Crews[crew].ID, need, c.p.Tasks[from].ID, has, c.text(a.finish), c.text(b.begin))
	}
}

func (c *checker) checkFirstMove(crew, first, lastDone int) {
	begin := c.work[first].begin
	need := int64(c.homeMinutes(crew, first))
	if has := c.crewTime[crew].minutes(c.dataDate, begin); has < need {
		c.report(RuleTravel, c.p.Tasks[first].ID, "crew %q needs %d minutes to come from its home site %q, it has %d between the data date and %s",
			c.p.Crews[crew].ID, need, c.p.Crews[crew].HomeSite, has, c.text(begin))
	}
	if lastDone < 0 {
		return
	}
	done, need := c.work[lastDone].finish, int64(c.moveMinutes(lastDone, first))
	if has := c.crewTime[crew].minutes(done, begin); has < need {
		c.report(RuleTravel, c.p.Tasks[first].ID, "crew %q needs %d minutes to come from finished task %q, it has %d between %s and %s",
			c.p.Crews[crew].ID, need, c.p.Tasks[lastDone].ID, has, c.text(done), c.text(begin))
	}
}

// moveMinutes is the crew time lost between two tasks: travel between sites, or set-up in another area of one site.
func (c *checker) moveMinutes(from, to int) int {
	a, b := &c.p.Tasks[from], &c.p.Tasks[to]
	if a.Site != b.Site {
		return c.travelMinutes(a.Site, b.Site)
	}
	if b.Area == "" || a.Area == b.Area {
		return 0
	}
	return c.p.Areas[c.areas[b.Area]].SetupMinutes
}

func (c *checker) travelMinutes(from, to string) int {
	if minutes, ok := c.travel[[2]string{from, to}]; ok {
		return minutes
	}
	return c.travel[[2]string{to, from}] // 0 when neither is listed
}

// homeMinutes is the travel from a crew's home site to its first task.
func (c *checker) homeMinutes(crew, first int) int {
	home := c.p.Crews[crew].HomeSite
	if home == "" || home == c.p.Tasks[first].Site {
		return 0
	}
	return c.travelMinutes(home, c.p.Tasks[first].Site)
}
