package sheet

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/draw"
	"image/png"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"boltback/internal/code"
	"boltback/internal/page"
)

// pixels rasterises a printout and returns the pictures of its pages.
func pixels(t *testing.T, p *Printout, dpi string) []string {
	t.Helper()
	dir := tool(t, p, "pdftoppm", "-r", dpi, "-png", "sheet.pdf", "page")
	names, err := filepath.Glob(filepath.Join(dir, "page-*.png"))
	if err != nil || len(names) != p.Pages() {
		t.Fatalf("%d pictures of %d pages, %v", len(names), p.Pages(), err)
	}
	slices.Sort(names)
	return names
}

// zbar reads all codes of a picture with another reader than ours.
func zbar(t *testing.T, name string) []string {
	t.Helper()
	if _, err := exec.LookPath("zbarimg"); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("zbarimg is not installed")
		}
		t.Skip("zbarimg is not installed, so no other reader looks at the codes")
	}
	out, _ := exec.Command("zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", name).Output()
	lines := strings.Fields(string(out))
	slices.Sort(lines)
	return lines
}

// ours reads all codes of a picture with our reader.
func ours(t *testing.T, name string) []string {
	t.Helper()
	file, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	found, err := code.ReadPicture(context.Background(), file)
	if err != nil {
		t.Fatal(err)
	}
	var texts []string
	for _, f := range found {
		texts = append(texts, f.Text)
	}
	slices.Sort(texts)
	return texts
}

func TestTwoReadersReadTheCodeOfEverySheet(t *testing.T) {
	for name, build := range samples(sampleHead()) {
		want := "BENCH:SHEET/" + strings.ToUpper(name) + "/TERN-1500/2025-09-16-INES-TANK-OUT/1"
		picture := pixels(t, mustMake(t, build), "110")[0]
		if got := zbar(t, picture); !slices.Equal(got, []string{want}) {
			t.Errorf("%s: zbarimg read %q", name, got)
		}
		if got := ours(t, picture); !slices.Equal(got, []string{want}) {
			t.Errorf("%s: we read %q", name, got)
		}
	}
}

func TestEveryPageOfASheetHasItsOwnCode(t *testing.T) {
	p := mustMake(t, func() (*Printout, error) { return NewStripDown(sampleHead(), make([]Removal, 40)) })
	for i, picture := range pixels(t, p, "110") {
		want := "BENCH:SHEET/STRIP-DOWN/TERN-1500/2025-09-16-INES-TANK-OUT/" + string(rune('1'+i))
		if got := ours(t, picture); !slices.Equal(got, []string{want}) {
			t.Errorf("page %d: %q", i+1, got)
		}
	}
}

func TestTwoReadersReadEveryLabelByItself(t *testing.T) {
	for _, kind := range []LabelKind{PartTag, WireLabel} {
		for _, g := range Grids() {
			o := Labels{Kind: kind, Grid: g, From: 97, Count: g.PerSheet()}
			p, err := NewLabels(o)
			if err != nil {
				t.Fatal(err)
			}
			want := wanted(t, o)
			for i, label := range cut(t, pixels(t, p, "150")[0], g) {
				var here []string
				if kind != WireLabel || g.Height >= 30 { // smaller flags have no room for a code; the number stands on both
					here = []string{want[i]}
				}
				if got := slices.Compact(zbar(t, label)); !slices.Equal(got, here) {
					t.Errorf("%s on %s: zbarimg read %q, want %q", kind, g.Name, got, here)
				}
				if got := slices.Compact(ours(t, label)); !slices.Equal(got, here) {
					t.Errorf("%s on %s: we read %q, want %q", kind, g.Name, got, here)
				}
			}
		}
	}
}

// cut cuts the picture of a sheet into pictures of a label at its corner and one in
// its middle.
func cut(t *testing.T, name string, g Grid) map[int]string {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	sheet, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	scale := float64(sheet.Bounds().Dx()) / g.Paper.Width
	labels := map[int]string{}
	last := g.PerSheet() - 1
	for _, i := range []int{g.Across - 1, last / 2} {
		x, y := g.corner(i)
		area := image.Rect(int(x*scale), int(y*scale), int((x+g.Width)*scale), int((y+g.Height)*scale))
		label := image.NewGray(image.Rect(0, 0, area.Dx(), area.Dy()))
		draw.Draw(label, label.Rect, sheet, area.Min, draw.Src)
		out, err := os.Create(filepath.Join(t.TempDir(), "label.png"))
		if err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(png.Encode(out, label), out.Close()); err != nil {
			t.Fatal(err)
		}
		labels[i] = out.Name()
	}
	return labels
}

func wanted(t *testing.T, o Labels) []string {
	t.Helper()
	var list []string
	for i := range o.Count {
		tag, err := code.NewTag(o.From + i)
		if err != nil {
			t.Fatal(err)
		}
		text, err := code.LabelPayload(o.Kind.code(), tag).Text()
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, text)
	}
	return list
}

func TestTheBenchClockIsRead(t *testing.T) {
	for _, paper := range []page.Paper{{}, page.Letter} {
		p, err := NewClock(ClockPage{Slug: "2025-09-16", Paper: paper})
		if err != nil {
			t.Fatal(err)
		}
		picture := pixels(t, p, "72")[0]
		if got := ours(t, picture); !slices.Equal(got, []string{"BENCH:CLOCK/2025-09-16"}) {
			t.Errorf("we read %q", got)
		}
		if got := zbar(t, picture); !slices.Equal(got, []string{"BENCH:CLOCK/2025-09-16"}) {
			t.Errorf("zbarimg read %q", got)
		}
	}
	if _, err := NewClock(ClockPage{Slug: "NOT A SLUG"}); err == nil {
		t.Error("a name that no code can hold was taken")
	}
}

// photograph sees the pixels of a label as a telephone over the bench does: turned, tilted, a little out of focus and noisy.
func photograph(t *testing.T, name string, r *rand.Rand) string {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	decoded, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	label, ok := decoded.(*image.Gray)
	if !ok {
		t.Fatalf("the label is a %T", decoded)
	}
	const view, closer = 340, 1.4
	middle := image.Pt(label.Rect.Dy()/2, label.Rect.Dy()/2) // of the code, which is at the left
	sin, cos := math.Sincos(r.Float64() * 2 * math.Pi)
	tilt := r.Float64() * 0.3
	seen := make([]int, view*view)
	for i := range seen {
		x, y := float64(i%view)-view/2, float64(i/view)-view/2
		w := (1 + tilt*y/view) / closer
		at := image.Pt(int((x*cos+y*sin)*w), int((y*cos-x*sin)*w)).Add(middle)
		seen[i] = 120 // the bench
		if at.In(label.Rect) {
			seen[i] = 35 + 200*int(label.GrayAt(at.X, at.Y).Y)/255
		}
		seen[i] += r.IntN(25) - 12
	}
	photo := image.NewGray(image.Rect(0, 0, view, view))
	for i := range seen {
		sum, n := 0, 0
		for _, near := range []int{i, i - 1, i + 1, i - view, i + view} {
			if near >= 0 && near < len(seen) {
				sum, n = sum+seen[near], n+1
			}
		}
		photo.Pix[i] = uint8(sum / n)
	}
	out := filepath.Join(t.TempDir(), "photo.png")
	var file bytes.Buffer
	if err := errors.Join(png.Encode(&file, photo), os.WriteFile(out, file.Bytes(), 0o600)); err != nil {
		t.Fatal(err)
	}
	return out
}

// TestMildPicturesOfPrintedLabelsAreReadByTwoReaders takes the pixels of our own pages and no drawing of a code.
func TestMildPicturesOfPrintedLabelsAreReadByTwoReaders(t *testing.T) {
	g := plainGrid(t)
	o := Labels{Kind: PartTag, Grid: g, From: 97, Count: g.PerSheet()}
	p, err := NewLabels(o)
	if err != nil {
		t.Fatal(err)
	}
	want, r := wanted(t, o), rand.New(rand.NewPCG(3, 21))
	labels := cut(t, pixels(t, p, "150")[0], g)
	shots, readers := 20, map[string]func(*testing.T, string) []string{"zbarimg": zbar, "we": ours}
	read := map[string]int{}
	for n := range shots {
		i := slices.Sorted(maps.Keys(labels))[n%len(labels)]
		photo := photograph(t, labels[i], r)
		for name, reader := range readers {
			switch got := slices.Compact(reader(t, photo)); {
			case slices.Equal(got, want[i:i+1]):
				read[name]++
			case len(got) > 0:
				t.Errorf("%s read %q from a picture of %s", name, got, want[i])
			}
		}
	}
	t.Logf("of %d pictures: %v", shots, read)
	for name := range readers {
		if read[name]*100 < 95*shots {
			t.Errorf("%s read only %d of %d", name, read[name], shots)
		}
	}
}
