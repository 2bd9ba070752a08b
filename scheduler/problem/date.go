package problem

import (
	"fmt"
	"time"
)

// Date is a calendar date without a zone.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// ParseDate reads an ISO 8601 date such as 2026-11-25.
func ParseDate(text string) (Date, error) {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return Date{}, fmt.Errorf("date %q is not of the form 2026-11-25", text)
	}
	return DateOf(t), nil
}

// DateOf is the date that an instant has in its own zone.
func DateOf(t time.Time) Date {
	year, month, day := t.Date()
	return Date{Year: year, Month: month, Day: day}
}

// String is the ISO 8601 form.
func (d Date) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

// midnight is the date as an instant of its own, for reckoning with whole days.
func (d Date) midnight() time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

// Weekday is the day of the week.
func (d Date) Weekday() time.Weekday { return d.midnight().Weekday() }

// AddDays is the date n days later.
func (d Date) AddDays(n int) Date { return DateOf(d.midnight().AddDate(0, 0, n)) }

// DaysUntil is the number of days from this date to another one, negative when that lies before.
func (d Date) DaysUntil(other Date) int {
	return int(other.midnight().Sub(d.midnight()) / (24 * time.Hour))
}

// Compare is negative when d lies before other, 0 on the same day.
func (d Date) Compare(other Date) int { return d.midnight().Compare(other.midnight()) }

// Before reports whether d lies before other.
func (d Date) Before(other Date) bool { return d.Compare(other) < 0 }

// MarshalText writes the ISO 8601 form.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads the ISO 8601 form.
func (d *Date) UnmarshalText(text []byte) (err error) {
	*d, err = ParseDate(string(text))
	return err
}

// Shift is a half-open span of local clock minutes after midnight, 0 <= From < To <= 1440, written "07:00-15:30".
// A shift over midnight is written as two: one to 24:00, one from 00:00 on the next day.
type Shift struct {
	From, To int
}

// ParseShift reads "HH:MM-HH:MM"; 24:00 is allowed as an end.
func ParseShift(text string) (Shift, error) {
	from, fromOK := parseClock(text, 0)
	to, toOK := parseClock(text, len("07:00-"))
	if len(text) != len("07:00-15:30") || text[len("07:00")] != '-' || !fromOK || !toOK {
		return Shift{}, fmt.Errorf("shift %q is not of the form 07:00-15:30", text)
	}
	if from >= to || to > minutesPerDay {
		return Shift{}, fmt.Errorf("shift %q must start before it ends, within 00:00 to 24:00", text)
	}
	return Shift{From: from, To: to}, nil
}

const minutesPerDay = 24 * 60

// parseClock reads "HH:MM" at an offset as minutes after midnight; the hours may run to 99.
func parseClock(text string, at int) (minutes int, ok bool) {
	if len(text) < at+len("07:00") {
		return 0, false
	}
	clock := text[at : at+len("07:00")]
	for i, digit := range []byte(clock) {
		if i == 2 && digit != ':' || i != 2 && (digit < '0' || digit > '9') {
			return 0, false
		}
	}
	hours, minutes := int(clock[0]-'0')*10+int(clock[1]-'0'), int(clock[3]-'0')*10+int(clock[4]-'0')
	return hours*60 + minutes, minutes < 60
}

// String is the written form.
func (s Shift) String() string {
	return fmt.Sprintf("%02d:%02d-%02d:%02d", s.From/60, s.From%60, s.To/60, s.To%60)
}

// MarshalText writes the written form.
func (s Shift) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads the written form.
func (s *Shift) UnmarshalText(text []byte) (err error) {
	*s, err = ParseShift(string(text))
	return err
}
