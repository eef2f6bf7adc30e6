package main

import (
	"bytes"
	"encoding/binary"
)

// heic is the picture as a telephone writes it into a HEIC file: all that surrounds the pixels, which nothing here unpacks.
func (s snap) heic() []byte {
	be := binary.BigEndian
	boxed := func(name string, bodies ...[]byte) []byte {
		body := bytes.Join(bodies, nil)
		return append(append(be.AppendUint32(nil, uint32(len(body)+8)), name...), body...)
	}
	item := append([]byte{0, 0, 0, 0}, s.exif()...)
	size := boxed("ispe", be.AppendUint32(be.AppendUint32(make([]byte, 4), uint32(max(s.width, 4032))), uint32(max(s.height, 3024))))
	info := boxed("iinf", make([]byte, 4), []byte{0, 2},
		boxed("infe", []byte{2, 0, 0, 0, 0, 1, 0, 0}, []byte("hvc1\x00")), boxed("infe", []byte{2, 0, 0, 0, 0, 2, 0, 0}, []byte("Exif\x00")))
	build := func(at uint32) []byte {
		place := boxed("iloc", []byte{0, 0, 0, 0, 0x44, 0x00, 0, 1, 0, 2, 0, 0, 0, 1}, be.AppendUint32(nil, at), be.AppendUint32(nil, uint32(len(item))))
		return bytes.Join([][]byte{boxed("ftyp", []byte("heic\x00\x00\x00\x00mif1heic")),
			boxed("meta", make([]byte, 4), boxed("pitm", make([]byte, 4), []byte{0, 1}), info, place, boxed("iprp", boxed("ipco", size)))}, nil)
	}
	pixels := be.AppendUint64(nil, s.seed) // another seed is another file
	return append(build(uint32(len(build(0))+8)), boxed("mdat", item, pixels)...)
}
