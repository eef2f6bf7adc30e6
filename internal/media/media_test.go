package media

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// teal is a camera of a make that nobody makes.
var teal = shot{maker: "Halden", model: "Halden F3", serial: "00417", taken: "2026:03:02 08:04:11", offset: "+01:00"}

func inspected(t testing.TB, file []byte) Facts {
	t.Helper()
	f, err := Inspect(file)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestAPhotoSaysWhenAndByWhichCameraItWasTaken(t *testing.T) {
	for _, order := range []binary.AppendByteOrder{binary.BigEndian, binary.LittleEndian} {
		s := teal
		s.order, s.turn, s.placed = order, 6, true
		f := inspected(t, photographed(t, scene(60, 40, 1), s))
		w, h := f.Upright()
		if f.Type != JPEG || f.Taken.String() != "2026-03-02T08:04:11+01:00" || f.Maker != "Halden F3" || len(f.Camera) != 8 ||
			f.Turn != 6 || w != 40 || h != 60 || !f.Placed || !f.HasCamera() {
			t.Errorf("%v: %+v", order, f)
		}
	}
}

func TestC49ATimeWithoutAZoneStaysWithoutOne(t *testing.T) {
	s := teal
	s.offset = ""
	f := inspected(t, photographed(t, scene(20, 20, 1), s))
	if f.Taken.Zoned || f.Taken.String() != "2026-03-02T08:04:11" {
		t.Errorf("%+v", f.Taken)
	}
}

func TestATimeThatNoClockShowsIsNoTime(t *testing.T) {
	for _, taken := range []string{"0000:00:00 00:00:00", "    :  :     :  :  ", "2026:02:30 10:00:00", "2026:03:02 25:00:00", "2026-03-02 08:04:11", "yesterday", ""} {
		s := teal
		s.taken = taken
		if f := inspected(t, photographed(t, scene(20, 20, 1), s)); !f.Taken.IsZero() || f.Taken.String() != "" {
			t.Errorf("%q was read as %v", taken, f.Taken)
		}
	}
	for _, offset := range []string{"+15:00", "-13:00", "one", "+1:00"} {
		s := teal
		s.offset = offset
		if f := inspected(t, photographed(t, scene(20, 20, 1), s)); f.Taken.Zoned {
			t.Errorf("%q was read as %v", offset, f.Taken)
		}
	}
}

func TestCamerasAreToldApartAndNotNamed(t *testing.T) {
	other := teal
	other.serial = "00418"
	a, b := inspected(t, photographed(t, scene(20, 20, 1), teal)), inspected(t, photographed(t, scene(20, 20, 2), other))
	again := inspected(t, photographed(t, scene(20, 20, 3), teal))
	if a.Camera == b.Camera || a.Camera != again.Camera || strings.Contains(a.Camera, "alden") {
		t.Errorf("%s, %s, %s", a.Camera, b.Camera, again.Camera)
	}
}

func TestHostileNamesOfCamerasAreCutToPlainWords(t *testing.T) {
	s := shot{maker: "\x1b[31mred\u202e", model: strings.Repeat("long ", 100)}
	f := inspected(t, photographed(t, scene(20, 20, 1), s))
	if strings.ContainsAny(f.Maker, "\x1b\u202e") || len(f.Maker) > 130 {
		t.Errorf("%q", f.Maker)
	}
}

func TestAPNGTellsWhatItsExifChunkSays(t *testing.T) {
	f := inspected(t, withChunk(asPNG(t, scene(30, 20, 1)), "eXIf", exifBlock(teal)))
	if f.Type != PNG || f.Width != 30 || f.Height != 20 || f.Taken.String() != "2026-03-02T08:04:11+01:00" {
		t.Errorf("%+v", f)
	}
}

func TestOfAHEICFileWhatItSaysIsReadAndItsPixelsAreNot(t *testing.T) {
	s := teal
	s.turn = 6 // the boxes turn it; turning twice would be wrong
	file := heicFile(4032, 3024, 1, exifBlock(s))
	f := inspected(t, file)
	if f.Type != HEIC || f.Width != 3024 || f.Height != 4032 || f.Turn != Upright || f.Taken.String() != "2026-03-02T08:04:11+01:00" || f.Maker != "Halden F3" {
		t.Errorf("%+v", f)
	}
	if _, err := Pixels(file, f); !errors.Is(err, ErrNoPixels) {
		t.Error(err)
	}
}

func TestAPDFFileTellsWhenItWasMade(t *testing.T) {
	for body, want := range map[string]string{
		"/CreationDate (D:20260302080411+01'00')":                                      "2026-03-02T08:04:11+01:00",
		"/CreationDate(D:20260302080411Z)":                                             "2026-03-02T08:04:11Z",
		"/CreationDate (D:20260302080411)":                                             "2026-03-02T08:04:11",
		"/CreationDate (D:20269902080411)":                                             "",
		"/CreationDate (D:20260302080411Z) .. /CreationDate (D:20260302080411Z)":       "2026-03-02T08:04:11Z",
		"/CreationDate (D:20260302080411Z) attached: /CreationDate (D:20200101000000)": "", // one of two files
		"nothing": "",
	} {
		f := inspected(t, []byte("%PDF-1.7\n"+body+"\n%%EOF\n"))
		if f.Type != PDF || f.Taken.String() != want {
			t.Errorf("%s: %q, want %q", body, f.Taken, want)
		}
	}
	if _, err := Inspect([]byte("%PDF-1.7\nhalf of it")); !errors.Is(err, errPDF) {
		t.Error(err)
	}
}

func TestDamagedFilesKeepWhatCouldBeReadAndSaySo(t *testing.T) {
	whole := photographed(t, scene(60, 40, 1), teal)
	f, err := Inspect(whole[:400])
	if err == nil || f.Type != JPEG || f.Taken.IsZero() {
		t.Errorf("%+v, %v", f, err)
	}
	for name, file := range map[string][]byte{
		"a JPEG without a picture":    []byte("\xff\xd8\xff\xd9"),
		"a JPEG of two bytes' length": []byte("\xff\xd8\xff\xe1\x00\x01"),
		"a PNG without an end":        asPNG(t, scene(20, 20, 1))[:60],
		"a PNG of no chunk":           []byte(pngSignature),
		"a HEIC without boxes":        []byte("\x00\x00\x00\x10ftypheic\x00\x00\x00\x00"),
	} {
		if _, err := Inspect(file); err == nil || errors.Is(err, ErrUnknown) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, text := range []string{"", "<html>", "GIF89a", "\x00\x00\x00\x10ftypmp42\x00\x00\x00\x00"} {
		if _, err := Inspect([]byte(text)); !errors.Is(err, ErrUnknown) {
			t.Errorf("%q: %v", text, err)
		}
	}
	if _, err := Inspect(make([]byte, MaxBytes+1)); err == nil {
		t.Error("a file without bounds was taken")
	}
}

// TestABoxThatLeadsBackEndsTheWalk: a length of 2^64-16 leads to the box before.
func TestABoxThatLeadsBackEndsTheWalk(t *testing.T) {
	back := binary.BigEndian.AppendUint64([]byte("\x00\x00\x00\x01free"), 1<<64-16)
	file := append(boxed("ftyp", []byte("heic\x00\x00\x00\x00")), back...)
	if _, err := Inspect(file); !errors.Is(err, errHEIC) {
		t.Error(err)
	}
	none := boxed("iloc", []byte{1, 0, 0, 0, 0x00, 0x00}, bytes.Repeat([]byte{0xff}, 4096)) // items in pieces of no bytes
	file = append(boxed("ftyp", []byte("heic\x00\x00\x00\x00")),
		boxed("meta", make([]byte, 4), boxed("iinf", make([]byte, 4), []byte{0, 1}, boxed("infe", []byte{2, 0, 0, 0, 0, 2, 0, 0}, []byte("Exif\x00"))), none)...)
	if _, err := Inspect(file); !errors.Is(err, errHEIC) {
		t.Error(err)
	}
}

// patchedSize makes a JPEG file claim another size.
func patchedSize(file []byte, marker byte, w, h uint16) []byte {
	file = bytes.Clone(file)
	at := bytes.Index(file, []byte{0xff, 0xc0})
	file[at+1] = marker
	binary.BigEndian.PutUint16(file[at+5:], h)
	binary.BigEndian.PutUint16(file[at+7:], w)
	return file
}

func TestPicturesThatClaimTooMuchAreNotUnpacked(t *testing.T) {
	small := asJPEG(t, scene(40, 40, 1), 80)
	frame := []byte("\xff\xda\x00\x02")
	for name, file := range map[string][]byte{
		"a side without bounds":            patchedSize(small, 0xc0, 60000, 10),
		"a hundred megapixels in colour":   patchedSize(small, 0xc0, 10000, 10000),
		"a progressive one of 25":          patchedSize(small, markerProgressive, 5000, 5000),
		"a progressive one of a 100 scans": append(patchedSize(small, markerProgressive, 40, 40), bytes.Repeat(frame, 100)...),
		"a PNG that claims a square mile":  hugePNG(t),
	} {
		if name == "a progressive one of a 100 scans" {
			file = append(bytes.TrimSuffix(patchedSize(small, markerProgressive, 40, 40), []byte{0xff, markerEnd}), bytes.Repeat(frame, 100)...)
		}
		f, err := Inspect(file)
		if err != nil {
			t.Fatal(name, err)
		}
		if _, err := Pixels(file, f); err == nil || !strings.Contains(err.Error(), "too much room") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func hugePNG(t *testing.T) []byte {
	file := bytes.Clone(asPNG(t, image.NewGray(image.Rect(0, 0, 2, 2))))
	copy(file[16:24], []byte{0, 0, 0x70, 0, 0, 0, 0x70, 0})
	return file
}

func TestAPreviewStandsUprightAndHoldsNothingButItsPixels(t *testing.T) {
	stored := image.NewRGBA(image.Rect(0, 0, 1200, 900)) // left half dark, upper left corner red
	for y := range 900 {
		for x := range 1200 {
			c := color.RGBA{230, 230, 230, 255}
			if x < 600 {
				c = color.RGBA{30, 30, 30, 255}
			}
			if x < 150 && y < 150 {
				c = color.RGBA{220, 20, 20, 255}
			}
			stored.SetRGBA(x, y, c)
		}
	}
	s := teal
	s.turn, s.placed = 6, true // the first row is the right-hand side
	file := withSegment(photographed(t, stored, s), 0xfe, []byte("taken by somebody"))
	f := inspected(t, file)
	picture, err := Pixels(file, f)
	if err != nil {
		t.Fatal(err)
	}
	preview, err := Preview(Small(picture, f.Turn))
	if err != nil {
		t.Fatal(err)
	}
	if Bare(file) || !Bare(preview) || bytes.Contains(preview, []byte("Halden")) || bytes.Contains(preview, []byte("Exif")) {
		t.Error("the preview holds more than its pixels")
	}
	shown, err := jpeg.Decode(bytes.NewReader(preview))
	if err != nil {
		t.Fatal(err)
	}
	if b := shown.Bounds(); b.Dx() != 750 || b.Dy() != PreviewSide {
		t.Errorf("it is %v", b)
	}
	red := color.RGBAModel.Convert(shown.At(740, 10)).(color.RGBA)
	top, foot := color.GrayModel.Convert(shown.At(10, 10)).(color.Gray), color.GrayModel.Convert(shown.At(10, 990)).(color.Gray)
	if red.R < 150 || red.G > 80 || top.Y > 80 || foot.Y < 180 {
		t.Errorf("corner %v, top %v, foot %v", red, top, foot)
	}
}

// TestEveryTurnIsUndone holds the eight turns against what each means: where the
// stored first row and first column stand when the picture is upright.
func TestEveryTurnIsUndone(t *testing.T) {
	stored := image.NewRGBA(image.Rect(0, 0, 3, 2))
	for i := range 6 {
		stored.SetRGBA(i%3, i/3, color.RGBA{uint8(i), 0, 0, 255})
	}
	for turn, want := range map[Turn][]uint8{
		1: {0, 1, 2, 3, 4, 5}, 2: {2, 1, 0, 5, 4, 3}, 3: {5, 4, 3, 2, 1, 0}, 4: {3, 4, 5, 0, 1, 2},
		5: {0, 3, 1, 4, 2, 5}, 6: {3, 0, 4, 1, 5, 2}, 7: {5, 2, 4, 1, 3, 0}, 8: {2, 5, 1, 4, 0, 3},
	} {
		up := Small(stored, turn)
		var got []uint8
		for y := range up.Rect.Dy() {
			for x := range up.Rect.Dx() {
				got = append(got, up.RGBAAt(x, y).R)
			}
		}
		if !bytes.Equal(got, want) {
			t.Errorf("turn %d: %v, want %v", turn, got, want)
		}
	}
}

func TestBareRefusesWhateverIsNotPixels(t *testing.T) {
	plainJPEG, plainPNG := asJPEG(t, scene(20, 20, 1), 80), asPNG(t, scene(20, 20, 1))
	if !Bare(plainJPEG) || !Bare(plainPNG) {
		t.Fatal("plain pictures are not taken")
	}
	for name, file := range map[string][]byte{
		"a remark":             withSegment(plainJPEG, 0xfe, []byte("by somebody")),
		"data of a camera":     photographed(t, scene(20, 20, 1), teal),
		"a colour profile":     withSegment(plainJPEG, 0xe2, []byte("ICC_PROFILE\x00")),
		"something behind it":  append(bytes.Clone(plainJPEG), "more"...),
		"a second picture":     append(bytes.Clone(plainJPEG), plainJPEG...),
		"a text in a PNG":      withChunk(plainPNG, "tEXt", []byte("Author\x00somebody")),
		"Exif in a PNG":        withChunk(plainPNG, "eXIf", exifBlock(teal)),
		"something behind PNG": append(bytes.Clone(plainPNG), 0),
		"a PDF file":           []byte("%PDF-1.7\n%%EOF"),
		"nothing":              nil,
	} {
		if Bare(file) {
			t.Errorf("%s was taken for a bare picture", name)
		}
	}
}

func likeness(t testing.TB, file []byte) Likeness {
	t.Helper()
	f := inspected(t, file)
	picture, err := Pixels(file, f)
	if err != nil {
		t.Fatal(err)
	}
	return LikenessOf(Small(picture, f.Turn))
}

func TestC48ACopyThatAMessagingProgramMadeSmallerIsKnownAgain(t *testing.T) {
	for seed := range uint64(6) {
		full := scene(480, 360, seed)
		s := teal
		s.turn = 6
		original := likeness(t, photographed(t, full, s))
		upright := Small(full, 6)
		sent := asJPEG(t, reduce(upright, 240), 55) // upright by then, smaller, and nothing of the camera left
		if !original.Like(likeness(t, sent)) {
			t.Errorf("scene %d: the copy is not known again", seed)
		}
		if f := inspected(t, sent); f.HasCamera() {
			t.Errorf("%+v", f)
		}
	}
}

func TestTwoPicturesOfOneThingAreNotCopiesOfEachOther(t *testing.T) {
	for seed := range uint64(6) {
		full := scene(504, 378, seed)
		first := full.SubImage(image.Rect(0, 0, 480, 360))
		next := full.SubImage(image.Rect(14, 10, 494, 370)) // the hand moved by a fortieth
		if LikenessOf(Small(first, Upright)).Like(LikenessOf(Small(next, Upright))) {
			t.Errorf("scene %d: two moments were taken for one", seed)
		}
		if LikenessOf(Small(full, Upright)).Like(LikenessOf(Small(scene(504, 378, seed+100), Upright))) {
			t.Errorf("scene %d is like another", seed)
		}
	}
}

func TestABlankPictureIsLikeNothing(t *testing.T) {
	blank := LikenessOf(Small(image.NewGray(image.Rect(0, 0, 400, 300)), Upright))
	if blank.Like(blank) || (Likeness{}).Like(Likeness{}) {
		t.Error("a blank picture is like itself, and so like every other")
	}
}

func TestAMomentIsWrittenAsItsClockShowedIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		clock := time.Unix(rapid.Int64Range(0, 4_000_000_000).Draw(t, "seconds"), 0).UTC()
		m := Moment{Clock: clock, Zoned: rapid.Bool().Draw(t, "zoned")}
		if m.Zoned {
			m.East = time.Duration(rapid.IntRange(-48, 56).Draw(t, "quarters")) * 15 * time.Minute
		}
		if !strings.HasPrefix(m.String(), clock.Format("2006-01-02T15:04:05")) {
			t.Fatalf("%v is written %s", m, m)
		}
		if parsed, err := time.Parse(time.RFC3339, m.String()); m.Zoned && (err != nil || !parsed.Equal(clock.Add(-m.East))) {
			t.Fatalf("%s is %v, %v", m, parsed, err)
		}
	})
}

func FuzzInspect(f *testing.F) {
	f.Add(photographed(f, scene(16, 16, 1), teal))
	f.Add(withChunk(asPNG(f, scene(16, 16, 1)), "eXIf", exifBlock(teal)))
	f.Add(heicFile(40, 30, 1, exifBlock(teal)))
	f.Add([]byte("%PDF-1.7\n/CreationDate (D:20260302080411+01'00')\n%%EOF\n"))
	f.Fuzz(func(t *testing.T, file []byte) {
		facts, err := Inspect(file)
		if err != nil && errors.Is(err, ErrUnknown) != (facts == Facts{}) {
			t.Errorf("%+v beside %v", facts, err)
		}
		if len(facts.Maker) > 130 || facts.Turn < 0 || facts.Turn > 8 || facts.Width < 0 || facts.Height < 0 {
			t.Errorf("%+v", facts)
		}
		facts.unpacked *= 256 // a fuzzer's machine is small
		if picture, err := Pixels(file, facts); err == nil {
			preview, err := Preview(Small(picture, facts.Turn))
			if err != nil || !Bare(preview) {
				t.Errorf("preview: %v", err)
			}
			LikenessOf(Small(picture, facts.Turn))
		}
		Bare(file)
	})
}

func BenchmarkPreviewOfTwelveMegapixels(b *testing.B) {
	file := photographed(b, scene(4000, 3000, 1), teal)
	b.SetBytes(int64(len(file)))
	for b.Loop() {
		f, err := Inspect(file)
		if err != nil {
			b.Fatal(err)
		}
		picture, err := Pixels(file, f)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := Preview(Small(picture, f.Turn)); err != nil {
			b.Fatal(err)
		}
	}
}
