package media

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math/rand/v2"
	"testing"
)

// shot is what a camera writes into a file.
type shot struct {
	maker, model, serial string
	taken, offset        string
	turn                 int
	placed               bool
	order                binary.AppendByteOrder
}

type field struct {
	tag, kind uint16
	text      string
	number    uint32
}

// exifBlock builds a TIFF block as cameras write it.
func exifBlock(s shot) []byte {
	if s.order == nil {
		s.order = binary.BigEndian
	}
	block := []byte("MM\x00*\x00\x00\x00\x08")
	if s.order == binary.AppendByteOrder(binary.LittleEndian) {
		block = []byte("II*\x00\x08\x00\x00\x00")
	}
	text := func(tag uint16, s string) field { return field{tag: tag, kind: 2, text: s + "\x00"} }
	top := []field{text(tagMake, s.maker), text(tagModel, s.model)}
	if s.turn != 0 {
		top = append(top, field{tag: tagOrientation, kind: 3, number: uint32(s.turn)})
	}
	inner := []field{text(tagTaken, s.taken), text(tagTakenOffset, s.offset), text(tagBodySerial, s.serial)}
	const size = 12
	exifAt := 8 + 2 + (len(top)+2)*size + 4
	top = append(top, field{tag: tagExifFolder, kind: 4, number: uint32(exifAt)})
	placeAt := exifAt + 2 + len(inner)*size + 4
	if s.placed {
		top = append(top, field{tag: tagPlaceFolder, kind: 4, number: uint32(placeAt)})
	} else {
		top = append(top, field{tag: 0x0131, kind: 3, number: 1})
	}
	dataAt := placeAt + 2 + size + 4
	var data []byte
	directory := func(fields []field) {
		block = s.order.AppendUint16(block, uint16(len(fields)))
		for _, f := range fields {
			block = s.order.AppendUint16(s.order.AppendUint16(block, f.tag), f.kind)
			switch {
			case f.kind == 2 && len(f.text) <= 4:
				block = append(s.order.AppendUint32(block, uint32(len(f.text))), (f.text + "\x00\x00\x00\x00")[:4]...)
			case f.kind == 2:
				block = s.order.AppendUint32(s.order.AppendUint32(block, uint32(len(f.text))), uint32(dataAt+len(data)))
				data = append(data, f.text...)
			case f.kind == 3:
				block = s.order.AppendUint16(s.order.AppendUint16(s.order.AppendUint32(block, 1), uint16(f.number)), 0)
			default:
				block = s.order.AppendUint32(s.order.AppendUint32(block, 1), f.number)
			}
		}
		block = s.order.AppendUint32(block, 0)
	}
	directory(top)
	directory(inner)
	directory([]field{{tag: tagLatitude, kind: 2, text: "N\x00"}})
	return append(block, data...)
}

// scene paints something with edges and shades, different for each seed.
func scene(w, h int, seed uint64) *image.RGBA {
	r := rand.New(rand.NewPCG(seed, 5))
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetRGBA(x, y, color.RGBA{uint8(60 + 90*x/w), uint8(50 + 120*y/h), uint8(90 + 60*(x+y)/(w+h)), 255})
		}
	}
	for range 14 {
		cx, cy, rad := r.IntN(w), r.IntN(h), 1+max(w, h)/12+r.IntN(max(w, h)/8+1)
		c := color.RGBA{uint8(r.IntN(256)), uint8(r.IntN(256)), uint8(r.IntN(256)), 255}
		for y := max(cy-rad, 0); y < min(cy+rad, h); y++ {
			for x := max(cx-rad, 0); x < min(cx+rad, w); x++ {
				if (x-cx)*(x-cx)+(y-cy)*(y-cy) < rad*rad {
					img.SetRGBA(x, y, c)
				}
			}
		}
	}
	return img
}

func asJPEG(t testing.TB, img image.Image, quality int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func asPNG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// withSegment puts a segment behind a JPEG file's first marker.
func withSegment(file []byte, marker byte, body []byte) []byte {
	head := binary.BigEndian.AppendUint16([]byte{0xff, 0xd8, 0xff, marker}, uint16(len(body)+2))
	return append(append(head, body...), file[2:]...)
}

// photographed is a JPEG file as a camera writes it.
func photographed(t testing.TB, img image.Image, s shot) []byte {
	return withSegment(asJPEG(t, img, 85), 0xe1, append([]byte("Exif\x00\x00"), exifBlock(s)...))
}

// withChunk puts a chunk behind the first one of a PNG file.
func withChunk(file []byte, name string, body []byte) []byte {
	const behindHead = 8 + 25
	chunk := append([]byte(name), body...)
	whole := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	whole = append(whole, chunk...)
	whole = binary.BigEndian.AppendUint32(whole, crc32.ChecksumIEEE(chunk))
	return append(append(bytes.Clone(file[:behindHead]), whole...), file[behindHead:]...)
}

// boxed wraps bodies into a box.
func boxed(name string, bodies ...[]byte) []byte {
	body := bytes.Join(bodies, nil)
	return append(append(binary.BigEndian.AppendUint32(nil, uint32(len(body)+8)), name...), body...)
}

// heicFile builds what surrounds the pixels of a HEIC file, for pictures of w by h.
func heicFile(w, h uint32, quarterTurns byte, block []byte) []byte {
	be := binary.BigEndian
	item := append([]byte{0, 0, 0, 0}, block...)
	properties := boxed("iprp", boxed("ipco",
		boxed("ispe", be.AppendUint32(be.AppendUint32(make([]byte, 4), 160), 120)),
		boxed("ispe", be.AppendUint32(be.AppendUint32(make([]byte, 4), w), h)),
		boxed("irot", []byte{quarterTurns})))
	info := boxed("iinf", make([]byte, 4), []byte{0, 2},
		boxed("infe", []byte{2, 0, 0, 0, 0, 1, 0, 0}, []byte("hvc1\x00")),
		boxed("infe", []byte{2, 0, 0, 0, 0, 2, 0, 0}, []byte("Exif\x00")))
	build := func(at uint32) []byte {
		place := boxed("iloc", []byte{0, 0, 0, 0, 0x44, 0x00, 0, 1, 0, 2, 0, 0, 0, 1}, be.AppendUint32(nil, at), be.AppendUint32(nil, uint32(len(item))))
		return bytes.Join([][]byte{
			boxed("ftyp", []byte("heic\x00\x00\x00\x00mif1heic")),
			boxed("meta", make([]byte, 4), boxed("pitm", make([]byte, 4), []byte{0, 1}), info, place, properties),
		}, nil)
	}
	head := len(build(0)) + 8
	return append(build(uint32(head)), boxed("mdat", item)...)
}
