package sheet

import (
	"bytes"
	"strings"
	"testing"

	"boltback/internal/code"
	"boltback/internal/figure"
)

func plainGrid(t testing.TB) Grid {
	t.Helper()
	g, err := GridCalled("a4-3x7")
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func TestLabelsLieInsideTheirSheet(t *testing.T) {
	seen := map[string]bool{}
	for _, g := range Grids() {
		if seen[g.Name] {
			t.Errorf("%s is there twice", g.Name)
		}
		seen[g.Name] = true
		if g.StepX < g.Width || g.StepY < g.Height {
			t.Errorf("%s: labels overlap", g.Name)
		}
		x, y := g.corner(g.PerSheet() - 1)
		if x+g.Width > g.Paper.Width+0.01 || y+g.Height > g.Paper.Height+0.01 || g.Left < 0 || g.Top < 0 {
			t.Errorf("%s: the last label ends at %.2f, %.2f on paper of %.1f × %.1f", g.Name, x+g.Width, y+g.Height, g.Paper.Width, g.Paper.Height)
		}
		right := g.Paper.Width - x - g.Width
		if diff := right - g.Left; diff < -1 || diff > 1 {
			t.Errorf("%s: %.2f mm at the left and %.2f at the right", g.Name, g.Left, right)
		}
	}
}

func TestNumbersFollowEachOtherAndTheFirstSheetMayBeUsedUpInPart(t *testing.T) {
	p, err := NewLabels(Labels{Kind: PartTag, Grid: plainGrid(t), From: 98, Count: 25, Skip: 20, Words: []string{"Fuel tank"}})
	if err != nil {
		t.Fatal(err)
	}
	if p.Pages() != 3 { // 1, 21 and 3 labels
		t.Errorf("%d pages", p.Pages())
	}
	out := tool(t, p, "pdftotext", "-layout", "sheet.pdf", "-")
	pages := strings.Split(out, "\f")
	for i := range 25 {
		tag, _ := code.NewTag(98 + i)
		if strings.Count(out, string(tag)) != 1 {
			t.Errorf("%s is there %d times", tag, strings.Count(out, string(tag)))
		}
	}
	if !strings.Contains(pages[0], "0098-4") || strings.Contains(pages[0], "0099") || !strings.Contains(pages[0], "Fuel tank") {
		t.Errorf("the first page is\n%s", pages[0])
	}
}

func TestWireLabelsBearTheNumberOnBothFlags(t *testing.T) {
	p, err := NewLabels(Labels{Kind: WireLabel, Grid: plainGrid(t), From: 7, Count: 1, Words: []string{"horn, black/red"}})
	if err != nil {
		t.Fatal(err)
	}
	out := tool(t, p, "pdftotext", "-layout", "sheet.pdf", "-")
	if strings.Count(out, "0007-") != 2 || strings.Count(out, "horn, black/red") != 2 {
		t.Error(out)
	}
}

func TestOrdersThatNoSheetCanHoldAreRefused(t *testing.T) {
	good := Labels{Kind: BagLabel, Grid: plainGrid(t), From: 1, Count: 1}
	for want, change := range map[string]func(*Labels){
		"is no kind of label":          func(o *Labels) { o.Kind = "sticker" },
		"no sheet of labels is named":  func(o *Labels) { o.Grid = Grid{} },
		"from 1 to 2000 labels":        func(o *Labels) { o.Count = 0 },
		"not 2001":                     func(o *Labels) { o.Count = 2001 },
		"21 of them cannot be used up": func(o *Labels) { o.Skip = 21 },
		"shifted by 10 mm at most":     func(o *Labels) { o.Down = 11 },
		"2 words for 1 labels":         func(o *Labels) { o.Words = []string{"a", "b"} },
		"a tag number is from 0 to":    func(o *Labels) { o.From = -1 },
	} {
		o := good
		change(&o)
		if _, err := NewLabels(o); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %q", err, want)
		}
	}
	if _, err := GridCalled("a5"); err == nil || !strings.Contains(err.Error(), "a4-3x7") {
		t.Error(err)
	}
}

func TestTheSameLabelsAreTheSameBytes(t *testing.T) {
	o := Labels{Kind: CrateTag, Grid: plainGrid(t), From: 1, Count: 21, Right: 0.5, Down: -0.5}
	var files [2]bytes.Buffer
	for i := range files {
		p, err := NewLabels(o)
		if err != nil {
			t.Fatal(err)
		}
		if err := p.Write(&files[i]); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(files[0].Bytes(), files[1].Bytes()) {
		t.Error("they differ")
	}
}

// bounds is a painter that notes how far things reach.
type bounds struct{ left, top, right, bottom float64 }

func (b *bounds) reach(x, y float64) {
	b.left, b.top, b.right, b.bottom = min(b.left, x), min(b.top, y), max(b.right, x), max(b.bottom, y)
}

func (b *bounds) Path(p figure.Path, _ figure.Paint) {
	for _, s := range p {
		if s.Op != figure.Close {
			b.reach(s.P.X, s.P.Y)
		}
	}
}

func (b *bounds) Label(x, y float64, l figure.Label) {
	b.reach(x, y-figure.CapHeight*l.Size)
	b.reach(x+figure.Width(l.Face, l.Size, l.Text), y)
}

func TestNothingReachesBeyondItsLabel(t *testing.T) {
	tags := map[string]int{"short": 7, "usual": 10342, "longest": code.MaxNumber}
	for _, g := range Grids() {
		for _, kind := range LabelKinds() {
			for name, number := range tags {
				tag, err := code.NewTag(number)
				if err != nil {
					t.Fatal(err)
				}
				d, err := Labels{Kind: kind, Grid: g}.label(tag, strings.Repeat("a long word ", 9))
				if err != nil {
					t.Fatal(err)
				}
				var b bounds
				d.Paint(&b, 0, 0)
				if b.left < 0 || b.top < 0 || b.right > g.Width || b.bottom > g.Height {
					t.Errorf("%s on %s, %s number: reaches %.2f, %.2f to %.2f, %.2f of %.1f × %.1f", kind, g.Name, name, b.left, b.top, b.right, b.bottom, g.Width, g.Height)
				}
			}
		}
	}
}

func TestNumbersAreLargeEnoughToReadAcrossABench(t *testing.T) {
	// Millimetres of height of a figure; a flag on a wire is read close by.
	least := map[LabelKind]float64{PartTag: 4.5, BagLabel: 4.5, CrateTag: 4.5, WireLabel: 3}
	for _, g := range Grids() {
		for _, kind := range LabelKinds() {
			d, err := Labels{Kind: kind, Grid: g}.label("0109-8", "")
			if err != nil {
				t.Fatal(err)
			}
			var l largest
			d.Paint(&l, 0, 0)
			if l.size*figure.CapHeight < least[kind] {
				t.Errorf("%s on %s: figures of %.1f mm", kind, g.Name, l.size*figure.CapHeight)
			}
		}
	}
}

// largest is a painter that notes the largest print.
type largest struct{ size float64 }

func (*largest) Path(figure.Path, figure.Paint)           {}
func (l *largest) Label(_, _ float64, label figure.Label) { l.size = max(l.size, label.Size) }
