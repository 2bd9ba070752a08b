package check

import (
	"math/big"
	"slices"
	"strconv"
	"strings"
	"time"

	"jambwright/scheduler/problem"
)

type checker struct {
	p          *problem.Problem
	plan       *problem.Plan
	violations []Violation

	zone      *time.Location
	dataDate  minute
	tasks     map[string]int
	crews     map[string]int
	areas     map[string]int
	limits    map[string]int
	calendars map[string]*worktime
	crewTime  []*worktime          // per crew: its calendar less its absences
	axes      map[string]*worktime // by crew or calendar and limits
	travel    map[[2]string]int
	moved     map[string]bool // tasks that a note says had to move
	issued    map[string]bool // tasks of the plan in force

	work      []work // per task
	unplanned []bool // per task: listed as left out
	unusable  []bool // per task: planned at times that are no whole minutes, and already reported for it
	linksInto [][]int
	linksFrom [][]int
	sequences [][]int // per crew: its unfinished planned tasks in order
	lastDone  []int   // per crew: its last finished task, -1 for none

	limitHolds, areaHolds [][]hold // per limit and per area
}

// work is what the plan does with one task, in minutes.
type work struct {
	planned       *problem.PlannedTask // nil when the plan does not hold it
	start, finish minute
	begin         minute // of the minutes still to come: resume of a started task, else start
	crew          int    // -1: none, or not known
	axis          *worktime
	length        int64 // minutes that it must take
}

// live reports whether the plan holds work on the task that is still to come.
func (c *checker) live(task int) bool {
	return c.work[task].planned != nil && !c.p.Tasks[task].IsFinished()
}

func (c *checker) prepare() {
	p := c.p
	c.zone, _ = problem.LoadZone(p.Zone) // Validate has tried it
	c.dataDate = minuteOf(p.DataDate)
	c.tasks = indexOf(len(p.Tasks), func(i int) string { return p.Tasks[i].ID })
	c.crews = indexOf(len(p.Crews), func(i int) string { return p.Crews[i].ID })
	c.areas = indexOf(len(p.Areas), func(i int) string { return p.Areas[i].ID })
	c.limits = indexOf(len(p.Limits), func(i int) string { return p.Limits[i].ID })
	c.prepareTime()
	c.travel = map[[2]string]int{}
	for _, t := range p.Travel {
		c.travel[[2]string{t.From, t.To}] = t.Minutes
	}
	c.issued = make(map[string]bool, len(p.Issued))
	for _, line := range p.Issued {
		c.issued[line.Task] = true
	}
	c.moved = map[string]bool{}
	for _, note := range c.plan.Notes {
		if id, why, ok := movedTask(note); ok && strings.TrimSpace(why) != "" {
			c.moved[id] = true
		}
	}
	c.linksInto, c.linksFrom = make([][]int, len(p.Tasks)), make([][]int, len(p.Tasks))
	for i, l := range p.Links {
		c.linksInto[c.tasks[l.To]] = append(c.linksInto[c.tasks[l.To]], i)
		c.linksFrom[c.tasks[l.From]] = append(c.linksFrom[c.tasks[l.From]], i)
	}
	c.work = slices.Repeat([]work{{crew: -1}}, len(p.Tasks))
	c.unplanned, c.unusable = make([]bool, len(p.Tasks)), make([]bool, len(p.Tasks))
}

// movedTask takes a note of moved work apart; see problem.MovedNote.
func movedTask(note string) (id, why string, ok bool) {
	rest, ok := strings.CutPrefix(note, "task ")
	if !ok {
		return "", "", false
	}
	return strings.Cut(rest, " moved: ")
}

func indexOf(n int, id func(int) string) map[string]int {
	index := make(map[string]int, n)
	for i := range n {
		index[id(i)] = i
	}
	return index
}

func (c *checker) prepareTime() {
	c.axes = map[string]*worktime{}
	c.calendars = map[string]*worktime{problem.Always: alwaysOpen()}
	for i := range c.p.Calendars {
		cal := &c.p.Calendars[i]
		zone, _ := problem.LoadZone(cal.Zone) // Validate has tried it
		c.calendars[cal.ID] = calendarTime(cal, zone)
	}
	for i := range c.p.Crews {
		crew := &c.p.Crews[i]
		cal, away := c.calendars[crew.Calendar], make([]span, len(crew.Away))
		for j, a := range crew.Away {
			away[j] = span{minuteOf(a.From), minuteOf(a.To)}
		}
		c.crewTime = append(c.crewTime, &worktime{expand: func(from, to minute) []span {
			return without(cal.pieces(from, to), away)
		}})
	}
}

// axisOf is the time in which a task can be worked, by a crew when it is crew work.
func (c *checker) axisOf(task, crew int) *worktime {
	t := &c.p.Tasks[task]
	base, key := c.calendars[t.Calendar], "calendar "+t.Calendar
	if t.IsCrewWork() {
		base, key = c.crewTime[crew], "crew "+strconv.Itoa(crew)
	}
	var open []*worktime
	for i := range c.p.Limits {
		if l := &c.p.Limits[i]; l.Calendar != "" && t.Uses[l.ID] > 0 {
			open = append(open, c.calendars[l.Calendar])
			key += "\x00" + l.Calendar
		}
	}
	if len(open) == 0 {
		return base
	}
	axis, ok := c.axes[key]
	if !ok {
		axis = &worktime{expand: func(from, to minute) []span {
			spans := base.pieces(from, to)
			for _, o := range open {
				spans = common(spans, o.pieces(from, to))
			}
			return spans
		}}
		c.axes[key] = axis
	}
	return axis
}

// lengthOf is the number of minutes that a task still takes on a crew: what was reported to remain, the fixed duration,
// or labour / (heads x productivity) rounded up, in exact fractions of the decimals that were written.
func (c *checker) lengthOf(task, crew int) int64 {
	t := &c.p.Tasks[task]
	switch {
	case t.IsStarted():
		return int64(*t.Status.RemainingMinutes)
	case !t.IsCrewWork():
		return int64(*t.DurationMinutes)
	}
	pace := big.NewRat(1, 1)
	if factor, ok := c.p.Crews[crew].Productivity[t.Kind]; ok {
		pace.SetString(strconv.FormatFloat(factor, 'f', -1, 64))
	}
	heads := big.NewRat(int64(c.p.Crews[crew].Heads), 1)
	minutes := new(big.Rat).SetInt64(int64(*t.LabourMinutes))
	minutes.Quo(minutes, heads.Mul(heads, pace))
	up := new(big.Int).Add(minutes.Num(), minutes.Denom())
	up.Sub(up, big.NewInt(1))
	return up.Div(up, minutes.Denom()).Int64()
}

// refusal is the reason why a crew may not do a task, "" when it may.
func (c *checker) refusal(task, crew int) string {
	t, k := &c.p.Tasks[task], &c.p.Crews[crew]
	switch {
	case !slices.Contains(k.Skills, t.Kind):
		return "lacks the skill " + strconv.Quote(t.Kind)
	case k.Heads < max(1, t.MinHeads):
		return "has " + strconv.Itoa(k.Heads) + " heads, the task needs " + strconv.Itoa(t.MinHeads)
	case len(k.Sites) > 0 && t.Site != "" && !slices.Contains(k.Sites, t.Site):
		return "may not enter site " + strconv.Quote(t.Site)
	}
	return ""
}

func (c *checker) text(m minute) string { return m.time().In(c.zone).Format("2006-01-02 15:04 -07:00") }
