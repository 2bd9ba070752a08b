package models

import (
	"context"
	"time"

	"jambwright/scheduler/ordering"
	"jambwright/scheduler/pattern"
)

// PlanSpans reads the dates of every task of a plan by its key, in one query.
func PlanSpans(ctx context.Context, r Reader, planID int64) (map[pattern.TaskKey]ordering.Planned, error) {
	var rows []struct {
		Key        string
		StartAt    time.Time
		FinishAt   time.Time
		LateStart  time.Time
		LateFinish time.Time
	}
	err := r.in(ctx).Model(&PlanTask{}).
		Select("tasks.key, plan_tasks.start_at, plan_tasks.finish_at, plan_tasks.late_start, plan_tasks.late_finish").
		Joins("JOIN tasks ON tasks.id = plan_tasks.task_id").Where("plan_tasks.plan_id = ?", planID).Scan(&rows).Error
	if err != nil {
		return nil, wrap(err, "read the dates of plan %d", planID)
	}
	spans := make(map[pattern.TaskKey]ordering.Planned, len(rows))
	for _, row := range rows {
		spans[pattern.TaskKey(row.Key)] = ordering.Planned{
			Start: row.StartAt, Finish: row.FinishAt, LateStart: row.LateStart, LateFinish: row.LateFinish,
		}
	}
	return spans, nil
}

// HistoryOfRemake lists the changes of a remake, oldest first.
func HistoryOfRemake(ctx context.Context, r Reader, itemID int64) ([]MaterialChange, error) {
	var rows []MaterialChange
	err := r.in(ctx).Where("item_id = ?", itemID).Order("at, id").Find(&rows).Error
	return rows, wrap(err, "read the history of remake %d", itemID)
}

// KeysOfProject are the keys of a project's tasks that are part of the work.
func KeysOfProject(ctx context.Context, r Reader, projectID int64) (map[string]bool, error) {
	var keys []string
	err := r.in(ctx).Model(&Task{}).Where("project_id = ? AND dropped_at IS NULL", projectID).Pluck("key", &keys).Error
	known := make(map[string]bool, len(keys))
	for _, key := range keys {
		known[key] = true
	}
	return known, wrap(err, "list the tasks of project %d", projectID)
}
