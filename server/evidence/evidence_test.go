package evidence

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// halves is a picture whose left half is red and whose right half is blue.
func halves(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.RGBA{200, 0, 0, 255}
			if x >= w/2 {
				c = color.RGBA{0, 0, 200, 255}
			}
			img.SetRGBA(x, y, c)
		}
	}
	return img
}

func jpegOf(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}))
	return b.Bytes()
}

func pngOf(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}

// place stands for the position that a camera writes.
const place = "41 deg 52 min N, 87 deg 37 min W"

// withExif puts an Exif segment with an orientation and a place behind the first two bytes of a JPEG: a TIFF structure of
// one directory with one entry, tag 274 of type SHORT (TIFF 6.0).
func withExif(data []byte, held int) []byte {
	tiff := []byte("II*\x00\x08\x00\x00\x00\x01\x00")
	tiff = binary.LittleEndian.AppendUint16(tiff, 274)
	tiff = binary.LittleEndian.AppendUint16(tiff, 3)
	tiff = binary.LittleEndian.AppendUint32(tiff, 1)
	tiff = binary.LittleEndian.AppendUint16(tiff, uint16(held))
	tiff = append(tiff, 0, 0, 0, 0, 0, 0)
	body := append(append([]byte("Exif\x00\x00"), tiff...), place...)
	segment := []byte{0xFF, 0xE1}
	segment = binary.BigEndian.AppendUint16(segment, uint16(len(body)+2))
	segment = append(segment, body...)
	return append(append(append([]byte{}, data[:2]...), segment...), data[2:]...)
}

func decodedJPEG(t *testing.T, data []byte) image.Image {
	t.Helper()
	img, err := jpeg.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	return img
}

func isRed(img image.Image, x, y int) bool {
	r, _, b, _ := img.At(x, y).RGBA()
	return r > 2*b
}

func TestPicture_KeepsTheViewAndNothingBesideIt(t *testing.T) {
	t.Parallel()
	sent := withExif(jpegOf(t, halves(40, 20)), 6)
	require.Contains(t, string(sent), place)
	p, err := Picture(sent)
	require.NoError(t, err)
	assert.Equal(t, "image/jpeg", p.MediaType)
	assert.Equal(t, [2]int{20, 40}, [2]int{p.Width, p.Height}, "held upright, it is shown upright")
	for _, kept := range [][]byte{p.Whole, p.Small} {
		assert.NotContains(t, string(kept), place)
		assert.NotContains(t, string(kept), "Exif")
		img := decodedJPEG(t, kept)
		assert.True(t, isRed(img, 10, 5), "what was left is on top")
		assert.False(t, isRed(img, 10, 35))
	}
}

// The eight ways a camera may be held, by the wording of TIFF 6.0 for tag 274: where the first stored row and the first
// stored column are shown.
func TestUpright_AllEightOrientations(t *testing.T) {
	t.Parallel()
	for held, want := range map[int]struct{ row, column image.Point }{ // unit steps from the shown place of the first pixel
		1: {image.Pt(1, 0), image.Pt(0, 1)}, 2: {image.Pt(-1, 0), image.Pt(0, 1)}, 3: {image.Pt(-1, 0), image.Pt(0, -1)}, 4: {image.Pt(1, 0), image.Pt(0, -1)},
		5: {image.Pt(0, 1), image.Pt(1, 0)}, 6: {image.Pt(0, 1), image.Pt(-1, 0)}, 7: {image.Pt(0, -1), image.Pt(-1, 0)}, 8: {image.Pt(0, -1), image.Pt(1, 0)},
	} {
		img := image.NewRGBA(image.Rect(0, 0, 3, 2))
		for i := range 6 {
			img.SetRGBA(i%3, i/3, color.RGBA{uint8(40 * (i + 1)), 0, 0, 255})
		}
		out := upright(img, held)
		at := func(n int) (p image.Point) {
			for y := range out.Rect.Dy() {
				for x := range out.Rect.Dx() {
					if out.RGBAAt(x, y).R == uint8(40*(n+1)) {
						return image.Pt(x, y)
					}
				}
			}
			t.Fatalf("orientation %d lost pixel %d", held, n)
			return p
		}
		assert.Equal(t, want.row, at(1).Sub(at(0)), "orientation %d: along the first row", held)
		assert.Equal(t, want.column, at(3).Sub(at(0)), "orientation %d: down the first column", held)
	}
}

func TestPicture_MakesLargeOnesSmaller(t *testing.T) {
	t.Parallel()
	p, err := Picture(pngOf(t, halves(4100, 1025)))
	require.NoError(t, err)
	assert.Equal(t, [2]int{2048, 512}, [2]int{p.Width, p.Height})
	small := decodedJPEG(t, p.Small).Bounds()
	assert.Equal(t, image.Rect(0, 0, 320, 80), small)
	assert.True(t, isRed(decodedJPEG(t, p.Small), 40, 40))
	assert.False(t, isRed(decodedJPEG(t, p.Small), 280, 40))
}

func TestShrunk_IsTheMeanOfWhatItCovers(t *testing.T) {
	t.Parallel()
	img := image.NewRGBA(image.Rect(0, 0, 4, 2))
	for i := range 8 {
		img.SetRGBA(i%4, i/4, color.RGBA{uint8(10 * i), 0, 0, 255})
	}
	out := shrunk(img, 2)
	require.Equal(t, image.Rect(0, 0, 2, 1), out.Rect)
	assert.Equal(t, uint8(25), out.RGBAAt(0, 0).R, "mean of 0, 10, 40, 50")
	assert.Equal(t, uint8(45), out.RGBAAt(1, 0).R, "mean of 20, 30, 60, 70")
	clear := shrunk(image.NewRGBA(image.Rect(0, 0, 2, 2)), 2)
	assert.Equal(t, color.RGBA{255, 255, 255, 255}, clear.RGBAAt(0, 0), "what is see-through stands on white")
}

// onePixel are the smallest still pictures of both WebP bitstreams.
var onePixel = map[string]string{
	"lossy":    "UklGRiIAAABXRUJQVlA4IBYAAAAwAQCdASoBAAEADsD+JaQAA3AAAAAA",
	"lossless": "UklGRhoAAABXRUJQVlA4TA0AAAAvAAAAEAcQERGIiP4HAA==",
}

func webPOf(t testing.TB, name string) []byte {
	t.Helper()
	data, err := base64.StdEncoding.DecodeString(onePixel[name])
	require.NoError(t, err)
	return data
}

// extended wraps a simple file in the extended form with a place in an Exif and an XMP chunk, and more behind the container.
func extended(simple []byte, flags byte) []byte {
	out := []byte("RIFF\x00\x00\x00\x00WEBP")
	out = chunk(out, "VP8X", []byte{flags, 0, 0, 0, 0, 0, 0, 0, 0, 0})
	out = append(out, simple[12:]...)
	out = chunk(out, "EXIF", []byte("Exif\x00\x00"+place))
	out = chunk(out, "XMP ", []byte("<x>"+place+"</x>"))
	binary.LittleEndian.PutUint32(out[4:8], uint32(len(out)-8))
	return append(out, place...)
}

func TestPicture_WebPKeepsThePictureAlone(t *testing.T) {
	t.Parallel()
	for name := range onePixel {
		simple := webPOf(t, name)
		p, err := Picture(simple)
		require.NoError(t, err, name)
		assert.Equal(t, simple, p.Whole, "a file with nothing beside the picture stays as it is")
		assert.Equal(t, [2]int{1, 1}, [2]int{p.Width, p.Height})

		p, err = Picture(extended(simple, exifBit|xmpBit))
		require.NoError(t, err, name)
		assert.Equal(t, "image/webp", p.MediaType)
		assert.NotContains(t, string(p.Whole), place)
		assert.Equal(t, byte(0), p.Whole[20], "nothing is announced that is not there")
		again, err := Picture(p.Whole)
		require.NoError(t, err)
		assert.Equal(t, p.Whole, again.Whole)

		_, err = Picture(extended(simple, animated))
		require.ErrorIs(t, err, ErrNoPhoto, "a moving picture")
		_, err = Picture(simple[:len(simple)-3])
		require.ErrorIs(t, err, ErrBroken)
	}
}

func TestPicture_RefusesWhatIsNone(t *testing.T) {
	t.Parallel()
	bomb := pngOf(t, image.NewGray(image.Rect(0, 0, 1, 1)))
	binary.BigEndian.PutUint32(bomb[16:], 60000) // width and height of the header chunk; its checksum is wrong then
	for name, c := range map[string]struct {
		data []byte
		want error
	}{
		"nothing":      {nil, ErrNoPhoto},
		"a page":       {[]byte("<!DOCTYPE html><script>alert(1)</script>"), ErrNoPhoto},
		"a drawing":    {[]byte(`<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`), ErrNoPhoto},
		"another kind": {[]byte("GIF89a\x01\x00\x01\x00\x00\x00\x00;"), ErrNoPhoto},
		"cut off":      {jpegOf(t, halves(40, 20))[:300], ErrBroken},
		"wrong header": {bomb, ErrBroken},
		"too many":     {append([]byte{0xFF, 0xD8, 0xFF}, make([]byte, MaxBytes)...), ErrTooLarge},
		"named JPEG":   {append([]byte{0xFF, 0xD8, 0xFF}, []byte("<script>alert(1)</script>")...), ErrBroken},
	} {
		_, err := Picture(c.data)
		assert.ErrorIs(t, err, c.want, name)
	}
}

func TestOrientation_SurvivesEveryCutAndNonsense(t *testing.T) {
	t.Parallel()
	whole := withExif(jpegOf(t, halves(8, 8)), 3)
	require.Equal(t, 3, orientation(whole))
	for n := range 200 {
		orientation(whole[:n]) // no cut may end in a panic
	}
	assert.Zero(t, orientation(jpegOf(t, halves(8, 8))), "a file without it says nothing")
}

func FuzzPicture(f *testing.F) {
	f.Add(withExif(jpegOf(f, halves(8, 4)), 8))
	f.Add(pngOf(f, halves(3, 3)))
	for name := range onePixel {
		f.Add(webPOf(f, name))
		f.Add(extended(webPOf(f, name), exifBit))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Picture(data)
		if err != nil {
			return
		}
		if p.Width <= 0 || p.Height <= 0 || len(p.Whole) == 0 || len(p.Small) == 0 {
			t.Fatalf("an empty picture: %d x %d", p.Width, p.Height)
		}
		if again, err := Picture(p.Whole); err != nil || again.MediaType != p.MediaType || again.Width != p.Width || again.Height != p.Height {
			t.Fatalf("what was kept is not taken again: %v", err)
		}
	})
}
