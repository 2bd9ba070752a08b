package models

import "context"

// ProjectRow is one project in the list of projects.
type ProjectRow struct {
	Project
	Openings int
	Done     int // openings whose punch work is finished
	Held     int // openings with a task that is held
}

// ProjectRows lists the open projects by name with how far their openings are.
func ProjectRows(ctx context.Context, r Reader) ([]ProjectRow, error) {
	projects, err := Projects(ctx, r)
	if err != nil {
		return nil, err
	}
	var counts []struct {
		ProjectID            int64
		Openings, Done, Held int
	}
	err = r.in(ctx).Model(&Opening{}).Select(`openings.project_id, COUNT(*) AS openings,
		SUM(CASE WHEN EXISTS (SELECT 1 FROM tasks t WHERE t.opening_id = openings.id AND t.kind = 'punch'
			AND t.finished_at IS NOT NULL AND t.dropped_at IS NULL) THEN 1 ELSE 0 END) AS done,
		SUM(CASE WHEN EXISTS (SELECT 1 FROM tasks t WHERE t.opening_id = openings.id AND t.held
			AND t.finished_at IS NULL AND t.dropped_at IS NULL) THEN 1 ELSE 0 END) AS held`).
		Group("openings.project_id").Scan(&counts).Error
	if err != nil {
		return nil, wrap(err, "count the openings of projects")
	}
	rows := make([]ProjectRow, len(projects))
	for i := range projects {
		rows[i].Project = projects[i]
		for _, c := range counts {
			if c.ProjectID == projects[i].ID {
				rows[i].Openings, rows[i].Done, rows[i].Held = c.Openings, c.Done, c.Held
			}
		}
	}
	return rows, nil
}
