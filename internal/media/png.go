package media

import (
	"encoding/binary"
	"errors"
	"iter"
)

const pngSignature = "\x89PNG\r\n\x1a\n"

var errPNG = errors.New("the PNG file is damaged or cut short")

// pngChunks gives the chunks of a PNG file up to its end mark or to a fault, and
// with the last one how many bytes follow it.
func pngChunks(file []byte) iter.Seq2[string, []byte] {
	return func(yield func(string, []byte) bool) {
		rest := file[len(pngSignature):]
		for len(rest) >= 12 {
			size := binary.BigEndian.Uint32(rest)
			name := string(rest[4:8])
			if uint64(size)+12 > uint64(len(rest)) {
				return
			}
			if !yield(name, rest[8:8+size]) || name == "IEND" {
				return
			}
			rest = rest[size+12:]
		}
	}
}

// channels are the samples of a pixel by PNG's colour type once it is unpacked.
var channels = map[byte]int64{0: 1, 2: 4, 3: 1, 4: 4, 6: 4}

func (f *Facts) png(file []byte) error {
	var fault error
	ended := false
	for name, body := range pngChunks(file) {
		switch {
		case name == "IHDR" && f.Width == 0 && len(body) == 13:
			w, h := binary.BigEndian.Uint32(body), binary.BigEndian.Uint32(body[4:])
			if w > 1<<30 || h > 1<<30 {
				return errPNG
			}
			f.Width, f.Height = int(w), int(h)
			f.unpacked = int64(w) * int64(h) * channels[body[9]] * max(int64(body[8])/8, 1)
		case name == "eXIf":
			fault = f.exif(body)
		case name == "IEND":
			ended = true
		}
	}
	if !ended || f.Width == 0 || f.Height == 0 {
		return errPNG
	}
	return fault
}

// pictureChunks are those that bear on how the pixels look and hold no words.
var pictureChunks = map[string]bool{"IHDR": true, "PLTE": true, "tRNS": true, "IDAT": true, "IEND": true,
	"gAMA": true, "cHRM": true, "sRGB": true, "sBIT": true, "bKGD": true, "pHYs": true}

// barePNG says that a PNG file holds nothing but its picture.
func barePNG(file []byte) bool {
	seen, ended := len(pngSignature), false
	for name, body := range pngChunks(file) {
		if !pictureChunks[name] {
			return false
		}
		seen += len(body) + 12
		ended = name == "IEND"
	}
	return ended && seen == len(file)
}
