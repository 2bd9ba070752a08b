package network_test

import (
	"slices"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/network"
)

// oracle is the slow second implementation: it relaxes all tasks over and over until nothing moves, and finds every
// place by trying one minute after another. It shares the compiled calendars and options with the passes and nothing
// else.
type oracle struct {
	c        *network.Compiled
	from, to calendar.Instant // the weeks around the data date that it knows
	flags    [][]bool         // by calendar: one flag a minute since from

	begin, finish, first          []calendar.Instant // early, by task
	lateBegin, lateFinish, latest []calendar.Instant
	choice                        []int
	total, free                   []calendar.WorkMinutes
	end                           calendar.Instant
}

// solveSlowly knows so many weeks before the data date and twice as many after it; what does not fit has no place.
func solveSlowly(c *network.Compiled, weeks calendar.Instant) *oracle {
	o := &oracle{c: c, from: c.DataDate - weeks*week, to: c.DataDate + 2*weeks*week}
	for _, k := range c.Calendars {
		o.flags = append(o.flags, minuteFlags(k, o.from, o.to))
	}
	fill := func(value calendar.Instant) []calendar.Instant {
		return slices.Repeat([]calendar.Instant{value}, c.Tasks())
	}
	o.begin, o.finish, o.first = fill(calendar.BeforeAll), fill(calendar.BeforeAll), fill(calendar.BeforeAll)
	o.lateBegin, o.lateFinish, o.latest = fill(calendar.Never), fill(calendar.Never), fill(calendar.Never)
	o.choice = make([]int, c.Tasks())
	for o.relaxEarly() {
	}
	o.end = calendar.BeforeAll
	for t := range o.finish {
		if c.HeldBy(network.TaskIndex(t)) == network.None {
			o.end = max(o.end, o.finish[t])
		}
	}
	for o.relaxLate() {
	}
	for t := range network.TaskIndex(c.Tasks()) {
		total, free := o.floats(t)
		o.total, o.free = append(o.total, total), append(o.free, free)
	}
	return o
}

const week = 7 * 1440

func minuteFlags(k *calendar.Calendar, from, to calendar.Instant) []bool {
	flags := make([]bool, to-from)
	for _, shift := range k.Intervals() {
		for t := max(from, shift.Start); t < min(to, shift.Finish); t++ {
			flags[t-from] = true
		}
	}
	return flags
}

func (o *oracle) works(k network.CalendarIndex, t calendar.Instant) bool {
	return o.flags[k][t-o.from]
}

// add walks n working minutes forward, or back when n is negative.
func (o *oracle) add(k network.CalendarIndex, t calendar.Instant, n calendar.WorkMinutes) calendar.Instant {
	for ; n > 0; t++ {
		if t >= o.to {
			return calendar.Never
		}
		if o.works(k, t) {
			n--
		}
	}
	for ; n < 0; t-- {
		if t <= o.from {
			return calendar.BeforeAll
		}
		if o.works(k, t-1) {
			n++
		}
	}
	return t
}

// latestWithAdd tries instants downwards from far enough above.
func (o *oracle) latestWithAdd(k network.CalendarIndex, s calendar.Instant, n calendar.WorkMinutes) calendar.Instant {
	high := s + 1
	if n < 0 {
		high = o.add(k, s, -n+1) + 1
	}
	for o.add(k, high, n) > s {
		high--
	}
	// Counting back can answer the same from all of a gap; go to its end.
	for n < 0 && o.add(k, high+1, n) <= s {
		high++
	}
	return high
}

func (o *oracle) relaxEarly() (moved bool) {
	for t := range network.TaskIndex(o.c.Tasks()) {
		begin, finish, first, choice := o.earlyPlace(t)
		moved = moved || begin != o.begin[t] || finish != o.finish[t] || first != o.first[t]
		o.begin[t], o.finish[t], o.first[t], o.choice[t] = begin, finish, first, choice
	}
	return moved
}

func (o *oracle) earlyPlace(t network.TaskIndex) (begin, finish, first calendar.Instant, choice int) {
	c := o.c
	if c.HeldBy(t) != network.None {
		return calendar.Never, calendar.Never, calendar.Never, 0
	}
	if c.State[t] == network.Done {
		return c.StartedAt(t), c.FinishedAt(t), c.StartedAt(t), 0
	}
	start, end := c.Release(t), c.Release(t)
	for _, l := range c.Incoming(t) {
		event := o.finish[l.From]
		if l.Relation == network.StartToStart || l.Relation == network.StartToFinish {
			event = o.first[l.From]
		}
		if event == calendar.BeforeAll {
			continue // not reached yet
		}
		bound := o.add(l.Calendar, event, l.Lag)
		if l.Relation == network.FinishToFinish || l.Relation == network.StartToFinish {
			end = max(end, bound)
		} else {
			start = max(start, bound)
		}
	}
	finish, first = calendar.Never, calendar.Never
	for k, option := range c.Options(t) {
		s, f := o.firstPlace(option, start, end)
		if first = min(first, s); f < finish {
			begin, finish, choice = s, f, k
		}
	}
	if c.State[t] == network.Started {
		first = c.StartedAt(t)
	}
	return begin, finish, first, choice
}

// firstPlace begins with the first working minute and slides the piece on, minute by minute, until it ends late enough.
func (o *oracle) firstPlace(option network.Option, start, end calendar.Instant) (s, f calendar.Instant) {
	if option.Minutes == 0 {
		return max(start, end), max(start, end)
	}
	k := option.Calendar
	for s = start; s < o.to && !o.works(k, s); s++ {
	}
	for f = o.add(k, s, option.Minutes); f < end; f = o.add(k, f, 1) {
		for s++; s < o.to && !o.works(k, s); s++ {
		}
	}
	if f == calendar.Never {
		return calendar.Never, calendar.Never
	}
	return s, f
}

func (o *oracle) relaxLate() (moved bool) {
	for t := range network.TaskIndex(o.c.Tasks()) {
		begin, finish, latest := o.latePlace(t)
		moved = moved || begin != o.lateBegin[t] || finish != o.lateFinish[t] || latest != o.latest[t]
		o.lateBegin[t], o.lateFinish[t], o.latest[t] = begin, finish, latest
	}
	return moved
}

func (o *oracle) latePlace(t network.TaskIndex) (begin, finish, latest calendar.Instant) {
	c := o.c
	if c.HeldBy(t) != network.None {
		return calendar.Never, calendar.Never, calendar.Never
	}
	if c.State[t] == network.Done {
		return c.StartedAt(t), c.FinishedAt(t), c.FinishedAt(t)
	}
	start, end := calendar.Never, c.Deadline(t)
	for _, date := range c.GCDates {
		if slices.Contains(date.Tasks, t) {
			end = min(end, date.Date)
		}
	}
	for _, index := range c.Outgoing(t) {
		l := c.Links[index]
		event := o.lateBegin[l.To]
		if l.Relation == network.FinishToFinish || l.Relation == network.StartToFinish {
			event = o.latest[l.To]
		}
		if event == calendar.Never {
			continue // not reached yet, or held
		}
		bound := o.latestWithAdd(l.Calendar, event, l.Lag)
		fromFinish := l.Relation == network.FinishToStart || l.Relation == network.FinishToFinish
		if fromFinish && l.Lag < 0 && bound > o.end && bound > o.latest[l.To] { // no finish after everything that asks for it
			bound = max(o.end, o.latest[l.To])
		}
		switch {
		case fromFinish:
			end = min(end, bound)
		case c.State[t] == network.Open:
			start = min(start, bound)
		}
	}
	if end == calendar.Never {
		end = o.end
	}
	begin, latest = calendar.BeforeAll, calendar.BeforeAll
	for _, option := range c.Options(t) {
		s, f := o.lastPlace(option, start, end)
		if latest = max(latest, f); s > begin {
			begin, finish = s, f
		}
	}
	return begin, finish, latest
}

// lastPlace ends with the last working minute and slides the piece back until it starts early enough.
func (o *oracle) lastPlace(option network.Option, start, end calendar.Instant) (s, f calendar.Instant) {
	if option.Minutes == 0 {
		return min(start, end), min(start, end)
	}
	k := option.Calendar
	for f = end; f > o.from && !o.works(k, f-1); f-- {
	}
	for s = o.add(k, f, -option.Minutes); s > start; s = o.add(k, s, -1) {
		for f--; f > o.from && !o.works(k, f-1); f-- {
		}
	}
	if s == calendar.BeforeAll {
		return calendar.BeforeAll, calendar.BeforeAll
	}
	return s, f
}

// floats asks of every minute whether the task could still slip by it.
func (o *oracle) floats(t network.TaskIndex) (total, free calendar.WorkMinutes) {
	c := o.c
	if c.HeldBy(t) != network.None || c.State[t] == network.Done {
		return 0, 0
	}
	k := c.Options(t)[o.choice[t]].Calendar
	total = c.Calendars[k].Count(o.begin[t], o.lateBegin[t])
	free = c.Calendars[k].Count(o.finish[t], o.end)
	for _, index := range c.Outgoing(t) {
		l := c.Links[index]
		if c.HeldBy(l.To) != network.None {
			continue
		}
		target := o.begin[l.To]
		if l.Relation == network.FinishToFinish || l.Relation == network.StartToFinish {
			target = o.finish[l.To]
		}
		fromStart := l.Relation == network.StartToStart || l.Relation == network.StartToFinish
		event := o.finish[t]
		if fromStart {
			event = o.first[t]
		}
		if fromStart && c.State[t] == network.Started {
			continue
		}
		free = min(free, c.Calendars[k].Count(event, o.latestWithAdd(l.Calendar, target, l.Lag)))
	}
	return total, free
}
