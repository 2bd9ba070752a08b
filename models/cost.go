package models

import "context"

// ReportedLabour is how many labour minutes foremen reported of each task of open projects, by its key and by the code of the crew
// that they said spent them ("" where nobody said); tasks without any are left out.
func ReportedLabour(ctx context.Context, r Reader) (map[string]map[string]int, error) {
	var rows []struct {
		Key, Crew string
		Minutes   int
	}
	back := r.in(ctx).Model(&FieldReport{}).Select("withdraws").Where("withdraws IS NOT NULL")
	err := inOpenProjects(r.in(ctx).Model(&FieldReport{}).Joins("JOIN tasks ON tasks.id = field_reports.task_id")).
		Joins("LEFT JOIN crews ON crews.id = field_reports.crew_id").
		Select("tasks.key, COALESCE(crews.code, '') AS crew, SUM(field_reports.labour_minutes) AS minutes").
		Where("field_reports.labour_minutes > 0 AND field_reports.withdraws IS NULL AND field_reports.id NOT IN (?)", back). // as fold reads them
		Group("tasks.key, crews.code").Find(&rows).Error
	reported := map[string]map[string]int{}
	for _, row := range rows {
		if reported[row.Key] == nil {
			reported[row.Key] = map[string]int{}
		}
		reported[row.Key][row.Crew] = row.Minutes
	}
	return reported, wrap(err, "read the hours that were reported")
}

// BegunLabour is how many labour minutes work was planned with that has begun and is not finished, by the task's key.
func BegunLabour(ctx context.Context, r Reader) (map[string]int, error) {
	var rows []struct {
		Key           string
		LabourMinutes int
	}
	err := inOpenProjects(r.in(ctx).Model(&Task{}).Select("tasks.key, tasks.labour_minutes")).
		Where("tasks.started_at IS NOT NULL AND tasks.finished_at IS NULL AND tasks.labour_minutes IS NOT NULL").Find(&rows).Error
	begun := make(map[string]int, len(rows))
	for _, row := range rows {
		begun[row.Key] = row.LabourMinutes
	}
	return begun, wrap(err, "read the hours that work under way was planned with")
}
