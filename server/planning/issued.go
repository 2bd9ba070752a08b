package planning

import (
	"context"
	"time"

	"jambwright/models"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/problem"
)

// IssuedDate is one GC date in the plan in force and in another one.
type IssuedDate struct {
	Name          string
	Project       models.Project
	Due           time.Time
	Before, After *time.Time
}

// AgainstIssued compares a saved plan with the plans in force: the crew tasks that crews will find elsewhere, and every
// GC date.
func AgainstIssued(ctx context.Context, db *models.DB, planID int64) ([]models.ChangeToSave, []IssuedDate, error) {
	doc, plan, err := models.PlanDocuments(ctx, db, planID)
	if err != nil {
		return nil, nil, err
	}
	before, err := models.IssuedForecasts(ctx, db)
	if err != nil {
		return nil, nil, err
	}
	dates, err := models.PlanDates(ctx, db, planID, nil)
	if err != nil {
		return nil, nil, err
	}
	list := make([]IssuedDate, 0, len(dates))
	for i := range dates {
		list = append(list, IssuedDate{
			Name: dates[i].GCDate.Name, Project: dates[i].Project, Due: dates[i].DueAt,
			Before: before[dates[i].GCDateID], After: dates[i].ForecastAt,
		})
	}
	return movedFromIssued(doc, plan), list, nil
}

// movedFromIssued lists the tasks not yet started whose crew or start differ from the issued lines of the problem.
func movedFromIssued(doc *problem.Problem, plan *problem.Plan) []models.ChangeToSave {
	placed := make(map[string]*problem.PlannedTask, len(plan.Tasks))
	for i := range plan.Tasks {
		placed[plan.Tasks[i].ID] = &plan.Tasks[i]
	}
	begun := map[string]bool{}
	for i := range doc.Tasks {
		begun[doc.Tasks[i].ID] = doc.Tasks[i].Status != nil
	}
	issued := map[string]bool{}
	var changes []models.ChangeToSave
	for i := range doc.Issued {
		line := &doc.Issued[i]
		issued[line.Task] = true
		now := placed[line.Task]
		if begun[line.Task] || now != nil && now.Start.Equal(line.Start) && crewOf(now) == line.Crew {
			continue
		}
		c := models.ChangeToSave{Task: line.Task, OldCrew: line.Crew, OldStart: &line.Start}
		if now != nil {
			c.NewCrew, c.NewStart = crewOf(now), &now.Start
			c.MovedMinutes = int(now.Start.Sub(line.Start) / time.Minute)
		}
		changes = append(changes, c)
	}
	return append(changes, newWork(doc, placed, issued)...)
}

// newWork lists crew tasks that no issued line names.
func newWork(doc *problem.Problem, placed map[string]*problem.PlannedTask, issued map[string]bool) []models.ChangeToSave {
	var changes []models.ChangeToSave
	for i := range doc.Tasks {
		t := &doc.Tasks[i]
		now := placed[t.ID]
		if now == nil || issued[t.ID] || !t.IsCrewWork() || t.Status != nil {
			continue
		}
		if _, err := pattern.TaskKey(t.ID).Parse(); err == nil {
			changes = append(changes, models.ChangeToSave{Task: t.ID, NewCrew: crewOf(now), NewStart: &now.Start})
		}
	}
	return changes
}

func crewOf(t *problem.PlannedTask) string {
	if t.Crew == nil {
		return ""
	}
	return *t.Crew
}
