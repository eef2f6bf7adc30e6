package sheet

import (
	"time"

	"boltback/internal/code"
	"boltback/internal/figure"
	"boltback/internal/page"
)

// StampPage is an order for the page that somebody outside keeps: with it they
// can tell later whether the history still holds what it held.
type StampPage struct {
	// Car is the car's handle; Name is its name in words.
	Car, Name string
	// Tag names the stamp, Digest is the SHA-256 of its message, and Commit what it is over.
	Tag, Digest, Commit, Ledger string
	// Key is the fingerprint of the key that signed it, and Clock says what an outside clock said of it.
	Key, Clock string
	Paper      page.Paper
	Workshop   string
	Made       time.Time
}

// NewStamp makes the page: the digest in groups with check digits, to be typed
// in, and the same as a code, to be photographed.
func NewStamp(o StampPage) (*Printout, error) {
	if o.Paper == (page.Paper{}) {
		o.Paper = page.A4
	}
	groups, err := code.PrintedDigest(o.Digest)
	if err != nil {
		return nil, err
	}
	const codeSide = 70.0
	qr, err := qrDrawing(code.Payload{Kind: code.StampKind, Names: []string{o.Digest, o.Commit, o.Car}}, code.Clean, codeSide)
	if err != nil {
		return nil, err
	}
	book := page.New(page.Info{Title: "Stamp of " + o.Name, Subject: "To be kept outside the workshop", Author: o.Workshop, Language: "en", Program: "boltback", Made: o.Made, FullSize: true}, o.Paper)
	p := book.Page()
	put := func(x, y, size float64, face figure.Face, s string) {
		p.Label(x, y, figure.Label{Text: s, Face: face, Size: size, Shade: figure.Black})
	}
	book.Tag(page.Element{Role: page.Heading1}, func() { put(side, 28, titleSize*1.4, figure.Bold, "Keep this page") })
	book.Tag(page.Element{Role: page.Paragraph}, func() {
		for i, s := range []string{
			"It names the records of " + o.Name + " as they were. Keep it where the workshop cannot change it.",
			"Later, with a copy of the ledger:  boltback verify " + o.Car + " --kept \"the digest below\"",
			"It shows whether the history still holds what it held. The car was not examined.",
		} {
			put(side, 40+float64(i)*7, figure.Points(10.5), figure.Regular, s)
		}
	})
	book.Tag(page.Element{Role: page.Heading2}, func() {
		put(side, 68, nameSize, figure.Bold, "Digest of "+o.Tag+": eight digits and two check digits each")
	})
	book.Tag(page.Element{Role: page.Paragraph}, func() {
		for i, g := range groups {
			put(side+float64(i%2)*55, 80+float64(i/2)*10, figure.Points(15), figure.Mono, g)
		}
	})
	book.Tag(page.Element{Role: page.Figure, Alt: "code of " + o.Tag + ", " + o.Digest}, func() { p.Drawing(o.Paper.Width-side-codeSide, 122, qr) })
	book.Tag(page.Element{Role: page.Paragraph}, func() {
		y := 130.0
		for _, line := range [][2]string{
			{"Commit", o.Commit}, {"Begins with", o.Ledger}, {"Signed with", o.Key}, {"Outside clock", o.Clock},
			{"Received by", ""}, {"On", ""},
		} {
			put(side, y, smallSize, figure.Regular, line[0])
			for _, piece := range pieces(line[1], 34) {
				y += 5
				put(side, y, figure.Points(9), figure.Mono, piece)
			}
			y += 9
		}
	})
	return &Printout{book}, nil
}

// pieces cuts a text so that it stays beside the code.
func pieces(s string, most int) []string {
	var list []string
	for runes := []rune(s); len(runes) > 0; {
		n := min(most, len(runes))
		list = append(list, string(runes[:n]))
		runes = runes[n:]
	}
	return list
}
