package server

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/length"
	"jambwright/scheduler/tolerance"
	"jambwright/web"
)

// mostAllowed is more than any contract lets an opening be off.
const mostAllowed = 6 * length.Inch

// toleranceFields are the figures in the order of the page, each with its place in a set.
var toleranceFields = []struct {
	name, label string
	of          func(*tolerance.Set) *length.Length
}{
	{"frames_size", "Size, either way", func(s *tolerance.Set) *length.Length { return &s.Frames.Size }},
	{"frames_plumb", "Plumb", func(s *tolerance.Set) *length.Length { return &s.Frames.Plumb }},
	{"frames_level", "Level", func(s *tolerance.Set) *length.Length { return &s.Frames.Level }},
	{"frames_square", "Square", func(s *tolerance.Set) *length.Length { return &s.Frames.Square }},
	{"fronts_size", "Size, either way", func(s *tolerance.Set) *length.Length { return &s.Fronts.Size }},
	{"fronts_plumb", "Plumb", func(s *tolerance.Set) *length.Length { return &s.Fronts.Plumb }},
	{"fronts_level", "Level", func(s *tolerance.Set) *length.Length { return &s.Fronts.Level }},
	{"fronts_square", "Square", func(s *tolerance.Set) *length.Length { return &s.Fronts.Square }},
}

// toleranceEdit is what the page edits: a project's figures, or the firm's.
type toleranceEdit struct {
	project *models.Project // nil for the firm
	firm    *models.FirmSettings
	own     tolerance.Set // as stored
	behind  tolerance.Set // what holds where own says nothing
}

// readTolerances reads what a page or form is about, if the person may change it.
func (s *Server) readTolerances(c *gin.Context, p *person, project string) (e toleranceEdit, err error) {
	if e.firm, err = models.Settings(c.Request.Context(), s.db); err != nil {
		return e, err
	}
	if project == "" {
		if p.role != web.RoleOperations {
			return e, notAllowed("Only the operations manager changes the firm's figures.")
		}
		e.own, e.behind = e.firm.Tolerances.V, tolerance.Usual()
		return e, nil
	}
	if e.project, err = s.projectOf(c, p, project); err != nil {
		return e, err
	}
	e.own, e.behind = e.project.Tolerances.V, e.firm.Tolerances.V.Or(tolerance.Usual())
	return e, nil
}

// tolerances shows how far openings may be off.
func (s *Server) tolerances(c *gin.Context, p *person) error {
	project := c.Query("project")
	if project == "" && p.role != web.RoleOperations {
		choices, err := s.projectChoices(c, p)
		if err != nil {
			return err
		}
		if len(choices) == 0 {
			return notFound("There is no project of yours yet.")
		}
		project = choices[0].Value
	}
	e, err := s.readTolerances(c, p, project)
	if err != nil {
		return err
	}
	return s.showTolerances(c, p, http.StatusOK, e, nil, nil)
}

// showTolerances shows the form; typed are the texts that were sent, nil to show what is stored.
func (s *Server) showTolerances(c *gin.Context, p *person, status int, e toleranceEdit, typed map[string]string, faults web.Faults) (err error) {
	page := web.TolerancesPage{Chrome: s.chrome(c), MayFirm: p.role == web.RoleOperations, Version: e.firm.Version, Faults: faults}
	page.Format = s.format(c, e.project)
	if page.Projects, err = s.projectChoices(c, p); err != nil {
		return err
	}
	whose := "as usual"
	if e.project != nil {
		page.Project, page.Name, page.Version = strconv.FormatInt(e.project.ID, 10), e.project.Name, e.project.Version
		whose = "as the firm has it"
	}
	page.Families = []web.ToleranceFamily{
		{Name: "Doors and frames, pairs", Source: "Usual: 1/16 in of plumb, level and square, as public owners’ specifications for setting hollow metal frames say (section 08 11 13); 1/4 in of size is common practice."},
		{Name: "Glazed fronts, fixed lights, storefronts", Source: "Usual: 1/8 in of plumb and level, as specifications of section 08 41 13 often say, to be checked; 1/8 in of square and 1/4 in of size are common practice."},
	}
	for i, field := range toleranceFields {
		line := web.ToleranceField{Name: field.name, Label: field.label, Behind: page.Format.Small(*field.of(&e.behind)) + ", " + whose}
		if own := *field.of(&e.own); own != 0 {
			line.Value = page.Format.Small(own)
		}
		if typed != nil {
			line.Value = typed[field.name]
		}
		family := &page.Families[i*len(page.Families)/len(toleranceFields)]
		family.Fields = append(family.Fields, line)
	}
	s.render(c, status, page)
	return nil
}

// saveTolerances stores the figures of the form.
func (s *Server) saveTolerances(c *gin.Context, p *person) error {
	ctx, project := c.Request.Context(), c.PostForm("project")
	e, err := s.readTolerances(c, p, project)
	if err != nil {
		return err
	}
	version, err := strconv.ParseInt(c.PostForm("version"), 10, 64)
	if err != nil {
		return badRequest("The form lacks its version. Open the page again.")
	}
	set, typed, faults := readToleranceForm(c, s.format(c, e.project))
	if len(faults) > 0 {
		return s.showTolerances(c, p, http.StatusUnprocessableEntity, e, typed, faults)
	}
	err = s.db.Write(ctx, func(tx *models.Tx) error {
		if e.project != nil {
			e.project.Version = version
			return models.SaveProjectTolerances(ctx, tx, e.project, set, p.actor())
		}
		e.firm.Version, e.firm.Tolerances.V = version, set
		return models.SaveSettings(ctx, tx, e.firm, p.actor())
	})
	if err != nil {
		return err
	}
	s.say(c, "Saved. They hold for what is measured from now on; what is held stays held until it is measured again.")
	c.Redirect(http.StatusSeeOther, "/tolerances?project="+project)
	return nil
}

// readToleranceForm reads all figures; an empty one is not given.
func readToleranceForm(c *gin.Context, f web.Format) (set tolerance.Set, typed map[string]string, faults web.Faults) {
	add := func(field, message string) { faults = append(faults, web.FieldFault{Field: field, Message: message}) }
	typed = map[string]string{}
	for _, field := range toleranceFields {
		typed[field.name] = c.PostForm(field.name)
		l := readLength(typed[field.name], field.name, f, add)
		switch {
		case l == nil:
		case *l <= 0 || *l > mostAllowed:
			add(field.name, fmt.Sprintf("Write a figure above 0 and up to %s, or leave it empty.", f.Small(mostAllowed)))
		default:
			*field.of(&set) = *l
		}
	}
	return set, typed, faults
}
