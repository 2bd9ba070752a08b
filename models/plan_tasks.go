package models

import (
	"context"
	"errors"
	"slices"
	"time"
)

// PlanTasksByKey reads some tasks of a plan by key, with task and crew.
func PlanTasksByKey(ctx context.Context, r Reader, planID int64, keys []string) (map[string]*PlanTask, error) {
	out := make(map[string]*PlanTask, len(keys))
	for chunk := range slices.Chunk(keys, insertBatch) {
		var rows []*PlanTask
		err := r.in(ctx).Preload("Task").Preload("Crew").Joins("JOIN tasks ON tasks.id = plan_tasks.task_id").
			Where("plan_tasks.plan_id = ? AND tasks.key IN ?", planID, chunk).Find(&rows).Error
		if err != nil {
			return nil, wrap(err, "read tasks of plan %d", planID)
		}
		for _, row := range rows {
			out[row.Task.Key] = row
		}
	}
	return out, nil
}

// IssuedForecasts are the forecasts of GC dates in the plans in force, by the dates' ids.
func IssuedForecasts(ctx context.Context, r Reader) (map[int64]*time.Time, error) {
	var rows []struct {
		GCDateID   int64 `gorm:"column:gc_date_id"`
		ForecastAt *time.Time
	}
	newest := r.in(ctx).Model(&PlanIssue{}).Select("MAX(id)").Group("project_id")
	err := r.in(ctx).Table("plan_dates").Select("plan_dates.gc_date_id, plan_dates.forecast_at").
		Joins("JOIN gc_dates ON gc_dates.id = plan_dates.gc_date_id").
		Joins("JOIN plan_issues ON plan_issues.plan_id = plan_dates.plan_id AND plan_issues.project_id = gc_dates.project_id").
		Where("plan_issues.id IN (?)", newest).Scan(&rows).Error
	out := make(map[int64]*time.Time, len(rows))
	for _, row := range rows {
		out[row.GCDateID] = row.ForecastAt
	}
	return out, wrap(err, "read the forecasts in force")
}

// CrewInForce is the crew that the plan in force gives a task; nil when it gives none or does not plan the task.
func CrewInForce(ctx context.Context, r Reader, task *Task) (*int64, error) {
	issue, err := IssuedPlan(ctx, r, task.ProjectID)
	if err != nil {
		if errors.Is(err, ErrNotFound) {
			err = nil
		}
		return nil, err
	}
	var rows []PlanTask
	err = r.in(ctx).Where("plan_id = ? AND task_id = ?", issue.PlanID, task.ID).Find(&rows).Error
	if err != nil || len(rows) == 0 {
		return nil, wrap(err, "find the crew of task %s", task.Key)
	}
	return rows[0].CrewID, nil
}
