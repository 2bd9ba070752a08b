package crewing

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/scheduler/problem"
)

// chronological finds the least total of a problem of up to a dozen tasks among all crews and start minutes, in the order of the
// starts. Like bruteForce it knows nothing of lists, gaps or axes. What lets it reach twelve tasks:
//
// A task whose predecessors all have started begins at the first minute at which it fits beside what started before it. Nothing
// is lost: of all best plans take one whose starts add up to least. If such a task could begin sooner in it, what starts later
// would be in nobody's way, no link would break, since its predecessors stay, and the plan would be as good with a lesser sum.
// A delay that pays is found as the task's turn after those that it lets go ahead. A task with a predecessor yet to start (by a
// link to its finish, or with negative lag) tries every minute.
//
// A branch ends when what is left cannot be better than the best so far, by links and by work content alone, and when another one has
// placed the same tasks, each crew having done the same one last, and has left all that matters to the rest no later and at no more cost:
// whatever may follow here may follow there.
type chronological struct {
	bruteForce
	day    int
	placed []bool
	latest []int // by crew: the task that it did last, or -1
	left   int   // tasks yet to place
	nodes  int   // branches left to look at before it gives up

	finishFrom [][][]int  // by task, crew and minute: finish of work that starts there, 0 where none can
	soonest    [][]moment // by task and minute: the least begin and finish from there on, over its crews
	worked     [][]int    // by crew and minute: its working minutes before
	least      []int      // by task: minutes on its quickest crew
	crewsOf    []int      // by task: the crews that can do it, one bit each
	ties       []tie
	floor      []moment           // by task: least begin and finish; of placed work its own
	met        map[[2]int][][]int // by tasks placed and crews' last tasks: what such branches left to the rest
}

type moment struct{ begin, finish int }

// tie is a link with places for names.
type tie struct {
	from, to, lag       int
	fromStart, toFinish bool
}

// newChronological looks for totals below a bound.
func newChronological(p *problem.Problem, works map[string]workRow, day int, below float64) *chronological {
	n := len(p.Tasks)
	c := &chronological{
		day: day, nodes: 1 << 40, placed: make([]bool, n), latest: slices.Repeat([]int{-1}, len(p.Crews)), left: n,
		finishFrom: make([][][]int, n), soonest: make([][]moment, n), least: slices.Repeat([]int{longestDay}, n),
		crewsOf: make([]int, n), floor: make([]moment, n), met: map[[2]int][][]int{},
	}
	c.bruteForce = bruteForce{
		p: p, works: works, start: make([]int, n), finish: make([]int, n), crew: make([]int, n), best: below, byTask: make(map[string]int, n),
	}
	for t := range p.Tasks {
		c.byTask[p.Tasks[t].ID] = t
	}
	for _, l := range p.Links {
		c.ties = append(c.ties, tie{
			from: c.byTask[l.From], to: c.byTask[l.To], lag: l.LagMinutes,
			fromStart: l.Type == problem.StartToStart || l.Type == problem.StartToFinish,
			toFinish:  l.Type == problem.FinishToFinish || l.Type == problem.StartToFinish,
		})
	}
	slices.SortStableFunc(c.ties, func(a, b tie) int { return a.to - b.to })
	for crew := range p.Crews {
		row := make([]int, day+1)
		for m := range day {
			row[m+1] = row[m] + countIf(works[p.Crews[crew].Calendar][m])
		}
		c.worked = append(c.worked, row)
	}
	for t := range p.Tasks {
		c.tabulate(t)
	}
	return c
}

func (c *chronological) tabulate(t int) {
	c.finishFrom[t] = make([][]int, len(c.p.Crews))
	c.soonest[t] = slices.Repeat([]moment{{longestDay, longestDay}}, longestDay+1)
	for crew := range c.p.Crews {
		c.finishFrom[t][crew] = make([]int, c.day)
		if !c.p.Crews[crew].CanDo(&c.p.Tasks[t]) {
			continue
		}
		c.crewsOf[t] |= 1 << crew
		c.least[t] = min(c.least[t], c.p.Crews[crew].MinutesFor(&c.p.Tasks[t]))
		for m := range c.day {
			finish, ok := c.work(&c.p.Tasks[t], crew, m)
			if !ok || finish > c.day {
				continue
			}
			c.finishFrom[t][crew][m] = finish
			for from := range m + 1 {
				s := &c.soonest[t][from]
				s.begin, s.finish = min(s.begin, m), min(s.finish, finish)
			}
		}
	}
}

// next places one more task, not before the one placed last.
func (c *chronological) next(before int) {
	if c.left == 0 {
		c.best = min(c.best, c.total())
		return
	}
	from := 0
	if before >= 0 {
		from = c.start[before]
	}
	c.nodes--
	if c.nodes < 0 || c.bound(from) >= c.best-1e-9 || c.isNoBetter(from) {
		return
	}
	for t := range c.placed {
		isFree, isLate := c.turn(t)
		if c.placed[t] || isLate {
			continue
		}
		for crew := range c.latest {
			for m := from; m < c.day; m++ {
				if !c.fits(t, crew, m) {
					continue
				}
				if c.breaks(t) {
					break // a link to what has begun, and would all the more later
				}
				c.put(t, crew)
				if isFree {
					break
				}
			}
		}
	}
}

func (c *chronological) put(t, crew int) {
	start, finish, latest := c.start[t], c.finish[t], c.latest[crew]
	c.crew[t], c.placed[t], c.latest[crew] = crew, true, t
	c.left--
	c.next(t)
	c.left++
	c.start[t], c.finish[t], c.placed[t], c.latest[crew] = start, finish, false, latest
}

// turn tells whether all predecessors of a task are placed, and whether one is not that must start before it.
func (c *chronological) turn(t int) (isFree, isLate bool) {
	isFree = true
	for i := range c.ties {
		if l := &c.ties[i]; l.to == t && !c.placed[l.from] {
			isFree = false
			isLate = isLate || !l.toFinish && l.lag >= 0
		}
	}
	return isFree, isLate
}

// isNoBetter reports whether a branch met before is as good in every respect, and else remembers this one.
func (c *chronological) isNoBetter(from int) bool {
	key, state := [2]int{}, []int{from}
	hoist, area, makespan := 0, 0, 0
	for t, placed := range c.placed {
		if !placed {
			continue
		}
		key[0] |= 1 << t
		makespan = max(makespan, c.finish[t])
		if c.p.Tasks[t].Uses["hoist"] > 0 {
			hoist = max(hoist, c.finish[t])
		}
		if c.p.Tasks[t].Area == "a" {
			area = max(area, c.finish[t])
		}
	}
	state = append(state, makespan, max(from, hoist), max(from, area))
	for crew, latest := range c.latest {
		key[1] |= (latest + 1) << (8 * crew)
		if latest >= 0 {
			state = append(state, c.finish[latest])
		}
	}
	for i := range c.ties {
		l := &c.ties[i]
		anchor, bound := c.finish[l.from], c.start[l.to]
		if l.fromStart {
			anchor = c.start[l.from]
		}
		if l.toFinish {
			bound = c.finish[l.to]
		}
		switch {
		case c.placed[l.from] && !c.placed[l.to]:
			state = append(state, max(from, anchor+l.lag)) // nothing to come is before that minute anyway
		case !c.placed[l.from] && c.placed[l.to]:
			state = append(state, -bound) // what is yet to come must be in time for it
		}
	}
	late := 0.0
	for i := range c.p.GCDates {
		d := &c.p.GCDates[i]
		if t := c.byTask[d.Tasks[0]]; c.placed[t] {
			late += d.Damages() * max(0, float64(c.finish[t])-d.Date.Sub(c.p.DataDate).Minutes())
		}
	}
	state = append(state, int(late))
	isAsGood := func(other []int) bool {
		for i := range other {
			if other[i] > state[i] {
				return false
			}
		}
		return true
	}
	if slices.ContainsFunc(c.met[key], isAsGood) {
		return true
	}
	c.met[key] = append(c.met[key], state)
	return false
}

// fits puts a task at a crew and minute beside what is placed, and reports whether all rules but links from it hold.
func (c *chronological) fits(t, crew, m int) bool {
	finish := c.finishFrom[t][crew][m]
	if finish == 0 {
		return false
	}
	c.start[t], c.finish[t] = m, finish
	task, from, need := &c.p.Tasks[t], 0, 0
	if latest := c.latest[crew]; latest >= 0 {
		from, need = c.finish[latest], c.moveMinutes(&c.p.Tasks[latest], task)
	} else if home := c.p.Crews[crew].HomeSite; home != "" {
		need = c.travelMinutes(home, task.Site)
	}
	if m < from || c.worked[crew][m]-c.worked[crew][from] < need {
		return false
	}
	for o := range c.placed {
		other := &c.p.Tasks[o]
		shares := task.Uses["hoist"] > 0 && other.Uses["hoist"] > 0 || task.Area == "a" && other.Area == "a"
		if shares && c.placed[o] && c.finish[o] > m { // it started no later
			return false
		}
	}
	for i := range c.ties {
		if l := &c.ties[i]; l.to == t && c.placed[l.from] && !c.holds(l) {
			return false
		}
	}
	return true
}

// breaks reports whether a task breaks a link to what is placed.
func (c *chronological) breaks(t int) bool {
	return slices.ContainsFunc(c.ties, func(l tie) bool { return l.from == t && c.placed[l.to] && !c.holds(&l) })
}

func (c *chronological) holds(l *tie) bool {
	anchor, bound := c.finish[l.from], c.start[l.to]
	if l.fromStart {
		anchor = c.start[l.from]
	}
	if l.toFinish {
		bound = c.finish[l.to]
	}
	return bound >= anchor+l.lag
}

// bound is the least total of all that is placed and the rest from a minute on.
func (c *chronological) bound(from int) float64 {
	next := 0
	makespan := 0
	for t := range c.placed {
		f := &c.floor[t]
		if c.placed[t] {
			*f = moment{c.start[t], c.finish[t]}
		} else {
			*f = c.soonest[t][from]
		}
		for ; next < len(c.ties) && c.ties[next].to == t; next++ {
			if c.placed[t] {
				continue
			}
			l := &c.ties[next]
			at := c.floor[l.from].finish + l.lag
			if l.fromStart {
				at = c.floor[l.from].begin + l.lag
			}
			if l.toFinish {
				f.finish = max(f.finish, at)
				continue
			}
			s := c.soonest[t][min(longestDay, max(0, at))]
			f.begin, f.finish = max(f.begin, s.begin), max(f.finish, s.finish)
		}
		makespan = max(makespan, f.finish)
	}
	makespan = max(makespan, c.content(from))
	if makespan > c.day {
		return noneFits
	}
	cost := 0.25 * float64(makespan)
	for i := range c.p.GCDates {
		d := &c.p.GCDates[i]
		late := c.floor[c.byTask[d.Tasks[0]]].finish - int(d.Date.Sub(c.p.DataDate).Minutes())
		cost += d.Damages() * float64(max(0, late))
	}
	return cost
}

// content is the least minute by which every set of crews can have done what it alone can do of the rest.
func (c *chronological) content(from int) (makespan int) {
	for set := 1; set < 1<<len(c.latest); set++ {
		sum := 0
		for t := range c.placed {
			if !c.placed[t] && c.crewsOf[t]&^set == 0 {
				sum += c.least[t]
			}
		}
		room := func(to int) (room int) {
			for crew, latest := range c.latest {
				if set>>crew&1 == 0 {
					continue
				}
				begin := from
				if latest >= 0 {
					begin = max(begin, c.finish[latest])
				}
				room += max(0, c.worked[crew][to]-c.worked[crew][min(begin, to)])
			}
			return room
		}
		for makespan < c.day && room(makespan) < sum {
			makespan++
		}
		if room(makespan) < sum {
			return longestDay
		}
	}
	return makespan
}

// Minute by minute on four tasks, the slow way.
func TestChronological_AgreesWithBruteForce(t *testing.T) {
	t.Parallel()
	for seed := range uint64(testRounds(30, 8)) {
		p, works := smallProblem(100+seed, seed%2 == 0)
		b := bruteForce{p: p, works: works}
		c := newChronological(p, works, bruteMinutes, noneFits)
		c.next(-1)
		require.InDelta(t, b.solve(), c.best, 1e-6, "seed %d", seed)
	}
}
