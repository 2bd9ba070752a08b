package server

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/web"
)

// Keys of what a session and a request hold.
const (
	sessionUser   = "user_id"
	sessionNotice = "notice"
	contextPerson = "person"
)

// person is who makes the request.
type person struct {
	user     *models.User
	role     web.Role
	projects []int64 // a project manager's own; nil means all
}

// webRoles translates stored roles to those of the pages.
func webRole(r models.Role) web.Role {
	switch r {
	case models.OperationsManager:
		return web.RoleOperations
	case models.ProjectManager:
		return web.RoleProject
	case models.Foreman:
		return web.RoleForeman
	}
	return ""
}

// mayRead reports whether the person may see a project.
func (p *person) mayRead(projectID int64) bool {
	return p.role != web.RoleProject || slices.Contains(p.projects, projectID)
}

// actor names the person in the audit trail.
func (p *person) actor() models.Actor { return models.Actor{UserID: &p.user.ID, Name: p.user.Name} }

// identify finds the person behind the session, if any.
func (s *Server) identify(c *gin.Context) {
	id := s.sessions.GetInt64(c.Request.Context(), sessionUser)
	if id == 0 {
		return
	}
	user, err := models.UserByID(c.Request.Context(), s.db, id)
	if err != nil || !user.Active {
		if err != nil && !errors.Is(err, models.ErrNotFound) {
			s.log.Error("identify", "error", err)
		}
		s.sessions.Remove(c.Request.Context(), sessionUser)
		return
	}
	p := &person{user: user, role: webRole(user.Role)}
	if p.role == web.RoleProject {
		p.projects = []int64{}
		for _, own := range user.Projects {
			p.projects = append(p.projects, own.ProjectID)
		}
	}
	c.Set(contextPerson, p)
}

func personOf(c *gin.Context) *person {
	p, _ := c.Value(contextPerson).(*person)
	return p
}

// handler is a page or form for a signed-in person.
type handler func(c *gin.Context, p *person) error

// open runs h for people of the given roles, or of any role when none is given. Others are sent to sign in, or told that
// the page is not theirs.
func (s *Server) open(h handler, roles ...web.Role) gin.HandlerFunc {
	return func(c *gin.Context) {
		p := personOf(c)
		switch {
		case p == nil && c.Request.Method == http.MethodGet:
			c.Redirect(http.StatusSeeOther, "/sign-in?next="+url.QueryEscape(c.Request.URL.RequestURI()))
			return
		case p == nil:
			c.Redirect(http.StatusSeeOther, "/sign-in")
			return
		case len(roles) > 0 && !slices.Contains(roles, p.role):
			s.fail(c, notAllowed(""))
			return
		}
		if err := h(c, p); err != nil {
			s.fail(c, err)
		}
	}
}

// chrome is what the page carries around its content: who reads it, in which format, what the last form did.
func (s *Server) chrome(c *gin.Context) web.Chrome {
	chrome := web.Chrome{Demo: s.demo, Format: s.format(c, nil)}
	p := personOf(c)
	if p == nil {
		return chrome
	}
	chrome.Viewer = web.Viewer{Name: p.user.Name, Role: p.role}
	ctx := c.Request.Context()
	chrome.Notice = web.Notice{Text: s.sessions.PopString(ctx, sessionNotice)}
	if chrome.Viewer.Manages() {
		chrome.Alerts = s.alerts(c)
	}
	return chrome
}

// format is how the person reads values on a page of one project, or of several for nil.
func (s *Server) format(c *gin.Context, project *models.Project) web.Format {
	return formatOf(c.Request.Context(), s.db, project)
}

// formatOf is how values of a project are read: its units and its zone; those of the firm's first project for nil.
func formatOf(ctx context.Context, db *models.DB, project *models.Project) web.Format {
	f := web.Format{Now: db.Now(), Zone: time.UTC, WeekStart: time.Monday}
	if project == nil {
		project, _ = models.FirstProject(ctx, db) // none yet: UTC, imperial
	}
	if project == nil {
		return f
	}
	if zone, err := time.LoadLocation(project.Zone); err == nil {
		f.Zone = zone
	}
	if project.Units == models.Metric {
		f.Units, f.Clock24 = web.Metric, true
	}
	return f
}

// say leaves a notice for the next page.
func (s *Server) say(c *gin.Context, text string) {
	s.sessions.Put(c.Request.Context(), sessionNotice, text)
}

// localAddress is next when it is an address on this server, else fallback: a form must not send people elsewhere.
func localAddress(next, fallback string) string {
	u, err := url.Parse(next)
	if err != nil || u.Scheme != "" || u.Host != "" || !strings.HasPrefix(next, "/") || strings.HasPrefix(next, "//") ||
		strings.Contains(next, "\\") {
		return fallback
	}
	return next
}

// home is the page that a role opens the tool for.
func home(role web.Role) string {
	switch role {
	case web.RoleOperations:
		return "/crews"
	case web.RoleProject:
		return "/dates"
	}
	return "/tomorrow"
}
