package sheet

import (
	"fmt"
	"math"
	"strings"
	"time"

	"boltback/internal/code"
	"boltback/internal/figure"
	"boltback/internal/page"
)

// LabelKind is what a label is stuck or tied to.
type LabelKind string

// The kinds of labels.
const (
	PartTag   LabelKind = "part"
	BagLabel  LabelKind = "bag"
	CrateTag  LabelKind = "crate"
	WireLabel LabelKind = "wire"
)

// LabelKinds lists the kinds.
func LabelKinds() []LabelKind { return []LabelKind{PartTag, BagLabel, CrateTag, WireLabel} }

// code is what the QR code says it is stuck to.
func (k LabelKind) code() code.Kind {
	return map[LabelKind]code.Kind{PartTag: code.TagKind, BagLabel: code.BagKind, CrateTag: code.CrateKind, WireLabel: code.WireKind}[k]
}

// Labels is an order for labels. Nothing need be known about the parts.
type Labels struct {
	Kind LabelKind
	Grid Grid
	// From is the first number; parts, bags, crates and wires share one series.
	From, Count int
	// Skip is how many labels of the first sheet are used up.
	Skip int
	// Right and Down shift the print for a printer that feeds askew, in millimetres.
	Right, Down float64
	// Words are printed on the labels in order, as far as they go.
	Words []string
	// Workshop and Made go into the file's description.
	Workshop string
	Made     time.Time
}

const (
	mostLabels = 2000
	mostShift  = 10.0 // millimetres
)

// NewLabels makes the labels.
func NewLabels(o Labels) (*Printout, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	book := page.New(page.Info{Title: fmt.Sprintf("Labels for each %s, from %d", o.Kind, o.From), Subject: "Labels", Author: o.Workshop,
		Language: "en", Program: "boltback", Made: o.Made, FullSize: true}, o.Grid.Paper)
	var p *page.Page
	for i := range o.Count {
		place := (o.Skip + i) % o.Grid.PerSheet()
		if p == nil || place == 0 {
			p = book.Page()
			o.cutLines(book, p)
		}
		tag, err := code.NewTag(o.From + i)
		if err != nil {
			return nil, err
		}
		word := ""
		if i < len(o.Words) {
			word = o.Words[i]
		}
		d, err := o.label(tag, word)
		if err != nil {
			return nil, err
		}
		x, y := o.Grid.corner(place)
		book.Tag(page.Element{Role: page.Paragraph}, func() { p.Drawing(x+o.Right, y+o.Down, d) })
	}
	return &Printout{book}, nil
}

// check refuses an order that no sheet can hold.
func (o Labels) check() error {
	switch {
	case o.Kind != PartTag && o.Kind != BagLabel && o.Kind != CrateTag && o.Kind != WireLabel:
		return fmt.Errorf("%q is no kind of label: part, bag, crate or wire", o.Kind)
	case o.Grid.PerSheet() < 1:
		return fmt.Errorf("no sheet of labels is named")
	case o.Count < 1 || o.Count > mostLabels:
		return fmt.Errorf("from 1 to %d labels are printed at once, not %d", mostLabels, o.Count)
	case o.Skip < 0 || o.Skip >= o.Grid.PerSheet():
		return fmt.Errorf("the first sheet has %d labels: %d of them cannot be used up", o.Grid.PerSheet(), o.Skip)
	case !(math.Abs(o.Right) <= mostShift && math.Abs(o.Down) <= mostShift):
		return fmt.Errorf("the print can be shifted by %g mm at most", mostShift)
	case len(o.Words) > o.Count:
		return fmt.Errorf("%d words for %d labels", len(o.Words), o.Count)
	}
	return nil
}

func (o Labels) label(tag code.Tag, word string) (*figure.Drawing, error) {
	d := figure.New(o.Grid.Width, o.Grid.Height)
	var err error
	if o.Kind == WireLabel {
		err = wireLabel(d, tag, word)
	} else {
		err = plainLabel(d, tag, word, o.Kind, o.Grid.Hole)
	}
	return d, err
}

// plainLabel has the code at the left and the number beside it as large as it
// goes, then lines for the pen.
func plainLabel(d *figure.Drawing, tag code.Tag, word string, kind LabelKind, hole bool) error {
	w, h := d.Size()
	const edge = 1.5
	x := edge
	if hole {
		const room, radius = 11.0, 2.75
		d.Circle(room/2+1, h/2, radius, figure.Paint{Width: hair, Edge: figure.Black})
		x = room + 1
	}
	codeSide := min(h-2*edge, 32, w*0.42)
	qr, err := qrDrawing(code.LabelPayload(kind.code(), tag), code.Rough, codeSide)
	if err != nil {
		return err
	}
	d.Put(x, (h-codeSide)/2, qr)
	x += codeSide + 1
	room := w - x - edge
	size := min(h*0.29, (room-1)/figure.Width(figure.Bold, 1, string(tag)))
	y := edge + size*0.95
	d.Label(x, y, figure.After, figure.Label{Text: string(tag), Face: figure.Bold, Size: size, Shade: figure.Black})
	lines := penLines(kind, h)
	y += 0.8
	step := (h - edge - y) / float64(len(lines))
	for i, l := range lines {
		foot := y + float64(i+1)*step - 0.8
		d.Line(x, foot, x+room, foot, figure.Paint{Width: hair, Edge: figure.Black})
		if i == 0 && word != "" {
			size := max(min(smallSize*1.4, room/figure.Width(figure.Regular, 1, word)), smallSize)
			d.Label(x, foot-0.8, figure.After, figure.Label{Text: figure.Fit(figure.Regular, size, room, word), Size: size, Shade: figure.Black})
			continue
		}
		d.Label(x, foot-step+smallSize+0.6, figure.After, figure.Label{Text: l, Size: smallSize, Shade: 0.65})
	}
	return nil
}

// penLines are the lines to write on, as many as a pen needs room for.
func penLines(kind LabelKind, height float64) []string {
	lines := map[LabelKind][]string{
		PartTag:  {"part", "where it sat, side"},
		BagLabel: {"of part, joint", "how many, size"},
		CrateTag: {"crate", "store, shelf, seal"},
	}[kind]
	if height < 30 {
		return lines[:1]
	}
	return lines
}

// wireLabel is folded round a wire like a flag: the number stands on both ends,
// and the middle stays blank for the wire.
func wireLabel(d *figure.Drawing, tag code.Tag, word string) error {
	w, h := d.Size()
	const wrap = 8.0 // round a wire of 2.5 millimetres
	half := (w - wrap) / 2
	d.Line(half, 0, half, h, figure.Paint{Width: 0.15, Edge: figure.Grey, Dash: []float64{1, 1}})
	d.Line(half+wrap, 0, half+wrap, h, figure.Paint{Width: 0.15, Edge: figure.Grey, Dash: []float64{1, 1}})
	lines := wordLines(word, half-3)
	codeSide := min(half-2, h-12-max(float64(len(lines)-1), 0)*lineStep, 26)
	for _, x := range []float64{0, half + wrap} {
		size := min(7.0, (half-4)/figure.Width(figure.Bold, 1, string(tag)))
		d.Label(x+half/2, 1.5+size*0.95, figure.Around, figure.Label{Text: string(tag), Face: figure.Bold, Size: size, Shade: figure.Black})
		if codeSide >= 16 {
			qr, err := qrDrawing(code.LabelPayload(code.WireKind, tag), code.Rough, codeSide)
			if err != nil {
				return err
			}
			d.Put(x+(half-codeSide)/2, size+2, qr)
		}
		foot := h - 1.6
		d.Line(x+1.5, foot, x+half-1.5, foot, figure.Paint{Width: hair, Edge: figure.Black})
		for i, l := range lines {
			d.Label(x+1.5, foot-0.8-float64(len(lines)-1-i)*lineStep, figure.After, figure.Label{Text: l, Size: smallSize, Shade: figure.Black})
		}
	}
	return nil
}

// lineStep is from one line of a word to the next.
var lineStep = smallSize * 1.15

// wordLines breaks a word for a wire into two lines at most.
func wordLines(word string, width float64) []string {
	if word == "" {
		return nil
	}
	lines := figure.Lines(figure.Regular, smallSize, width, word)
	if len(lines) > 2 {
		lines = []string{lines[0], figure.Fit(figure.Regular, smallSize, width, strings.Join(lines[1:], ""))}
	}
	return lines
}

// cutLines are printed on plain paper only; on labels they would show when the
// feed is off.
func (o Labels) cutLines(book *page.Book, p *page.Page) {
	if !o.Grid.Cut {
		return
	}
	g := o.Grid
	paint := figure.Paint{Width: 0.15, Edge: figure.Grey, Dash: []float64{2, 2}}
	line := func(x1, y1, x2, y2 float64) {
		p.Path(figure.Polyline(false, figure.Point{X: x1, Y: y1}, figure.Point{X: x2, Y: y2}), paint)
	}
	book.Decoration(func() {
		for i := range g.Across + 1 {
			x := g.Left + o.Right + float64(i)*g.StepX
			line(x, g.Top+o.Down, x, g.Top+o.Down+float64(g.Down)*g.StepY)
		}
		for i := range g.Down + 1 {
			y := g.Top + o.Down + float64(i)*g.StepY
			line(g.Left+o.Right, y, g.Left+o.Right+float64(g.Across)*g.StepX, y)
		}
	})
}
