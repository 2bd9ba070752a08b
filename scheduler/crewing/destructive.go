package crewing

import (
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// The size of what is tried to refute a finish. A trial looks at no more than mostLooks windows in intervals for each group of
// tasks, half a millisecond; larger groups are looked at over fewer intervals.
const (
	destructiveTasks     = 1_000 // the most tasks for which any of it is tried
	destructiveSchedules = 500   // the fewest schedules of a search for which it is worth its time
	mostLooks            = 50_000
)

// refuter tests whether all work can be finished by an instant, by destructive improvement (Klein and Scholl 1999, "Computing
// lower bounds by destructive improvement", European Journal of Operational Research 112): assume a finish, refute it, and the
// bound lies behind it. Here the windows of tasks are those of their crews' calendars, and a finish is refuted when some tasks
// must put more minutes into some interval than the crews that can do them have there, or hold more of a limit or an
// area (energetic reasoning: Erschler and Lopez 1990, "Energy-based approach for task scheduling under time and resource constraints").
// Moves of crews take no time here, so what is refuted is certain, and what is not refuted may be out of reach.
type refuter struct {
	*windows
	groups []group
	begins []calendar.Instant
	ends   []calendar.Instant
}

// group is tasks that share what they need: the crews of a team, or a resource.
type group struct {
	places   []int32 // of the tasks in windows.tasks
	units    []int64 // of a resource: by member, what it takes of it
	windows  int     // of all members
	crews    []network.CalendarIndex
	capacity int64 // of a resource; a team has its crews' working time
}

func newRefuter(m *Model, dates *network.Dates) *refuter {
	r := &refuter{windows: newWindows(m, dates)}
	e := newEnergy(m)
	placeOf := make(map[TaskIndex]int32, len(r.tasks))
	for place, t := range r.tasks {
		placeOf[t] = int32(place)
	}
	for _, set := range teamsOf(e, r.tasks) {
		g := group{}
		for c := range m.crews {
			if set.has(CrewIndex(c)) {
				g.crews = append(g.crews, m.crews[c].axis)
			}
		}
		for place, t := range r.tasks {
			if e.of[t] != None && e.teams[e.of[t]].within(set) {
				r.join(&g, int32(place), 1)
			}
		}
		r.groups = append(r.groups, g)
	}
	held := make([]group, len(m.resources))
	for place, t := range r.tasks {
		for _, u := range m.usesOf(t) {
			r.join(&held[u.resource], int32(place), int64(u.units))
		}
	}
	for i := range held {
		if held[i].capacity = int64(m.resources[i].capacity); len(held[i].places) > 1 {
			r.groups = append(r.groups, held[i])
		}
	}
	return r
}

// teamsOf are the sets of crews that some tasks need alone, and the joined ones with most work a crew.
func teamsOf(e *energy, tasks []TaskIndex) []team {
	loads := make([]load, len(e.teams))
	for i := range loads {
		loads[i] = load{team: e.teams[i], head: calendar.Never}
	}
	for _, t := range tasks {
		if e.of[t] != None {
			loads[e.of[t]].minutes += e.least[t]
		}
	}
	loads = slices.DeleteFunc(loads, func(l load) bool { return l.minutes == 0 })
	var teams []team
	known := make(map[string]bool)
	for _, l := range append(heaviest(loads), loads[:min(mostTeams, len(loads))]...) {
		if key := l.team.key(); !known[key] {
			known[key] = true
			teams = append(teams, l.team)
		}
	}
	return teams
}

func (r *refuter) join(g *group, place int32, units int64) {
	g.places, g.units = append(g.places, place), append(g.units, units)
	g.windows += len(r.of(int(place)))
}

// raise lifts a lower bound by refuting finishes below a known one, halving the gap at each trial, and stops early when asked.
func (r *refuter) raise(bound, known calendar.Instant, stop func() bool) calendar.Instant {
	for open := known - 1; bound <= open && !stop(); { // no finish above open needs to be tried
		middle := bound + (open-bound)/2
		if r.refutes(middle) {
			bound = middle + 1
		} else {
			open = middle - 1
		}
	}
	return bound
}

// refutes reports whether it is certain that not all work can be finished by an instant.
func (r *refuter) refutes(by calendar.Instant) bool {
	if !r.narrow(by) {
		return true
	}
	for i := range r.groups {
		if g := &r.groups[i]; r.overfull(g) {
			return true
		}
	}
	return false
}

// overfull reports whether the tasks of a group must do more in some interval than there is room for.
func (r *refuter) overfull(g *group) bool {
	r.begins, r.ends = r.begins[:0], r.ends[:0]
	for _, place := range g.places {
		begin, end := calendar.Never, calendar.Never
		for _, w := range r.of(int(place)) {
			if w.isOpen() {
				begin, end = min(begin, w.begin[0]), min(end, w.finish[0])
			}
		}
		t := r.tasks[place]
		r.begins = append(r.begins, begin, r.lateBegin[t])
		r.ends = append(r.ends, end, r.lastFinish[t])
	}
	r.begins, r.ends = thinned(r.begins, g.windows), thinned(r.ends, g.windows)
	for _, from := range r.begins {
		for _, to := range r.ends {
			if from < to && r.overfullBetween(g, from, to) {
				return true
			}
		}
	}
	return false
}

// thinned sorts instants and leaves so many of them that all pairs of two such lists can be looked at.
func thinned(list []calendar.Instant, windows int) []calendar.Instant {
	slices.Sort(list)
	list = slices.Compact(list)
	most := 4
	for most < len(list) && (most+1)*(most+1)*windows <= mostLooks {
		most++
	}
	if len(list) <= most {
		return list
	}
	for i := range most {
		list[i] = list[i*(len(list)-1)/(most-1)]
	}
	return list[:most]
}

func (r *refuter) overfullBetween(g *group, from, to calendar.Instant) bool {
	room := g.capacity * int64(to-from)
	for _, axis := range g.crews {
		a := r.m.axes[axis]
		room += int64(a.position(to) - a.position(from))
	}
	for i, place := range g.places {
		if room -= g.units[i] * r.least(g, place, from, to); room < 0 {
			return true
		}
	}
	return false
}

// least is the least that a task takes of an interval, over its options.
func (r *refuter) least(g *group, place int32, from, to calendar.Instant) int64 {
	least := int64(calendar.Never)
	for i := range r.of(int(place)) {
		w := &r.of(int(place))[i]
		switch {
		case !w.isOpen():
		case g.crews == nil:
			least = min(least, int64(w.held(from, to)))
		default:
			a := r.m.axes[w.axis]
			least = min(least, int64(w.worked(a.position(from), a.position(to))))
		}
		if least == 0 {
			break
		}
	}
	return least
}
