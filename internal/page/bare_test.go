package page

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"slices"
	"strings"
	"testing"
)

// segment is a segment of a JPEG file.
func segment(marker byte, content string) []byte {
	n := len(content) + 2
	return append([]byte{0xff, marker, byte(n >> 8), byte(n)}, content...)
}

func TestOnlyWhatThePictureNeedsIsKept(t *testing.T) {
	for name, c := range map[string]struct {
		segment []byte
		kept    bool
	}{
		"the size of its pixels":        {segment(0xe0, "JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00"), true},
		"how its colours are stored":    {segment(0xee, "Adobe\x00\x64\x00\x00\x00\x00\x01"), true},
		"a table":                       {segment(0xdd, "\x00\x00"), true},
		"a small picture beside it":     {segment(0xe0, "JFXX\x00\x10thumbnail"), false},
		"where it was taken":            {segment(0xe1, "Exif\x00\x00MM"), false},
		"what a program wrote":          {segment(0xe1, "http://ns.adobe.com/xap/1.0/\x00<x/>"), false},
		"a profile of colours":          {segment(0xe2, "ICC_PROFILE\x00"), false},
		"a caption of a press agency":   {segment(0xed, "Photoshop 3.0\x00"), false},
		"something else at that marker": {segment(0xee, "Ducky"), false},
		"a comment":                     {segment(0xfe, "by an invented person"), false},
	} {
		plain := photo(t)
		file := append(append(append([]byte(nil), plain[:2]...), c.segment...), plain[2:]...)
		bare, ok := bareJPEG(file)
		if !ok || bytes.Contains(bare, c.segment) != c.kept {
			t.Errorf("%s: read %v, kept %v", name, ok, bytes.Contains(bare, c.segment))
		}
		if _, err := jpeg.Decode(bytes.NewReader(bare)); err != nil && !strings.Contains(err.Error(), "restart") {
			t.Errorf("%s: the picture is no picture any more: %v", name, err)
		}
	}
}

func TestADamagedJPEGIsNotPassedOn(t *testing.T) {
	plain := photo(t)
	for name, file := range map[string][]byte{
		"nothing":                    nil,
		"one byte":                   {0xff},
		"not a picture":              []byte("hello, world"),
		"a beginning alone":          plain[:2],
		"no end":                     plain[:len(plain)-2],
		"a segment of no length":     {0xff, 0xd8, 0xff, 0xe0, 0, 0},
		"a segment past the end":     {0xff, 0xd8, 0xff, 0xe0, 0xff, 0xff, 1},
		"no marker where one is due": {0xff, 0xd8, 0x00, 0xe0, 0, 2},
		"a cut scan":                 {0xff, 0xd8, 0xff, 0xda, 0, 2, 1, 2, 3},
	} {
		if _, ok := bareJPEG(file); ok {
			t.Errorf("%s was passed on", name)
		}
	}
}

func TestStuffedBytesAndRestartsDoNotEndAScan(t *testing.T) {
	file := []byte{0xff, 0xd8, 0xff, 0xda, 0, 2, 1, 0xff, 0x00, 2, 0xff, 0xd3, 3, 0xff, 0xff, 0xd9, 'x'}
	bare, ok := bareJPEG(file)
	if !ok || !bytes.HasSuffix(bare, []byte{0xff, 0xd9}) || bytes.Contains(bare, []byte("x")) || !bytes.Contains(bare, []byte{3}) {
		t.Errorf("%v, % x", ok, bare)
	}
}

func TestAGreyPictureStaysGrey(t *testing.T) {
	var grey bytes.Buffer
	if err := jpeg.Encode(&grey, image.NewGray(image.Rect(0, 0, 8, 8)), nil); err != nil {
		t.Fatal(err)
	}
	if pic := held(t, grey.Bytes()); pic.space != "DeviceGray" || pic.filter != "DCTDecode" {
		t.Errorf("%+v", pic)
	}
	grey.Reset()
	if err := png.Encode(&grey, image.NewGray(image.Rect(0, 0, 8, 4))); err != nil {
		t.Fatal(err)
	}
	pic := held(t, grey.Bytes())
	if unpacked := inflated(t, pic.data); pic.space != "DeviceGray" || pic.filter != "FlateDecode" || len(unpacked) != 32 {
		t.Errorf("%+v, %d bytes", pic, len(unpacked))
	}
}

// held is a photo as a file would hold it.
func held(t *testing.T, file []byte) picture {
	t.Helper()
	photo, err := BarePhoto(file)
	if err != nil {
		t.Fatal(err)
	}
	pic, err := newPicture(photo)
	if err != nil {
		t.Fatal(err)
	}
	return pic
}

func inflated(t *testing.T, data []byte) []byte {
	t.Helper()
	z, err := zlib.NewReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	plain, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return plain
}

func TestOfAPNGOnlyThePictureIsKept(t *testing.T) {
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewNRGBA(image.Rect(0, 0, 3, 2))); err != nil {
		t.Fatal(err)
	}
	plain := b.Bytes()
	words := append([]byte{0, 0, 0, 9}, "tEXtby\x00someon????"...)
	file := append(append(append([]byte(nil), plain[:33]...), words...), plain[33:]...) // behind the head
	if bare, ok := barePNG(append(file, "behind the end"...)); !ok || !bytes.Equal(bare, plain) {
		t.Errorf("%v, %q", ok, bare)
	}
	for name, damaged := range map[string][]byte{"nothing": nil, "its signature": plain[:8], "no end": plain[:len(plain)-12], "a chunk past the end": append(plain[:8:8], 0xff, 0xff, 0xff, 0xff, 'I', 'D', 'A', 'T', 0, 0, 0, 0)} {
		if _, ok := barePNG(damaged); ok {
			t.Errorf("%s was passed on", name)
		}
	}
}

func TestWhatShowsThroughIsPaper(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 3, 1))
	img.Set(0, 0, color.NRGBA{0, 0, 0, 0})
	img.Set(1, 0, color.NRGBA{0, 0, 0, 255})
	img.Set(2, 0, color.NRGBA{255, 0, 0, 128})
	got := pixels(img, false)
	want := []byte{255, 255, 255, 0, 0, 0, 255, 127, 127}
	if !bytes.Equal(got, want) {
		t.Errorf("% d, want % d", got, want)
	}
}

func TestAPictureThatClaimsTooMuchIsRefusedUnread(t *testing.T) {
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"a large file":        {make([]byte, maxPictureBytes+1), "bytes, more than"},
		"not a picture":       {[]byte("x"), "neither JPEG nor PNG"},
		"a PNG of many":       {claims(3_000, 3_000), "claims 3000 × 3000 pixels"},
		"a PNG long and thin": {claims(30_000, 1), "claims 30000 × 1 pixels"},
		"a JPEG of many":      {slices.Concat([]byte{0xff, 0xd8}, segment(0xe0, "JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00"), segment(0xc0, "\x08\xff\xff\xff\xff\x01\x01\x11\x00")), "claims 65535 × 65535 pixels"},
	} {
		if _, err := BarePhoto(c.data); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// claims is the head of a PNG file that says so many pixels.
func claims(w, h uint32) []byte {
	head := append([]byte("IHDR"), binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)...)
	head = append(head, 8, 6, 0, 0, 0)
	file := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), head...)
	return binary.BigEndian.AppendUint32(file, crc32.ChecksumIEEE(head))
}
