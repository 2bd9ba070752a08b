package server

import (
	"context"
	"log/slog"
	"net/http"
	"time"

	"github.com/gin-gonic/gin"
)

// Bounds of one request. A sheet of two thousand openings is well under a megabyte; a photo is not stored here.
const (
	maxBodyBytes    = 16 << 20
	requestDeadline = 60 * time.Second
)

// contentPolicy allows what this server itself sends and nothing else: no inline script, no inline style, no frame.
const contentPolicy = "default-src 'self'; img-src 'self' data:; object-src 'none'; base-uri 'none'; " +
	"form-action 'self'; frame-ancestors 'none'"

// securityHeaders tells the browser what pages of this server may do.
func securityHeaders(c *gin.Context) {
	h := c.Writer.Header()
	h.Set("Content-Security-Policy", contentPolicy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(self), geolocation=(), microphone=()")
	if c.Request.TLS != nil {
		h.Set("Strict-Transport-Security", "max-age=31536000")
	}
}

// bound gives every request a deadline and its body a size limit.
func bound(c *gin.Context) {
	ctx, cancel := context.WithTimeout(c.Request.Context(), requestDeadline)
	defer cancel()
	c.Request = c.Request.WithContext(ctx)
	c.Request.Body = http.MaxBytesReader(c.Writer, c.Request.Body, maxBodyBytes)
	c.Next()
}

// accessLog writes one line a request: what was asked, the answer and how long it took. Query values stay out of it.
func accessLog(log *slog.Logger) gin.HandlerFunc {
	return func(c *gin.Context) {
		begin := time.Now()
		c.Next()
		log.Info("request", "method", c.Request.Method, "path", c.FullPath(), "status", c.Writer.Status(),
			"ms", time.Since(begin).Milliseconds())
	}
}
