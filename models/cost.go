package models

import "context"

// ReportedLabour is how many labour minutes foremen reported of each task of open projects, by its key; tasks without any are
// left out.
func ReportedLabour(ctx context.Context, r Reader) (map[string]int, error) {
	var rows []struct {
		Key            string
		LabourReported int
	}
	err := inOpenProjects(r.in(ctx).Model(&Task{}).Select("tasks.key, tasks.labour_reported")).
		Where("tasks.labour_reported > 0").Find(&rows).Error
	reported := make(map[string]int, len(rows))
	for _, row := range rows {
		reported[row.Key] = row.LabourReported
	}
	return reported, wrap(err, "read the hours that were reported")
}
