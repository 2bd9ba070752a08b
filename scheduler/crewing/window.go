package crewing

import (
	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// window is where one way to do a task may lie if all work is to be finished by some instant: how its earliest and its latest
// place lie on the clock and on the axis of its calendar.
type window struct {
	task          TaskIndex
	axis          network.CalendarIndex
	minutes       calendar.WorkMinutes
	begin, finish [2]calendar.Instant // of the earliest place and of the latest one
	position      [2]calendar.WorkMinutes
}

// isOpen reports whether the window holds any place at all.
func (w *window) isOpen() bool { return w.position[0] <= w.position[1] }

// worked is the least of the task's working minutes between two positions of its axis: what lies there of a piece first
// grows and then falls as the piece moves, so one of its outermost places has the least.
func (w *window) worked(from, to calendar.WorkMinutes) calendar.WorkMinutes {
	return min(within(w.position[0], w.position[0]+w.minutes, from, to), within(w.position[1], w.position[1]+w.minutes, from, to))
}

// held is the least time between two instants in which the task holds what it uses. Where it lies wholly between them it holds
// for its working minutes at least, whatever pauses it meets.
func (w *window) held(from, to calendar.Instant) calendar.Instant {
	return min(within(w.begin[0], w.finish[0], from, to), within(w.begin[1], w.finish[1], from, to), calendar.Instant(w.minutes))
}

// within is the length that a piece has in common with an interval.
func within[T ~int64](begin, finish, from, to T) T { return max(0, min(finish, to)-max(begin, from)) }

// windows are those of all work to be planned. The earliest places come from the network's early dates and stay; the latest
// ones are computed for each instant to finish by.
type windows struct {
	m     *Model
	dates *network.Dates
	tasks []TaskIndex // to be planned, with dates, in an order that links allow
	list  []window    // by task and option
	from  []int32     // by place in tasks and one more: where its windows begin

	lateBegin, lastFinish []calendar.Instant // by task: latest begin and latest finish over its options
}

func newWindows(m *Model, dates *network.Dates) *windows {
	w := &windows{m: m, dates: dates, from: make([]int32, 1, len(m.order)+1)}
	w.lateBegin, w.lastFinish = make([]calendar.Instant, m.Tasks()), make([]calendar.Instant, m.Tasks())
	for _, t := range m.Order {
		if m.state[t] != Open && m.state[t] != Started || !dates.Placed(t) {
			continue
		}
		start, finish := w.earlyBounds(t)
		for _, o := range m.Options(t) {
			begin, end := m.Calendars[o.Calendar].EarliestPiece(start, finish, o.Minutes)
			own := window{task: t, axis: o.Calendar, minutes: o.Minutes}
			own.begin[0], own.finish[0], own.position[0] = begin, end, m.axes[o.Calendar].position(begin)
			w.list = append(w.list, own)
		}
		w.tasks, w.from = append(w.tasks, t), append(w.from, int32(len(w.list)))
	}
	return w
}

func (w *windows) of(place int) []window { return w.list[w.from[place]:w.from[place+1]] }

// earlyBounds are the earliest begin and finish of a task that the network allows.
func (w *windows) earlyBounds(t TaskIndex) (start, finish calendar.Instant) {
	m := w.m
	start, finish = m.Release(t), calendar.BeforeAll
	links := m.Incoming(t)
	for i := range links {
		l := &links[i]
		if !w.dates.Placed(l.From) {
			continue
		}
		event := w.dates.EarlyFinish[l.From]
		if l.Relation.FromStart() {
			event = w.dates.FirstStart[l.From]
		}
		if bound := m.AddLag(l, event); l.Relation.BoundsFinish() {
			finish = max(finish, bound)
		} else {
			start = max(start, bound)
		}
	}
	return start, finish
}

// narrow computes the latest places for all work to be finished by an instant. It reports false if some task has none.
func (w *windows) narrow(by calendar.Instant) bool {
	for place := len(w.tasks) - 1; place >= 0; place-- {
		t := w.tasks[place]
		start, finish := w.lateBounds(t, by)
		w.lateBegin[t], w.lastFinish[t] = calendar.BeforeAll, calendar.BeforeAll
		fits := false
		for i := range w.of(place) {
			own := &w.of(place)[i]
			begin, end := w.m.Calendars[own.axis].LatestPiece(start, finish, own.minutes)
			own.begin[1], own.finish[1], own.position[1] = begin, end, w.m.axes[own.axis].position(begin)
			if begin < own.begin[0] {
				own.position[1] = own.position[0] - 1 // no place is left on this crew
				continue
			}
			fits = true
			w.lateBegin[t], w.lastFinish[t] = max(w.lateBegin[t], begin), max(w.lastFinish[t], end)
		}
		if !fits {
			return false
		}
	}
	return true
}

// lateBounds are the latest begin and finish of a task that the links out of it allow. The start of work under way has
// happened and is bound no more.
func (w *windows) lateBounds(t TaskIndex, by calendar.Instant) (start, finish calendar.Instant) {
	m := w.m
	start, finish = calendar.Never, by
	for _, index := range m.Outgoing(t) {
		l := &m.Links[index]
		if s := m.state[l.To]; s != Open && s != Started || !w.dates.Placed(l.To) {
			continue
		}
		event := w.lateBegin[l.To]
		if l.Relation.BoundsFinish() {
			event = w.lastFinish[l.To]
		}
		if bound := m.TakeLag(l, event); !l.Relation.FromStart() {
			finish = min(finish, bound)
		} else if m.state[t] == Open {
			start = min(start, bound)
		}
	}
	return start, finish
}
