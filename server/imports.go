package server

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"path"
	"strconv"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/server/importing"
	"jambwright/server/intake"
	"jambwright/web"
)

// importForm offers to read a sheet.
func (s *Server) importForm(c *gin.Context, p *person) error {
	page := web.ImportPage{Form: web.ImportForm{Project: c.Query("project"), Kind: c.DefaultQuery("kind", string(importing.Openings))}}
	return s.showImport(c, p, http.StatusOK, page)
}

func (s *Server) showImport(c *gin.Context, p *person, status int, page web.ImportPage) (err error) {
	page.Chrome = s.chrome(c)
	if page.Projects, err = s.projectChoices(c, p); err != nil {
		return err
	}
	page.NoneYet = len(page.Projects) == 0
	if page.Form.Project == "" && page.Form.NewName == "" && !page.NoneYet {
		page.Form.Project = page.Projects[0].Value
	}
	if page.Form.Zone == "" {
		settings, err := models.Settings(c.Request.Context(), s.db)
		if err != nil {
			return err
		}
		page.Form.Zone = settings.Zone
	}
	s.render(c, status, page)
	return nil
}

// blankSheet sends a sheet to fill in.
func (s *Server) blankSheet(c *gin.Context, _ *person) error {
	name := c.Param("file")
	ending := path.Ext(name)
	kind, err := importing.ParseKind(strings.TrimSuffix(name, ending))
	if err != nil {
		return notFound(err.Error())
	}
	format := importing.Format(strings.TrimPrefix(ending, "."))
	file, data, err := importing.BlankSheet(kind, format)
	if err != nil {
		return notFound(err.Error())
	}
	c.Header("Content-Disposition", fmt.Sprintf("attachment; filename=%q", file))
	contentType := "text/csv; charset=utf-8"
	if format == importing.XLSX {
		contentType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
	}
	c.Data(http.StatusOK, contentType, data)
	return nil
}

// upload is a sheet that a person sent and has yet to save.
type upload struct {
	token   string
	project string // id, or the name of a new one
	zone    string // of a new one
	kind    importing.Kind
	file    string
	body    []byte
	seen    string // the stored state that the person looked at
}

// importPreview reads an uploaded sheet, keeps it and shows what was understood.
func (s *Server) importPreview(c *gin.Context, p *person) error {
	page := web.ImportPage{}
	if err := c.ShouldBind(&page.Form); err != nil {
		return bindFault(err)
	}
	u, faults, err := s.readUpload(c, p, page.Form)
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		page.Faults = faults
		return s.showImport(c, p, http.StatusUnprocessableEntity, page)
	}
	return s.showPreview(c, p, http.StatusOK, u, nil, nil)
}

// readUpload reads the form and the file of an import.
func (s *Server) readUpload(c *gin.Context, p *person, form web.ImportForm) (u upload, faults web.Faults, err error) {
	add := func(field, message string) { faults = append(faults, web.FieldFault{Field: field, Message: message}) }
	u.kind, err = importing.ParseKind(form.Kind)
	if err != nil {
		add("kind", "Choose what the sheet lists.")
	}
	if u.kind == importing.Rates && p.role != web.RoleOperations {
		add("kind", "Only the operations manager reads in rates: they are the firm's, not a project's.")
	}
	switch name := strings.TrimSpace(form.NewName); {
	case form.Project != "":
		if _, err := s.projectOf(c, p, form.Project); err != nil {
			return u, nil, err
		}
		u.project = form.Project
	case name == "":
		add("new_project", "Choose a project, or name a new one.")
	case p.role != web.RoleOperations:
		add("new_project", "Only the operations manager begins a new project.")
	default:
		u.project, u.zone = name, strings.TrimSpace(form.Zone)
		if _, err := time.LoadLocation(u.zone); err != nil || u.zone == "" {
			add("zone", "Write the zone as America/Chicago or Europe/Lisbon.")
		}
	}
	header, err := c.FormFile("file")
	if err != nil {
		var tooLarge *http.MaxBytesError
		if errors.As(err, &tooLarge) {
			return u, nil, err
		}
		add("file", "Choose the sheet: a .csv, .xlsx or .ifc file.")
		return u, faults, nil
	}
	file, err := header.Open()
	if err != nil {
		return u, nil, fmt.Errorf("open the uploaded sheet: %w", err)
	}
	defer file.Close()
	if u.body, err = io.ReadAll(file); err != nil {
		return u, nil, fmt.Errorf("read the uploaded sheet: %w", err)
	}
	u.file = path.Base(strings.ReplaceAll(header.Filename, "\\", "/"))
	return u, faults, nil
}

// store is what a sheet of the person is imported into.
func (s *Server) store(p *person, u upload) *intake.Store {
	store := intake.NewStore(s.db, p.actor(), models.NewProject{Zone: u.zone})
	store.File = u.file
	return store
}

// understand reads a kept sheet and compares it with what is stored.
func (s *Server) understand(c *gin.Context, p *person, u upload) (*importing.Preview, error) {
	read := importing.Read(u.kind, u.file, u.body, importing.Options{})
	return importing.NewPreview(c.Request.Context(), s.store(p, u), u.project, read)
}

func (s *Server) showPreview(c *gin.Context, p *person, status int, u upload, answers map[string]importing.Answer, missing []string) error {
	preview, err := s.understand(c, p, u)
	if err != nil {
		return err
	}
	if err := s.keep(c, p, &u, preview.State); err != nil {
		return err
	}
	page := web.ImportPreviewPage{
		Chrome: s.chrome(c), Token: u.token, File: u.file, Project: u.project, Read: strings.Join(preview.Sheet.Read, "; "),
		Faults: sheetFaults(preview.Sheet.Faults), Warnings: sheetFaults(preview.Sheet.Warnings), Missing: missing,
	}
	if project, err := s.projectOf(c, p, u.project); err == nil {
		page.Project, page.ProjectID = project.Name, u.project
	}
	for _, kind := range web.SheetKinds() {
		if parsed, err := importing.ParseKind(kind.ID); err == nil && parsed == u.kind {
			page.Kind = kind
		}
	}
	for _, q := range preview.Questions {
		page.Questions = append(page.Questions, web.ImportQuestion{
			ID: q.ID, Text: q.Text, Answer: string(answers[q.ID]), Choices: questionChoices(q),
		})
	}
	fillRows(&page, preview)
	if err := s.fillSlips(c, p, u, preview, &page); err != nil {
		return err
	}
	s.render(c, status, page)
	return nil
}

// keep stores a sheet with the stored state that its preview shows, until the person saves it.
func (s *Server) keep(c *gin.Context, p *person, u *upload, state string) error {
	ctx := c.Request.Context()
	return s.db.Write(ctx, func(tx *models.Tx) error {
		if u.token != "" {
			if err := models.DropKept(ctx, tx, u.token); err != nil {
				return err
			}
		}
		about := map[string]string{"project": u.project, "kind": string(u.kind), "file": u.file, "zone": u.zone, "seen": state}
		token, err := models.Keep(ctx, tx, &models.KeptForm{
			Purpose: models.KeptImport, UserID: p.user.ID, Body: u.body, ExpiresAt: tx.Now().Add(keptFor),
			About: models.JSON[map[string]string]{V: about},
		})
		u.token = token
		return err
	})
}

// keptUpload reads the sheet behind a token.
func (s *Server) keptUpload(c *gin.Context, p *person, token string) (upload, error) {
	kept, err := models.Kept(c.Request.Context(), s.db, token, models.KeptImport, p.user.ID)
	if isNotFound(err) {
		return upload{}, notFound("This sheet was saved already or is too old. Read it in again.")
	}
	if err != nil {
		return upload{}, err
	}
	about := kept.About.V
	return upload{
		token: token, project: about["project"], kind: importing.Kind(about["kind"]), file: about["file"], zone: about["zone"], seen: about["seen"],
		body: kept.Body,
	}, nil
}

// importApply saves a sheet as its preview showed it.
func (s *Server) importApply(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	u, err := s.keptUpload(c, p, c.PostForm("token"))
	if err != nil {
		return err
	}
	preview, err := s.understand(c, p, u)
	if err != nil {
		return err
	}
	answers := importing.Answers{LeaveOut: c.PostForm("leave_out") == "yes", Of: map[string]importing.Answer{}, Seen: u.seen}
	for _, q := range preview.Questions {
		answers.Of[q.ID] = importing.Answer(c.PostForm("answer_" + q.ID))
	}
	saved, err := importing.Apply(ctx, s.store(p, u), preview, answers)
	var refused *intake.RefusedError
	switch {
	case errors.Is(err, importing.ErrFaults):
		return s.showPreview(c, p, http.StatusUnprocessableEntity, u, answers.Of, []string{"Put the rows right that cannot be read, or say that they are left out."})
	case errors.Is(err, importing.ErrUnanswered):
		return s.showPreview(c, p, http.StatusUnprocessableEntity, u, answers.Of, []string{"Answer every question before saving."})
	case errors.Is(err, importing.ErrStale):
		return s.showPreview(c, p, http.StatusConflict, u, answers.Of, []string{"Somebody changed what is stored meanwhile. Look at the differences again."})
	case errors.As(err, &refused):
		return s.showPreview(c, p, http.StatusUnprocessableEntity, u, answers.Of, strings.Split(refused.Error(), "\n"))
	case err != nil:
		return err
	}
	if err := s.db.Write(ctx, func(tx *models.Tx) error { return models.DropKept(ctx, tx, u.token) }); err != nil {
		return err
	}
	return s.saved(c, p, u, saved)
}

// saved says what was saved and what comes next, on the page that shows it.
func (s *Server) saved(c *gin.Context, p *person, u upload, changes importing.Changes) error {
	project, err := s.importedInto(c.Request.Context(), u)
	if err != nil {
		return err
	}
	asked, err := s.askForFirstPlan(c.Request.Context(), p, project)
	if err != nil {
		return err
	}
	next := "The next re-plan takes it in."
	if asked {
		next = "The first plan is being made with it; it is a draft until it is issued on the Crews page."
	}
	s.say(c, fmt.Sprintf("Saved %s: %s. %s", u.file, changes, next))
	page := "/import?project="
	if u.kind == importing.Openings {
		page = "/openings?project="
	}
	c.Redirect(http.StatusSeeOther, page+strconv.FormatInt(project.ID, 10))
	return nil
}

// importedInto is the project that a sheet was saved in.
func (s *Server) importedInto(ctx context.Context, u upload) (*models.Project, error) {
	if id, err := strconv.ParseInt(u.project, 10, 64); err == nil {
		return models.ProjectByID(ctx, s.db, id)
	}
	return models.ProjectByName(ctx, s.db, u.project)
}
