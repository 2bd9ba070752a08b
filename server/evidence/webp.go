package evidence

import (
	"encoding/binary"

	"jambwright/models"
)

// webP rebuilds a WebP file from the chunks that hold the picture: the header, the colours, the transparency, the picture
// itself. Exif and XMP are left out, with the bits that announce them, and so is whatever follows the container. A moving
// picture is no photo.
func webP(data []byte) (p models.Picture, err error) {
	if len(data) > maxWebP {
		return p, ErrTooLarge
	}
	if len(data) < 12 {
		return p, ErrBroken
	}
	length := int64(binary.LittleEndian.Uint32(data[4:8]))
	if length < 4 || 8+length > int64(len(data)) {
		return p, ErrBroken
	}
	out := []byte("RIFF\x00\x00\x00\x00WEBP")
	picture := false
	for rest := data[12 : 8+length]; len(rest) >= 8; {
		size := int64(binary.LittleEndian.Uint32(rest[4:8]))
		if 8+size > int64(len(rest)) {
			return p, ErrBroken
		}
		body := rest[8 : 8+size]
		switch name := string(rest[:4]); name {
		case "VP8X":
			if len(body) < 10 || body[0]&animated != 0 {
				return p, ErrNoPhoto
			}
			header := append([]byte{}, body[:10]...)
			header[0] &^= exifBit | xmpBit
			out = chunk(out, name, header)
			p.Width, p.Height = int(little24(body[4:]))+1, int(little24(body[7:]))+1
		case "ICCP", "ALPH":
			out = chunk(out, name, body)
		case "VP8 ", "VP8L":
			w, h := bitstreamSize(name, body)
			if w == 0 || h == 0 || picture {
				return p, ErrBroken
			}
			if picture = true; p.Width == 0 {
				p.Width, p.Height = w, h
			}
			out = chunk(out, name, body)
		}
		rest = rest[min(int64(len(rest)), 8+size+size%2):]
	}
	switch {
	case !picture:
		return p, ErrBroken
	case p.Width > maxPixels/p.Height:
		return p, ErrPixels
	}
	binary.LittleEndian.PutUint32(out[4:8], uint32(len(out)-8))
	p.MediaType, p.Whole, p.Small = "image/webp", out, out
	return p, nil
}

// Bits of the first byte of a VP8X chunk.
const (
	animated = 0x02
	xmpBit   = 0x04
	exifBit  = 0x08
)

// chunk appends a chunk, padded to an even length.
func chunk(out []byte, name string, body []byte) []byte {
	out = append(out, name...)
	out = binary.LittleEndian.AppendUint32(out, uint32(len(body)))
	out = append(out, body...)
	if len(body)%2 == 1 {
		out = append(out, 0)
	}
	return out
}

func little24(b []byte) uint32 { return uint32(b[0]) | uint32(b[1])<<8 | uint32(b[2])<<16 }

// bitstreamSize reads the pixels of a picture from its own header: RFC 6386, section 9.1, for VP8, and the WebP Lossless
// Bitstream Specification, section 3, for VP8L. Zeros mean that it is neither.
func bitstreamSize(name string, b []byte) (w, h int) {
	switch {
	case name == "VP8 " && len(b) >= 10 && b[3] == 0x9D && b[4] == 0x01 && b[5] == 0x2A:
		return int(binary.LittleEndian.Uint16(b[6:8])) & 0x3FFF, int(binary.LittleEndian.Uint16(b[8:10])) & 0x3FFF
	case name == "VP8L" && len(b) >= 5 && b[0] == 0x2F:
		bits := binary.LittleEndian.Uint32(b[1:5])
		return int(bits&0x3FFF) + 1, int(bits>>14&0x3FFF) + 1
	}
	return 0, 0
}
