package main

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"

	"boltback/internal/code"
)

// snap is a picture as a camera in the workshop takes it.
type snap struct {
	// camera is its model; "" leaves nothing of a camera in the file, as messaging programs do. taken is what its clock showed.
	camera, taken string
	// text is what a QR code in the middle says, "" for none; spoiled is how that code was spoilt: "", "glare", "thumb" or "grease".
	text, spoiled string
	turn          int
	seed          uint64
	width, height int
}

// file is the picture as a JPEG file.
func (s snap) file() ([]byte, error) {
	r := rand.New(rand.NewPCG(s.seed, 11))
	if s.width == 0 {
		s.width, s.height = 240, 180
	}
	img := s.bench(r)
	if s.text != "" {
		if err := s.lay(img, r); err != nil {
			return nil, err
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 82}); err != nil {
		return nil, err
	}
	if s.camera == "" {
		return b.Bytes(), nil
	}
	body := append([]byte("Exif\x00\x00"), s.exif()...)
	head := binary.BigEndian.AppendUint16([]byte{0xff, 0xd8, 0xff, 0xe1}, uint16(len(body)+2))
	return append(append(head, body...), b.Bytes()[2:]...), nil
}

// bench paints a workbench with something on it, unlike any other seed's.
func (s snap) bench(r *rand.Rand) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, s.width, s.height))
	for y := range s.height {
		for x := range s.width {
			img.Pix[y*img.Stride+x] = uint8(90 + 40*x/s.width + 30*y/s.height + r.IntN(8))
		}
	}
	for range 9 {
		cx, cy, rad, shade := r.IntN(s.width), r.IntN(s.height), s.width/30+r.IntN(s.width/9), uint8(40+r.IntN(180))
		for y := max(cy-rad, 0); y < min(cy+rad, s.height); y++ {
			for x := max(cx-rad, 0); x < min(cx+rad, s.width); x++ {
				if (x-cx)*(x-cx)+(y-cy)*(y-cy) < rad*rad {
					img.Pix[y*img.Stride+x] = shade
				}
			}
		}
	}
	return img
}

// lay puts a paper with the code on the bench, a little turned, and spoils it where that is asked for.
func (s snap) lay(img *image.Gray, r *rand.Rand) error {
	symbol, err := code.Encode(s.text, code.Rough)
	if err != nil {
		return err
	}
	modules := float64(symbol.Side + 2*code.Quiet)
	pixels := float64(min(s.width, s.height)) * 0.62 / modules
	sin, cos := math.Sincos((r.Float64() - 0.5) * 0.5)
	for y := range s.height {
		for x := range s.width {
			u, v := (float64(x)-float64(s.width)/2)/pixels, (float64(y)-float64(s.height)/2)/pixels
			mx, my := u*cos+v*sin+modules/2, -u*sin+v*cos+modules/2
			if mx < 0 || my < 0 || mx >= modules || my >= modules {
				continue
			}
			shade := uint8(235)
			if symbol.Dark(int(mx)-code.Quiet, int(my)-code.Quiet) {
				shade = 30
			}
			img.Pix[y*img.Stride+x] = s.spoil(shade, mx-code.Quiet, my-code.Quiet, float64(symbol.Side))
		}
	}
	return nil
}

// spoil changes what is seen of the code at a module.
func (s snap) spoil(shade uint8, mx, my, side float64) uint8 {
	switch {
	case s.spoiled == "glare" && math.Hypot(mx-side*0.55, my-side*0.6) < side*0.33:
		return 255
	case s.spoiled == "thumb" && mx > side*0.45 && my > side*0.4:
		return 140
	case s.spoiled == "grease" && (int(mx*1.3)+int(my*1.7))%3 == 0 && mx > 8 && my > 8:
		return 40
	}
	return shade
}

// exif is the block that a camera writes: make, model, turn, and when.
func (s snap) exif() []byte {
	be := binary.BigEndian
	text := func(s string) string { return s + "\x00" }
	maker, model, taken := text("Halden"), text("Halden "+s.camera), text(s.taken)
	const top, inner = 4, 1
	exifAt := 8 + 2 + top*12 + 4
	dataAt := exifAt + 2 + inner*12 + 4
	block := be.AppendUint16([]byte("MM\x00*\x00\x00\x00\x08"), top)
	put := func(tag, kind uint16, count, value uint32) {
		block = be.AppendUint32(be.AppendUint32(be.AppendUint16(be.AppendUint16(block, tag), kind), count), value)
	}
	put(0x010f, 2, uint32(len(maker)), uint32(dataAt))
	put(0x0110, 2, uint32(len(model)), uint32(dataAt+len(maker)))
	put(0x0112, 3, 1, uint32(max(s.turn, 1))<<16)
	put(0x8769, 4, 1, uint32(exifAt))
	block = be.AppendUint16(be.AppendUint32(block, 0), inner)
	put(0x9003, 2, uint32(len(taken)), uint32(dataAt+len(maker)+len(model)))
	return append(be.AppendUint32(block, 0), maker+model+taken...)
}

// photograph is a command of scripts: photograph FILE [camera=F3] [taken='2026:03:02 08:04:11'] [text=...] [spoiled=...] [turn=6]
// [seed=4] [width=800] [height=600]. A name that ends in .heic gives a HEIC file.
func photograph(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: photograph FILE [name=value ...]")
	}
	var s snap
	for _, word := range args[1:] {
		name, value, _ := strings.Cut(word, "=")
		var err error
		switch name {
		case "camera":
			s.camera = value
		case "taken":
			s.taken = value
		case "text":
			s.text = value
		case "spoiled":
			s.spoiled = value
		case "turn":
			_, err = fmt.Sscan(value, &s.turn)
		case "seed":
			_, err = fmt.Sscan(value, &s.seed)
		case "width":
			_, err = fmt.Sscan(value, &s.width)
		case "height":
			_, err = fmt.Sscan(value, &s.height)
		default:
			ts.Fatalf("photograph does not know %s", name)
		}
		ts.Check(err)
	}
	file, err := s.file()
	ts.Check(err)
	if filepath.Ext(args[0]) == ".heic" {
		file = s.heic()
	}
	path := ts.MkAbs(args[0])
	ts.Check(os.MkdirAll(filepath.Dir(path), 0o755))
	ts.Check(os.WriteFile(path, file, 0o644))
}
