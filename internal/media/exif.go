package media

import (
	"bytes"
	"encoding/binary"
	"errors"
	"strings"
)

// Tags of Exif 2.32 that are read; all others are passed over.
const (
	tagMake            = 0x010f
	tagModel           = 0x0110
	tagOrientation     = 0x0112
	tagExifFolder      = 0x8769
	tagPlaceFolder     = 0x8825
	tagTaken           = 0x9003
	tagDigitized       = 0x9004
	tagTakenOffset     = 0x9011
	tagDigitizedOffset = 0x9012
	tagBodySerial      = 0xa431
	tagLatitude        = 0x0002
)

const (
	mostEntries = 1000 // of one directory; cameras write some dozens
	longestText = 200  // bytes
)

var errExif = errors.New("the camera's data in the file are damaged")

// tiff is an Exif block: TIFF 6.0 with its byte order.
type tiff struct {
	data  []byte
	order binary.ByteOrder
}

// entry is one field of a directory, its value not yet read.
type entry struct {
	kind  uint16
	count uint32
	value []byte // the four bytes that hold the value or say where it lies
}

// exif reads an Exif block: the first directory and the two that it names. Each
// is read once, and none of them leads any further, so there is no nesting.
func (f *Facts) exif(block []byte) error {
	t, first, ok := openTIFF(block)
	if !ok {
		return errExif
	}
	top, ok := t.directory(first)
	if !ok {
		return errExif
	}
	if turn, ok := t.number(top[tagOrientation]); ok && turn >= 1 && turn <= 8 {
		f.Turn = Turn(turn)
	}
	shot := map[uint16]entry{}
	if at, there := t.number(top[tagExifFolder]); there {
		if shot, ok = t.directory(at); !ok {
			f.camera(t.text(top[tagMake]), t.text(top[tagModel]), "")
			return errExif
		}
	}
	f.camera(t.text(top[tagMake]), t.text(top[tagModel]), t.text(shot[tagBodySerial]))
	f.Taken = exifMoment(t.text(shot[tagTaken]), t.text(shot[tagTakenOffset]))
	if f.Taken.IsZero() {
		f.Taken = exifMoment(t.text(shot[tagDigitized]), t.text(shot[tagDigitizedOffset]))
	}
	if at, there := t.number(top[tagPlaceFolder]); there {
		place, _ := t.directory(at)
		_, f.Placed = place[tagLatitude]
	}
	return nil
}

// openTIFF reads the header and gives where the first directory lies.
func openTIFF(block []byte) (t tiff, first uint32, ok bool) {
	switch {
	case len(block) < 8:
		return t, 0, false
	case bytes.HasPrefix(block, []byte("II*\x00")):
		t.order = binary.LittleEndian
	case bytes.HasPrefix(block, []byte("MM\x00*")):
		t.order = binary.BigEndian
	default:
		return t, 0, false
	}
	t.data = block
	return t, t.order.Uint32(block[4:]), true
}

// directory reads the fields of a directory; of two with one tag the first counts.
func (t tiff) directory(at uint32) (map[uint16]entry, bool) {
	const size = 12 // bytes of a field
	if uint64(at)+2 > uint64(len(t.data)) {
		return nil, false
	}
	fields := t.data[at:]
	count := int(t.order.Uint16(fields))
	if fields = fields[2:]; count > mostEntries || count*size > len(fields) {
		return nil, false
	}
	all := make(map[uint16]entry, count)
	for i := range count {
		field := fields[i*size:]
		tag := t.order.Uint16(field)
		if _, twice := all[tag]; !twice {
			all[tag] = entry{t.order.Uint16(field[2:]), t.order.Uint32(field[4:]), field[8:12]}
		}
	}
	return all, true
}

// number reads a field of one whole number (type 3, SHORT, or 4, LONG).
func (t tiff) number(e entry) (uint32, bool) {
	switch {
	case e.count != 1:
		return 0, false
	case e.kind == 3:
		return uint32(t.order.Uint16(e.value)), true
	case e.kind == 4:
		return t.order.Uint32(e.value), true
	}
	return 0, false
}

// text reads a field of text (type 2, ASCII) up to its first NUL; "" for any other.
func (t tiff) text(e entry) string {
	if e.kind != 2 || e.count == 0 {
		return ""
	}
	value := e.value
	if e.count > 4 {
		at := uint64(t.order.Uint32(e.value))
		if at+uint64(e.count) > uint64(len(t.data)) {
			return ""
		}
		value = t.data[at : at+uint64(e.count)]
	} else {
		value = value[:e.count]
	}
	text, _, _ := bytes.Cut(value, []byte{0})
	return strings.ToValidUTF8(string(text[:min(len(text), longestText)]), "")
}
