package evidence

import (
	"bytes"
	"encoding/binary"
)

// orientation reads how the camera was held from the Exif part of a JPEG: 1 to 8, or 0 when the file does not say. It
// walks the segments of the file (ISO/IEC 10918-1, annex B) up to the first scan and reads the first directory of the TIFF
// structure in an APP1 segment that begins with "Exif". Anything out of place ends the search.
func orientation(data []byte) int {
	if len(data) < 2 || data[0] != 0xFF || data[1] != 0xD8 {
		return 0
	}
	for rest := data[2:]; len(rest) >= 4 && rest[0] == 0xFF; {
		marker, size := rest[1], int(binary.BigEndian.Uint16(rest[2:4]))
		if marker == 0xDA || size < 2 || 2+size > len(rest) {
			return 0
		}
		if body := rest[4 : 2+size]; marker == 0xE1 && bytes.HasPrefix(body, []byte("Exif\x00\x00")) {
			return orientationTag(body[6:])
		}
		rest = rest[2+size:]
	}
	return 0
}

// orientationTag looks for tag 274 in the first directory of a TIFF structure.
func orientationTag(tiff []byte) int {
	var order binary.ByteOrder
	switch {
	case len(tiff) < 8:
		return 0
	case tiff[0] == 'I' && tiff[1] == 'I':
		order = binary.LittleEndian
	case tiff[0] == 'M' && tiff[1] == 'M':
		order = binary.BigEndian
	default:
		return 0
	}
	first := int64(order.Uint32(tiff[4:8]))
	if first+2 > int64(len(tiff)) {
		return 0
	}
	entries := int(order.Uint16(tiff[first : first+2]))
	for i := range entries {
		at := first + 2 + 12*int64(i)
		if at+12 > int64(len(tiff)) {
			return 0
		}
		if order.Uint16(tiff[at:at+2]) == 274 {
			return int(order.Uint16(tiff[at+8 : at+10]))
		}
	}
	return 0
}
