package importing

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"jambwright/scheduler/length"
	"jambwright/scheduler/problem"
	"jambwright/server/sheet"
)

// DateOrder says how all-number dates such as 03/04/2026 are meant. The zero value means that nobody has said: such a
// date is then a fault wherever both readings are valid and differ.
type DateOrder int

// The orders.
const (
	DateOrderUnknown DateOrder = iota
	MonthFirst                 // 03/04/2026 is 4 March, as in the United States
	DayFirst                   // 03/04/2026 is 3 April
)

// Faults of dates.
var (
	errNotDate   = errors.New("not a date")
	errAmbiguous = errors.New("day and month cannot be told apart")
)

// earliest and latest bound dates that a job can have: two-digit years, mistyped years and serial numbers that are
// really quantities fall outside.
var (
	earliest = problem.Date{Year: 2000, Month: time.January, Day: 1}
	latest   = problem.Date{Year: 2099, Month: time.December, Day: 31}
)

var (
	isoDate     = regexp.MustCompile(`^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$`)
	compactDate = regexp.MustCompile(`^(20\d{2})(\d{2})(\d{2})$`)
	numberDate  = regexp.MustCompile(`^(\d{1,2})\s?[-/.]\s?(\d{1,2})\s?[-/.]\s?(\d{4}|\d{2}|'\d{2})$`)
	dayMonth    = regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th)?(?: of)?[-/. ,]*([a-z]{3,9})\.?[-/. ,]*'?(\d{4}|\d{2})$`)
	monthDay    = regexp.MustCompile(`^([a-z]{3,9})\.?[-/. ]*(\d{1,2})(?:st|nd|rd|th)?[-/. ,]+'?(\d{4}|\d{2})$`)
	yearMonth   = regexp.MustCompile(`^(\d{4})[-/. ]([a-z]{3,9})[-/. ](\d{1,2})$`)
	serialDate  = regexp.MustCompile(`^[34567]\d{4}$`)
	clockTail   = regexp.MustCompile(`[ t]+\d{1,2}:\d{2}(:\d{2})?(\.\d+)?( ?[ap]\.?m\.?)?( ?z| ?[+-]\d{2}:?\d{2})?$`)
	weekdayHead = regexp.MustCompile(`^(?:mon|tue|tues|wed|weds|thu|thur|thurs|fri|sat|sun)(?:day|nesday|sday|rsday|urday)?[., ]+`)
)

// parseDate reads a cell of a date column: a date cell of a workbook, ISO 8601, US and day-first numbers, worded forms
// with or without a weekday, and the serial numbers that spreadsheet programs leave behind. A weekday that does not fit
// the date is a fault, since one of the two is wrong.
func parseDate(c sheet.Cell, order DateOrder) (problem.Date, error) {
	if c.Kind == sheet.Date {
		d, err := problem.ParseDate(c.Text[:len("2006-01-02")])
		return d, errors.Join(err, plausible(d))
	}
	text := strings.ToLower(length.Plain(c.Text))
	text = strings.TrimSpace(clockTail.ReplaceAllString(text, ""))
	weekday, text := cutWeekday(text)
	d, err := readDate(text, order)
	if err != nil {
		return d, err
	}
	if err := plausible(d); err != nil {
		return d, err
	}
	if weekday != "" && !strings.HasPrefix(strings.ToLower(weekdayOf(d).String()), weekday) {
		return d, fmt.Errorf("%w: %s is a %s", errNotDate, d, weekdayOf(d))
	}
	return d, nil
}

// cutWeekday takes a weekday off the front and returns its first three letters.
func cutWeekday(text string) (weekday, rest string) {
	head := weekdayHead.FindString(text)
	if head == "" {
		return "", text
	}
	return head[:3], strings.TrimSpace(text[len(head):])
}

func weekdayOf(d problem.Date) time.Weekday {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Weekday()
}

func readDate(text string, order DateOrder) (problem.Date, error) {
	for _, numeric := range []*regexp.Regexp{isoDate, compactDate} {
		if m := numeric.FindStringSubmatch(text); m != nil {
			return makeDate(number(m[1]), number(m[2]), number(m[3]))
		}
	}
	if m := numberDate.FindStringSubmatch(text); m != nil {
		return numbersDate(number(m[1]), number(m[2]), year(m[3]), order)
	}
	if m := dayMonth.FindStringSubmatch(text); m != nil {
		return wordedDate(year(m[3]), m[2], number(m[1]))
	}
	if m := monthDay.FindStringSubmatch(text); m != nil {
		return wordedDate(year(m[3]), m[1], number(m[2]))
	}
	if m := yearMonth.FindStringSubmatch(text); m != nil {
		return wordedDate(number(m[1]), m[2], number(m[3]))
	}
	if serialDate.MatchString(text) {
		// Day 1 of the 1900 system is 1 January 1900 and it counts a 29 February 1900 that never was, so that serials
		// after it are days since 30 December 1899 (ECMA-376).
		return problem.DateOf(time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, number(text))), nil
	}
	return problem.Date{}, fmt.Errorf("%w", errNotDate)
}

// numbersDate decides between month first and day first. A number over 12 decides by itself, and equal numbers need no
// decision.
func numbersDate(a, b, year int, order DateOrder) (problem.Date, error) {
	us, usErr := makeDate(year, a, b)
	eu, euErr := makeDate(year, b, a)
	switch {
	case usErr != nil && euErr != nil:
		return us, usErr
	case usErr != nil:
		return eu, nil
	case euErr != nil || us == eu || order == MonthFirst:
		return us, nil
	case order == DayFirst:
		return eu, nil
	}
	return us, fmt.Errorf("%w: it may be %d %s or %d %s", errAmbiguous, us.Day, us.Month, eu.Day, eu.Month)
}

// orderOf tells the order that a date of numbers gives away by a number over 12.
func orderOf(text string) DateOrder {
	m := numberDate.FindStringSubmatch(strings.TrimSpace(strings.ToLower(length.Plain(text))))
	switch {
	case m == nil:
		return DateOrderUnknown
	case number(m[1]) > 12:
		return DayFirst
	case number(m[2]) > 12:
		return MonthFirst
	}
	return DateOrderUnknown
}

func wordedDate(year int, month string, day int) (problem.Date, error) {
	for m := time.January; m <= time.December; m++ {
		name := strings.ToLower(m.String())
		if strings.HasPrefix(name, month) || month == "sept" && m == time.September {
			return makeDate(year, int(m), day)
		}
	}
	return problem.Date{}, fmt.Errorf("%w: %q is no month", errNotDate, month)
}

func makeDate(year, month, day int) (problem.Date, error) {
	t := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	d := problem.DateOf(t)
	if d.Year != year || int(d.Month) != month || d.Day != day {
		return d, fmt.Errorf("%w: there is no day %d in month %d of %d", errNotDate, day, month, year)
	}
	return d, nil
}

func plausible(d problem.Date) error {
	if d.Year < earliest.Year || d.Year > latest.Year {
		return fmt.Errorf("%w: the year %d lies outside %d to %d", errNotDate, d.Year, earliest.Year, latest.Year)
	}
	return nil
}

// year reads two digits as a year of this century.
func year(text string) int {
	text = strings.TrimPrefix(text, "'")
	if len(text) == 2 {
		return 2000 + number(text)
	}
	return number(text)
}

// number reads digits that a pattern has already bounded.
func number(digits string) int {
	n, _ := strconv.Atoi(digits)
	return n
}
