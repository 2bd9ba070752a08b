package server

import (
	"context"
	"time"

	"jambwright/models"
	"jambwright/scheduler/problem"
	"jambwright/web"
)

// Summary is what a person at a console wants to know: tomorrow's work of every crew and the outlook of every GC date, as
// the pages show them to the operations manager.
type Summary struct {
	Format web.Format
	Date   problem.Date // the next day on which anybody works
	Crews  []web.CrewDay
	Dates  []web.DateRow
}

// Summarize reads the summary from the plans in force.
func Summarize(ctx context.Context, db *models.DB) (*Summary, error) {
	s := &Summary{Format: formatOf(ctx, db, nil)}
	zone := s.Format.In(db.Now()).Location()
	today := problem.DateOf(db.Now().In(zone))
	from, _ := daySpan(today, zone)
	hours, err := readHours(ctx, db, from, from.Add(60*24*time.Hour))
	if err != nil {
		return nil, err
	}
	s.Date = hours.nextWorked(today, 1, zone)
	crews := make([]*models.Crew, len(hours.crews))
	for i := range hours.crews {
		crews[i] = &hours.crews[i]
	}
	if s.Crews, err = crewDays(ctx, db, nil, hours, crews, s.Date, s.Format); err != nil {
		return nil, err
	}
	_, s.Dates, err = dateRows(ctx, db, nil, s.Format)
	return s, err
}
