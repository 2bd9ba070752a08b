package models

import (
	"context"

	"gorm.io/gorm"
)

// NightRow is one run in the list of nights, with what came of it.
type NightRow struct {
	Night
	Moved     int // tasks of the project that the plan moved
	DatesLate int // GC dates of the project forecast late
	DatesOpen int // GC dates of the project without a forecast
}

// Nights lists the runs of projects (nil: of all), newest first, at most limit. Three queries beside the list itself.
func Nights(ctx context.Context, r Reader, projectIDs []int64, limit int) ([]NightRow, error) {
	q := r.in(ctx).Model(&Night{}).Preload("Project")
	if projectIDs != nil {
		q = q.Where("project_id IN ?", projectIDs)
	}
	var nights []Night
	if err := q.Order("started_at DESC, id DESC").Limit(limit).Find(&nights).Error; err != nil {
		return nil, wrap(err, "list nights")
	}
	var plans []int64
	for _, n := range nights {
		if n.PlanID != nil {
			plans = append(plans, *n.PlanID)
		}
	}
	moved, err := countByPlan(r.in(ctx).Model(&PlanChange{}).Where("task_id IS NOT NULL AND plan_id IN ?", plans).
		Select("plan_id, project_id, COUNT(*) AS n").Group("plan_id, project_id"))
	if err != nil {
		return nil, err
	}
	dates := func(condition string) (map[planProject]int, error) {
		return countByPlan(r.in(ctx).Model(&PlanDate{}).Joins("JOIN gc_dates ON gc_dates.id = plan_dates.gc_date_id").
			Where(condition).Where("plan_dates.plan_id IN ?", plans).
			Select("plan_dates.plan_id, gc_dates.project_id, COUNT(*) AS n").Group("plan_dates.plan_id, gc_dates.project_id"))
	}
	late, err := dates("plan_dates.late_days > 0")
	if err != nil {
		return nil, err
	}
	open, err := dates("plan_dates.forecast_at IS NULL")
	if err != nil {
		return nil, err
	}
	rows := make([]NightRow, len(nights))
	for i, n := range nights {
		rows[i] = NightRow{Night: n}
		if n.PlanID != nil {
			key := planProject{*n.PlanID, n.ProjectID}
			rows[i].Moved, rows[i].DatesLate, rows[i].DatesOpen = moved[key], late[key], open[key]
		}
	}
	return rows, nil
}

type planProject struct{ planID, projectID int64 }

func countByPlan(q *gorm.DB) (map[planProject]int, error) {
	var rows []struct {
		PlanID, ProjectID int64
		N                 int
	}
	if err := q.Scan(&rows).Error; err != nil {
		return nil, wrap(err, "count by plan")
	}
	counts := make(map[planProject]int, len(rows))
	for _, row := range rows {
		counts[planProject{row.PlanID, row.ProjectID}] = row.N
	}
	return counts, nil
}

// NightByID reads a run with its project.
func NightByID(ctx context.Context, r Reader, id int64) (*Night, error) {
	var night Night
	if err := r.in(ctx).Preload("Project").Take(&night, id).Error; err != nil {
		return nil, wrap(err, "find night %d", id)
	}
	return &night, nil
}

// UnplannedOf lists what a plan left out of a project, by task.
func UnplannedOf(ctx context.Context, r Reader, planID, projectID int64) ([]PlanUnplanned, error) {
	var rows []PlanUnplanned
	err := r.in(ctx).Preload("Task.Opening").Joins("JOIN tasks ON tasks.id = plan_unplanned.task_id").
		Where("plan_unplanned.plan_id = ? AND tasks.project_id = ?", planID, projectID).Order("tasks.key").Find(&rows).Error
	return rows, wrap(err, "list what plan %d left out", planID)
}

// FailedNights lists the projects whose newest run failed, with that run: what an alert tells.
func FailedNights(ctx context.Context, r Reader) ([]Night, error) {
	newest := r.in(ctx).Model(&Night{}).Select("MAX(id)").Group("project_id")
	var rows []Night
	err := r.in(ctx).Preload("Project").Where("id IN (?) AND status = ?", newest, NightFailed).Order("project_id").Find(&rows).Error
	return rows, wrap(err, "find failed nights")
}
