package pattern

import (
	"cmp"
	"slices"
	"time"

	"jambwright/scheduler/problem"
	"jambwright/scheduler/takeoff"
)

// Storage is an area that stores only so much material between delivery and use, with what is stored in it.
type Storage struct {
	Project string
	Area    string
	Most    int // items of openings
	Items   []Stored
	// Kept says that the problem's links keep the limit. Where they cannot, a note says why, and as much is kept as can be.
	Kept bool
}

// Stored is one item of one opening: it lies in the area from the start of its delivery to the finish of the work that uses it.
type Stored struct {
	Delivery TaskKey
	Use      TaskKey
}

// storageBuilder turns the limit of one area into links, so that the planner and its checker need no notion of storage:
//
//	drops for the area in a row, by when they are used:   D1 ──> D2 ──> D3
//	each waits until so much of the ones before is used:         ↑      ↑
//	that what is left and what it brings find room:      U1,1 ───┘ U1,2 ┘
//
// With the drops in a row, what lies there when one of them comes is what the ones before brought and nobody has used: so that
// the limit holds at every instant. The row is chosen before the plan is made, by the issued plan where there is one, and
// the planner cannot change it: that is what a limit in plain links costs.
type storageBuilder struct {
	*projectBuilder
	area   string
	most   int
	held   []storedDrop
	after  map[string][]string // links of the problem, by the task they come from
	stuck  map[string]bool     // tasks that wait without a date, and what follows them
	limits *Storage
}

// storedDrop is what one delivery brings for the area.
type storedDrop struct {
	key   TaskKey
	here  bool // it has come, or is coming in at this moment
	first time.Time
	stage int
	items []Stored
}

// addStorage keeps the limits of stored material. It comes last, since it looks at all other links.
func (p *projectBuilder) addStorage() {
	var limited []*Area
	for _, a := range p.tree.list {
		if a.MaxStored != nil {
			limited = append(limited, a)
		}
	}
	if len(limited) == 0 {
		return
	}
	issued := map[string]time.Time{}
	for _, line := range p.f.Issued {
		issued[line.Task] = line.Start
	}
	s := &storageBuilder{projectBuilder: p, after: map[string][]string{}}
	for _, l := range p.p.Links {
		s.after[l.From] = append(s.after[l.From], l.To)
	}
	s.findStuck()
	for _, a := range limited {
		s.area, s.most = a.ID, *a.MaxStored
		s.limits = &Storage{Project: p.pr.Code, Area: a.ID, Most: s.most, Kept: true}
		s.collect(issued)
		s.row()
		p.index.Storage = append(p.index.Storage, *s.limits)
	}
}

// findStuck marks what cannot be planned: waiting for it would keep deliveries out of the plan.
func (s *storageBuilder) findStuck() {
	s.stuck = map[string]bool{}
	var open []string
	for i := range s.p.Tasks {
		if s.p.Tasks[i].Waits {
			open = append(open, s.p.Tasks[i].ID)
		}
	}
	s.spread(s.stuck, open)
}

// spread marks tasks and everything that follows them.
func (s *storageBuilder) spread(marked map[string]bool, from []string) {
	for len(from) > 0 {
		id := from[len(from)-1]
		from = from[:len(from)-1]
		if !marked[id] {
			marked[id] = true
			from = append(from, s.after[id]...)
		}
	}
}

// collect lists the drops that bring something for the area in the order in which their material is used: what has come
// first, then by the issued start of the first use, the stage of the work, the number of the drop and the key.
func (s *storageBuilder) collect(issued map[string]time.Time) {
	status := map[string]*problem.Status{}
	for i := range s.p.Tasks {
		status[s.p.Tasks[i].ID] = s.p.Tasks[i].Status
	}
	byKey := map[TaskKey]*storedDrop{}
	var order []TaskKey
	for _, o := range s.openings {
		if !s.tree.isInside(o.Area, s.area) {
			continue
		}
		for _, m := range o.Material {
			kind, needed := o.stepFor(m.Item)
			delivery, use := DeliverTask(s.pr.Code, m.Release, max(m.Drop, 1)), s.key(o, kind)
			state, planned := status[string(delivery)]
			if m.OnSite || !needed || !planned {
				continue
			}
			if work := status[string(use)]; work != nil && work.Finished != nil {
				continue // used up
			}
			d := byKey[delivery]
			if d == nil {
				d = &storedDrop{key: delivery, here: state != nil, stage: slices.Index(takeoff.Kinds(), kind)}
				byKey[delivery] = d
				order = append(order, delivery)
			}
			if at, known := issued[string(use)]; known && (d.first.IsZero() || at.Before(d.first)) {
				d.first = at
			}
			d.stage = min(d.stage, slices.Index(takeoff.Kinds(), kind))
			d.items = append(d.items, Stored{delivery, use})
		}
	}
	s.held = s.held[:0]
	for _, key := range order {
		s.held = append(s.held, *byKey[key])
		s.limits.Items = append(s.limits.Items, byKey[key].items...)
	}
	slices.SortStableFunc(s.held, func(a, b storedDrop) int {
		return cmp.Or(firstTrue(a.here, b.here), firstTrue(!a.first.IsZero(), !b.first.IsZero()), a.first.Compare(b.first), cmp.Compare(a.stage, b.stage), cmp.Compare(a.key, b.key))
	})
}

func firstTrue(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// row links the drops of the area. Nothing is linked while everything finds room at once.
func (s *storageBuilder) row() {
	total := 0
	for i := range s.held {
		total += len(s.held[i].items)
	}
	if total <= s.most {
		return
	}
	var brought []Stored // by the drops before, in the order of their use
	last := TaskKey("")
	for i := range s.held {
		d := &s.held[i]
		if d.here {
			brought = append(brought, d.items...)
			continue
		}
		if s.stuck[string(d.key)] {
			continue // not planned, so that it fills nothing
		}
		reached := map[string]bool{}
		s.spread(reached, []string{string(d.key)})
		if last != "" && !s.wait(last, d, reached) {
			s.limits.Kept = false
			s.noteTask(NoteStorage, d.key, s.area, "%s comes before %s in any case: what %s can store is not kept", d.key, last, s.area)
		}
		s.makeRoom(d, brought, reached)
		brought = append(brought, d.items...)
		last = d.key
	}
}

// makeRoom lets a drop wait until what the ones before brought is used so far that it finds room.
func (s *storageBuilder) makeRoom(d *storedDrop, brought []Stored, reached map[string]bool) {
	over := len(brought) + len(d.items) - s.most
	if len(d.items) > s.most {
		s.limits.Kept = false
		s.noteTask(NoteStorage, d.key, s.area, "%s brings %d items for %s, which stores at most %d: bring it in several drops",
			d.key, len(d.items), s.area, s.most)
		over = len(brought)
	}
	for _, item := range brought {
		if over <= 0 {
			return
		}
		if s.stuck[string(item.Use)] {
			continue // it lies there until its work can be planned
		}
		if s.wait(item.Use, d, reached) {
			over--
		}
	}
	if over > 0 {
		s.limits.Kept = false
		s.noteTask(NoteStorage, d.key, s.area, "%s finds no room in %s, which stores at most %d items: %d more lie there than can be used before it comes",
			d.key, s.area, s.most, over)
	}
}

// wait links a task to a delivery, unless the delivery comes before it in any case.
func (s *storageBuilder) wait(before TaskKey, d *storedDrop, reached map[string]bool) bool {
	if reached[string(before)] {
		return false
	}
	if !slices.Contains(s.after[string(before)], string(d.key)) {
		s.link(before, d.key)
		s.after[string(before)] = append(s.after[string(before)], string(d.key))
	}
	return true
}
