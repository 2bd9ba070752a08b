package calendar_test

import (
	"fmt"
	"time"

	"jambwright/scheduler/calendar"
	"jambwright/scheduler/problem"
)

// Sixteen hours of work from the Wednesday before Thanksgiving end on Friday: the holiday does not count, and the finish
// stays at the end of Friday's shift.
func ExampleCalendar_Add() {
	shift := []problem.Shift{{From: 7 * 60, To: 15 * 60}}
	spec := problem.Calendar{
		ID: "site", Zone: "America/Chicago",
		Week:     problem.Week{Mon: shift, Tue: shift, Wed: shift, Thu: shift, Fri: shift},
		Holidays: calendar.FederalHolidays(2026, 2026),
	}
	start := time.Date(2026, time.November, 25, 13, 0, 0, 0, time.UTC) // 07:00 in Chicago
	from := calendar.FromTime(start)
	site, err := calendar.Compile(spec, from, from+30*24*60)
	if err != nil {
		fmt.Println(err)
		return
	}
	finish := site.Add(from, 16*60)
	fmt.Println(finish.Time().Format(time.RFC3339), "then", site.Next(finish).Time().Format(time.RFC3339))
	// Output: 2026-11-27T21:00:00Z then 2026-11-30T13:00:00Z
}
