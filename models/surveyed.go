package models

import (
	"cmp"
	"context"
	"slices"

	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/scheduler/tolerance"
)

// SurveyedAreas are the areas of a project whose survey is finished, with the areas inside them.
func SurveyedAreas(ctx context.Context, r Reader, projectID int64) (map[int64]bool, error) {
	areas, err := Areas(ctx, r, projectID)
	if err != nil {
		return nil, err
	}
	var ids []int64
	err = r.in(ctx).Model(&Task{}).Where("project_id = ? AND kind = ? AND finished_at IS NOT NULL AND dropped_at IS NULL AND area_id IS NOT NULL",
		projectID, takeoff.Survey).Pluck("area_id", &ids).Error
	if err != nil {
		return nil, wrap(err, "find surveyed areas")
	}
	surveyed := map[int64]bool{}
	for _, id := range ids {
		for _, inside := range areasInside(areas, id) {
			surveyed[inside] = true
		}
	}
	return surveyed, nil
}

// MeasuredTask is the task that a measured size of an opening is reported on, so that every measuring of it stands with one
// task: its own first unfinished work, else the task given.
func MeasuredTask(ctx context.Context, r Reader, task *Task) (*Task, error) {
	if task.OpeningID == nil {
		return task, nil
	}
	var own []Task
	err := r.in(ctx).Where("opening_id = ? AND item_id IS NULL AND dropped_at IS NULL AND finished_at IS NULL AND kind IN ?", *task.OpeningID,
		[]takeoff.Kind{takeoff.Frame, takeoff.Glaze, takeoff.Hang, takeoff.Punch}).Find(&own).Error
	if err != nil || len(own) == 0 {
		return task, wrap(err, "find the work of opening %d", *task.OpeningID)
	}
	first := slices.MinFunc(own, func(a, b Task) int { return cmp.Or(kindRank(a.Kind)-kindRank(b.Kind), cmp.Compare(a.Key, b.Key)) })
	return TaskByKey(ctx, r, first.Key)
}

// TolerancesOf are what may be built to on a project: its own figures, else the firm's, else the usual ones.
func TolerancesOf(ctx context.Context, r Reader, project *Project) (tolerance.Set, error) {
	settings, err := Settings(ctx, r)
	if err != nil {
		return tolerance.Set{}, err
	}
	return project.Tolerances.V.Or(settings.Tolerances.V).Or(tolerance.Usual()), nil
}

// SaveProjectTolerances stores a project's own figures; p is the project as it was read.
func SaveProjectTolerances(ctx context.Context, tx *Tx, p *Project, set tolerance.Set, actor Actor) error {
	if err := edit[Project](ctx, tx, "the tolerances of "+p.Name, p.ID, p.Version, map[string]any{"tolerances": JSON[tolerance.Set]{V: set}}); err != nil {
		return err
	}
	return record(ctx, tx, actor, "change", p.subject(), map[string]any{"tolerances": set})
}

// HandedOverBy is the trade that owes or brought a condition of an area, by its own handover or the nearest one around it;
// "" when none is named.
func HandedOverBy(ctx context.Context, r Reader, projectID, areaID int64, c pattern.Condition) (string, error) {
	b := HandoverBoard{}
	var err error
	if b.Areas, err = Areas(ctx, r, projectID); err != nil {
		return "", err
	}
	handovers, err := Handovers(ctx, r, projectID)
	if err != nil {
		return "", err
	}
	for i := range handovers {
		b.Handovers = append(b.Handovers, HandoverStanding{Handover: handovers[i]})
	}
	if h := b.HandoverFor(areaID, c); h != nil {
		return h.Trade, nil
	}
	return "", nil
}
