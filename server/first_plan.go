package server

import (
	"context"
	"fmt"
	"time"

	"jambwright/models"
	"jambwright/server/nightly"
)

// askForFirstPlan has a project planned at once after a sheet of it was saved. That lasts until its first plan is issued:
// as long as no crew follows a plan of the project, making it anew disturbs nobody, and nobody waits for the night to see
// what three sheets give. asked is false while openings or crews are missing, and once crews follow a plan.
func (s *Server) askForFirstPlan(ctx context.Context, p *person, project *models.Project) (asked bool, err error) {
	if s.queue == nil {
		return false, nil
	}
	switch _, err := models.IssuedPlan(ctx, s.db, project.ID); {
	case err == nil:
		return false, nil
	case !isNotFound(err):
		return false, err
	}
	crews, err := models.Crews(ctx, s.db)
	if err != nil || len(crews) == 0 {
		return false, err
	}
	openings, err := models.OpeningsOf(ctx, s.db, project.ID)
	if err != nil || len(openings) == 0 {
		return false, err
	}
	return s.askForPlan(ctx, p, project, s.db.Now().Format(time.RFC3339Nano)) // every sheet counts, even two in a second
}

// askForPlan puts a re-plan of a project into the queue, as if its night had come. Asking again under the same name adds
// nothing.
func (s *Server) askForPlan(ctx context.Context, p *person, project *models.Project, name string) (added bool, err error) {
	zone, err := time.LoadLocation(project.Zone)
	if err != nil {
		return false, fmt.Errorf("project %s: %w", project.Code, err)
	}
	return s.queue.Insert(ctx, nightly.Args{
		ProjectID: project.ID, Night: s.db.Now().In(zone).Format(time.DateOnly), Asked: name, By: p.user.Name,
	})
}
