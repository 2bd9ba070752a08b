package models

import "time"

// Versioned is the part that rows edited by people share. Version counts the changes, from 1.
type Versioned struct {
	Version   int64 `gorm:"default:1"`
	CreatedAt time.Time
	UpdatedAt time.Time
}

// HolidayRule names a rule that makes holidays, beside those that are listed.
type HolidayRule string

// The rules.
const (
	NoHolidayRule     HolidayRule = "none"
	USFederalHolidays HolidayRule = "us_federal"      // moved off weekends
	BuildingTrades    HolidayRule = "building_trades" // as dated
)

// Calendar is a working calendar in a zone.
type Calendar struct {
	ID          int64
	Code        string // unique, stable; the planner's id
	Name        string
	Zone        string      // IANA
	HolidayRule HolidayRule `gorm:"default:none"`
	Versioned
	Shifts     []CalendarShift
	Holidays   []CalendarHoliday
	Exceptions []CalendarException
}

// CalendarShift is a weekly shift, minutes after local midnight, half-open.
type CalendarShift struct {
	ID         int64
	CalendarID int64
	Weekday    time.Weekday
	FromMinute int
	ToMinute   int
}

// CalendarHoliday is a span of days without work, both ends included: a holiday or a shutdown.
type CalendarHoliday struct {
	ID         int64
	CalendarID int64
	FirstDay   Date
	LastDay    Date
	Name       string
}

// CalendarException replaces the shifts of one day. Without shifts the day is off.
type CalendarException struct {
	ID         int64
	CalendarID int64
	Day        Date
	Note       string
	Shifts     []CalendarExceptionShift `gorm:"foreignKey:ExceptionID"`
}

// CalendarExceptionShift is one shift of an exception.
type CalendarExceptionShift struct {
	ID          int64
	ExceptionID int64
	FromMinute  int
	ToMinute    int
}

// Site is a place that crews travel to.
type Site struct {
	ID      int64
	Code    string // unique, stable; the planner's id
	Name    string
	Address string
	Zone    string // IANA
	Versioned
}

// SiteTravel is the crew working time lost between two sites; it counts both ways unless both directions are stored.
type SiteTravel struct {
	ID         int64
	FromSiteID int64
	ToSiteID   int64
	Minutes    int
	FromSite   Site
	ToSite     Site
}

// TableName keeps the uncountable noun.
func (SiteTravel) TableName() string { return "site_travel" }
