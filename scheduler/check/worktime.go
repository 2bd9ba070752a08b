package check

import (
	"sort"
	"time"

	"jambwright/scheduler/problem"
)

// minute is an instant: whole minutes since 1970 in UTC.
type minute int64

const (
	minutesPerDay = 24 * 60
	minutesPer20y = 20 * 366 * minutesPerDay
)

func minuteOf(t time.Time) minute { return minute(floorDiv(t.Unix(), 60)) }

func (m minute) time() time.Time { return time.Unix(int64(m)*60, 0).UTC() }

// span is a half-open interval.
type span struct{ from, to minute }

// worktime is the working time of a calendar, a crew or a task's axis: raw intervals over the range asked for so far,
// widened as questions reach further. Intervals are in order and do not touch.
type worktime struct {
	expand   func(from, to minute) []span
	from, to minute // what spans covers
	spans    []span
	before   []int64 // working minutes in spans[:i]
}

// cover widens the range to hold [from, to], by half a year at least: questions come in clusters.
func (w *worktime) cover(from, to minute) {
	if w.from <= from && to <= w.to && w.from < w.to {
		return
	}
	const margin = 183 * minutesPerDay
	if w.from == w.to {
		w.from, w.to = from, to
	}
	if from <= w.from {
		w.from = from - margin
	}
	if to >= w.to {
		w.to = to + margin
	}
	w.spans = w.expand(w.from, w.to)
	w.before = make([]int64, len(w.spans)+1)
	for i, s := range w.spans {
		w.before[i+1] = w.before[i] + int64(s.to-s.from)
	}
}

// passed counts the working minutes of the covered range before an instant in it.
func (w *worktime) passed(at minute) int64 {
	i := sort.Search(len(w.spans), func(i int) bool { return w.spans[i].to >= at })
	if i == len(w.spans) || w.spans[i].from >= at {
		return w.before[i]
	}
	return w.before[i] + int64(at-w.spans[i].from)
}

// minutes counts the working minutes in [from, to), 0 when turned round.
func (w *worktime) minutes(from, to minute) int64 {
	if to <= from {
		return 0
	}
	w.cover(from, to)
	return w.passed(to) - w.passed(from)
}

// pieces returns the working time in [from, to).
func (w *worktime) pieces(from, to minute) (pieces []span) {
	if to <= from {
		return nil
	}
	w.cover(from, to)
	i := sort.Search(len(w.spans), func(i int) bool { return w.spans[i].to > from })
	for ; i < len(w.spans) && w.spans[i].from < to; i++ {
		pieces = append(pieces, span{max(from, w.spans[i].from), min(to, w.spans[i].to)})
	}
	return pieces
}

// works reports whether the minute from at on is a working one.
func (w *worktime) works(at minute) bool { return w.minutes(at, at+1) == 1 }

// after is the first instant by which n working minutes have passed since at; ok is false when they do not pass within
// 40 years of n minutes' time.
func (w *worktime) after(at minute, n int64) (end minute, ok bool) {
	if n == 0 {
		return at, true
	}
	for reach := minute(n + 14*minutesPerDay); ; reach *= 2 {
		w.cover(at, at+reach)
		target := w.passed(at) + n
		i := sort.Search(len(w.spans), func(i int) bool { return w.before[i+1] >= target })
		if i < len(w.spans) {
			return w.spans[i].from + minute(target-w.before[i]), true
		}
		if reach > minute(n)+2*minutesPer20y {
			return 0, false
		}
	}
}

// earlier is the last instant since which n working minutes have passed by at.
func (w *worktime) earlier(at minute, n int64) (start minute, ok bool) {
	if n == 0 {
		return at, true
	}
	for reach := minute(n + 14*minutesPerDay); ; reach *= 2 {
		w.cover(at-reach, at)
		if target := w.passed(at) - n; target >= 0 {
			i := sort.Search(len(w.spans), func(i int) bool { return w.before[i+1] > target })
			return w.spans[i].from + minute(target-w.before[i]), true
		}
		if reach > minute(n)+2*minutesPer20y {
			return 0, false
		}
	}
}

// longAgo lies before every instant of a document.
const longAgo = minute(-1) << 40

// shift moves an instant by a lag of either sign. A lag that reaches back past all working time ends long ago; one that
// never passes has no end.
func (w *worktime) shift(at minute, lag int) (end minute, ok bool) {
	if lag >= 0 {
		return w.after(at, int64(lag))
	}
	if end, ok = w.earlier(at, int64(-lag)); !ok {
		return longAgo, true
	}
	return end, true
}

// alwaysOpen is the built-in calendar.
func alwaysOpen() *worktime {
	return &worktime{expand: func(from, to minute) []span { return []span{{from, to}} }}
}

// calendarTime expands a calendar. A shift runs from the first instant by which the local clock has reached its start
// to the first by which it has reached its end: a reading that the clock shows twice means its first showing, and one
// that it skips the instant of the change. So a shift across the hour that comes twice is an hour longer.
func calendarTime(cal *problem.Calendar, zone *time.Location) *worktime {
	days := newDays(cal)
	return &worktime{expand: func(from, to minute) (spans []span) {
		const reach = 2 * minutesPerDay // more than any offset from UTC
		clock := stretches(zone, from-reach, to+reach)
		for day := floorDiv(int64(from)-reach/2, minutesPerDay); day <= floorDiv(int64(to)+reach/2, minutesPerDay); day++ {
			for len(clock) > 1 && int64(clock[0].to) < day*minutesPerDay-reach {
				clock = clock[1:]
			}
			for _, shift := range days.shifts(day) {
				s := span{
					max(from, reached(clock, day*minutesPerDay+int64(shift.From))),
					min(to, reached(clock, day*minutesPerDay+int64(shift.To))),
				}
				if s.from < s.to {
					spans = append(spans, s)
				}
			}
		}
		return joined(spans)
	}}
}

// stretch is a span in which a zone keeps one offset from UTC, in seconds: old local mean times have them.
type stretch struct {
	span
	offset int64
}

func stretches(zone *time.Location, from, to minute) (list []stretch) {
	for at := from; at < to; {
		local := at.time().In(zone)
		_, end := local.ZoneBounds()
		_, offset := local.Zone()
		until := to
		if !end.IsZero() {
			// Beyond a zone's table of changes the standard library takes each year for 365 days, so that on the last
			// day of a leap year the stretch has ended already. That day goes minute by minute.
			until = min(to, max(at+1, minuteOf(end)))
		}
		list = append(list, stretch{span{at, until}, int64(offset)})
		at = until
	}
	return list
}

// reached is the first instant by which the local clock has shown a reading, given in minutes since 1970 on that clock.
func reached(clock []stretch, reading int64) minute {
	for _, s := range clock {
		if at := max(s.from, minute(ceilDiv(reading*60-s.offset, 60))); at < s.to {
			return at
		}
	}
	return clock[len(clock)-1].to
}

// days knows the shifts of every date, given as days since 1970.
type days struct {
	week   *problem.Week
	except map[int64][]problem.Shift // holidays and exceptions
}

func newDays(cal *problem.Calendar) *days {
	d := &days{week: &cal.Week, except: map[int64][]problem.Shift{}}
	for _, date := range cal.Holidays {
		d.except[dayNumber(date)] = nil
	}
	for _, e := range cal.Exceptions {
		d.except[dayNumber(e.Date)] = e.Shifts
	}
	return d
}

func dayNumber(d problem.Date) int64 {
	return floorDiv(time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Unix(), 24*60*60)
}

func (d *days) shifts(day int64) []problem.Shift {
	if shifts, ok := d.except[day]; ok {
		return shifts
	}
	const thursday = 4 // 1970-01-01
	return d.week.Day(time.Weekday(((day+thursday)%7 + 7) % 7))
}

// joined puts spans in order and joins those that touch or overlap.
func joined(spans []span) []span {
	sort.Slice(spans, func(i, j int) bool { return spans[i].from < spans[j].from })
	out := spans[:0]
	for _, s := range spans {
		if n := len(out); n > 0 && s.from <= out[n-1].to {
			out[n-1].to = max(out[n-1].to, s.to)
		} else {
			out = append(out, s)
		}
	}
	return out
}

// without takes absences, in any order, out of spans that are in order.
func without(spans, absences []span) (out []span) {
	absences = joined(append([]span(nil), absences...))
	next := 0
	for _, s := range spans {
		for next < len(absences) && absences[next].to <= s.from {
			next++
		}
		for i := next; i < len(absences) && absences[i].from < s.to; i++ {
			if s.from < absences[i].from {
				out = append(out, span{s.from, absences[i].from})
			}
			s.from = max(s.from, absences[i].to)
		}
		if s.from < s.to {
			out = append(out, s)
		}
	}
	return out
}

// common intersects two lists of spans that are in order.
func common(a, b []span) (out []span) {
	for len(a) > 0 && len(b) > 0 {
		if from, to := max(a[0].from, b[0].from), min(a[0].to, b[0].to); from < to {
			out = append(out, span{from, to})
		}
		if a[0].to < b[0].to {
			a = a[1:]
		} else {
			b = b[1:]
		}
	}
	return out
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

func ceilDiv(a, b int64) int64 { return -floorDiv(-a, b) }
