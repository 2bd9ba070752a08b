package crewing

import (
	"cmp"
	"slices"

	"jambwright/scheduler/calendar"
)

// team is a set of crews by index, 64 a word.
type team []uint64

func (t team) add(c CrewIndex)      { t[c>>6] |= 1 << (c & 63) }
func (t team) has(c CrewIndex) bool { return t[c>>6]&(1<<(c&63)) != 0 }

func (t team) within(o team) bool {
	for i := range t {
		if t[i]&^o[i] != 0 {
			return false
		}
	}
	return true
}

func (t team) union(o team) team {
	u := slices.Clone(t)
	for i := range o {
		u[i] |= o[i]
	}
	return u
}

// key is the set as a comparable value.
func (t team) key() string {
	b := make([]byte, 0, 8*len(t))
	for _, word := range t {
		for range 8 {
			b = append(b, byte(word))
			word >>= 8
		}
	}
	return string(b)
}

// load is work that only the crews of one set can do.
type load struct {
	team    team
	minutes calendar.WorkMinutes
	head    calendar.Instant // none of it begins before
	tasks   []TaskIndex
}

// energy bounds finishes from below by work content: the tasks that only the crews of some set can do take at least the
// sum of their least minutes of these crews' working time, from the earliest begin of any of them; and when the last of
// them is finished, the work that follows every one of them is still to come. This holds for each part of such a set of
// tasks, too: here those with the longest work behind them, and those that begin last (heads and tails, Carlier 1982,
// "The one-machine sequencing problem", European Journal of Operational Research 11).
type energy struct {
	m     *Model
	teams []team  // distinct sets of eligible crews
	of    []int32 // per task: its set, None for fixed work
	least []calendar.WorkMinutes
}

// mostTeams bounds the number of sets that unions are made of; problems with more use the sets as they are.
const mostTeams = 64

// mostTries is how many unions are turned into instants, the ones with most work a crew first.
const mostTries = 6

func newEnergy(m *Model) *energy {
	e := &energy{m: m, of: make([]int32, m.Tasks()), least: make([]calendar.WorkMinutes, m.Tasks())}
	known := make(map[string]int32)
	words := (len(m.crews) + 63) / 64
	for t := range e.of {
		e.of[t] = None
	}
	for _, t := range m.order {
		set := make(team, words)
		least := endless
		for _, o := range m.Options(t) {
			if o.Crew != None {
				set.add(o.Crew)
				least = min(least, o.Minutes)
			}
		}
		if least == endless {
			continue
		}
		key := set.key()
		if _, ok := known[key]; !ok {
			known[key] = int32(len(e.teams))
			e.teams = append(e.teams, set)
		}
		e.of[t], e.least[t] = known[key], least
	}
	return e
}

// bound is the least instant by which the chosen tasks can all be done, as far as work content tells. head is the least
// begin of each task, tail the least time from its finish to that instant in minutes of the clock.
func (e *energy) bound(chosen []TaskIndex, head []calendar.Instant, tail []int64) calendar.Instant {
	loads := make([]load, len(e.teams))
	for i := range loads {
		loads[i] = load{team: e.teams[i], head: calendar.Never}
	}
	for _, t := range chosen {
		if e.of[t] != None {
			l := &loads[e.of[t]]
			l.minutes += e.least[t]
			l.head = min(l.head, head[t])
			l.tasks = append(l.tasks, t)
		}
	}
	loads = slices.DeleteFunc(loads, func(l load) bool { return l.minutes == 0 })
	at := calendar.BeforeAll
	for _, l := range heaviest(loads) {
		at = max(at, e.finish(&l))
		l.tasks = tasksWithin(loads, l.team)
		slices.SortFunc(l.tasks, func(a, b TaskIndex) int { return cmp.Or(-cmp.Compare(tail[a], tail[b]), cmp.Compare(a, b)) })
		at = max(at, e.boundOfParts(l, head, tail))
		slices.SortFunc(l.tasks, func(a, b TaskIndex) int { return cmp.Or(-cmp.Compare(head[a], head[b]), cmp.Compare(a, b)) })
		at = max(at, e.boundOfParts(l, head, tail))
	}
	return at
}

// boundOfParts bounds by the first tenth of a load's tasks, the first two tenths, and so on.
func (e *energy) boundOfParts(l load, head []calendar.Instant, tail []int64) calendar.Instant {
	const parts = 10
	at := calendar.BeforeAll
	part := load{team: l.team, head: calendar.Never}
	behind := int64(calendar.Never)
	for i, t := range l.tasks {
		part.minutes += e.least[t]
		part.head = min(part.head, head[t])
		behind = min(behind, tail[t])
		if (i+1)*parts/len(l.tasks) == i*parts/len(l.tasks) {
			continue
		}
		if done := e.finish(&part); done > calendar.BeforeAll {
			at = max(at, done+calendar.Instant(behind))
		}
	}
	return at
}

// tasksWithin lists the tasks that only the crews of a set can do.
func tasksWithin(loads []load, set team) []TaskIndex {
	var tasks []TaskIndex
	for i := range loads {
		if loads[i].team.within(set) {
			tasks = append(tasks, loads[i].tasks...)
		}
	}
	return tasks
}

// heaviest joins loads whose crews make up one set and gives those with most work a crew.
func heaviest(loads []load) []load {
	sets := make([]team, 0, len(loads))
	for i := range loads {
		sets = append(sets, loads[i].team)
	}
	if len(loads) <= mostTeams {
		for i := range loads {
			for k := range i {
				sets = append(sets, loads[i].team.union(loads[k].team))
			}
			sets = append(sets, grow(loads, i))
		}
	}
	joined := make([]load, 0, len(sets))
	for _, set := range sets {
		joined = append(joined, join(loads, set))
	}
	slices.SortStableFunc(joined, func(a, b load) int { return -cmp.Compare(a.perCrew(), b.perCrew()) })
	return joined[:min(mostTries, len(joined))]
}

// grow adds to one load's crews, again and again, those of the load that raises the work a crew most.
func grow(loads []load, from int) team {
	best := join(loads, loads[from].team)
	for grew := true; grew; {
		grew = false
		base := best.team
		for i := range loads {
			if loads[i].team.within(base) {
				continue
			}
			if wider := join(loads, base.union(loads[i].team)); wider.perCrew() > best.perCrew() {
				best, grew = wider, true
			}
		}
	}
	return best.team
}

// join is all the work that only the crews of a set can do.
func join(loads []load, set team) load {
	sum := load{team: set, head: calendar.Never}
	for i := range loads {
		if loads[i].team.within(set) {
			sum.minutes += loads[i].minutes
			sum.head = min(sum.head, loads[i].head)
		}
	}
	return sum
}

func (l *load) perCrew() float64 {
	n := 0
	for _, word := range l.team {
		for ; word != 0; word &= word - 1 {
			n++
		}
	}
	return float64(l.minutes) / float64(max(1, n))
}

// finish is the first instant by which the crews of a load have worked its minutes since its head.
func (e *energy) finish(l *load) calendar.Instant {
	low, high := l.head, e.m.To
	enough := e.worked(l.team, l.head) + l.minutes
	if e.worked(l.team, high) < enough {
		return calendar.BeforeAll // it does not fit into the horizon, which is no bound on work that was left out
	}
	for low < high {
		middle := low + (high-low)/2
		if e.worked(l.team, middle) >= enough {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return low
}

// worked is the working time of a team's crews until an instant.
func (e *energy) worked(crews team, until calendar.Instant) (sum calendar.WorkMinutes) {
	for c := range e.m.crews {
		if crews.has(CrewIndex(c)) {
			sum += e.m.axes[e.m.crews[c].axis].position(until)
		}
	}
	return sum
}
