package evidence

import (
	"image"
	"image/color"
	"image/draw"
)

// shrunk draws a picture on white so that its longer side has at most side pixels. Every pixel of the result is the mean of
// those that it covers; a picture that is small enough stays as large as it is. The source is turned into plain colours a
// strip at a time, so that a large photo does not stand in memory twice.
func shrunk(img image.Image, side int) *image.RGBA {
	from := img.Bounds()
	w, h := fitted(from.Dx(), from.Dy(), side)
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		top, bottom := span(y, h, from.Dy())
		strip := image.NewRGBA(image.Rect(0, 0, from.Dx(), bottom-top))
		draw.Draw(strip, strip.Rect, image.White, image.Point{}, draw.Src)
		draw.Draw(strip, strip.Rect, img, image.Pt(from.Min.X, from.Min.Y+top), draw.Over)
		for x := range w {
			left, right := span(x, w, from.Dx())
			out.SetRGBA(x, y, mean(strip, left, right))
		}
	}
	return out
}

// fitted scales a size down so that its longer side has at most side pixels, and no side less than one.
func fitted(w, h, side int) (fw, fh int) {
	longest := max(w, h)
	if longest <= side {
		return w, h
	}
	return max(1, w*side/longest), max(1, h*side/longest)
}

// span are the source rows or columns that the i-th of n results covers, at least one.
func span(i, n, source int) (first, end int) {
	first, end = i*source/n, (i+1)*source/n
	return first, max(end, first+1)
}

// mean is the mean colour of a strip between two columns.
func mean(strip *image.RGBA, left, right int) color.RGBA {
	var r, g, b, n uint64
	for y := range strip.Rect.Dy() {
		row := strip.Pix[y*strip.Stride+4*left : y*strip.Stride+4*right]
		for i := 0; i < len(row); i += 4 {
			r, g, b, n = r+uint64(row[i]), g+uint64(row[i+1]), b+uint64(row[i+2]), n+1
		}
	}
	return color.RGBA{uint8((r + n/2) / n), uint8((g + n/2) / n), uint8((b + n/2) / n), 255}
}

// upright turns a picture as the camera was held. The numbers are those of the orientation tag (274) of the TIFF 6.0
// specification, which Exif uses: what is the first row and the first column of the stored picture.
func upright(img *image.RGBA, orientation int) *image.RGBA {
	w, h := img.Rect.Dx(), img.Rect.Dy()
	if orientation < 2 || orientation > 8 {
		return img
	}
	outW, outH := w, h
	if orientation >= 5 {
		outW, outH = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, outW, outH))
	for y := range h {
		for x := range w {
			tx, ty := turned(x, y, w, h, orientation)
			out.SetRGBA(tx, ty, img.RGBAAt(x, y))
		}
	}
	return out
}

// turned is where a stored pixel is shown.
func turned(x, y, w, h, orientation int) (tx, ty int) {
	switch orientation {
	case 2: // first row top, first column right
		return w - 1 - x, y
	case 3: // bottom, right
		return w - 1 - x, h - 1 - y
	case 4: // bottom, left
		return x, h - 1 - y
	case 5: // left, top
		return y, x
	case 6: // right, top
		return h - 1 - y, x
	case 7: // right, bottom
		return h - 1 - y, w - 1 - x
	case 8: // left, bottom
		return y, w - 1 - x
	}
	return x, y
}
