package check

import (
	"math/big"
	"strconv"
	"strings"
)

// early works out a task's early dates from those of what it is linked from.
func (n *network) early(task int) (changed bool) {
	t, was := &n.p.Tasks[task], n.dates[task]
	d := networkDates{}
	switch {
	case t.IsFinished():
		d = networkDates{placed: true, earlyBegin: minuteOf(t.Status.Started), earlyFinish: minuteOf(*t.Status.Finished)}
		d.firstStart = d.earlyBegin
	case t.Waits:
	default:
		if start, finish, ok := n.earlyBounds(task); ok {
			d = n.earliest(task, start, finish)
		}
	}
	n.dates[task] = d
	return d.placed != was.placed || d.earlyFinish != was.earlyFinish || d.firstStart != was.firstStart
}

// earlyBounds are the least begin and the least finish of a task; ok is false when something before it has no dates.
func (n *network) earlyBounds(task int) (start, finish minute, ok bool) {
	t := &n.p.Tasks[task]
	start, finish = n.dataDate, longAgo
	if t.NotBefore != nil {
		start = max(start, minuteOf(*t.NotBefore))
	}
	if t.Pin != nil && t.Pin.Start != nil && t.Status == nil {
		start = max(start, minuteOf(*t.Pin.Start))
	}
	if !n.bound(task) {
		return start, finish, true
	}
	for _, i := range n.linksInto[task] {
		l := &n.p.Links[i]
		from := &n.dates[n.tasks[l.From]]
		if !from.placed {
			return 0, 0, false
		}
		event := from.earlyFinish
		if countsFromStart(l) {
			event = from.firstStart
		}
		until, passes := n.calendars[l.Calendar()].shift(event, l.LagMinutes)
		if !passes {
			return 0, 0, false
		}
		if bindsFinish(l) {
			finish = max(finish, until)
		} else {
			start = max(start, until)
		}
	}
	return start, finish, true
}

// earliest tries every option from the given bounds on.
func (n *network) earliest(task int, start, finish minute) (d networkDates) {
	for _, o := range n.options[task] {
		begin, end, ok := o.axis.firstPlace(start, finish, o.length)
		if !ok {
			continue
		}
		if !d.placed || begin < d.firstStart {
			d.firstStart = begin
		}
		if !d.placed || end < d.earlyFinish {
			d.earlyBegin, d.earlyFinish, d.own = begin, end, o.axis
		}
		d.placed = true
	}
	if d.placed && n.p.Tasks[task].IsStarted() {
		d.firstStart = minuteOf(n.p.Tasks[task].Status.Started)
	}
	return d
}

// firstPlace is the first place for some working minutes in one piece, neither begun before start nor ended before finish.
func (w *worktime) firstPlace(start, finish minute, length int64) (begin, end minute, ok bool) {
	if length == 0 {
		return max(start, finish), max(start, finish), true
	}
	first, ok := w.after(start, 1)
	if !ok {
		return 0, 0, false
	}
	begin = first - 1
	if end, ok = w.after(begin, length); !ok || end >= finish {
		return begin, end, ok
	}
	if end, ok = w.after(finish-1, 1); !ok { // the first minute that ends in time is its last one
		return 0, 0, false
	}
	begin, ok = w.earlier(end, length)
	return begin, end, ok
}

// lastPlace is the mirror: the last place that neither begins after start nor ends after finish.
func (w *worktime) lastPlace(start, finish minute, length int64) (begin, end minute, ok bool) {
	if length == 0 {
		return min(start, finish), min(start, finish), true
	}
	begin, ok = w.earlier(finish, length)
	if ok && start < begin {
		begin, ok = w.earlier(start+1, 1)
	}
	if !ok {
		return 0, 0, false
	}
	end, ok = w.after(begin, length)
	return begin, end, ok
}

// unshift is the last event that a lag does not carry beyond an instant: the mirror of shift. ok is false when every event will do.
func (w *worktime) unshift(at minute, lag int) (event minute, ok bool) {
	if lag >= 0 {
		if event, ok = w.earlier(at, int64(lag)); !ok {
			return longAgo, true
		}
		return event, true
	}
	// Counted back, the lag ends with the beginning of a working minute, the last of which has begun by the instant.
	end, ok := w.after(at+1, int64(-lag))
	return end - 1, ok
}

// signed counts the working minutes from one instant to another, less than none when they are turned round.
func (w *worktime) signed(from, to minute) int64 {
	if to < from {
		return -w.minutes(to, from)
	}
	return w.minutes(from, to)
}

// dueBy is the earliest of a task's deadline and GC dates.
func (n *network) dueBy(task int) minute {
	due, id := farFuture, n.p.Tasks[task].ID
	if deadline := n.p.Tasks[task].Deadline; deadline != nil {
		due = minuteOf(*deadline)
	}
	if date, ok := n.due()[id]; ok {
		due = min(due, date)
	}
	return due
}

// due is the earliest GC date of each task that has one.
func (n *network) due() map[string]minute {
	if n.gcDue == nil {
		n.gcDue = map[string]minute{}
		for i := range n.p.GCDates {
			for _, id := range n.p.GCDates[i].Tasks {
				date := minuteOf(n.p.GCDates[i].Date)
				if was, ok := n.gcDue[id]; !ok || date < was {
					n.gcDue[id] = date
				}
			}
		}
	}
	return n.gcDue
}

// late works out a task's late dates from those of what is linked from it.
func (n *network) late(task int) (changed bool) {
	t, d := &n.p.Tasks[task], &n.dates[task]
	was := *d
	switch {
	case !d.placed:
		return false
	case t.IsFinished():
		d.hasLate, d.lateBegin, d.lateFinish, d.lastFinish = true, d.earlyBegin, d.earlyFinish, d.earlyFinish
	default:
		n.latest(task)
	}
	return *d != was
}

// latest tries every option back from the bounds that due dates and followers put on a task.
func (n *network) latest(task int) {
	d := &n.dates[task]
	start, finish, sure := n.lateBounds(task)
	if finish == farFuture {
		finish = n.projectFinish
	}
	d.hasLate, d.lateBegin, d.lateFinish, d.lastFinish = false, longAgo, longAgo, longAgo
	if !sure || min(start, finish) < n.sureFrom() {
		return
	}
	for _, o := range n.options[task] {
		begin, end, ok := o.axis.lastPlace(start, finish, o.length)
		if !ok {
			continue
		}
		d.lastFinish = max(d.lastFinish, end)
		if begin > d.lateBegin {
			d.lateBegin, d.lateFinish = begin, end
		}
	}
	d.hasLate = d.lateBegin > n.sureFrom()
}

// sureFrom is an instant that a planner looks back to: how much further it does is its own affair.
func (n *network) sureFrom() minute { return n.dataDate - 360*minutesPerDay }

// lateBounds are the latest begin and finish that let all followers have their late dates; sure is false when one of those is not known.
func (n *network) lateBounds(task int) (start, finish minute, sure bool) {
	start, finish, sure = farFuture, n.dueBy(task), true
	for _, i := range n.linksFrom[task] {
		l := &n.p.Links[i]
		to := n.tasks[l.To]
		d := &n.dates[to]
		if !n.bound(to) || !d.placed {
			continue
		}
		if !d.hasLate {
			sure = false
			continue
		}
		event := d.lateBegin
		if bindsFinish(l) {
			event = d.lastFinish
		}
		until, bound := n.calendars[l.Calendar()].unshift(event, l.LagMinutes)
		if !bound {
			until = farFuture
		}
		switch {
		case !countsFromStart(l):
			if l.LagMinutes < 0 { // nothing may finish after both the project and what follows it
				until = min(until, max(n.projectFinish, d.lastFinish))
			}
			finish = min(finish, until)
		case n.p.Tasks[task].Status == nil:
			start = min(start, until)
		}
	}
	return start, finish, sure
}

// floats counts what a task may slip, in the time of the option that its early dates are of.
func (n *network) floats(task int) {
	d := &n.dates[task]
	if !d.placed || n.p.Tasks[task].IsFinished() {
		return
	}
	if d.hasLate {
		d.totalFloat = d.own.signed(d.earlyBegin, d.lateBegin)
	}
	start, finish := farFuture, n.projectFinish
	for _, i := range n.linksFrom[task] {
		l := &n.p.Links[i]
		to := n.tasks[l.To]
		if !n.bound(to) || !n.dates[to].placed {
			continue
		}
		event := n.dates[to].earlyBegin
		if bindsFinish(l) {
			event = n.dates[to].earlyFinish
		}
		until, bound := n.calendars[l.Calendar()].unshift(event, l.LagMinutes)
		switch {
		case !bound:
		case !countsFromStart(l):
			finish = min(finish, until)
		case n.p.Tasks[task].Status == nil:
			start = min(start, until)
		}
	}
	if min(start, finish) < n.sureFrom() {
		return
	}
	d.hasFree = true
	d.freeFloat = d.own.signed(d.earlyFinish, finish)
	if start != farFuture {
		d.freeFloat = min(d.freeFloat, d.own.signed(d.firstStart, start))
	}
}

// pace is a kind of work on a crew.
type pace struct {
	crew int
	kind string
}

// lengthOn is lengthOf with the crew's pace worked out once for each kind of work: minutes = labour x up / down, rounded up.
func (n *network) lengthOn(task, crew int) int64 {
	t := &n.p.Tasks[task]
	if t.IsStarted() {
		return n.lengthOf(task, crew)
	}
	key := pace{crew, t.Kind}
	ratio, ok := n.paces[key]
	if !ok {
		ratio = n.ratioOf(crew, t.Kind)
		n.paces[key] = ratio
	}
	labour, up, down := int64(*t.LabourMinutes), ratio[0], ratio[1]
	if up == 0 || labour > (1<<62)/up {
		return n.lengthOf(task, crew) // too long for whole numbers
	}
	return ceilDiv(labour*up, down)
}

// ratioOf writes 1 / (heads x productivity) as a fraction of whole numbers, or as 0 / 0 when they would be too large.
func (n *network) ratioOf(crew int, kind string) [2]int64 {
	up, down := big.NewInt(1), big.NewInt(int64(n.p.Crews[crew].Heads))
	if factor, ok := n.p.Crews[crew].Productivity[kind]; ok {
		whole, decimals, _ := strings.Cut(strconv.FormatFloat(factor, 'f', -1, 64), ".")
		digits, ok := new(big.Int).SetString(whole+decimals, 10)
		if !ok {
			return [2]int64{}
		}
		down.Mul(down, digits)
		up.Exp(big.NewInt(10), big.NewInt(int64(len(decimals))), nil)
	}
	if !up.IsInt64() || !down.IsInt64() {
		return [2]int64{}
	}
	return [2]int64{up.Int64(), down.Int64()}
}
