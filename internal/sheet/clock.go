package sheet

import (
	"time"

	"boltback/internal/code"
	"boltback/internal/figure"
	"boltback/internal/page"
)

// ClockPage is an order for the page that is photographed beside a clock with
// each camera, so that it is known by how much each camera's clock is off.
type ClockPage struct {
	// Slug tells the pages of one workshop apart, such as the day it was printed.
	Slug     string
	Paper    page.Paper
	Workshop string
	Made     time.Time
}

// NewClock makes the page.
func NewClock(o ClockPage) (*Printout, error) {
	if o.Paper == (page.Paper{}) {
		o.Paper = page.A4
	}
	book := page.New(page.Info{Title: "Bench clock", Subject: "Page to photograph beside a clock", Author: o.Workshop, Language: "en", Program: "boltback", Made: o.Made, FullSize: true}, o.Paper)
	p := book.Page()
	const codeSide = 95.0
	qr, err := qrDrawing(code.Payload{Kind: code.ClockKind, Names: []string{o.Slug}}, code.Rough, codeSide)
	if err != nil {
		return nil, err
	}
	middle := o.Paper.Width / 2
	say := func(y, size float64, face figure.Face, s string) {
		figure.PaintLabel(p, middle, y, figure.Around, figure.Label{Text: s, Face: face, Size: size, Shade: figure.Black})
	}
	book.Tag(page.Element{Role: page.Heading1}, func() { say(26, titleSize*1.6, figure.Bold, "Bench clock") })
	book.Tag(page.Element{Role: page.Figure, Alt: "code of the bench clock, " + o.Slug}, func() { p.Drawing(middle-codeSide/2, 32, qr) })
	book.Tag(page.Element{Role: page.Paragraph}, func() {
		for i, s := range []string{
			"1. Lay a clock that you trust in the frame, or write its time and strike it out after.",
			"2. Photograph code and clock in one picture, with every camera that is used today.",
			"3. Do it again if a camera's clock is set, and on each new day.",
		} {
			p.Label(side+4, 138+float64(i)*8, figure.Label{Text: s, Size: figure.Points(12), Shade: figure.Black})
		}
	})
	d := figure.New(o.Paper.Width-2*side, 100)
	w, h := d.Size()
	d.Rect(0, 0, w, h-24, figure.Paint{Width: rule, Edge: figure.Black})
	d.Label(w/2, 8, figure.Around, figure.Label{Text: "lay the clock here", Size: nameSize, Shade: 0.65})
	for i, label := range []string{"day", "hour", "minute", "second", "zone", "by"} {
		x := float64(i) * w / 6
		d.Rect(x, h-20, w/6, 20, figure.Paint{Width: hair, Edge: figure.Black})
		d.Label(x+inset, h-20+smallSize+0.4, figure.After, figure.Label{Text: label, Size: smallSize, Shade: 0.65})
	}
	book.Tag(page.Element{Role: page.FormField, Alt: "frame for a clock, and boxes for day, time, zone and person"}, func() { p.Drawing(side, 164, d) })
	return &Printout{book}, nil
}
