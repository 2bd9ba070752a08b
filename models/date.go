package models

import (
	"database/sql/driver"
	"fmt"
	"time"

	"jambwright/scheduler/problem"
)

// Date is a calendar date without a zone, stored as ISO 8601 in a date column of either database.
type Date struct{ problem.Date }

// NewDate is the date of a year, month and day.
func NewDate(year int, month time.Month, day int) Date {
	return Date{problem.Date{Year: year, Month: month, Day: day}}
}

// ParseDate reads an ISO 8601 date such as 2026-11-25.
func ParseDate(text string) (Date, error) {
	d, err := problem.ParseDate(text)
	return Date{d}, err
}

// DateIn is the date that an instant has in a zone.
func DateIn(t time.Time, zone *time.Location) Date { return Date{problem.DateOf(t.In(zone))} }

// At is the instant of a local clock time, minutes after midnight, on this date in a zone. A clock time skipped by a change to
// daylight saving reads as package time reads it.
func (d Date) At(minute int, zone *time.Location) time.Time {
	return time.Date(d.Year, d.Month, d.Day, minute/60, minute%60, 0, 0, zone)
}

// AddDays is the date n days later.
func (d Date) AddDays(n int) Date {
	return Date{d.Date.AddDays(n)}
}

// Before reports whether d lies before other.
func (d Date) Before(other Date) bool { return d.Date.Before(other.Date) }

// Value writes the date for the database.
func (d Date) Value() (driver.Value, error) { return d.String(), nil }

// Scan reads a date column: PostgreSQL hands over midnight UTC, SQLite the same or the text.
func (d *Date) Scan(source any) error {
	switch v := source.(type) {
	case time.Time:
		d.Date = problem.DateOf(v.UTC())
		return nil
	case string:
		if len(v) > len(time.DateOnly) {
			v = v[:len(time.DateOnly)]
		}
		return d.UnmarshalText([]byte(v))
	case []byte:
		return d.Scan(string(v))
	}
	return fmt.Errorf("a date column holds %T, want a time or text", source)
}

// GormDataType names the column type.
func (Date) GormDataType() string { return "date" }
