package server

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"net/http"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/web"
)

// refusal is an error that a person caused and can mend; kind chooses the page, detail says what to do.
type refusal struct {
	kind   web.ErrorKind
	detail string
}

func (r *refusal) Error() string { return string(r.kind) + ": " + r.detail }

func badRequest(detail string) error { return &refusal{kind: web.ErrorBadRequest, detail: detail} }

func notAllowed(detail string) error { return &refusal{kind: web.ErrorNotAllowed, detail: detail} }

func notFound(detail string) error { return &refusal{kind: web.ErrorNotFound, detail: detail} }

// explain is the one place that maps an error to a status and to words for the user. Unknown errors get a short
// reference; their detail goes to the log alone.
func (s *Server) explain(err error) (status int, page web.ErrorPage) {
	var (
		refused  *refusal
		stale    *models.ErrStale
		tooLarge *http.MaxBytesError
	)
	switch {
	case errors.As(err, &refused):
		return statusOf(refused.kind), web.ErrorPage{Kind: refused.kind, Detail: refused.detail}
	case errors.Is(err, models.ErrNotFound):
		return http.StatusNotFound, web.ErrorPage{Kind: web.ErrorNotFound}
	case errors.As(err, &stale):
		return http.StatusConflict, web.ErrorPage{Kind: web.ErrorStale, Detail: stale.Error()}
	case errors.As(err, &tooLarge):
		return http.StatusRequestEntityTooLarge, web.ErrorPage{Kind: web.ErrorTooLarge}
	}
	reference := newReference()
	s.log.Error("request", "reference", reference, "error", err)
	return http.StatusInternalServerError, web.ErrorPage{Kind: web.ErrorUnknown, Reference: reference}
}

func statusOf(kind web.ErrorKind) int {
	switch kind {
	case web.ErrorNotFound, web.ErrorLink:
		return http.StatusNotFound
	case web.ErrorNotAllowed:
		return http.StatusForbidden
	case web.ErrorStale:
		return http.StatusConflict
	case web.ErrorTooLarge:
		return http.StatusRequestEntityTooLarge
	case web.ErrorTooMany:
		return http.StatusTooManyRequests
	case web.ErrorBadRequest:
		return http.StatusBadRequest
	}
	return http.StatusInternalServerError
}

// newReference is short enough to read out on the phone.
func newReference() string {
	var b [4]byte
	_, _ = rand.Read(b[:]) // never fails since Go 1.24
	return hex.EncodeToString(b[:])
}

// fail renders the page for an error.
func (s *Server) fail(c *gin.Context, err error) {
	status, page := s.explain(err)
	page.Chrome = s.chrome(c)
	s.render(c, status, page)
}

func isNotFound(err error) bool { return errors.Is(err, models.ErrNotFound) }
