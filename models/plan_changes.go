package models

import (
	"context"
	"fmt"
	"time"
)

// ChangeToSave is one difference between a plan and the one before it, by the planner's ids: of a task or of a GC date.
type ChangeToSave struct {
	Task, GCDate         string
	OldCrew, NewCrew     string
	OldStart, NewStart   *time.Time
	OldFinish, NewFinish *time.Time
	MovedMinutes         int // positive: later
	CauseKind            string
	CauseRef             string
	CauseText            string
	ReportID             *int64
}

// SaveChanges stores what a saved plan moved against another one. Differences of tasks that are no longer stored are left
// out.
func SaveChanges(ctx context.Context, tx *Tx, planID int64, against *int64, changes []ChangeToSave) error {
	if len(changes) == 0 {
		return nil
	}
	crews, err := crewIDs(ctx, tx)
	if err != nil {
		return err
	}
	dates, err := gcDateIDs(ctx, tx)
	if err != nil {
		return err
	}
	tasks, err := storedTasks(ctx, tx)
	if err != nil {
		return err
	}
	projects, err := projectsOfDates(ctx, tx)
	if err != nil {
		return err
	}
	crew := func(code string) *int64 {
		if id, known := crews[code]; known {
			return &id
		}
		return nil
	}
	rows := make([]PlanChange, 0, len(changes))
	for i := range changes {
		c := &changes[i]
		row := PlanChange{
			PlanID: planID, AgainstID: against, OldCrewID: crew(c.OldCrew), NewCrewID: crew(c.NewCrew),
			OldStart: c.OldStart, NewStart: c.NewStart, OldFinish: c.OldFinish, NewFinish: c.NewFinish,
			MovedMinutes: c.MovedMinutes, CauseKind: c.CauseKind, CauseRef: c.CauseRef, CauseText: c.CauseText, ReportID: c.ReportID,
		}
		if task := tasks[c.Task]; task != nil {
			row.TaskID, row.ProjectID = &task.ID, task.ProjectID
		} else if id, known := dates[c.GCDate]; known {
			row.GCDateID, row.ProjectID = &id, projects[id]
		} else {
			continue
		}
		rows = append(rows, row)
	}
	return createAll(ctx, tx, fmt.Sprintf("changes of plan %d", planID), rows)
}

func projectsOfDates(ctx context.Context, r Reader) (map[int64]int64, error) {
	var rows []GCDate
	if err := r.in(ctx).Select("id", "project_id").Find(&rows).Error; err != nil {
		return nil, wrap(err, "read the projects of GC dates")
	}
	out := make(map[int64]int64, len(rows))
	for _, row := range rows {
		out[row.ID] = row.ProjectID
	}
	return out, nil
}

// ChangesOf lists what a plan moved for a project, earliest new start first, then what has none, with tasks and GC dates.
func ChangesOf(ctx context.Context, r Reader, planID, projectID int64) ([]PlanChange, error) {
	var rows []PlanChange
	err := r.in(ctx).Preload("Task.Opening").Preload("GCDate").Where("plan_id = ? AND project_id = ?", planID, projectID).
		Order("new_start IS NULL, new_start, old_start IS NULL, old_start, id").Find(&rows).Error
	return rows, wrap(err, "read the changes of plan %d", planID)
}
