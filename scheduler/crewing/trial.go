package crewing

import (
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// Trial generates schedules of one problem under other lengths of work and other releases than the document's: samples of
// a simulation. It owns its copy of what may change; calendars, links and capacities are shared with the model. Its memory is
// reused; only places that have to be given up allocate. Not for concurrent use; make one a goroutine.
//
//	change lengths, releases, absences --> Ready --> Generate one list after another --> change them again
type Trial struct {
	m *Model
	w *Workspace
}

// NewTrial makes a trial in which everything is as in the model.
func NewTrial(m *Model) *Trial {
	own := *m
	own.Compiled = m.WithOwnOptions()
	own.release, own.crews = slices.Clone(m.release), slices.Clone(m.crews)
	w := NewWorkspace(&own)
	w.absent = make([]bool, m.Tasks())
	return &Trial{m: &own, w: w}
}

// SetMinutes changes the working minutes of a task on the k-th of its options.
func (r *Trial) SetMinutes(t TaskIndex, k int, minutes calendar.WorkMinutes) {
	r.m.Options(t)[k].Minutes = minutes
}

// SetNotBefore changes a task's not_before.
func (r *Trial) SetNotBefore(t TaskIndex, at calendar.Instant) {
	r.m.release[t] = r.m.releaseAt(t, at)
}

// SetAbsent takes a task's work away, or gives it back: an absent task needs no crew, no time and no capacity, and passes
// on at once what its links hold it to.
func (r *Trial) SetAbsent(t TaskIndex, isAbsent bool) { r.w.absent[t] = isAbsent }

// Ready reserves the places of pinned, under-way and frozen work anew, for what has been changed.
func (r *Trial) Ready() {
	m := r.m
	for c := range m.crews {
		m.crews[c].shortest = endless
	}
	for t := range TaskIndex(m.Tasks()) {
		if r.w.absent[t] {
			continue
		}
		options := m.Options(t)
		for i := range options {
			if o := &options[i]; o.Crew != None {
				m.crews[o.Crew].shortest = min(m.crews[o.Crew].shortest, o.Minutes)
			}
		}
	}
	for _, t := range m.order { // the schedule before says nothing of this one
		r.w.s.Placed[t], r.w.s.Crew[t] = false, None
	}
	clear(r.w.base.lost)
	r.w.rebase()
}

// Generate makes the schedule of a list, giving up the reserved places that links do not allow. choice says per task which
// of its options it must take, None for the one that finishes first. The schedule is valid until the next one.
func (r *Trial) Generate(list []TaskIndex, choice []int16) *Schedule {
	copy(r.w.choice, choice)
	return r.w.Settle(list)
}

// releaseAt is the bound on a task's begin, links from work yet to be planned aside, when its not_before is at.
func (m *Model) releaseAt(t TaskIndex, at calendar.Instant) bound {
	b := m.boundAt(at)
	for _, l := range m.Incoming(t) {
		if m.state[l.From] == Done && !l.Relation.BoundsFinish() {
			m.tightenTo(&b, &l)
		}
	}
	return b
}

// ListBy sorts the tasks to plan by keys, one per task and the least first, as far as links allow, ties by task index. The
// slice is the caller's own.
func (m *Model) ListBy(keys []int64) []TaskIndex {
	var s sorter
	return s.sort(m, keys)
}

// OptionOn is the place among a task's options of the one on a crew, None without one.
func (m *Model) OptionOn(t TaskIndex, crew CrewIndex) int16 {
	return int16(slices.IndexFunc(m.Options(t), func(o network.Option) bool { return o.Crew == crew }))
}

// Driver is the task that held the start of t, None when something else did: its predecessor, its crew's task before, or
// the one that freed a capacity. It had its turn before t, so that following drivers comes to an end.
func (m *Model) Driver(s *Schedule, t TaskIndex) TaskIndex {
	switch cause := &s.Cause[t]; cause.Kind {
	case ByLink, ByCrew:
		return cause.Driver
	case ByCapacity:
		return m.CapacityDriver(s, t)
	}
	return None
}
