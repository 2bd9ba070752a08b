package demo

import (
	"embed"
	"fmt"
	"regexp"
	"strconv"
	"time"

	"jambwright/scheduler/problem"
)

//go:embed sheets/*.csv
var sheets embed.FS

// dayMark is a date of a sheet told as working days from today, such as @-12 or @+5.
var dayMark = regexp.MustCompile(`@([+-]\d+)`)

// readSheet is a sheet of the scenario with its dates filled in.
func readSheet(name string, today problem.Date) ([]byte, error) {
	text, err := sheets.ReadFile("sheets/" + name)
	if err != nil {
		return nil, fmt.Errorf("read the scenario: %w", err)
	}
	var fault error
	filled := dayMark.ReplaceAllFunc(text, func(mark []byte) []byte {
		n, err := strconv.Atoi(string(mark[1:]))
		if err != nil {
			fault = fmt.Errorf("sheet %s: %q: %w", name, mark, err)
		}
		return []byte(workday(today, n).String())
	})
	return filled, fault
}

// workday is the n-th working day (Monday to Friday) after a date, or before it for a negative n; for 0 the date itself,
// or the Friday before a weekend.
func workday(d problem.Date, n int) problem.Date {
	t := time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
	for t.Weekday() == time.Saturday || t.Weekday() == time.Sunday {
		t = t.AddDate(0, 0, -1)
	}
	step := 1
	if n < 0 {
		step, n = -1, -n
	}
	for n > 0 {
		t = t.AddDate(0, 0, step)
		if t.Weekday() != time.Saturday && t.Weekday() != time.Sunday {
			n--
		}
	}
	return problem.DateOf(t)
}
