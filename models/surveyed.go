package models

import (
	"context"

	"jambwright/scheduler/takeoff"
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
