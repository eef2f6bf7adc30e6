package page

import (
	"bytes"
	"encoding/binary"
)

// The markers of a JPEG file that matter here (ITU-T T.81, table B.1).
const (
	endOfImage  = 0xd9
	startOfScan = 0xda
	firstApp    = 0xe0
	adobeApp    = 0xee
	lastApp     = 0xef
	comment     = 0xfe
)

// bareJPEG copies a JPEG file up to its end marker, without application
// segments and comments, save the two that say how colours are stored. It
// refuses a file whose segments don't follow each other as they should.
func bareJPEG(data []byte) ([]byte, bool) {
	if len(data) < 4 || data[0] != 0xff || data[1] != 0xd8 {
		return nil, false
	}
	out := append(make([]byte, 0, len(data)), data[:2]...)
	for at := 2; at+2 <= len(data); {
		if data[at] != 0xff {
			return nil, false
		}
		marker := data[at+1]
		if marker == endOfImage {
			return append(out, data[at:at+2]...), true
		}
		if at+4 > len(data) {
			return nil, false
		}
		end := at + 2 + int(binary.BigEndian.Uint16(data[at+2:]))
		if end < at+4 || end > len(data) {
			return nil, false
		}
		if marker == startOfScan {
			end = scanEnd(data, end)
		}
		if !private(marker, data[at+4:end]) {
			out = append(out, data[at:end]...)
		}
		at = end
	}
	return nil, false
}

// private reports whether a segment says something beside the picture.
func private(marker byte, content []byte) bool {
	switch {
	case marker == comment:
		return true
	case marker == firstApp:
		return !bytes.HasPrefix(content, []byte("JFIF\x00"))
	case marker == adobeApp:
		return !bytes.HasPrefix(content, []byte("Adobe"))
	}
	return marker > firstApp && marker <= lastApp
}

// scanEnd finds the marker behind the coded pixels that begin at from. In them
// 0xff is followed by 0 or by a restart marker, or by more of itself.
func scanEnd(data []byte, from int) int {
	for at := from; at+1 < len(data); at++ {
		if next := data[at+1]; data[at] == 0xff && next != 0 && next != 0xff && (next < 0xd0 || next > 0xd7) {
			return at
		}
	}
	return len(data)
}

// pictureChunks are those of a PNG file that bear on how the pixels look and hold no words (PNG, third edition, 11).
var pictureChunks = map[string]bool{"IHDR": true, "PLTE": true, "tRNS": true, "IDAT": true, "IEND": true,
	"gAMA": true, "cHRM": true, "sRGB": true, "sBIT": true, "bKGD": true, "pHYs": true}

// barePNG copies a PNG file up to its end mark, without chunks that say something beside the picture. It refuses a file whose
// chunks don't follow each other as they should.
func barePNG(data []byte) ([]byte, bool) {
	const signature, around = 8, 12 // bytes: before the chunks; of length, name and sum of one
	if len(data) < signature {
		return nil, false
	}
	out := append(make([]byte, 0, len(data)), data[:signature]...)
	for rest := data[signature:]; len(rest) >= around; {
		size := int64(binary.BigEndian.Uint32(rest)) + around
		if size > int64(len(rest)) {
			return nil, false
		}
		kind := string(rest[4:8])
		if pictureChunks[kind] {
			out = append(out, rest[:size]...)
		}
		if kind == "IEND" {
			return out, true
		}
		rest = rest[size:]
	}
	return nil, false
}
