// Package server serves the pages: routes, sessions, roles and the handlers that fill the pages' structs.
//
// The order around every request, outermost first:
//
//	cross-origin protection ─> session ─> gin: recover, log, headers, bounds ─> route's guard ─> handler
//
// A handler binds, checks, calls a use case or a query and renders. The use cases lie in the sub-packages (importing,
// planning, reporting, nightly, accounts, demo) and are called by commands and jobs as well; no rule of the trade lives in
// a handler. All routes are in routes.go, the mapping of errors to statuses in errors.go.
package server

import (
	"fmt"
	"log/slog"
	"net/http"
	"time"

	"github.com/alexedwards/scs/v2"
	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/server/accounts"
	"jambwright/server/delays"
	"jambwright/server/forecasting"
	"jambwright/server/nightly"
	"jambwright/server/recovering"
	"jambwright/web"
)

// Sessions end after half a day without a request, so that a shift fits, and after two weeks whatever happens.
const (
	sessionIdle     = 14 * time.Hour
	sessionLifetime = 14 * 24 * time.Hour
	cookieName      = "jambwright_session"
)

// Config is what a server needs.
type Config struct {
	DB             *models.DB
	Log            *slog.Logger
	Queue          nightly.Inserter // takes re-plans that people ask for
	Recovery       recovering.Inserter
	Forecasts      forecasting.Inserter // takes forecasts that people ask for
	Origin         string               // public address, such as https://plan.example.org; empty behind no proxy
	TrustedProxies []string             // addresses whose X-Forwarded-For is believed; none by default
	SecureCookies  bool                 // cookies over TLS only
	Demo           bool                 // one button a role signs in; only for a server that nobody else can reach
}

// Server answers requests. It is safe for concurrent use.
type Server struct {
	db       *models.DB
	log      *slog.Logger
	pages    *web.Pages
	accounts *accounts.Service
	sessions *scs.SessionManager
	queue    nightly.Inserter
	recovery recovering.Inserter
	forecast forecasting.Inserter
	delays   *delays.Service
	demo     bool
	handler  http.Handler
}

// New wires a server. The database must have been migrated.
func New(c Config) (*Server, error) {
	pages, err := web.Load()
	if err != nil {
		return nil, err
	}
	service, err := accounts.New(c.DB)
	if err != nil {
		return nil, err
	}
	s := &Server{
		db: c.DB, log: c.Log, pages: pages, accounts: service, queue: c.Queue, recovery: c.Recovery, forecast: c.Forecasts, demo: c.Demo,
		delays:   delays.NewService(c.DB, c.Log),
		sessions: newSessions(c),
	}
	protection := http.NewCrossOriginProtection()
	if c.Origin != "" {
		if err := protection.AddTrustedOrigin(c.Origin); err != nil {
			return nil, fmt.Errorf("the public address %q: %w", c.Origin, err)
		}
	}
	engine, err := s.engine(c.TrustedProxies)
	if err != nil {
		return nil, err
	}
	s.handler = protection.Handler(s.sessions.LoadAndSave(engine))
	return s, nil
}

// Handler is the whole server.
func (s *Server) Handler() http.Handler { return s.handler }

func newSessions(c Config) *scs.SessionManager {
	sessions := scs.New()
	sessions.Store = models.NewSessionStore(c.DB)
	sessions.IdleTimeout = sessionIdle
	sessions.Lifetime = sessionLifetime
	sessions.Cookie.Name = cookieName
	sessions.Cookie.HttpOnly = true
	sessions.Cookie.SameSite = http.SameSiteLaxMode
	sessions.Cookie.Secure = c.SecureCookies
	sessions.ErrorFunc = func(w http.ResponseWriter, _ *http.Request, err error) {
		c.Log.Error("session", "error", err)
		http.Error(w, "The session could not be read. Try again.", http.StatusInternalServerError)
	}
	return sessions
}

// engine is gin with our middleware and routes.
func (s *Server) engine(proxies []string) (*gin.Engine, error) {
	gin.SetMode(gin.ReleaseMode)
	engine := gin.New()
	if err := engine.SetTrustedProxies(proxies); err != nil {
		return nil, fmt.Errorf("trusted proxies %v: %w", proxies, err)
	}
	engine.MaxMultipartMemory = maxBodyBytes
	engine.Use(accessLog(s.log), gin.CustomRecoveryWithWriter(nil, func(c *gin.Context, cause any) {
		s.fail(c, fmt.Errorf("panic: %v", cause))
		c.Abort()
	}), securityHeaders, bound, s.identify)
	engine.NoRoute(func(c *gin.Context) { s.fail(c, notFound("")) })
	s.routes(engine)
	return engine, nil
}

// render writes a page.
func (s *Server) render(c *gin.Context, status int, page web.Page) {
	c.Header("Content-Type", "text/html; charset=utf-8")
	c.Header("Cache-Control", "no-store")
	c.Status(status)
	if err := s.pages.Render(c.Writer, page); err != nil {
		s.log.Error("render", "error", err)
		http.Error(c.Writer, "The page could not be drawn.", http.StatusInternalServerError)
	}
}
