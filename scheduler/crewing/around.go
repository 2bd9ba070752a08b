package crewing

import (
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// Place is where a plan has a task: its crew (None for fixed work), and its begin, the resume of a started task.
type Place struct {
	Task          TaskIndex
	Crew          CrewIndex
	Begin, Finish calendar.Instant
}

// Given is what is taken as given up for one task: the bounds that hold it no longer.
type Given struct {
	Links     []TaskIndex // all links from these tasks
	Resources []int32     // shared capacities, as Cause.Index names them
	NotBefore bool
	Pin       bool // a pinned start
	Issued    bool // a start kept from the issued plan
	Crew      bool // the other work of the crew, so that it is as free as at the data date
}

// Add gives up what a cause names, and reports whether that is anything that could give: the data date, finished work,
// working hours and a crew's way from home cannot.
func (g *Given) Add(m *Model, c Cause) bool {
	switch c.Kind {
	case ByNotBefore:
		g.NotBefore = true
	case ByLink:
		if m.state[c.Driver] == Done {
			return false
		}
		g.Links = append(slices.Clip(g.Links), c.Driver)
	case ByCapacity:
		g.Resources = append(slices.Clip(g.Resources), c.Index)
	case ByPin:
		g.Pin = true
	case ByFrozen:
		g.Issued = true
	case ByCrew:
		if c.Driver == None || g.Crew {
			return false // its way from home, or from the last work that it finished
		}
		g.Crew = true
	default:
		return false
	}
	return true
}

// Around holds the places of a plan as they are and answers where one of its tasks could begin among the others. It is not
// for concurrent use.
type Around struct {
	m *Model
	w *Workspace

	rows [][]TaskIndex // per crew: its unfinished tasks in sequence
	free gapList       // scratch
}

// NewAround takes in the places of unfinished tasks. The model's horizon must hold them. O(tasks log tasks).
func NewAround(m *Model, places []Place) *Around {
	a := &Around{m: m, w: NewWorkspace(m), rows: make([][]TaskIndex, len(m.crews))}
	s := a.w.s
	for r := range a.w.profiles {
		a.w.profiles[r].reset()
	}
	for _, p := range places {
		t := p.Task
		s.Begin[t], s.Finish[t], s.Crew[t], s.Placed[t] = p.Begin, p.Finish, p.Crew, true
		s.Start[t] = p.Begin
		if m.state[t] == Started {
			s.Start[t] = m.actualStart[t]
		}
		if p.Crew != None {
			a.rows[p.Crew] = append(a.rows[p.Crew], t)
		}
		for _, u := range m.usesOf(t) {
			a.w.profiles[u.resource].add(p.Begin, p.Finish, u.units)
		}
	}
	for c := range a.rows {
		slices.SortFunc(a.rows[c], a.w.compareInSequence)
	}
	return a
}

// Earliest is where a task could begin on a crew (None for fixed work) if nothing else of the plan moved and what is given
// held it no longer, and the cause that lets go last before that. ok is false when the crew may not do the task, something that it
// is linked from is not planned, or the horizon holds no place.
func (a *Around) Earliest(t TaskIndex, crew CrewIndex, given *Given) (begin, finish calendar.Instant, cause Cause, ok bool) {
	m, w := a.m, a.w
	options := m.Options(t)
	i := slices.IndexFunc(options, func(o network.Option) bool { return o.Crew == crew })
	if i < 0 || !a.ask(t, given) {
		return 0, 0, Cause{}, false
	}
	if crew != None {
		a.freeOf(t, crew, given)
		w.gaps[crew], a.free = a.free, w.gaps[crew]
		defer func() { w.gaps[crew], a.free = a.free, w.gaps[crew] }()
	}
	for _, u := range m.usesOf(t) {
		if slices.Contains(given.Resources, u.resource) {
			lent := w.profiles[u.resource]
			w.profiles[u.resource] = profile{times: []calendar.Instant{calendar.BeforeAll}, used: []int32{0}}
			defer func() { w.profiles[u.resource] = lent }()
		} else if w.s.Placed[t] {
			w.profiles[u.resource].add(w.s.Begin[t], w.s.Finish[t], -u.units)
			defer w.profiles[u.resource].add(w.s.Begin[t], w.s.Finish[t], u.units)
		}
	}
	p, ok := w.find(&options[i])
	return p.begin, p.finish, p.cause, ok
}

// ask fills the workspace's request with the bounds that still hold.
func (a *Around) ask(t TaskIndex, given *Given) bool {
	m, s, q := a.m, a.w.s, &a.w.q
	*q = request{task: t, at: m.DataDate, limit: calendar.Never, ending: calendar.BeforeAll}
	q.cause = Cause{Kind: ByDataDate, Driver: None, Until: m.DataDate}
	raise := func(at calendar.Instant, cause Cause) {
		if at > q.at {
			q.at, q.cause = at, cause
		}
	}
	if own := m.NotBefore(t); !given.NotBefore {
		raise(own, Cause{Kind: ByNotBefore, Driver: None, Until: own})
	}
	wish := &m.wishes[t]
	if given := wish.isFrozen && given.Issued || !wish.isFrozen && given.Pin; wish.start != calendar.Never && !given {
		raise(wish.start, wishCause(wish))
	}
	links := m.Incoming(t)
	for i := range links {
		l := &links[i]
		if slices.Contains(given.Links, l.From) {
			continue
		}
		if !s.Placed[l.From] {
			return false
		}
		event := s.Finish[l.From]
		if l.Relation.FromStart() {
			event = s.Start[l.From]
		}
		at := m.AddLag(l, event)
		switch cause := (Cause{Kind: ByLink, Driver: l.From, Until: at}); {
		case !l.Relation.BoundsFinish():
			raise(at, cause)
		case at > q.ending:
			q.ending, q.endCause = at, cause
		}
	}
	return true
}

// freeOf fills the free time of a crew without one task, or without any when its other work is given up.
func (a *Around) freeOf(t TaskIndex, crew CrewIndex, given *Given) {
	m, s := a.m, a.w.s
	axis := m.axes[m.crews[crew].axis]
	list := a.free.gaps[:0]
	g := gap{from: 0, before: None}
	for _, other := range a.rows[crew] {
		if other == t || given.Crew {
			continue
		}
		g.to, g.after, g.afterPlace = axis.position(s.Begin[other]), other, m.place[other]
		list = append(list, g)
		g = gap{from: axis.position(s.Finish[other]), before: other, beforePlace: m.place[other]}
	}
	g.to, g.after = endless, None
	a.free.gaps = append(list, g)
}
