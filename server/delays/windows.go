package delays

import (
	"context"
	"errors"

	"jambwright/models"
)

// Window is the time from one issued plan to the next, or to the latest draft.
type Window struct {
	From, To models.Plan
	Running  bool // To is a draft
}

// Windows lists the windows of a project, oldest first: one for each issue of another plan, and the running one where the
// latest plan is not issued. A project without an issued plan has none.
func Windows(ctx context.Context, r models.Reader, projectID int64) ([]Window, error) {
	issues, err := models.IssuesOf(ctx, r, projectID)
	if err != nil {
		return nil, err
	}
	var plans []models.Plan
	for i := range issues {
		if n := len(plans); n == 0 || plans[n-1].ID < issues[i].PlanID { // a plan issued twice is one
			plans = append(plans, issues[i].Plan)
		}
	}
	if len(plans) == 0 {
		return nil, nil
	}
	var list []Window
	for i := range plans[1:] {
		list = append(list, Window{From: plans[i], To: plans[i+1]})
	}
	latest, err := models.LatestPlan(ctx, r)
	if errors.Is(err, models.ErrNotFound) {
		return list, nil
	}
	if err != nil {
		return nil, err
	}
	if last := plans[len(plans)-1]; latest.ID > last.ID {
		list = append(list, Window{From: last, To: *latest, Running: true})
	}
	return list, nil
}
