package server

import (
	"cmp"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/web"
)

// projectChoices are the open projects that the person may see.
func (s *Server) projectChoices(c *gin.Context, p *person) ([]web.Choice, error) {
	projects, err := models.Projects(c.Request.Context(), s.db)
	if err != nil {
		return nil, err
	}
	var choices []web.Choice
	for _, project := range projects {
		if p.mayRead(project.ID) {
			choices = append(choices, web.Choice{Value: strconv.FormatInt(project.ID, 10), Text: project.Name})
		}
	}
	return choices, nil
}

// projectOf reads a project by the id of an address or a form, if the person may see it.
func (s *Server) projectOf(c *gin.Context, p *person, id string) (*models.Project, error) {
	n, err := strconv.ParseInt(id, 10, 64)
	if err != nil {
		return nil, notFound("There is no such project.")
	}
	project, err := models.ProjectByID(c.Request.Context(), s.db, n)
	if err != nil {
		return nil, err
	}
	if !p.mayRead(project.ID) {
		return nil, notAllowed("This project is not one of yours.")
	}
	return project, nil
}

// chosenProject is the project that an address chooses by its id, of those the person may see; an empty id becomes that of the
// first. The project is nil where there is none to choose from.
func (s *Server) chosenProject(c *gin.Context, p *person, id *string) ([]web.Choice, *models.Project, error) {
	choices, err := s.projectChoices(c, p)
	if err != nil || len(choices) == 0 {
		return choices, nil, err
	}
	*id = cmp.Or(*id, choices[0].Value)
	project, err := s.projectOf(c, p, *id)
	return choices, project, err
}
