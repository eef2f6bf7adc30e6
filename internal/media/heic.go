package media

import (
	"encoding/binary"
	"errors"
	"iter"
	"slices"
)

// Of a HEIC file only what it says of itself is read; its pixels are not
// unpacked. Boxes are those of ISO/IEC 14496-12, clause 8.11, and of 23008-12.

var errHEIC = errors.New("the HEIC file is damaged, or built in a way that is not read")

// heicBrands are the brands of still pictures coded with HEVC (ISO/IEC 23008-12, annex B).
var heicBrands = []string{"heic", "heix", "heim", "heis", "mif1"}

func isHEIC(file []byte) bool {
	if len(file) < 16 || string(file[4:8]) != "ftyp" {
		return false
	}
	size := int(min(binary.BigEndian.Uint32(file), 256))
	for at := 8; at+4 <= min(size, len(file)); at += 4 {
		if at != 12 && slices.Contains(heicBrands, string(file[at:at+4])) {
			return true
		}
	}
	return false
}

// boxes gives the boxes that lie one after the other in data. Each is at least
// eight bytes further on, so the walk ends.
func boxes(data []byte) iter.Seq2[string, []byte] {
	return func(yield func(string, []byte) bool) {
		for len(data) >= 8 {
			size, head := uint64(binary.BigEndian.Uint32(data)), uint64(8)
			switch {
			case size == 0:
				size = uint64(len(data))
			case size == 1 && len(data) >= 16:
				size, head = binary.BigEndian.Uint64(data[8:]), 16
			}
			if size < head || size > uint64(len(data)) || !yield(string(data[4:8]), data[head:size]) {
				return
			}
			data = data[size:]
		}
	}
}

// box gives the first box of a name, nil where there is none.
func box(data []byte, name string) []byte {
	for have, body := range boxes(data) {
		if have == name {
			return body
		}
	}
	return nil
}

func (f *Facts) heic(file []byte) error {
	meta := box(file, "meta")
	if len(meta) < 4 {
		return errHEIC
	}
	meta = meta[4:]
	f.heicSize(box(box(meta, "iprp"), "ipco"))
	block, ok := exifItem(file, meta)
	if !ok {
		return errHEIC
	}
	if block == nil {
		return nil
	}
	width, height := f.Width, f.Height
	err := f.exif(block)
	f.Turn, f.Width, f.Height = Upright, width, height // the boxes turn the picture, not its Exif block
	return err
}

// heicSize takes the size of the largest picture in the file: its tiles and the
// thumbnail are smaller. A quarter turn swaps its sides.
func (f *Facts) heicSize(properties []byte) {
	quarter := false
	for name, body := range boxes(properties) {
		switch {
		case name == "ispe" && len(body) >= 12:
			w, h := binary.BigEndian.Uint32(body[4:]), binary.BigEndian.Uint32(body[8:])
			if w <= 1<<16 && h <= 1<<16 && int64(w)*int64(h) > int64(f.Width)*int64(f.Height) {
				f.Width, f.Height = int(w), int(h)
			}
		case name == "irot" && len(body) >= 1:
			quarter = body[0]&1 == 1
		}
	}
	if quarter {
		f.Width, f.Height = f.Height, f.Width
	}
}

// exifItem finds the Exif block; nil with ok where the file has none.
func exifItem(file, meta []byte) (block []byte, ok bool) {
	id, there := exifID(box(meta, "iinf"))
	if !there {
		return nil, true
	}
	from, size, ok := itemPlace(box(meta, "iloc"), id)
	if !ok || size < 4 || from > uint64(len(file)) || size > uint64(len(file))-from {
		return nil, false
	}
	item := file[from : from+size]
	skip := uint64(binary.BigEndian.Uint32(item)) // to the TIFF header, ISO/IEC 23008-12, A.2.1
	if skip+4 > uint64(len(item)) {
		return nil, false
	}
	return item[4+skip:], true
}

// exifID finds the number of the item that holds the Exif block.
func exifID(info []byte) (id uint64, there bool) {
	r := fields{data: info}
	if version := r.number(4) >> 24; version == 0 {
		r.number(2)
	} else {
		r.number(4)
	}
	for name, body := range boxes(r.data) {
		if name != "infe" {
			continue
		}
		e := fields{data: body}
		switch e.number(4) >> 24 {
		case 2:
			id = e.number(2)
		case 3:
			id = e.number(4)
		default:
			continue
		}
		e.number(2) // protection
		if string(e.take(4)) == "Exif" && !e.short {
			return id, true
		}
	}
	return 0, false
}

// itemPlace reads from the item locations where an item lies that is stored in
// one piece and counted from the start of the file.
func itemPlace(locations []byte, id uint64) (from, size uint64, ok bool) {
	r := fields{data: locations}
	version := r.number(4) >> 24
	sizes := r.number(2)
	offsetSize, lengthSize, baseSize, indexSize := int(sizes>>12), int(sizes>>8&15), int(sizes>>4&15), int(sizes&15)
	if lengthSize == 0 {
		return 0, 0, false // items without a length are whole files, and pieces of no bytes would never end
	}
	wide := 2
	if version == 2 {
		wide = 4
	}
	for count := r.number(wide); count > 0 && !r.short; count-- {
		item, method := r.number(wide), uint64(0)
		if version > 0 {
			method = r.number(2) & 15
		} else {
			indexSize = 0
		}
		r.number(2)
		base := r.number(baseSize)
		extents := r.number(2)
		for n := extents; n > 0 && !r.short; n-- {
			r.number(indexSize)
			offset, length := r.number(offsetSize), r.number(lengthSize)
			if item == id && method == 0 && extents == 1 && !r.short && base <= 1<<40 && offset <= 1<<40 {
				return base + offset, length, true
			}
		}
	}
	return 0, 0, false
}

// fields reads whole numbers one after the other; beyond the end they are 0 and
// short is set.
type fields struct {
	data  []byte
	short bool
}

func (r *fields) take(n int) []byte {
	if n > len(r.data) {
		r.short, r.data = true, nil
		return nil
	}
	taken := r.data[:n]
	r.data = r.data[n:]
	return taken
}

func (r *fields) number(size int) (n uint64) {
	if size > 8 {
		r.short = true
		return 0
	}
	for _, b := range r.take(size) {
		n = n<<8 | uint64(b)
	}
	return n
}
