package server

import (
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/server/evidence"
	"jambwright/web"
)

// photosAtOnce is how many photos one form may carry.
const photosAtOnce = 4

// photoPolicy lets a photo be nothing but a photo, whoever opens its address by itself.
const photoPolicy = "default-src 'none'; sandbox; frame-ancestors 'none'"

// readPhotos reads the photos of a form, if it has any. What cannot be taken is a fault of the field.
func readPhotos(c *gin.Context) (pictures []models.Picture, faults web.Faults, err error) {
	form := c.Request.MultipartForm
	if form == nil {
		return nil, nil, nil // sent without files
	}
	files := form.File["photo"]
	if len(files) > photosAtOnce {
		return nil, web.Faults{{Field: "photo", Message: fmt.Sprintf("Send %d photos at most at a time; these are %d.", photosAtOnce, len(files))}}, nil
	}
	for _, header := range files {
		if header.Size == 0 && header.Filename == "" {
			continue // a browser sends the empty field
		}
		picture, err := readPhoto(header)
		switch {
		case errors.Is(err, evidence.ErrNoPhoto), errors.Is(err, evidence.ErrBroken), errors.Is(err, evidence.ErrTooLarge), errors.Is(err, evidence.ErrPixels):
			faults = append(faults, web.FieldFault{Field: "photo", Message: header.Filename + ": " + err.Error() + "."})
		case err != nil:
			return nil, nil, err
		}
		pictures = append(pictures, picture)
	}
	return pictures, faults, nil
}

func readPhoto(header *multipart.FileHeader) (models.Picture, error) {
	file, err := header.Open()
	if err != nil {
		return models.Picture{}, fmt.Errorf("open an uploaded photo: %w", err)
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, evidence.MaxBytes+1))
	if err != nil {
		return models.Picture{}, fmt.Errorf("read an uploaded photo: %w", err)
	}
	return evidence.Picture(data)
}

// photo sends a photo whole.
func (s *Server) photo(c *gin.Context, p *person) error { return s.sendPhoto(c, p, false) }

// smallPhoto sends a photo as lists show it.
func (s *Server) smallPhoto(c *gin.Context, p *person) error { return s.sendPhoto(c, p, true) }

// sendPhoto sends a photo to a person who may see its project. A stored photo never changes.
func (s *Server) sendPhoto(c *gin.Context, p *person, small bool) error {
	ctx := c.Request.Context()
	id, err := strconv.ParseInt(c.Param("id"), 10, 64)
	if err != nil {
		return notFound("")
	}
	photo, err := models.PhotoByID(ctx, s.db, id)
	if err != nil {
		return err
	}
	if !p.mayRead(photo.ProjectID) {
		return notAllowed("This photo belongs to a project that is not yours.")
	}
	data, err := models.PhotoBytes(ctx, s.db, id, small)
	if err != nil {
		return err
	}
	h := c.Writer.Header()
	h.Set("Content-Security-Policy", photoPolicy)
	h.Set("Cache-Control", "private, max-age=86400, immutable")
	h.Set("Content-Disposition", fmt.Sprintf("inline; filename=\"photo-%d\"", id))
	c.Data(http.StatusOK, photo.MediaType, data)
	return nil
}
