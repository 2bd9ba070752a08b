package network

import (
	"math/bits"

	"jambwright/scheduler/calendar"
)

// SetRelease changes the earliest instant for what is left of a task; it is never before the data date. Update brings
// the dates up to date. Finished and held tasks do not take part.
func (w *Workspace) SetRelease(t TaskIndex, at calendar.Instant) {
	if &w.release[0] == &w.c.release[0] {
		w.copied = append(w.copied[:0], w.release...)
		w.release = w.copied
	}
	w.release[t] = max(w.c.DataDate, at)
	w.markChanged(t)
}

// SetMinutes changes the working minutes of a task on the k-th of its options. Update brings the dates up to date.
func (w *Workspace) SetMinutes(t TaskIndex, k int, minutes calendar.WorkMinutes) {
	if len(w.minutes) == 0 {
		for i := range w.c.options.items {
			w.minutes = append(w.minutes, w.c.options.items[i].Minutes)
		}
	}
	w.minutes[int(w.c.options.offsets[t])+k] = minutes
	w.markChanged(t)
}

// update is the scratch of an incremental recomputation: which tasks to visit, by rank, the place in the order.
type update struct {
	ranked bool    // rank belongs to the compiled problem
	rank   []int32 // by task
	early  dirty   // early dates to compute
	late   dirty   // late dates to compute
	float  dirty   // floats to compute
}

func (u *update) forget() { u.ranked = false }

func (w *Workspace) markChanged(t TaskIndex) {
	u := &w.update
	if !u.ranked {
		u.rank = resized(u.rank, w.c.Tasks())
		for place, t := range w.c.Order {
			u.rank[t] = int32(place)
		}
		for _, set := range []*dirty{&u.early, &u.late, &u.float} {
			set.reset(w.c.Tasks())
		}
		u.ranked = true
	}
	u.early.add(u.rank[t])
	u.late.add(u.rank[t])
	u.float.add(u.rank[t])
}

// Update computes the dates anew after SetRelease and SetMinutes: from the changed tasks forward as far as early dates
// move, then backward as far as late dates do. The result equals that of a full computation. It costs what the change
// reaches and one look at the finish of every task; a project finish that moves reaches every open end.
func (w *Workspace) Update() *Dates {
	if !w.update.ranked {
		return &w.dates // nothing has changed
	}
	w.ranOff = false
	w.updateEarly()
	if !w.ranOff {
		w.updateLate()
	}
	if w.ranOff {
		return w.Recompute() // over a longer horizon
	}
	for place := w.update.float.next(0); place >= 0; place = w.update.float.next(place) {
		w.update.float.remove(place)
		w.measureFloat(w.c.Order[place])
	}
	return &w.dates
}

// Recompute runs the passes anew with all changes since Compute. It gives the same as Update and is faster when a good
// part of the tasks has changed.
func (w *Workspace) Recompute() *Dates {
	w.update.forget()
	w.run()
	return &w.dates
}

func (w *Workspace) updateEarly() {
	c, d, u := w.c, &w.dates, &w.update
	for place := u.early.next(0); place >= 0; place = u.early.next(place) {
		u.early.remove(place)
		t := c.Order[place]
		begin, finish, first := d.EarlyBegin[t], d.EarlyFinish[t], d.FirstStart[t]
		w.placeEarly(t)
		if begin == d.EarlyBegin[t] && finish == d.EarlyFinish[t] && first == d.FirstStart[t] {
			continue
		}
		u.float.add(place)
		if (finish == calendar.Never) != (d.EarlyFinish[t] == calendar.Never) {
			u.late.add(place)
			w.markPredecessors(t, &u.late) // its late dates bind them, or bind them no more
		}
		w.markPredecessors(t, &u.float) // their free float ends at its early dates
		for _, index := range c.Outgoing(t) {
			u.early.add(u.rank[c.Links[index].To])
		}
	}
	if finish := w.latestFinish(); finish != d.ProjectFinish {
		d.ProjectFinish = finish
		w.markOpenEnds()
	}
}

func (w *Workspace) updateLate() {
	d, u := &w.dates, &w.update
	for place := u.late.last(int32(len(w.c.Order))); place >= 0; place = u.late.last(place) {
		u.late.remove(place)
		t := w.c.Order[place]
		begin, finish, last := d.LateBegin[t], d.LateFinish[t], d.LastFinish[t]
		w.placeLate(t)
		if begin == d.LateBegin[t] && finish == d.LateFinish[t] && last == d.LastFinish[t] {
			continue
		}
		u.float.add(place)
		w.markPredecessors(t, &u.late)
	}
}

func (w *Workspace) markPredecessors(t TaskIndex, set *dirty) {
	for _, l := range w.c.Incoming(t) {
		set.add(w.update.rank[l.From])
	}
}

// markOpenEnds marks every task that the project finish may bound: it has no link from its finish that a placed
// successor holds.
func (w *Workspace) markOpenEnds() {
	for place, t := range w.c.Order {
		if w.isOpenEnd(t) {
			w.update.late.add(int32(place))
			w.update.float.add(int32(place))
		}
	}
}

func (w *Workspace) isOpenEnd(t TaskIndex) bool {
	for _, index := range w.c.Outgoing(t) {
		if l := &w.c.Links[index]; !l.Relation.FromStart() && l.Lag >= 0 && w.dates.Placed(l.To) {
			return false
		}
	}
	return true
}

// dirty is a set of ranks with one bit each.
type dirty []uint64

func (s *dirty) reset(n int) {
	*s = resized(*s, n/64+1)
	clear(*s)
}

func (s dirty) add(place int32)    { s[place>>6] |= 1 << (place & 63) }
func (s dirty) remove(place int32) { s[place>>6] &^= 1 << (place & 63) }

// next is the smallest member that is not below place, or -1.
func (s dirty) next(place int32) int32 {
	word := int(place >> 6)
	rest := s[word] &^ (1<<(place&63) - 1)
	for rest == 0 {
		if word++; word == len(s) {
			return -1
		}
		rest = s[word]
	}
	return int32(word<<6 + bits.TrailingZeros64(rest))
}

// last is the largest member below place, or -1.
func (s dirty) last(place int32) int32 {
	word := int(place >> 6)
	rest := s[word] & (1<<(place&63) - 1)
	for rest == 0 {
		if word--; word < 0 {
			return -1
		}
		rest = s[word]
	}
	return int32(word<<6 + 63 - bits.LeadingZeros64(rest))
}
