package calendar

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"jambwright/scheduler/problem"
)

const minutesPerDay = 24 * 60

// Compile lays a working pattern out over the horizon [from, to). A date's shifts are those of its exception if it has
// one, else none on a holiday, else those of its weekday. The package comment says how shifts meet daylight saving. The
// error names a zone that cannot be loaded. O(days of the horizon).
func Compile(spec problem.Calendar, from, to Instant) (*Calendar, error) {
	location, err := problem.LoadZone(spec.Zone)
	if err != nil {
		return nil, fmt.Errorf("calendar %q: %w\nuse an IANA name such as America/Chicago", spec.ID, err)
	}
	to = max(from, to)
	pattern := patternOf(spec)
	clock := newLocalClock(location)
	b := builder{from: from, to: to}
	// No zone is a whole day off UTC, so a day on either side covers every local date that touches the horizon.
	for day := dayOf(from) - 1; day <= dayOf(to)+1; day++ {
		for _, shift := range pattern.shifts(day) {
			b.add(Interval{
				clock.instant(day*minutesPerDay + int64(shift.From)),
				clock.instant(day*minutesPerDay + int64(shift.To)),
			})
		}
	}
	return b.calendar(), nil
}

// pattern answers which shifts a date has. Dates are numbered by days since 1970-01-01; shifts are sorted.
type pattern struct {
	week       [7][]problem.Shift // by weekday, Sunday first
	exceptions map[int64][]problem.Shift
}

// patternOf writes a holiday as an exception without shifts, so that a stated exception of the same date replaces it.
func patternOf(spec problem.Calendar) pattern {
	p := pattern{exceptions: make(map[int64][]problem.Shift, len(spec.Holidays)+len(spec.Exceptions))}
	for weekday := range p.week {
		p.week[weekday] = sortedShifts(spec.Week.Day(time.Weekday(weekday)))
	}
	for _, holiday := range spec.Holidays {
		p.exceptions[dayNumber(holiday)] = nil
	}
	for _, exception := range spec.Exceptions {
		p.exceptions[dayNumber(exception.Date)] = sortedShifts(exception.Shifts)
	}
	return p
}

func (p *pattern) shifts(day int64) []problem.Shift {
	if shifts, ok := p.exceptions[day]; ok {
		return shifts
	}
	return p.week[weekdayOf(day)]
}

func sortedShifts(shifts []problem.Shift) []problem.Shift {
	sorted := slices.Clone(shifts)
	slices.SortFunc(sorted, func(a, b problem.Shift) int { return cmp.Compare(a.From, b.From) })
	return sorted
}

func dayNumber(d problem.Date) int64 {
	return dayOf(FromTime(time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)))
}

// dayOf is the number of the UTC day that an instant lies in.
func dayOf(t Instant) int64 {
	day := int64(t) / minutesPerDay
	if int64(t)%minutesPerDay < 0 {
		day--
	}
	return day
}

// localClock converts readings of a local clock to instants. It remembers the span of the last zone offset, since
// neighbouring days nearly always share it.
type localClock struct {
	location   *time.Location
	offset     int64   // minutes east of UTC
	start, end Instant // the span in which offset holds
}

func newLocalClock(location *time.Location) *localClock {
	return &localClock{location: location} // the empty span makes the first reading look up its offset
}

// instant is the first instant at which the local clock shows the given reading, in minutes since 1970-01-01T00:00 by
// that clock. A reading that the clock skips gives the instant of the change. It never falls as the reading grows, so
// shifts that do not overlap on the wall clock do not overlap on the time axis.
func (l *localClock) instant(reading int64) Instant {
	// Further than a day from a change of offset there is only one answer.
	if t := Instant(reading - l.offset); t >= l.start+minutesPerDay && t < l.end-minutesPerDay {
		return t
	}
	return l.search(reading)
}

func (l *localClock) search(reading int64) Instant {
	// Offsets lie within a day of UTC, so these two instants lie before and after every candidate. The offset in force
	// earlier is tried first: where the clock shows a reading twice it gives the first of the two.
	l.lookUp(Instant(reading - minutesPerDay))
	first := Instant(reading - l.offset)
	if l.holds(first) {
		return first
	}
	change := l.end
	l.lookUp(Instant(reading + minutesPerDay))
	if second := Instant(reading - l.offset); l.holds(second) {
		return second
	}
	return change
}

func (l *localClock) holds(t Instant) bool { return l.start <= t && t < l.end }

// mergedStretches bounds how many neighbouring stretches of one offset are joined: beyond the tables of a zone the standard
// library cuts them at year ends.
const mergedStretches = 8

// lookUp finds the offset at an instant and the span in which it holds. What package time says of the span is not taken
// as it is: for years beyond a zone's table it cuts spans at year ends though the offset stays, and on 31 December of leap
// years it gives an end that is not after the instant.
func (l *localClock) lookUp(t Instant) {
	var start, end Instant
	l.offset, start, end = l.stretch(t)
	start, end = min(start, t), max(end, t+1)
	for n := 0; n < mergedStretches && start > BeforeAll; n++ {
		offset, earlier, _ := l.stretch(start - 1)
		if offset != l.offset {
			break
		}
		start = min(earlier, start-1)
	}
	for n := 0; n < mergedStretches && end < Never; n++ {
		offset, _, later := l.stretch(end)
		if offset != l.offset {
			break
		}
		end = max(later, end+minutesPerDay)
	}
	l.start, l.end = start, end
}

// stretch is the offset at an instant, in minutes east of UTC, and the span around it as package time gives it.
func (l *localClock) stretch(t Instant) (offset int64, start, end Instant) {
	at := t.Time().In(l.location)
	_, seconds := at.Zone()
	from, to := at.ZoneBounds()
	start, end = BeforeAll, Never
	if !from.IsZero() {
		start = FromTime(from)
	}
	if !to.IsZero() {
		end = FromTime(to)
	}
	return int64(seconds) / 60, start, end
}
