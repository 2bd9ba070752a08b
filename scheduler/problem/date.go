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
	var h1, m1, h2, m2 int
	if len(text) != len("07:00-15:30") {
		return Shift{}, fmt.Errorf("shift %q is not of the form 07:00-15:30", text)
	}
	if n, err := fmt.Sscanf(text, "%2d:%2d-%2d:%2d", &h1, &m1, &h2, &m2); n != 4 || err != nil {
		return Shift{}, fmt.Errorf("shift %q is not of the form 07:00-15:30", text)
	}
	s := Shift{From: h1*60 + m1, To: h2*60 + m2}
	if h1 < 0 || h2 < 0 || m1 < 0 || m2 < 0 || m1 > 59 || m2 > 59 || s.From >= s.To || s.To > 24*60 {
		return Shift{}, fmt.Errorf("shift %q must start before it ends, within 00:00 to 24:00", text)
	}
	return s, nil
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
