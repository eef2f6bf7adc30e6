package media

import (
	"bytes"
	"encoding/binary"
	"errors"
)

var errJPEG = errors.New("the JPEG file is damaged or cut short")

const (
	mostSegments = 4096
	mostScans    = 64 // of a progressive picture; each goes over all pixels again
)

// segment is one marker segment in front of a JPEG file's first scan.
type segment struct {
	marker byte
	body   []byte
}

// jpegSegments lists the segments up to the first scan and gives what follows
// that scan's header.
func jpegSegments(file []byte) (list []segment, rest []byte, ok bool) {
	rest = file[2:]
	for len(list) < mostSegments {
		for len(rest) > 1 && rest[0] == 0xff && rest[1] == 0xff {
			rest = rest[1:] // fill bytes
		}
		if len(rest) < 4 || rest[0] != 0xff {
			return list, nil, false
		}
		marker, size := rest[1], int(binary.BigEndian.Uint16(rest[2:]))
		if size < 2 || size+2 > len(rest) {
			return list, nil, false
		}
		list = append(list, segment{marker, rest[4 : size+2]})
		rest = rest[size+2:]
		if marker == markerScan {
			return list, rest, true
		}
	}
	return list, nil, false
}

const (
	markerScan        = 0xda
	markerEnd         = 0xd9
	markerProgressive = 0xc2
	markerExif        = 0xe1
)

// isFrame says that a marker opens a frame (ISO/IEC 10918-1, table B.1).
func isFrame(marker byte) bool {
	return marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc
}

func (f *Facts) jpeg(file []byte) error {
	segments, rest, whole := jpegSegments(file)
	var fault error
	progressive, told := false, false
	for _, s := range segments {
		switch {
		case s.marker == markerExif && !told && bytes.HasPrefix(s.body, []byte("Exif\x00\x00")):
			told = true
			fault = f.exif(s.body[6:])
		case isFrame(s.marker) && f.Width == 0 && len(s.body) >= 6:
			f.Height, f.Width = int(binary.BigEndian.Uint16(s.body[1:])), int(binary.BigEndian.Uint16(s.body[3:]))
			progressive = s.marker == markerProgressive
			f.unpacked = int64(f.Width) * int64(f.Height) * int64(s.body[5])
			if progressive {
				f.unpacked *= 5 // four bytes for each coefficient beside the pixel itself
			}
		}
	}
	if !whole || f.Width == 0 || f.Height == 0 {
		return errJPEG
	}
	if progressive && scans(rest) > mostScans {
		f.unpacked = unbounded
	}
	return fault
}

// scans counts the scans from the first one's data on.
func scans(rest []byte) int {
	n := 1
	for {
		at := bytes.IndexByte(rest, 0xff)
		if at < 0 || at+1 >= len(rest) {
			return n
		}
		if rest[at+1] == markerScan {
			n++
		}
		if rest[at+1] == markerEnd {
			return n
		}
		rest = rest[at+1:]
	}
}

// bareJPEG says that a JPEG file holds nothing but its picture: no data of a
// camera or a program, no remark, nothing behind its end.
func bareJPEG(file []byte) bool {
	segments, _, ok := jpegSegments(file)
	if !ok || !bytes.HasSuffix(file, []byte{0xff, markerEnd}) || bytes.Count(file, []byte{0xff, markerEnd}) != 1 {
		return false
	}
	for _, s := range segments {
		application, remark := s.marker >= 0xe0 && s.marker <= 0xef, s.marker == 0xfe
		if remark || application && !(s.marker == 0xe0 && len(s.body) == 14 && bytes.HasPrefix(s.body, []byte("JFIF\x00"))) {
			return false
		}
	}
	return true
}
