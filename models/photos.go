package models

import (
	"context"
	"time"
)

// Photo is a picture kept as evidence of a line of a handover's history or of a field report; exactly one of the two ids is
// set. Its bytes lie in PhotoFile.
type Photo struct {
	ID               int64
	ProjectID        int64
	HandoverChangeID *int64
	ReportID         *int64
	MediaType        string // image/jpeg, image/png or image/webp
	Width            int    // pixels, as it is shown
	Height           int
	At               time.Time // when it was stored
	UserID           *int64
}

// PhotoFile are the bytes of a photo, whole and small.
type PhotoFile struct {
	PhotoID int64 `gorm:"primaryKey;autoIncrement:false"`
	Whole   []byte
	Small   []byte
}

// Picture is a photo to be stored: already checked, and cleared of what a camera writes beside it.
type Picture struct {
	MediaType     string
	Width, Height int // pixels
	Whole, Small  []byte
}

// AddPhotos stores pictures. about names what they are evidence of and their project; its other fields are filled in here.
func AddPhotos(ctx context.Context, tx *Tx, about Photo, pictures []Picture, actor Actor) error {
	for _, p := range pictures {
		row := about
		row.MediaType, row.Width, row.Height, row.At, row.UserID = p.MediaType, p.Width, p.Height, tx.Now(), actor.UserID
		if err := create(ctx, tx, "photo", &row); err != nil {
			return err
		}
		if err := create(ctx, tx, "picture of a photo", &PhotoFile{PhotoID: row.ID, Whole: p.Whole, Small: p.Small}); err != nil {
			return err
		}
	}
	return nil
}

// PhotoByID finds a photo without its bytes.
func PhotoByID(ctx context.Context, r Reader, id int64) (*Photo, error) {
	return byID[Photo](ctx, r, "photo", id)
}

// PhotoBytes reads the bytes of a photo, whole or small.
func PhotoBytes(ctx context.Context, r Reader, id int64, small bool) ([]byte, error) {
	column := "whole"
	if small {
		column = "small"
	}
	var f PhotoFile
	if err := r.in(ctx).Select("photo_id", column).Where("photo_id = ?", id).Take(&f).Error; err != nil {
		return nil, wrap(err, "read photo %d", id)
	}
	if small {
		return f.Small, nil
	}
	return f.Whole, nil
}
