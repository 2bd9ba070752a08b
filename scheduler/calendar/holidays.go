package calendar

import (
	"slices"
	"time"

	"jambwright/scheduler/problem"
)

// Observance says what becomes of a holiday whose date falls on a weekend.
type Observance int

// The two treatments.
const (
	// AsDated keeps every holiday on its own date; one on a weekend is not moved.
	AsDated Observance = iota
	// NearestWeekday moves a Saturday holiday to the Friday before and a Sunday holiday to the Monday after. New Year's
	// Day on a Saturday is then kept on 31 December of the year before.
	NearestWeekday
)

// FederalHolidays lists the dates from 1 January of firstYear to 31 December of lastYear on which United States federal
// holidays are observed by people who work Monday to Friday: the days of 5 U.S.C. 6103(a), moved off weekends.
// Ascending, each date once, in a slice of the caller's own.
func FederalHolidays(firstYear, lastYear int) []problem.Date {
	return observed(federalRules[:], firstYear, lastYear, NearestWeekday)
}

// BuildingTradesHolidays lists the holidays that building-trades agreements typically hold (common practice): New Year,
// Memorial Day, Independence Day, Labor Day, Thanksgiving and the day after, Christmas. Agreements differ in further
// days and in whether a weekend holiday moves, so a project keeps its own list and this is only where it starts.
// Ascending, each date once.
func BuildingTradesHolidays(firstYear, lastYear int, observance Observance) []problem.Date {
	return observed(buildingTradesRules[:], firstYear, lastYear, observance)
}

// Shutdown makes exceptions without work for every date from first to last, both included, as people say it: closed
// from 24 December to 2 January. It is empty when last is before first.
func Shutdown(first, last problem.Date) []problem.Exception {
	var exceptions []problem.Exception
	for day := dayNumber(first); day <= dayNumber(last); day++ {
		exceptions = append(exceptions, problem.Exception{Date: dateOfDay(day)})
	}
	return exceptions
}

// rule gives a holiday's date in a year: a fixed day, or with week set the n-th weekday of the month (the last for -1),
// plus some days.
type rule struct {
	month   time.Month
	day     int // fixed date, when week is 0
	weekday time.Weekday
	week    int // 1 is the first, -1 the last
	plus    int // days after that
	since   int // first year of the law, 0 when older than any schedule
}

const lastWeek = -1

// 5 U.S.C. 6103(a), in the order of the statute. The two later additions carry the first year they were kept.
var federalRules = [...]rule{
	{month: time.January, day: 1},                                        // New Year's Day
	{month: time.January, weekday: time.Monday, week: 3, since: 1986},    // Birthday of Martin Luther King, Jr.
	{month: time.February, weekday: time.Monday, week: 3, since: 1971},   // Washington's Birthday
	{month: time.May, weekday: time.Monday, week: lastWeek, since: 1971}, // Memorial Day
	{month: time.June, day: 19, since: 2021},                             // Juneteenth
	{month: time.July, day: 4},                                           // Independence Day
	{month: time.September, weekday: time.Monday, week: 1},               // Labor Day
	{month: time.October, weekday: time.Monday, week: 2, since: 1971},    // Columbus Day
	{month: time.November, day: 11, since: 1978},                         // Veterans Day, back on its date since then
	{month: time.November, weekday: time.Thursday, week: 4},              // Thanksgiving Day
	{month: time.December, day: 25},                                      // Christmas Day
}

var buildingTradesRules = [...]rule{
	{month: time.January, day: 1},
	{month: time.May, weekday: time.Monday, week: lastWeek},
	{month: time.July, day: 4},
	{month: time.September, weekday: time.Monday, week: 1},
	{month: time.November, weekday: time.Thursday, week: 4},
	{month: time.November, weekday: time.Thursday, week: 4, plus: 1},
	{month: time.December, day: 25},
}

// observed applies the rules to one year more than asked, since the last year's 31 December may keep the next New Year.
func observed(rules []rule, firstYear, lastYear int, observance Observance) []problem.Date {
	var days []int64
	for year := firstYear; year <= lastYear+1; year++ {
		for i := range rules {
			if year < rules[i].since {
				continue
			}
			day := rules[i].in(year)
			if observance == NearestWeekday {
				day = nearestWeekday(day)
			}
			days = append(days, day)
		}
	}
	slices.Sort(days)
	dates := make([]problem.Date, 0, len(days))
	for _, day := range slices.Compact(days) {
		if date := dateOfDay(day); date.Year >= firstYear && date.Year <= lastYear {
			dates = append(dates, date)
		}
	}
	return dates
}

// in is the day number of the holiday in a year, before any move.
func (r *rule) in(year int) int64 {
	if r.week == 0 {
		return dayNumber(problem.Date{Year: year, Month: r.month, Day: r.day}) + int64(r.plus)
	}
	first := problem.Date{Year: year, Month: r.month, Day: 1}
	week := r.week - 1
	if r.week == lastWeek {
		first.Month, week = r.month+1, -1 // one week before the first such weekday of the next month
	}
	start := dayNumber(first)
	ahead := (int64(r.weekday) - int64(weekdayOf(start)) + 7) % 7
	return start + ahead + int64(7*week) + int64(r.plus)
}

func nearestWeekday(day int64) int64 {
	switch weekdayOf(day) {
	case time.Saturday:
		return day - 1
	case time.Sunday:
		return day + 1
	}
	return day
}

// weekdayOf is the weekday of a day number; day 0, 1970-01-01, was a Thursday.
func weekdayOf(day int64) time.Weekday {
	return time.Weekday(((day+int64(time.Thursday))%7 + 7) % 7)
}

func dateOfDay(day int64) problem.Date { return problem.DateOf(Instant(day * minutesPerDay).Time()) }
