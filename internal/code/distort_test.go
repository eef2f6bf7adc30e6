package code

import (
	"context"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
)

// shot is how a telephone held over a tag may see it.
type shot struct {
	turn   float64 // radians
	tilt   float64 // how much smaller the far edge is
	blur   int     // passes of a three-pixel mean
	noise  int     // the largest error of a pixel
	shadow float64 // how dark the darker side gets, from 0
	glare  float64 // radius of a burnt-out spot, as a share of the code
	dirt   int     // spots of grease
}

// take photographs a symbol on a grey bench.
func take(s Symbol, c shot, r *rand.Rand) *image.Gray {
	const view, module = 480, 6
	page := paper(s, module)
	side := float64(page.Rect.Dx())
	img := image.NewGray(image.Rect(0, 0, view, view))
	sin, cos := math.Sincos(c.turn)
	gx, gy := view/2+side*(r.Float64()-0.5)*0.6, view/2+side*(r.Float64()-0.5)*0.6
	for y := range view {
		for x := range view {
			u, v := float64(x)-view/2, float64(y)-view/2
			w := 1 + c.tilt*v/view
			u, v = u*w, v*w
			px, py := u*cos+v*sin+side/2, -u*sin+v*cos+side/2
			light := 120.0 // the bench
			if px >= 0 && py >= 0 && px < side && py < side {
				light = 35 + 200*float64(page.GrayAt(int(px), int(py)).Y)/255
			}
			light *= 1 - c.shadow*float64(x+y)/(2*view)
			if c.glare > 0 && math.Hypot(float64(x)-gx, float64(y)-gy) < c.glare*side {
				light = 255
			}
			light += float64(r.IntN(2*c.noise+1) - c.noise)
			img.Pix[y*img.Stride+x] = uint8(min(max(light, 0), 255))
		}
	}
	for range c.dirt {
		spot(img, r.IntN(view), r.IntN(view), 4+r.IntN(9))
	}
	for range c.blur {
		img = soften(img)
	}
	return img
}

func spot(img *image.Gray, cx, cy, radius int) {
	for y := cy - radius; y <= cy+radius; y++ {
		for x := cx - radius; x <= cx+radius; x++ {
			if (image.Point{x, y}).In(img.Rect) && (x-cx)*(x-cx)+(y-cy)*(y-cy) < radius*radius {
				img.Pix[y*img.Stride+x] = 40
			}
		}
	}
}

func soften(img *image.Gray) *image.Gray {
	out := image.NewGray(img.Rect)
	w, h := img.Rect.Dx(), img.Rect.Dy()
	for y := range h {
		for x := range w {
			sum, n := 0, 0
			for v := max(y-1, 0); v <= min(y+1, h-1); v++ {
				for u := max(x-1, 0); u <= min(x+1, w-1); u++ {
					sum, n = sum+int(img.Pix[v*img.Stride+u]), n+1
				}
			}
			out.Pix[y*out.Stride+x] = uint8(sum / n)
		}
	}
	return out
}

// encoder makes a symbol of a text.
type encoder func(t *testing.T, text string) Symbol

func byUs(t *testing.T, text string) Symbol {
	t.Helper()
	s, err := Encode(text, Rough)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// byAnother encodes with another program's encoder, without its border.
func byAnother(t *testing.T, text string) Symbol {
	t.Helper()
	hints := map[gozxing.EncodeHintType]any{gozxing.EncodeHintType_ERROR_CORRECTION: "Q", gozxing.EncodeHintType_MARGIN: 0}
	bits, err := qrcode.NewQRCodeWriter().Encode(text, gozxing.BarcodeFormat_QR_CODE, 0, 0, hints)
	if err != nil {
		t.Fatal(err)
	}
	s := Symbol{Side: bits.GetWidth(), dark: make([]bool, bits.GetWidth()*bits.GetWidth())}
	for i := range s.dark {
		s.dark[i] = bits.Get(i%s.Side, i/s.Side)
	}
	return s
}

// byStrangers encodes with a program that shares no code with ours or with the
// library that we read with. Where it is absent the test says so; in the whole
// check it has to be there.
func byStrangers(t *testing.T, text string) Symbol {
	t.Helper()
	out, err := exec.Command("qrencode", "-t", "ASCII", "-m", "0", "-l", "Q", "-o", "-", text).Output() // two characters a module
	if err != nil {
		t.Fatal(err)
	}
	rows := strings.Split(strings.TrimRight(string(out), "\n"), "\n")
	s := Symbol{Side: len(rows)}
	for _, row := range rows {
		for x := range s.Side {
			s.dark = append(s.dark, 2*x < len(row) && row[2*x] == '#')
		}
	}
	return s
}

// encoders are all that are here, ours first.
func encoders(t *testing.T) map[string]encoder {
	t.Helper()
	list := map[string]encoder{"ours": byUs, "another encoder's": byAnother}
	switch _, err := exec.LookPath("qrencode"); {
	case err == nil:
		list["qrencode's"] = byStrangers
	case os.Getenv("CI") != "":
		t.Fatal("qrencode is not installed")
	default:
		t.Log("qrencode is not installed, so its codes are not read")
	}
	return list
}

// manner says how the picture of that number is taken.
type manner func(i int, r *rand.Rand) shot

// enough is how many of so many pictures are taken.
func enough(pictures int) int {
	if raced {
		return max(pictures/12, 1)
	}
	return pictures
}

// photographed takes so many tags in the given manner, and gives what they say.
func photographed(t *testing.T, pictures int, encode encoder, how manner) (texts []string, taken []*image.Gray) {
	t.Helper()
	r := rand.New(rand.NewPCG(7, 64))
	for i := range pictures {
		tag, err := NewTag(100 + 37*i)
		if err != nil {
			t.Fatal(err)
		}
		text, err := TagPayload(tag).Text()
		if err != nil {
			t.Fatal(err)
		}
		texts, taken = append(texts, text), append(taken, take(encode(t, text), how(i, r), r))
	}
	return texts, taken
}

// readOf counts the pictures of which we read what they say; a wrong reading
// fails the test whatever the manner.
func readOf(t *testing.T, texts []string, taken []*image.Gray) (read, seen int) {
	t.Helper()
	for i, picture := range taken {
		sight, err := Look(context.Background(), picture)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range sight.Found {
			if f.Text == texts[i] {
				read++
			} else {
				t.Errorf("picture %d: %s was read as %q", i, texts[i], f.Text)
			}
		}
		if sight.Unread {
			seen++
		}
	}
	return read, seen
}

// readByZbar is readOf for another reader, which is called once for all pictures.
func readByZbar(t *testing.T, texts []string, taken []*image.Gray) (read int) {
	t.Helper()
	dir := t.TempDir()
	names := make([]string, len(taken))
	for i, picture := range taken {
		names[i] = filepath.Join(dir, fmt.Sprintf("%03d.png", i))
		if err := os.WriteFile(names[i], asPNG(t, picture), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out, _ := exec.Command("zbarimg", append([]string{"-q", "--xml", "-Sdisable", "-Sqrcode.enable"}, names...)...).Output() // status 4: some bear none
	for _, source := range strings.Split(string(out), "<source href='")[1:] {
		name, rest, _ := strings.Cut(source, "'")
		i := slices.Index(names, name)
		for _, data := range strings.Split(rest, "<data><![CDATA[")[1:] {
			text, _, _ := strings.Cut(data, "]]>")
			if text == texts[i] {
				read++
			} else {
				t.Errorf("picture %d: zbarimg read %s as %q", i, texts[i], text)
			}
		}
	}
	return read
}

// mild is a picture that anybody would call good. No lens is without blur.
func mild(i int, r *rand.Rand) shot {
	return shot{turn: r.Float64() * 2 * math.Pi, tilt: r.Float64() * 0.3, blur: 1 + i%3, noise: 12}
}

func TestMildPicturesOfTagsAreRead(t *testing.T) {
	for name, encode := range encoders(t) {
		texts, taken := photographed(t, enough(100), encode, mild)
		read, _ := readOf(t, texts, taken)
		t.Logf("%d of %d mild pictures of %s read", read, len(taken), name)
		if read*100 < 95*len(taken) {
			t.Errorf("%s: only %d of %d", name, read, len(taken))
		}
	}
}

func TestAnotherReaderReadsMildPicturesOfOurTags(t *testing.T) {
	needsZbar(t)
	texts, taken := photographed(t, enough(100), byUs, mild)
	read := readByZbar(t, texts, taken)
	t.Logf("zbarimg read %d of %d", read, len(taken))
	if read*100 < 95*len(taken) {
		t.Errorf("only %d of %d", read, len(taken))
	}
}

// harsh are manners that may spoil a code; least is how many of 30 are read all
// the same.
var harsh = map[string]struct {
	pictures, least int
	how             manner
}{
	"a shadow across it": {30, 26, func(_ int, r *rand.Rand) shot {
		return shot{turn: r.Float64() * 7, tilt: 0.2, blur: 1, noise: 10, shadow: 0.8}
	}},
	"a burnt-out spot": {30, 2, func(_ int, r *rand.Rand) shot {
		return shot{turn: r.Float64() * 7, tilt: 0.2, blur: 1, noise: 10, glare: 0.05 + r.Float64()*0.2}
	}},
	"spots of grease": {30, 12, func(_ int, r *rand.Rand) shot {
		return shot{turn: r.Float64() * 7, tilt: 0.1, blur: 1, noise: 10, dirt: 15}
	}},
	"out of focus": {4, 0, func(_ int, r *rand.Rand) shot {
		return shot{turn: r.Float64() * 7, tilt: 0.3, blur: 15 + r.IntN(20), noise: 20}
	}},
	"a dim shop": {30, 20, func(_ int, r *rand.Rand) shot {
		return shot{turn: r.Float64() * 7, noise: 90, blur: 2, shadow: 0.6}
	}},
}

func TestShadowsGlareAndGreaseNeverGiveAWrongReading(t *testing.T) {
	for name, c := range harsh {
		t.Run(name, func(t *testing.T) {
			for whose, encode := range encoders(t) {
				texts, taken := photographed(t, enough(c.pictures), encode, c.how)
				read, seen := readOf(t, texts, taken)
				t.Logf("%s: %d of %d read, of the others %d seen as spoilt", whose, read, len(taken), seen)
				if read < c.least && !raced {
					t.Errorf("%s: only %d of %d, %d wanted", whose, read, c.pictures, c.least)
				}
			}
			needsZbar(t)
			const few = 10
			texts, taken := photographed(t, enough(min(c.pictures, few)), byUs, c.how)
			t.Logf("zbarimg read %d of %d", readByZbar(t, texts, taken), len(taken))
		})
	}
}

// TestASpoiltCodeIsSeenAndNotGuessedAt covers what error correction cannot mend
// and leaves the corner marks, or all of them but one.
func TestASpoiltCodeIsSeenAndNotGuessedAt(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	for name, spoil := range map[string]func(s Symbol, x, y int) (bool, bool){
		"torn modules":          func(s Symbol, x, y int) (bool, bool) { return x > 8 && y > 8, r.IntN(2) == 0 },
		"glare over the middle": func(s Symbol, x, y int) (bool, bool) { return x > 7 && y > 7, false },
		"a thumb on a corner":   func(s Symbol, x, y int) (bool, bool) { return x > s.Side-10 && y < 12, true },
	} {
		seen := 0
		pictures := enough(20)
		for i := range pictures {
			tag, _ := NewTag(500 + i)
			text, _ := TagPayload(tag).Text()
			s := byUs(t, text)
			for j := range s.dark {
				if spoilt, dark := spoil(s, j%s.Side, j/s.Side); spoilt {
					s.dark[j] = dark
				}
			}
			sight, err := Look(context.Background(), take(s, shot{turn: r.Float64() * 7, tilt: 0.15, blur: 1, noise: 10}, r))
			if err != nil || len(sight.Found) > 0 {
				t.Errorf("%s: %+v, %v", name, sight.Found, err)
			}
			if sight.Unread {
				seen++
			}
		}
		t.Logf("%s: %d of %d seen", name, seen, pictures)
		if seen*100 < 90*pictures {
			t.Errorf("%s: only %d of %d seen", name, seen, pictures)
		}
	}
}

// TestWhatLiesInAWorkshopIsNoSpoiltCode looks at washers, grilles and rows of
// holes: few of them may be taken for a code that somebody is then asked about.
func TestWhatLiesInAWorkshopIsNoSpoiltCode(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 2))
	asked, pictures := 0, enough(60)
	for i := range pictures {
		img := image.NewGray(image.Rect(0, 0, 480, 360))
		for j := range img.Pix {
			img.Pix[j] = uint8(110 + r.IntN(20))
		}
		for range 12 {
			ring(img, r.IntN(480), r.IntN(360), 6+r.IntN(30), 0.3+r.Float64()*0.5, uint8(20+r.IntN(60)), i%3 == 0)
		}
		sight, err := Look(context.Background(), img)
		if err != nil || len(sight.Found) > 0 {
			t.Error(sight, err)
		}
		if sight.Unread {
			asked++
		}
	}
	t.Logf("%d of %d pictures would be asked about", asked, pictures)
	if asked*10 > pictures {
		t.Errorf("%d of %d pictures without a code would be asked about", asked, pictures)
	}
}

// ring paints a washer, with a bolt in it where that is asked for.
func ring(img *image.Gray, cx, cy, radius int, hole float64, shade uint8, bolt bool) {
	for y := cy - radius; y <= cy+radius; y++ {
		for x := cx - radius; x <= cx+radius; x++ {
			d := math.Hypot(float64(x-cx), float64(y-cy)) / float64(radius)
			if (image.Point{x, y}).In(img.Rect) && d < 1 && (d > hole || bolt && d < hole*0.7) {
				img.Pix[y*img.Stride+x] = shade
			}
		}
	}
}

// TestAWallpaperOfCornerMarksEnds shows thousands of corner marks, every three of
// which could be a code.
func TestAWallpaperOfCornerMarksEnds(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 1600, 1200))
	for y := range 1200 {
		for x := range 1600 {
			u, v := x%18/2-1, y%18/2-1 // marks of seven modules of two pixels, a light one around
			edge := max(max(3-u, u-3), max(3-v, v-3))
			img.Pix[y*img.Stride+x] = 255
			if edge == 3 || edge < 2 {
				img.Pix[y*img.Stride+x] = 0
			}
		}
	}
	source := gozxing.NewLuminanceSourceFromImage(img)
	dark, err := gozxing.NewGlobalHistgramBinarizer(source).GetBlackMatrix()
	if err != nil {
		t.Fatal(err)
	}
	marks := findMarks(dark)
	if n := len(codesOf(marks)); len(marks) != mostMarks || n > mostTries {
		t.Errorf("%d marks, %d tries", len(marks), n)
	}
	if sight, err := Look(context.Background(), img); err != nil || len(sight.Found) > 0 {
		t.Error(sight, err)
	}
}
