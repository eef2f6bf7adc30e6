package code

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"pgregory.net/rapid"
)

// paper draws a symbol on white paper with its quiet border.
func paper(s Symbol, pixels int) *image.Gray {
	side := (s.Side + 2*Quiet) * pixels
	img := image.NewGray(image.Rect(0, 0, side, side))
	for y := range side {
		for x := range side {
			img.Pix[y*img.Stride+x] = 255
			if s.Dark(x/pixels-Quiet, y/pixels-Quiet) {
				img.Pix[y*img.Stride+x] = 0
			}
		}
	}
	return img
}

func asPNG(t testing.TB, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// needsZbar asks for another reader than ours. It is part of the whole check;
// elsewhere the test says that it is absent.
func needsZbar(t testing.TB) {
	t.Helper()
	if _, err := exec.LookPath("zbarimg"); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("zbarimg is not installed")
		}
		t.Skip("zbarimg is not installed, so no other reader looks at the codes")
	}
}

func zbar(t testing.TB, img image.Image) string {
	t.Helper()
	needsZbar(t)
	name := filepath.Join(t.TempDir(), "code.png")
	if err := os.WriteFile(name, asPNG(t, img), 0o600); err != nil {
		t.Fatal(err)
	}
	out, _ := exec.Command("zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", name).Output()
	return strings.TrimRight(string(out), "\n")
}

var texts = []string{
	"BENCH:TAG/0109-8", "BENCH:SHEET/STRIP-DOWN/TERN-1500/2025-09-16/2", "7", "a lower-case text, with signs: []{}~!",
	strings.Repeat("BENCH:SHEET/STOCK-TAKE/", 6),
}

func TestAnotherReaderReadsOurCodes(t *testing.T) {
	for _, text := range texts {
		for _, level := range []Level{Clean, Rough} {
			s, err := Encode(text, level)
			if err != nil {
				t.Fatal(err)
			}
			if got := zbar(t, paper(s, 4)); got != text {
				t.Errorf("level %d: zbarimg read %q from a code of %q", level, got, text)
			}
		}
	}
}

func TestWeReadWhatAnotherEncoderWrote(t *testing.T) {
	for _, text := range texts {
		img, err := qrcode.NewQRCodeWriter().Encode(text, gozxing.BarcodeFormat_QR_CODE, 300, 300, nil)
		if err != nil {
			t.Fatal(err)
		}
		found, err := Read(context.Background(), img)
		if err != nil || len(found) != 1 || found[0].Text != text {
			t.Errorf("%q was read as %v, %v", text, found, err)
		}
	}
}

func TestEveryTextIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[ -~]{1,120}`).Draw(t, "text")
		s, err := Encode(text, Level(rapid.IntRange(0, 1).Draw(t, "level")))
		if err != nil {
			t.Fatal(err)
		}
		found, err := Read(context.Background(), paper(s, 4))
		if err != nil || len(found) != 1 || found[0].Text != text {
			t.Fatalf("%q was read as %v, %v", text, found, err)
		}
	})
}

func TestWhatNoCodeCanSayIsRefused(t *testing.T) {
	for text, want := range map[string]string{
		"":                        "empty",
		"Zündkerze":               "printable ASCII only",
		"two\nlines":              "printable ASCII only",
		strings.Repeat("x", 3000): "3000 characters are more than a code can hold",
	} {
		if _, err := Encode(text, Clean); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v; want %q", shown(text), err, want)
		}
	}
}

func TestOutlinesFillExactlyTheDarkModules(t *testing.T) {
	s, err := Encode(texts[1], Rough)
	if err != nil {
		t.Fatal(err)
	}
	loops := s.Outlines()
	for y := range s.Side {
		for x := range s.Side {
			evenOdd, winding := crossings(loops, float64(x)+0.5, float64(y)+0.5)
			if dark := s.Dark(x, y); (evenOdd%2 == 1) != dark || (winding != 0) != dark {
				t.Fatalf("module %d, %d: dark %v, even-odd %d, winding %d", x, y, dark, evenOdd, winding)
			}
		}
	}
	for _, l := range loops {
		for i, c := range l {
			n := l[(i+1)%len(l)]
			if (c.X == n.X) == (c.Y == n.Y) {
				t.Fatalf("from %v to %v is no straight edge", c, n)
			}
		}
	}
}

// crossings counts the vertical edges to the right of a point, plainly and by direction.
func crossings(loops [][]Corner, x, y float64) (count, winding int) {
	for _, l := range loops {
		for i, a := range l {
			b := l[(i+1)%len(l)]
			if a.X != b.X || float64(a.X) < x {
				continue
			}
			if float64(a.Y) < y && y < float64(b.Y) {
				count, winding = count+1, winding+1
			} else if float64(b.Y) < y && y < float64(a.Y) {
				count, winding = count+1, winding-1
			}
		}
	}
	return count, winding
}

func TestSeveralCodesInOnePictureAreAllRead(t *testing.T) {
	sheet := image.NewGray(image.Rect(0, 0, 900, 900))
	for i := range sheet.Pix {
		sheet.Pix[i] = 255
	}
	var want []string
	for i := range 4 {
		tag, _ := NewTag(100 + i)
		text, _ := TagPayload(tag).Text()
		want = append(want, text)
		s, _ := Encode(text, Rough)
		stamp := paper(s, 8)
		for y := range stamp.Rect.Dy() {
			copy(sheet.Pix[(y+100+i/2*400)*sheet.Stride+100+i%2*400:], stamp.Pix[y*stamp.Stride:y*stamp.Stride+stamp.Rect.Dx()])
		}
	}
	for range 5 { // the order is always the same: down the picture, then across
		found, err := Read(context.Background(), sheet)
		if err != nil || len(found) != len(want) {
			t.Fatalf("%v, %v", found, err)
		}
		for i, f := range found {
			if f.Text != want[i] {
				t.Errorf("code %d is %s, want %s", i, f.Text, want[i])
			}
		}
	}
}

// reseal mends the checksum of the first chunk of a PNG file.
func reseal(file []byte) []byte {
	binary.BigEndian.PutUint32(file[29:], crc32.ChecksumIEEE(file[12:29]))
	return file
}

func TestHostilePicturesAreRefusedBeforeTheyAreUnpacked(t *testing.T) {
	huge := asPNG(t, image.NewGray(image.Rect(0, 0, 2, 2)))
	copy(huge[16:24], []byte{0, 1, 0, 0, 0, 1, 0, 0}) // claims 65536 by 65536 pixels
	for name, c := range map[string]struct {
		file []byte
		want string
	}{
		"nothing":           {nil, ErrNotPicture.Error()},
		"a web page":        {[]byte("<html>"), ErrNotPicture.Error()},
		"half a picture":    {asPNG(t, image.NewGray(image.Rect(0, 0, 400, 400)))[:60], ErrNotPicture.Error()},
		"a claim too large": {reseal(huge), "claims 65536 × 65536 pixels"},
		"a file too large":  {make([]byte, MaxPictureBytes+1), "bytes, more than"},
	} {
		if _, err := ReadPicture(context.Background(), c.file); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; want %q", name, err, c.want)
		}
	}
}

func TestReadingStopsWhenItIsToldTo(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := ReadPicture(ctx, asPNG(t, image.NewGray(image.Rect(0, 0, 9, 9)))); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}

func TestAJPEGAndAPictureOffItsOriginAreReadLikeAnyOther(t *testing.T) {
	s, _ := Encode(texts[0], Rough)
	var file bytes.Buffer
	coloured := image.NewNRGBA(image.Rect(50, 70, 50+29*6, 70+29*6))
	for y := range 29 * 6 {
		for x := range 29 * 6 {
			c := color.NRGBA{240, 230, 190, 255}
			if s.Dark(x/6-Quiet, y/6-Quiet) {
				c = color.NRGBA{30, 20, 60, 255}
			}
			coloured.SetNRGBA(x+50, y+70, c)
		}
	}
	if err := jpeg.Encode(&file, coloured, &jpeg.Options{Quality: 60}); err != nil {
		t.Fatal(err)
	}
	fromFile, err := ReadPicture(context.Background(), file.Bytes())
	if err != nil || len(fromFile) != 1 || fromFile[0].Text != texts[0] {
		t.Errorf("JPEG: %v, %v", fromFile, err)
	}
	direct, err := Read(context.Background(), coloured)
	if err != nil || len(direct) != 1 || direct[0].Text != texts[0] {
		t.Errorf("off its origin: %v, %v", direct, err)
	}
}

func FuzzReadPicture(f *testing.F) {
	s, _ := Encode(texts[0], Rough)
	f.Add(asPNG(f, paper(s, 3)))
	var j bytes.Buffer
	if err := jpeg.Encode(&j, paper(s, 3), nil); err != nil {
		f.Fatal(err)
	}
	f.Add(j.Bytes())
	f.Add([]byte("\x89PNG\r\n\x1a\n"))
	f.Fuzz(func(t *testing.T, file []byte) {
		found, err := ReadPicture(context.Background(), file)
		if err != nil && found != nil {
			t.Error("both found and failed")
		}
		for _, c := range found {
			ParsePayload(c.Text)
		}
	})
}

// FuzzRead takes the bytes for the modules themselves: finder marks in the
// corners and anything between them, as a hostile print would show.
func FuzzRead(f *testing.F) {
	s, _ := Encode(texts[1], Clean)
	seed := make([]byte, (s.Side*s.Side+7)/8)
	for i, d := range s.dark {
		if d {
			seed[i/8] |= 1 << (i % 8)
		}
	}
	f.Add(seed, uint8(s.Side))
	f.Fuzz(func(t *testing.T, bits []byte, side uint8) {
		s := Symbol{Side: 21 + int(side)%60}
		s.dark = make([]bool, s.Side*s.Side)
		for i := range s.dark {
			s.dark[i] = i/8 < len(bits) && bits[i/8]>>(i%8)&1 == 1
		}
		if _, err := Read(context.Background(), paper(s, 2)); err != nil {
			t.Error(err)
		}
	})
}

func BenchmarkReadPicture(b *testing.B) {
	s, _ := Encode(texts[0], Rough)
	photo := image.NewGray(image.Rect(0, 0, 4000, 3000))
	for i := range photo.Pix {
		photo.Pix[i] = uint8(90 + i%7)
	}
	stamp := paper(s, 12)
	for y := range stamp.Rect.Dy() {
		copy(photo.Pix[(y+900)*photo.Stride+1500:], stamp.Pix[y*stamp.Stride:y*stamp.Stride+stamp.Rect.Dx()])
	}
	var file bytes.Buffer
	if err := jpeg.Encode(&file, photo, nil); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if found, err := ReadPicture(context.Background(), file.Bytes()); err != nil || len(found) != 1 {
			b.Fatal(found, err)
		}
	}
}
