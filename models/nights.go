package models

import (
	"context"
	"errors"
	"fmt"
	"time"

	"gorm.io/gorm"
)

// BeginNight notes that a night's run of a project starts. A run that began before and did not end well starts over; one
// that ended well is ErrDuplicate. ReadFrom is where the last good run stopped reading.
func BeginNight(ctx context.Context, tx *Tx, projectID int64, date Date, asked, askedBy string) (*Night, error) {
	var night Night
	err := lockForUpdate(tx.in(ctx)).Where("project_id = ? AND local_date = ? AND asked = ?", projectID, date, asked).Take(&night).Error
	switch {
	case err == nil && night.Status == NightOK:
		return &night, fmt.Errorf("the night of %s of project %d has run: %w", date, projectID, ErrDuplicate)
	case err != nil && !errors.Is(err, gorm.ErrRecordNotFound):
		return nil, wrap(err, "find the night of %s", date)
	}
	from, err := readUpTo(ctx, tx, projectID)
	if err != nil {
		return nil, err
	}
	night.ProjectID, night.LocalDate, night.Asked, night.AskedBy = projectID, date, asked, askedBy
	night.StartedAt, night.FinishedAt, night.Status, night.Error, night.ReadFrom = tx.Now(), nil, NightRunning, "", from
	if night.ID == 0 {
		return &night, create(ctx, tx, "the night of "+date.String(), &night)
	}
	return &night, saveNight(ctx, tx, &night)
}

// readUpTo is where the last good run of a project stopped reading; nil before the first.
func readUpTo(ctx context.Context, r Reader, projectID int64) (*time.Time, error) {
	var last Night
	err := r.in(ctx).Where("project_id = ? AND status = ? AND read_to IS NOT NULL", projectID, NightOK).
		Order("read_to DESC").First(&last).Error
	if errors.Is(err, gorm.ErrRecordNotFound) {
		return nil, nil // no run yet is a valid answer
	}
	return last.ReadTo, wrap(err, "find the last night of project %d", projectID)
}

// FinishNight notes a good run: what it read up to, how much, which plan came of it, whether it was issued. It belongs
// into the transaction that saves the plan.
func FinishNight(ctx context.Context, tx *Tx, night *Night) error {
	now := tx.Now()
	night.FinishedAt, night.Status, night.Error = &now, NightOK, ""
	return saveNight(ctx, tx, night)
}

// FailNight notes a run that failed, with the cause in words.
func FailNight(ctx context.Context, tx *Tx, night *Night, cause string) error {
	now := tx.Now()
	night.FinishedAt, night.Status, night.Error, night.PlanID, night.Issued, night.ForecastTrouble = &now, NightFailed, cause, nil, false, ""
	return saveNight(ctx, tx, night)
}

func saveNight(ctx context.Context, tx *Tx, n *Night) error {
	if n.ReadTo != nil {
		n.ReadTo = timePtr(*n.ReadTo)
	}
	err := tx.in(ctx).Model(&Night{}).Where("id = ?", n.ID).Updates(map[string]any{
		"asked_by": n.AskedBy, "started_at": n.StartedAt, "finished_at": n.FinishedAt, "status": n.Status, "error": n.Error,
		"read_from": n.ReadFrom, "read_to": n.ReadTo, "reports": n.Reports, "handovers": n.Handovers,
		"materials": n.Materials, "plan_id": n.PlanID, "issued": n.Issued, "forecast_trouble": n.ForecastTrouble,
	}).Error
	return wrap(err, "store the night of %s", n.LocalDate)
}

// LastNights are the local dates of every project's own night run last, by project, in one query.
func LastNights(ctx context.Context, r Reader) (map[int64]Date, error) {
	var rows []struct {
		ProjectID int64
		Last      Date
	}
	err := r.in(ctx).Model(&Night{}).Select("project_id, MAX(local_date) AS last").Where("asked = ''").Group("project_id").Find(&rows).Error
	last := make(map[int64]Date, len(rows))
	for _, row := range rows {
		last[row.ProjectID] = row.Last
	}
	return last, wrap(err, "find the last night of every project")
}
