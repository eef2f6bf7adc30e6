package sheet

import (
	"fmt"
	"strings"

	"boltback/internal/code"
	"boltback/internal/figure"
	"boltback/internal/page"
)

// Measures of a sheet, in millimetres.
const (
	side      = 12.0 // margin at the left and the right
	topEdge   = 10.0
	footRoom  = 12.0
	boxHeight = 11.0 // of a box for the pen; never under 9
	hair      = 0.25
	rule      = 0.7
	inset     = 1.2
)

// Sizes of print.
var (
	titleSize = figure.Points(21)
	nameSize  = figure.Points(11)
	printSize = figure.Points(10)
	tightSize = figure.Points(8.5)
	smallSize = figure.Points(8) // of cautions and labels of boxes; nothing is smaller
)

// form is a sheet under work: a head, then whatever is put below it, over as
// many pages as it takes.
type form struct {
	job  Job
	head Head
	book *page.Book
	page *page.Page
	y    float64 // where the next thing begins
	err  error
}

// newForm begins a sheet. Its first page has the full head and the cautions,
// the others a short head.
func newForm(job Job, h Head) *form {
	if h.Paper == (page.Paper{}) {
		h.Paper = page.A4
	}
	f := &form{job: job, head: h, book: page.New(h.info(job.title), h.Paper)}
	f.turn()
	return f
}

func (f *form) width() float64  { return f.head.Paper.Width - 2*side }
func (f *form) bottom() float64 { return f.head.Paper.Height - footRoom }
func (f *form) first() bool     { return len(f.book.Pages()) == 1 }

// turn begins a page.
func (f *form) turn() {
	f.page = f.book.Page()
	f.y = topEdge
	f.headLine()
	if f.first() {
		f.sessionBoxes()
		f.cautions()
	} else {
		f.cautionLine()
	}
}

// room makes sure that so much room is left, on a new page if need be, and says
// whether it took one.
func (f *form) room(height float64) bool {
	if f.y+height <= f.bottom() {
		return false
	}
	f.turn()
	return true
}

// headLine prints job, car and code. The code is read off photos, so it lies in
// the upper right corner, where the hand that holds the sheet does not.
func (f *form) headLine() {
	codeSide := 26.0
	if !f.first() {
		codeSide = 20
	}
	x := f.head.Paper.Width - side - codeSide
	room := x - side - 4
	size := titleSize
	if !f.first() {
		size *= 0.7
	}
	f.book.Tag(page.Element{Role: page.Heading1}, func() {
		f.text(side, f.y+size*0.95, figure.Bold, size, f.job.title)
	})
	y := f.y + size*0.95 + nameSize*1.6
	f.book.Tag(page.Element{Role: page.Paragraph}, func() {
		name := f.head.Car
		if name == "" {
			name = "Car:"
		}
		f.text(side, y, figure.Bold, nameSize, figure.Fit(figure.Bold, nameSize, room, name)+" ")
		under := y + nameSize*1.45
		for _, l := range f.underName() {
			f.text(side, under, figure.Mono, tightSize, figure.Fit(figure.Mono, tightSize, room, l)+" ")
			under += tightSize * 1.35
		}
	})
	f.code(x, f.y-2, codeSide)
	f.y += codeSide - 1
	f.line(side, f.y, side+f.width(), f.y, rule)
	f.y += 2.5
}

// underName are the lines below the car's name: its numbers, and the session.
func (f *form) underName() []string {
	var lines []string
	if f.head.Numbers != "" && f.first() {
		lines = append(lines, f.head.Numbers)
	}
	if f.head.Session != "" {
		lines = append(lines, "session "+f.head.Session)
	}
	return lines
}

// code prints the sheet's QR code with what it says beside it for human eyes.
func (f *form) code(x, y, sideLength float64) {
	p := code.Payload{Kind: code.SheetKind, Names: []string{f.job.slug}}
	if f.head.Slug != "" {
		p.Names = append(p.Names, f.head.Slug)
		if f.head.Session != "" {
			p.Names = append(p.Names, f.head.Session)
		}
	}
	p.Names = append(p.Names, fmt.Sprint(len(f.book.Pages())))
	d, err := qrDrawing(p, code.Clean, sideLength)
	if err != nil {
		f.err = err
		return
	}
	f.book.Tag(page.Element{Role: page.Figure, Alt: "code of this sheet: " + strings.Join(p.Names, ", ")}, func() { f.page.Drawing(x, y, d) })
}

// qrDrawing draws a code with its quiet border as one outline.
func qrDrawing(p code.Payload, level code.Level, sideLength float64) (*figure.Drawing, error) {
	text, err := p.Text()
	if err != nil {
		return nil, err
	}
	s, err := code.Encode(text, level)
	if err != nil {
		return nil, err
	}
	module := sideLength / float64(s.Side+2*code.Quiet)
	var path figure.Path
	for _, loop := range s.Outlines() {
		for i, c := range loop {
			x, y := float64(c.X+code.Quiet)*module, float64(c.Y+code.Quiet)*module
			if i == 0 {
				path = path.MoveTo(x, y)
			} else {
				path = path.LineTo(x, y)
			}
		}
		path = path.Close()
	}
	d := figure.New(sideLength, sideLength)
	d.Rect(0, 0, sideLength, sideLength, figure.Paint{Filled: true, Fill: figure.White})
	d.Path(path, figure.Paint{Filled: true, Fill: figure.Black})
	return d, nil
}

// sessionBoxes are who, when, where and what for.
func (f *form) sessionBoxes() {
	w := f.width()
	f.fields([]field{
		{label: "Day", value: f.head.Day, width: w * 0.17}, {label: "Begun", unit: "h", width: w * 0.13}, {label: "Ended", unit: "h", width: w * 0.13},
		{label: "Done by", value: f.head.Who, width: w * 0.29}, {label: "Helpers, witness", value: f.head.Helpers, width: w * 0.28},
	})
	if f.job.zoned {
		f.fields([]field{
			{label: "Zone of the car", value: f.head.Zone, width: w * 0.4}, {label: "For the conversion", width: w * 0.19},
			{label: "Service, repair, restoration", width: w * 0.22}, {label: "Pictures taken", width: w * 0.19},
		})
	}
	f.y += 1.5
}

// field is a box with a label in its corner.
type field struct {
	label, value, unit string
	width              float64
}

// fields prints boxes beside each other.
func (f *form) fields(list []field) {
	f.room(boxHeight)
	x := side
	for _, b := range list {
		f.book.Tag(page.Element{Role: page.Paragraph}, func() { f.box(x, f.y, b, boxHeight) })
		x += b.width
	}
	f.y += boxHeight
}

func (f *form) box(x, y float64, b field, height float64) {
	f.frame(x, y, b.width, height)
	f.grey(x+inset, y+smallSize+0.2, b.label+" ") // the space parts them for those who listen
	f.unit(x+b.width-inset, y+height-inset, b.unit)
	if b.value != "" {
		size := printSize
		if figure.Width(figure.Regular, size, b.value) > b.width-2*inset {
			size = tightSize
		}
		f.text(x+inset, y+height-2.2, figure.Regular, size, figure.Fit(figure.Regular, size, b.width-2*inset, b.value))
	}
}

// warningStripe is a hatched strip: it is seen in black and white, too.
func (f *form) warningStripe(x, y, w, h float64) {
	d := figure.New(w, h)
	d.Hatch(figure.Box(0, 0, w, h), figure.Hatching{Angle: 45, Gap: 0.8})
	d.Rect(0, 0, w, h, figure.Paint{Width: hair, Edge: figure.Black})
	f.book.Decoration(func() { f.page.Drawing(x, y, d) })
}

// finish prints the feet and returns the printout.
func (f *form) finish() (*Printout, error) {
	if f.err != nil {
		return nil, f.err
	}
	pages := f.book.Pages()
	for i, p := range pages {
		f.page = p
		y := f.head.Paper.Height - footRoom + 4.5
		f.book.Decoration(func() {
			f.line(side, y-3.2, side+f.width(), y-3.2, hair)
			left := "An empty box means: not stated."
			if f.head.Source != "" {
				left += " Printed from " + f.head.Source + "."
			}
			right := fmt.Sprintf("%s, sheet %d of %d", f.job.title, i+1, len(pages))
			end := side + f.width()
			w := figure.Width(figure.Bold, smallSize, right)
			f.text(end-w, y, figure.Bold, smallSize, right)
			f.text(side, y, figure.Regular, smallSize, figure.Fit(figure.Regular, smallSize, f.width()-w-6, left))
		})
	}
	return &Printout{f.book}, nil
}

// text prints one line.
func (f *form) text(x, y float64, face figure.Face, size float64, s string) {
	f.page.Label(x, y, figure.Label{Text: s, Face: face, Size: size, Shade: figure.Black})
}

// grey prints a label that should not be mistaken for an entry.
func (f *form) grey(x, y float64, s string) {
	f.page.Label(x, y, figure.Label{Text: s, Face: figure.Regular, Size: smallSize, Shade: 0.65})
}

// unit prints a unit that ends at x.
func (f *form) unit(x, y float64, s string) {
	if s != "" {
		figure.PaintLabel(f.page, x, y, figure.Before, figure.Label{Text: s, Face: figure.Regular, Size: tightSize, Shade: 0.65})
	}
}

func (f *form) frame(x, y, w, h float64) {
	f.book.Decoration(func() { f.page.Path(figure.Box(x, y, w, h), figure.Paint{Width: hair, Edge: figure.Black}) })
}

func (f *form) line(x1, y1, x2, y2, width float64) {
	f.book.Decoration(func() {
		f.page.Path(figure.Polyline(false, figure.Point{X: x1, Y: y1}, figure.Point{X: x2, Y: y2}), figure.Paint{Width: width, Edge: figure.Black})
	})
}
