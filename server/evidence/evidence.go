// Package evidence takes photos as people send them and makes of them what may be kept and shown.
//
//	bytes ─ what kind is it? ─┬─ JPEG, PNG ─ decode ─ turn upright ─ make smaller ─ encode anew ─┬─> models.Picture
//	                          └─ WebP ─ keep the picture's own chunks only ─────────────────────┘
//
// A camera writes more than the picture: the place, the time, the device. None of that is kept. JPEG and PNG are decoded
// and encoded anew, which leaves it behind, and turned as the camera held them, since that is told beside the picture as
// well. WebP, which the standard library does not decode, is rebuilt from the chunks of its container that hold the
// picture (WebP Container Specification). What a file is, is told by its first bytes, never by its name or by what a
// browser says of it.
//
// What this package does not do: it stores nothing (models.AddPhotos does).
package evidence

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	_ "image/png" // for image.Decode
	"net/http"

	"jambwright/models"
)

// Bounds of a photo.
const (
	MaxBytes  = 12 << 20 // as sent
	maxPixels = 64 << 20
	maxWebP   = 4 << 20 // kept as it is, so less
	wholeSide = 2048    // pixels of the longer side as it is kept
	smallSide = 320
	quality   = 82
)

// Faults of photos, in words for the person who sent it.
var (
	ErrTooLarge = fmt.Errorf("the photo is larger than %d MB; take it with fewer pixels", MaxBytes>>20)
	ErrNoPhoto  = errors.New("this is no photo in JPEG, PNG or WebP")
	ErrBroken   = errors.New("the photo cannot be opened; take it again or save it anew")
	ErrPixels   = fmt.Errorf("the photo has more than %d million pixels; take it with fewer", maxPixels>>20)
)

// atOnce bounds how many photos are decoded at the same time, as each takes a few hundred bytes for every thousand pixels.
var atOnce = make(chan struct{}, 2)

// Picture reads a photo. The error is one of this package's and says what to do.
func Picture(data []byte) (models.Picture, error) {
	if len(data) > MaxBytes {
		return models.Picture{}, ErrTooLarge
	}
	switch http.DetectContentType(data) {
	case "image/webp":
		return webP(data)
	case "image/jpeg", "image/png":
		return decoded(data)
	}
	return models.Picture{}, ErrNoPhoto
}

// decoded takes a picture that can be decoded and encodes it anew.
func decoded(data []byte) (p models.Picture, err error) {
	size, _, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case err != nil || size.Width <= 0 || size.Height <= 0:
		return p, ErrBroken
	case size.Width > maxPixels/size.Height:
		return p, ErrPixels
	}
	atOnce <- struct{}{}
	defer func() { <-atOnce }()
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return p, ErrBroken
	}
	whole := upright(shrunk(img, wholeSide), orientation(data))
	p = models.Picture{MediaType: "image/jpeg", Width: whole.Rect.Dx(), Height: whole.Rect.Dy()}
	if p.Whole, err = encoded(whole); err != nil {
		return p, err
	}
	p.Small, err = encoded(shrunk(whole, smallSide))
	return p, err
}

func encoded(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
		return nil, fmt.Errorf("encode a photo of %v: %w", img.Bounds().Size(), err)
	}
	return b.Bytes(), nil
}
