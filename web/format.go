package web

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"
)

// Units is a person's system of measure.
type Units string

// The two systems.
const (
	Imperial Units = "imperial" // feet-inches and pounds
	Metric   Units = "metric"   // millimetres and kilograms
)

// Format holds how one person reads lengths, weights and times. The zero Format is imperial, 12-hour, UTC, with weeks
// that start on Sunday. Methods never change it.
type Format struct {
	Units     Units
	Clock24   bool
	WeekStart time.Weekday
	Zone      *time.Location // the site's zone; nil is UTC
	Currency  string         // sign put before money; empty is "$"
	// Now leaves the year out of dates in its own year and the date out of times on its own day. The zero time writes
	// dates in full.
	Now time.Time

	day problem.Date // that the page is about; zero is the day of Now
}

// OnDay is the format for a page about one day: times on that day carry no date. The year that goes without saying is the
// day's.
func (f Format) OnDay(d problem.Date) Format {
	f.day = d
	return f
}

// today is the day that goes without saying; known is false when there is none.
func (f Format) today() (day problem.Date, known bool) {
	if f.day != (problem.Date{}) {
		return f.day, true
	}
	return problem.DateOf(f.In(f.Now)), !f.Now.IsZero()
}

// In moves an instant to the site's zone.
func (f Format) In(t time.Time) time.Time {
	if f.Zone == nil {
		return t.UTC()
	}
	return t.In(f.Zone)
}

// Day writes the date of an instant with its weekday: "Wed 2 Dec".
func (f Format) Day(t time.Time) string {
	if t.IsZero() {
		return "no date"
	}
	return f.Date(problem.DateOf(f.In(t)))
}

// FinishDay writes the date of the last minute before a finish: midnight at the end of Tuesday reads as Tuesday.
func (f Format) FinishDay(t time.Time) string {
	if t.IsZero() {
		return "no date"
	}
	return f.Day(t.Add(-time.Minute))
}

// Date writes a date with its weekday, and with its year when that is not the present one: "Wed 2 Dec", "Mon 4 Jan 2027".
func (f Format) Date(d problem.Date) string {
	t := time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
	text := t.Format("Mon 2 Jan")
	if today, known := f.today(); known && today.Year == d.Year {
		return text
	}
	return text + " " + strconv.Itoa(d.Year)
}

// ISO writes the date of an instant for attributes and addresses.
func (f Format) ISO(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return f.In(t).Format(time.DateOnly)
}

// Stamp writes an instant for the datetime attribute of a time element.
func (f Format) Stamp(t time.Time) string { return f.In(t).Format(time.RFC3339) }

// ClockValue writes the time of day for the value of a time field.
func (f Format) ClockValue(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return f.In(t).Format("15:04")
}

// Clock writes the time of day: "7:00 am" or "07:00". Noon is "12:00 pm".
func (f Format) Clock(t time.Time) string {
	if f.Clock24 {
		return f.In(t).Format("15:04")
	}
	return f.In(t).Format("3:04 pm")
}

// Moment writes date and time: "Wed 2 Dec, 7:00 am".
func (f Format) Moment(t time.Time) string {
	if t.IsZero() {
		return "no date"
	}
	return f.Day(t) + ", " + f.Clock(t)
}

// Until writes an instant as short as it is clear: the time alone on the day of Now, date and time otherwise, the date
// alone at midnight.
func (f Format) Until(t time.Time) string {
	today, known := f.today()
	switch {
	case t.IsZero():
		return "an unknown date"
	case known && problem.DateOf(f.In(t)) == today:
		return f.Clock(t)
	case f.isMidnight(t):
		return f.Day(t)
	}
	return f.Moment(t)
}

// Between writes a span of time: both times on one day, else both moments, whole days without times. A finish at midnight
// belongs to the day before.
func (f Format) Between(start, finish time.Time) string {
	switch {
	case start.IsZero() && finish.IsZero():
		return "not planned"
	case f.isMidnight(start) && f.isMidnight(finish):
		return f.wholeDays(start, finish)
	case problem.DateOf(f.In(start)) == problem.DateOf(f.In(finish.Add(-time.Minute))):
		return f.Day(start) + ", " + f.Clock(start) + " to " + f.Clock(finish)
	}
	return f.Moment(start) + " to " + f.Moment(finish)
}

func (f Format) isMidnight(t time.Time) bool {
	local := f.In(t)
	return local.Hour() == 0 && local.Minute() == 0
}

func (f Format) wholeDays(start, finish time.Time) string {
	if first, last := f.Day(start), f.FinishDay(finish); first != last && start.Before(finish) {
		return first + " to " + last
	}
	return f.Day(start)
}

// SpanOn writes a span of time on a page about one day: "7:00 am to 8:30 am"; what lies on another day carries its date.
func (f Format) SpanOn(day problem.Date, start, finish time.Time) string {
	text := f.onDay(day, start)
	if finish.IsZero() {
		return text
	}
	return text + " to " + f.onDay(day, finish)
}

func (f Format) onDay(day problem.Date, t time.Time) string {
	if problem.DateOf(f.In(t)) == day {
		return f.Clock(t)
	}
	return f.Moment(t)
}

// ShortHours writes minutes of work where there is little room, to a tenth of an hour: "1.5 h".
func (f Format) ShortHours(minutes int) string {
	return strings.TrimSuffix(strconv.FormatFloat(float64(minutes)/60, 'f', 1, 64), ".0") + " h"
}

// Hours writes minutes of work: "45 min", "1 h", "6 h 30 min".
func (f Format) Hours(minutes int) string {
	sign := ""
	if minutes < 0 {
		sign, minutes = "−", -minutes
	}
	hours, rest := minutes/60, minutes%60
	switch {
	case hours == 0:
		return fmt.Sprintf("%s%d min", sign, rest)
	case rest == 0:
		return fmt.Sprintf("%s%s h", sign, thousands(int64(hours)))
	}
	return fmt.Sprintf("%s%s h %d min", sign, thousands(int64(hours)), rest)
}

// Length writes a length: feet-inches to the sixteenth, or millimetres to a tenth. What had to be rounded starts with ≈.
func (f Format) Length(l length.Length) string {
	if f.Units != Metric {
		return l.FeetInches()
	}
	const tenth = length.Millimetre / 10
	if l%tenth == 0 {
		return l.Millimetres() + " mm"
	}
	return "≈" + ((l + tenth/2) / tenth * tenth).Millimetres() + " mm"
}

// Small writes a small length: a fraction of an inch without feet, or millimetres.
func (f Format) Small(l length.Length) string {
	return strings.TrimPrefix(strings.TrimPrefix(f.Length(l), "0'-"), "0 ")
}

// Size writes width by height.
func (f Format) Size(width, height length.Length) string {
	return f.Length(width) + " × " + f.Length(height)
}

// Run writes a length of something sold by the run, rounded up: "48 ft", "14.7 m".
func (f Format) Run(l length.Length) string {
	if f.Units == Metric {
		const tenth = length.Metre / 10
		tenths := int64((l + tenth - 1) / tenth)
		return fmt.Sprintf("%s.%d m", thousands(tenths/10), tenths%10)
	}
	return thousands(int64((l+length.Foot-1)/length.Foot)) + " ft"
}

// poundKg is the international avoirdupois pound, exact by definition (1959 agreement).
const poundKg = 0.45359237

// Weight writes kilograms as whole pounds or kilograms, rounded up: a lift is never shown lighter than it is.
func (f Format) Weight(kg float64) string {
	if f.Units == Metric {
		return thousands(roundUp(kg)) + " kg"
	}
	return thousands(roundUp(kg/poundKg)) + " lb"
}

// roundUp forgives the noise of binary fractions, so that 20 kg computed as 20.000000001 stays 20.
func roundUp(x float64) int64 { return int64(math.Ceil(x - 1e-6)) }

// Money writes an amount in whole units.
func (f Format) Money(amount float64) string {
	sign := f.Currency
	if sign == "" {
		sign = "$"
	}
	if amount < 0 {
		return "−" + sign + thousands(int64(math.Round(-amount)))
	}
	return sign + thousands(int64(math.Round(amount)))
}

// FloatDays writes float in working days: "6 working days to spare", "no day to spare", "2.5 working days late".
func (f Format) FloatDays(days float64) string {
	tenths := int(math.Round(days * 10))
	switch {
	case tenths == 0:
		return "no day to spare"
	case tenths < 0:
		return dayCount(-tenths) + " late"
	}
	return dayCount(tenths) + " to spare"
}

func dayCount(tenths int) string {
	number := strconv.Itoa(tenths / 10)
	if tenths%10 != 0 {
		number += "." + strconv.Itoa(tenths%10)
	}
	if tenths == 10 {
		return number + " working day"
	}
	return number + " working days"
}

// Number writes a whole number with separators.
func (f Format) Number(n int) string {
	if n < 0 {
		return "−" + thousands(int64(-n))
	}
	return thousands(int64(n))
}

// Of writes a count with its noun in the singular or plural: "1 opening", "2,000 openings".
func (f Format) Of(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return f.Number(n) + " " + many
}

// thousands writes a non-negative number with a comma between groups of three digits.
func thousands(n int64) string {
	digits := strconv.FormatInt(n, 10)
	var b strings.Builder
	for i, digit := range digits {
		if i > 0 && (len(digits)-i)%3 == 0 {
			b.WriteByte(',')
		}
		b.WriteRune(digit)
	}
	return b.String()
}
