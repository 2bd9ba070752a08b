package server

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/server/planning"
	"jambwright/web"
)

// mostAtOnce bounds what a person can mean by a number of deliveries or items.
const mostAtOnce = 10_000

// siteLimits shows what a site can take in and store.
func (s *Server) siteLimits(c *gin.Context, p *person) error {
	project, err := s.projectOf(c, p, c.Query("project"))
	if err != nil {
		return err
	}
	page := web.SiteLimitsPage{}
	for _, l := range []struct {
		kind models.LimitKind
		to   *string
	}{{models.Dock, &page.Dock}, {models.Hoist, &page.Hoist}} {
		limit, err := models.ProjectLimit(c.Request.Context(), s.db, project, l.kind)
		if err != nil {
			return err
		}
		if limit != nil {
			*l.to = strconv.Itoa(limit.Capacity)
		}
	}
	return s.showLimits(c, http.StatusOK, project, page, nil)
}

// showLimits fills in the areas as they are stored, or as they were sent.
func (s *Server) showLimits(c *gin.Context, status int, project *models.Project, page web.SiteLimitsPage, sent map[int64]areaForm) error {
	ctx := c.Request.Context()
	areas, err := models.Areas(ctx, s.db, project.ID)
	if err != nil {
		return err
	}
	d, err := models.ReadDirectory(ctx, s.db)
	if err != nil {
		return err
	}
	page.Chrome = s.chrome(c)
	page.Project, page.ProjectID = project.Name, strconv.FormatInt(project.ID, 10)
	for i := range areas {
		a := &areas[i]
		row := web.AreaLimits{
			ID: strconv.FormatInt(a.ID, 10), Name: d.ByID[a.ID], Version: strconv.FormatInt(a.Version, 10), Hoisted: a.Hoisted,
		}
		if a.MaxStored != nil {
			row.Stored = strconv.Itoa(*a.MaxStored)
		}
		if f, known := sent[a.ID]; known {
			row.Stored, row.Hoisted, row.Version = f.stored, f.hoisted, strconv.FormatInt(f.version, 10)
		}
		page.Areas = append(page.Areas, row)
	}
	s.render(c, status, page)
	return nil
}

// areaForm is what was sent of one area.
type areaForm struct {
	version int64
	stored  string
	hoisted bool
}

// sentLimits are the limits of a site as they were sent, each readable.
type sentLimits struct {
	dock, hoist int // 0: without limit
	areas       map[int64]areaForm
	stored      map[int64]int // items by area, 0: without limit
}

// keepLimits shows what the limits of a site would move, and stores them once that is confirmed, all or none.
func (s *Server) keepLimits(c *gin.Context, p *person) error {
	project, err := s.projectOf(c, p, c.PostForm("project"))
	if err != nil {
		return err
	}
	page := web.SiteLimitsPage{Dock: strings.TrimSpace(c.PostForm("dock")), Hoist: strings.TrimSpace(c.PostForm("hoist"))}
	form, err := readLimits(c, &page)
	if err != nil {
		return err
	}
	if len(page.Faults) > 0 {
		return s.showLimits(c, http.StatusUnprocessableEntity, project, page, form.areas)
	}
	ctx := c.Request.Context()
	store := func(ctx context.Context, tx *models.Tx) error {
		own := *project // each try and the deed write their own copy
		return form.store(ctx, tx, &own, p.actor())
	}
	switch c.PostForm("confirm") {
	case "yes":
		if err := s.db.Write(ctx, func(tx *models.Tx) error { return store(ctx, tx) }); err != nil {
			return err
		}
		s.say(c, "Kept. The next re-plan goes by these limits.")
		c.Redirect(http.StatusSeeOther, "/material/limits?project="+strconv.FormatInt(project.ID, 10))
		return nil
	case "no":
		return s.showLimits(c, http.StatusOK, project, page, form.areas)
	}
	page.Shown = true
	tried, err := planning.TryLimits(ctx, s.db, store, "limits of dock, hoist or storage changed")
	if page.Effect, err = s.trialEffect(c, tried, err); err != nil {
		return err
	}
	return s.showLimits(c, http.StatusOK, project, page, form.areas)
}

// readLimits reads all fields; each that cannot be read is a fault of the page.
func readLimits(c *gin.Context, page *web.SiteLimitsPage) (form sentLimits, err error) {
	form = sentLimits{areas: map[int64]areaForm{}, stored: map[int64]int{}}
	form.dock, form.hoist = readCount(&page.Faults, "dock", page.Dock), readCount(&page.Faults, "hoist", page.Hoist)
	for _, text := range c.PostFormArray("area") {
		id, err := strconv.ParseInt(text, 10, 64)
		version, versionErr := strconv.ParseInt(c.PostForm("version-"+text), 10, 64)
		if err != nil || versionErr != nil {
			return form, badRequest("The form is not whole; open the page again.")
		}
		f := areaForm{version: version, stored: strings.TrimSpace(c.PostForm("stored-" + text)), hoisted: c.PostForm("hoisted-"+text) == "true"}
		form.areas[id], form.stored[id] = f, readCount(&page.Faults, "stored-"+text, f.stored)
	}
	return form, nil
}

// store writes what differs from what is stored.
func (form *sentLimits) store(ctx context.Context, tx *models.Tx, project *models.Project, actor models.Actor) error {
	if err := models.SetProjectLimit(ctx, tx, project, models.Dock, form.dock, actor); err != nil {
		return err
	}
	if err := models.SetProjectLimit(ctx, tx, project, models.Hoist, form.hoist, actor); err != nil {
		return err
	}
	areas, err := models.Areas(ctx, tx, project.ID)
	if err != nil {
		return err
	}
	for i := range areas {
		a := &areas[i]
		f, known := form.areas[a.ID]
		if !known || f.hoisted == a.Hoisted && form.stored[a.ID] == numberOf(a.MaxStored) {
			continue
		}
		a.Version, a.Hoisted, a.MaxStored = f.version, f.hoisted, nil
		if n := form.stored[a.ID]; n > 0 {
			a.MaxStored = &n
		}
		if err := models.UpdateArea(ctx, tx, a, actor); err != nil {
			return err
		}
	}
	return nil
}

func numberOf(n *int) int {
	if n == nil {
		return 0
	}
	return *n
}

// readCount reads a whole number from 1 up, 0 for nothing written.
func readCount(faults *web.Faults, field, text string) int {
	if text == "" {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > mostAtOnce {
		*faults = append(*faults, web.FieldFault{Field: field, Message: fmt.Sprintf("Write a whole number from 1 to %d, or leave it empty.", mostAtOnce)})
		return 0
	}
	return n
}
