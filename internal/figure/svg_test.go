package figure

import (
	"encoding/xml"
	"fmt"
	"math"
	"strings"
	"testing"

	"golang.org/x/image/font/sfnt"
	"pgregory.net/rapid"
)

// element is an element of an svg picture, as far as tests look at it.
type element struct {
	XMLName  xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Elements []element  `xml:",any"`
}

func (e element) get(name string) string {
	for _, a := range e.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func parsed(t testing.TB, d *Drawing) element {
	t.Helper()
	var root element
	if err := xml.Unmarshal([]byte(d.SVG()), &root); err != nil {
		t.Fatal(err)
	}
	return root
}

func TestThePictureHasTheSizeOfTheDrawing(t *testing.T) {
	root := parsed(t, New(80, 40.5))
	if root.XMLName.Local != "svg" || root.get("width") != "80mm" || root.get("height") != "40.5mm" || root.get("viewBox") != "0 0 80 40.5" {
		t.Errorf("%+v", root)
	}
}

func TestShapesAreDrawnAsTheyAreAskedFor(t *testing.T) {
	for name, c := range map[string]struct {
		draw func(*Drawing)
		want map[string]string
	}{
		"a line": {func(d *Drawing) { d.Line(1, 2, 3, 4, Paint{Width: 0.5, Edge: Black}) },
			map[string]string{"d": "M1 2L3 4", "fill": "none", "stroke": "#000000", "stroke-width": "0.5"}},
		"a dashed grey line": {func(d *Drawing) { d.Line(0, 0, 1, 0, Paint{Width: 1, Edge: 0.5, Dash: []float64{2, 1.5}}) },
			map[string]string{"stroke": "#808080", "stroke-dasharray": "2 1.5"}},
		"an area": {func(d *Drawing) { d.Rect(1, 1, 2, 3, Paint{Filled: true, Fill: Black}) },
			map[string]string{"d": "M1 1L3 1L3 4L1 4Z", "fill": "#000000", "fill-rule": "evenodd", "stroke": ""}},
		"a polygon": {func(d *Drawing) {
			d.Polygon(Paint{Filled: true, Fill: White, Width: 1, Edge: Black}, Point{0, 0}, Point{1, 0}, Point{0, 1})
		},
			map[string]string{"d": "M0 0L1 0L0 1Z", "fill": "#ffffff", "stroke": "#000000"}},
		"a quarter circle": {func(d *Drawing) { d.Path(Arc(0, 0, 1, 0, 90), Paint{Width: 1, Edge: Black}) },
			map[string]string{"d": "M1 0C1 0.552 0.552 1 0 1"}},
	} {
		d := New(10, 10)
		c.draw(d)
		root := parsed(t, d)
		if len(root.Elements) != 1 {
			t.Errorf("%s: %d elements", name, len(root.Elements))
			continue
		}
		for attribute, want := range c.want {
			if got := root.Elements[0].get(attribute); got != want {
				t.Errorf("%s: %s is %q, want %q", name, attribute, got, want)
			}
		}
	}
}

func TestEachLetterIsKeptOnceAndUsedWhereItStands(t *testing.T) {
	d := New(50, 10)
	d.Label(5, 8, After, Label{Text: "no non", Size: 4, Shade: Black})
	root := parsed(t, d)
	letters, group := root.Elements[0], root.Elements[1]
	if letters.XMLName.Local != "defs" || len(letters.Elements) != 2 {
		t.Fatalf("%d letters are kept, want n and o", len(letters.Elements))
	}
	if group.get("aria-label") != "no non" || len(group.Elements) != 5 {
		t.Errorf("%q with %d letters", group.get("aria-label"), len(group.Elements))
	}
	at, previous := 0.0, -1.0
	for _, use := range group.Elements {
		fmt.Sscan(use.get("x"), &at)
		if at <= previous {
			t.Errorf("a letter at %v follows one at %v", at, previous)
		}
		previous = at
	}
	if last := Width(Regular, UnitsPerEm, "no no"); math.Abs(previous-last) > 1 {
		t.Errorf("the last letter stands at %v, want %v", previous, last)
	}
}

func TestALetterLiesWithinItsWidth(t *testing.T) {
	var b sfnt.Buffer
	for _, face := range Faces() {
		l := face.load()
		for _, r := range "HxOgñΩ☐✓→5" {
			path := (glyph{face, l.glyph(&b, r)}).outline()
			if len(path) == 0 {
				t.Errorf("face %d: %q has no outline", face, r)
			}
			width := l.width(&b, r) * UnitsPerEm
			for _, loop := range path.flat() {
				for _, p := range loop {
					if p.X < -0.1*UnitsPerEm || p.X > width+0.1*UnitsPerEm || p.Y < -UnitsPerEm || p.Y > 0.3*UnitsPerEm {
						t.Fatalf("face %d: %q reaches %v, its width is %v", face, r, p, width)
					}
				}
			}
		}
	}
}

func TestASpaceHasNoOutline(t *testing.T) {
	var b sfnt.Buffer
	if p := (glyph{Regular, Regular.load().glyph(&b, ' ')}).outline(); p != nil {
		t.Error(p)
	}
}

func TestLettersAreAsHighAsTheProportionsSay(t *testing.T) {
	var b sfnt.Buffer
	for _, face := range Faces() {
		for r, top := range map[rune]float64{'H': CapHeight, 'É': Ascent + 0.2} {
			high := 0.0
			for _, loop := range (glyph{face, face.load().glyph(&b, r)}).outline().flat() {
				for _, p := range loop {
					high = max(high, -p.Y/UnitsPerEm)
				}
			}
			if high > top+0.01 || high < CapHeight-0.01 {
				t.Errorf("face %d: %q is %.3f high", face, r, high)
			}
		}
	}
}

func TestAPictureHasAPathForEachShapeThatIsSeen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := New(100, 100)
		want := 0
		for range rapid.IntRange(0, 20).Draw(t, "shapes") {
			paint := Paint{Filled: rapid.Bool().Draw(t, "filled"), Width: float64(rapid.IntRange(0, 2).Draw(t, "width"))}
			d.Rect(1, 1, 5, 5, paint)
			if paint.Filled || paint.Width > 0 {
				want++
			}
		}
		if got := strings.Count(d.SVG(), "<path"); got != want {
			t.Fatalf("%d paths, want %d", got, want)
		}
	})
}

func TestAFaceThatIsNoneIsTheRegularOne(t *testing.T) {
	if Width(Face(200), 3, "n") == 0 || Width(Regular, 3, "n") == Width(Mono, 3, "n") {
		t.Error("a face has no width, or two have the same")
	}
}

func BenchmarkSVG(b *testing.B) {
	for b.Loop() {
		sample().SVG()
	}
}
