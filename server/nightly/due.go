// Package nightly runs the re-plan of every project at the project's own local hour, once a night whatever the number of
// processes.
//
//	cron entry of a project fires ─┐
//	catch-up, every quarter hour ──┼─> insert job {project, night}, unique ─> queue ─> worker: re-plan, check, save
//	"run now" on the Nights page ──┘                                                    in one transaction
//
// Every process fires; the queue keeps one job for a project and a night. The catch-up finds nights that no cron entry
// reached: the process was down, or the clock jumped over the hour. The worker writes the plan, its differences, the
// record of the night and the end of the job in one transaction, so that a killed process leaves either all or nothing,
// and the job starts again.
package nightly

import (
	"fmt"
	"time"
)

// Schedule is when a project's nights come: a local clock time in the zone of its site.
type Schedule struct {
	Zone   *time.Location
	Hour   int // 0 to 23
	Minute int // 0 to 59
}

// CronSpec is the schedule as a cron expression with its zone.
func (s Schedule) CronSpec() string {
	return fmt.Sprintf("CRON_TZ=%s %d %d * * *", s.Zone, s.Minute, s.Hour)
}

// At is the instant of a night's run. Where a change of the clock skips the local time, it is an instant within an hour of
// the change, as time.Date chooses; the catch-up then runs the night, since no cron entry fires.
func (s Schedule) At(year int, month time.Month, day int) time.Time {
	return time.Date(year, month, day, s.Hour, s.Minute, 0, 0, s.Zone)
}

// LastDue is the night whose run was due last at or before now: its local date, as "2026-11-25", and the instant.
func (s Schedule) LastDue(now time.Time) (night string, at time.Time) {
	year, month, day := now.In(s.Zone).Date()
	at = s.At(year, month, day)
	if at.After(now) {
		day--
		at = s.At(year, month, day)
	}
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Format(time.DateOnly), at
}
