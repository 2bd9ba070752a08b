package server

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/web"
)

// projects lists the jobs; with none it explains how to begin.
func (s *Server) projects(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	rows, err := models.ProjectRows(ctx, s.db)
	if err != nil {
		return err
	}
	next, err := s.nextDates(c)
	if err != nil {
		return err
	}
	page := web.ProjectsPage{Chrome: s.chrome(c)}
	for i := range rows {
		if !p.mayRead(rows[i].ID) {
			continue
		}
		site := rows[i].Site.Name
		if site == rows[i].Name {
			site = "" // a site of one project is often called like it
		}
		page.Projects = append(page.Projects, web.ProjectLine{
			ID: strconv.FormatInt(rows[i].ID, 10), Name: rows[i].Name, Site: site, Openings: rows[i].Openings,
			Done: rows[i].Done, Held: rows[i].Held, NextDate: next[rows[i].ID],
		})
	}
	s.render(c, http.StatusOK, page)
	return nil
}

// nextDates are sentences on the next open GC date of each project in the latest plan.
func (s *Server) nextDates(c *gin.Context) (map[int64]string, error) {
	ctx := c.Request.Context()
	plan, err := models.LatestPlan(ctx, s.db)
	if isNotFound(err) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	dates, err := models.PlanDates(ctx, s.db, plan.ID, nil)
	if err != nil {
		return nil, err
	}
	next := map[int64]string{}
	for i := range dates {
		d := &dates[i]
		if next[d.Project.ID] != "" || d.Openings > 0 && d.OpeningsDone == d.Openings {
			continue
		}
		f := s.format(c, &d.Project)
		text := fmt.Sprintf("%s by %s, ", d.GCDate.Name, f.FinishDay(d.DueAt))
		if d.ForecastAt == nil {
			text += "no forecast"
		} else {
			text += "forecast " + f.FinishDay(*d.ForecastAt)
		}
		next[d.Project.ID] = text
	}
	return next, nil
}
