package demo

import (
	"context"
	"time"

	"jambwright/models"
	"jambwright/scheduler/takeoff"
)

// foremanEmail is the name by which the demo's foreman is stored.
const foremanEmail = "foreman@demo.invalid"

// chooseCrew puts the demo's foreman on the crew whose next working day shows the most: many tasks, and glass among them.
// Which crew that is depends on the plan.
func (s *scenario) chooseCrew(ctx context.Context) error {
	d := workday(s.today, 1)
	from := time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, s.zone)
	work, err := models.CrewWork(ctx, s.db, models.WorkQuery{From: from, To: from.AddDate(0, 0, 1)})
	if err != nil {
		return err
	}
	shows := map[int64]int{}
	best := int64(0)
	for i := range work {
		if work[i].Plan == nil || work[i].Plan.CrewID == nil || work[i].State == models.StateDone {
			continue
		}
		crew := *work[i].Plan.CrewID
		shows[crew]++
		if work[i].Task.Kind == takeoff.Glaze {
			shows[crew] += 2
		}
		if shows[crew] > shows[best] || shows[crew] == shows[best] && crew < best {
			best = crew
		}
	}
	if best == 0 {
		return nil
	}
	foreman, err := models.UserByEmail(ctx, s.db, foremanEmail)
	if err != nil {
		return err
	}
	foreman.CrewID = &best
	return s.db.Write(ctx, func(tx *models.Tx) error { return models.UpdateUser(ctx, tx, foreman, actor()) })
}
