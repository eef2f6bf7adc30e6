package figure

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func sample() *Drawing {
	d := New(80, 40)
	d.Rect(2, 2, 30, 20, Paint{Filled: true, Fill: Pale, Width: 0.4, Edge: Black})
	d.Hatch(Box(2, 2, 30, 20), Rising)
	d.Circle(55, 15, 10, Paint{Width: 0.5, Edge: Black, Dash: []float64{2, 1}})
	d.Path(Arc(55, 15, 12, 180, 300), Paint{Width: 0.6, Edge: Grey})
	d.Polygon(Paint{Filled: true, Fill: Black}, Point{40, 30}, Point{44, 38}, Point{36, 38})
	d.Line(0, 39, 80, 39, Paint{Width: 0.2, Edge: Black})
	d.Label(40, 35, Around, Label{Text: "412.5 ±1 kg", Size: 4, Shade: Black})
	d.Label(78, 20, Around, Label{Text: "turned", Size: 3, Face: Bold, Turned: true, Shade: Black})
	return d
}

func TestADrawingIsTheSameWhereverItIsPut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.Float64Range(-50, 50).Draw(t, "x"), rapid.Float64Range(-50, 50).Draw(t, "y")
		inside := New(200, 200)
		inside.Put(x, y, sample())
		if a, b := paintedAt(inside, 0, 0), paintedAt(sample(), x, y); a != b {
			t.Fatalf("put:\n%s\npainted there:\n%s", a, b)
		}
	})
}

func TestLabelsLieOnTheSideThatIsAskedFor(t *testing.T) {
	l := Label{Text: "mount", Size: 5, Shade: Black}
	w := Width(l.Face, l.Size, l.Text)
	for side, want := range map[Side]float64{After: 100, Around: 100 - w/2, Before: 100 - w} {
		var at recorder
		PaintLabel(&at, 100, 100, side, l)
		if math.Abs(at.x-want) > 1e-9 || at.y != 100 {
			t.Errorf("side %d: at %v, %v; want %v, 100", side, at.x, at.y, want)
		}
		turned := l
		turned.Turned = true
		PaintLabel(&at, 100, 100, side, turned)
		if math.Abs(at.y-(200-want)) > 1e-9 || at.x != 100 {
			t.Errorf("side %d, turned: at %v, %v; want 100, %v", side, at.x, at.y, 200-want)
		}
	}
}

type recorder struct{ x, y float64 }

func (r *recorder) Path(Path, Paint)            {}
func (r *recorder) Label(x, y float64, _ Label) { r.x, r.y = x, y }

func TestACircleIsRound(t *testing.T) {
	for _, loop := range Arc(3, 4, 10, 0, 360).flat() {
		for _, p := range loop {
			if r := math.Hypot(p.X-3, p.Y-4); math.Abs(r-10) > 0.01 {
				t.Fatalf("a point lies %.4f from the centre, not 10", r)
			}
		}
	}
}

func TestAnArcGoesFromItsFirstAngleToItsLast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.Float64Range(-360, 360).Draw(t, "from")
		to := from + rapid.Float64Range(-350, 350).Draw(t, "turn")
		p := Arc(0, 0, 1, from, to)
		first, last := p[0].P, p[len(p)-1].P
		for _, c := range []struct {
			p     Point
			angle float64
		}{{first, from}, {last, to}} {
			sin, cos := math.Sincos(c.angle * math.Pi / 180)
			if math.Hypot(c.p.X-cos, c.p.Y-sin) > 1e-9 {
				t.Fatalf("at %v, want the angle %v", c.p, c.angle)
			}
		}
	})
}

func TestHatchLinesStayInsideAndFillEvenly(t *testing.T) {
	square := Box(0, 0, 20, 20)
	for name, h := range map[string]Hatching{"rising": Rising, "falling": Falling, "level": Level} {
		length := 0.0
		for _, line := range h.lines(square).flat() {
			a, b := line[0], line[1]
			for _, p := range []Point{a, b} {
				if p.X < -1e-9 || p.X > 20+1e-9 || p.Y < -1e-9 || p.Y > 20+1e-9 {
					t.Fatalf("%s: a line ends outside, at %v", name, p)
				}
			}
			length += math.Hypot(b.X-a.X, b.Y-a.Y)
		}
		gap := h.Gap
		if gap == 0 {
			gap = defaultGap
		}
		if want := 400 / gap; math.Abs(length-want) > want*0.1 {
			t.Errorf("%s: %.0f mm of line in a square of 400 mm², want about %.0f", name, length, want)
		}
	}
}

func TestAHoleIsNotHatched(t *testing.T) {
	ring := append(Box(0, 0, 20, 20), Box(5, 5, 10, 10)...)
	for _, line := range Crossed.lines(ring).flat() {
		middle := Point{(line[0].X + line[1].X) / 2, (line[0].Y + line[1].Y) / 2}
		if middle.X > 5.01 && middle.X < 14.99 && middle.Y > 5.01 && middle.Y < 14.99 {
			t.Fatalf("a line lies in the hole, at %v", middle)
		}
	}
}

func TestAHatchThatNobodyCanDrawIsLeftOut(t *testing.T) {
	for name, path := range map[string]Path{
		"nothing": nil, "a line": Polyline(true, Point{0, 0}, Point{5, 0}), "a continent": Box(0, 0, 1e9, 1e9),
		"no number": Box(math.NaN(), 0, 5, math.Inf(1)),
	} {
		if lines := Rising.lines(path); len(lines) > 0 {
			t.Errorf("%s got %d lines", name, len(lines)/2)
		}
	}
}

func TestSVGIsWellFormedWhateverTheTextSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := sample()
		d.Label(1, 1, After, Label{Text: rapid.String().Draw(t, "text"), Face: Face(rapid.IntRange(0, 2).Draw(t, "face")), Size: 3})
		wellFormed(t, d.SVG())
	})
}

func TestSVGRefersOnlyToItself(t *testing.T) {
	d := sample()
	d.Label(1, 1, After, Label{Text: `"><script>x</script><a href="http://h.invalid">`, Size: 3})
	svg := d.SVG()
	for _, bad := range []string{"<script", "<a ", "url(", "<image", "<style"} {
		if strings.Contains(svg, bad) {
			t.Errorf("%s is in the picture", bad)
		}
	}
	for _, ref := range strings.Split(svg, "href=")[1:] {
		if !strings.HasPrefix(ref, `"#g`) && !strings.HasPrefix(ref, "&quot;") {
			t.Errorf("a reference to %.30s", ref)
		}
	}
}

func TestSVGIsTheSameEachTimeAndSmall(t *testing.T) {
	first := sample().SVG()
	for range 5 {
		if sample().SVG() != first {
			t.Fatal("two pictures differ")
		}
	}
	if len(first) > 12_000 {
		t.Errorf("%d bytes", len(first))
	}
}

func TestANumberThatIsNoneDoesNotSpoilThePicture(t *testing.T) {
	d := New(10, 10)
	d.Line(math.NaN(), math.Inf(1), math.Inf(-1), 1e300, Paint{Width: 1})
	if svg := d.SVG(); strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") || strings.Contains(svg, "e+") {
		t.Error(svg)
	}
}

func TestNothingIsPaintedForAnOutlineWithoutInk(t *testing.T) {
	d := New(10, 10)
	d.Rect(1, 1, 5, 5, Paint{})
	if svg := d.SVG(); strings.Contains(svg, "<path") {
		t.Error(svg)
	}
}

func TestShadesGrowDarker(t *testing.T) {
	if tone(White) != "#ffffff" || tone(Black) != "#000000" || tone(-1) != "#ffffff" || tone(7) != "#000000" {
		t.Error(tone(White), tone(Black), tone(-1), tone(7))
	}
	if !(tone(Pale) > tone(Grey) && tone(Grey) > tone(Black)) {
		t.Error("pale, grey and black are not in this order")
	}
}
