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
