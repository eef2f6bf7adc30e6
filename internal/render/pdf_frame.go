package render

import (
	"fmt"

	"boltback/internal/doc"
	"boltback/internal/figure"
	pdf "boltback/internal/page"
)

// title sets the head of the document.
func (s *setter) title(d *doc.Document) {
	s.tag(pdf.Heading1, func() {
		s.lines(lay(atoms(textOf(d.Title), boldLook(titleSize)), s.width), titleSize)
	})
	if d.Subtitle != "" {
		s.tag(pdf.Paragraph, func() { s.flow(textOf(d.Subtitle), plainLook(leadSize)) })
	}
	s.y += pdfGap
}

// contentsEntry is a line of the contents whose page is not known yet.
type contentsEntry struct {
	id   string
	page *pdf.Page // that the line stands on
	y    float64
	x    float64 // where its words end
	to   int     // the page that it leads to
}

// contents sets the table of contents, without the page numbers.
func (s *setter) contents(entries []doc.Entry) {
	if len(entries) == 0 {
		return
	}
	s.y += pdfGap
	s.caption("Contents")
	s.tag(pdf.List, func() { s.contentsLines(entries, 0, "") })
	s.y += pdfGap
}

func (s *setter) contentsLines(entries []doc.Entry, depth int, prefix string) {
	const numberRoom, indent = 12.0, 6.0
	for i, e := range entries {
		number := fmt.Sprintf("%s%d", prefix, i+1)
		l := plainLook(textSize)
		if depth == 0 {
			l.face = figure.Bold
		}
		step := textSize * leading
		s.room(step)
		x, y := s.left+float64(depth)*indent, s.y+textSize*figure.Ascent+(step-textSize)/2
		words := figure.Fit(l.face, l.size, s.width-numberRoom-float64(depth)*indent, number+"  "+oneLine(e.Title))
		l.target = e.ID
		s.tag(pdf.Item, func() { s.printRunPlain(x, y, words, l) })
		s.entries = append(s.entries, contentsEntry{id: e.ID, page: s.page, y: y, x: x + figure.Width(l.face, l.size, words)})
		s.y += step
		s.contentsLines(e.Entries, depth+1, number+".")
	}
}

// printRunPlain prints a line that leads somewhere without a rule below it.
func (s *setter) printRunPlain(x, y float64, text string, l look) {
	s.tag(pdf.LinkText, func() {
		s.page.Label(x, y, figure.Label{Text: text, Face: l.face, Size: l.size, Shade: l.shade})
		if s.anchors[l.target] {
			s.page.Link(x, y-l.size, s.left+s.width-x, l.size*1.25, l.target)
		}
	})
}

// found notes on which page a section begins.
func (s *setter) found(id string) {
	for i := range s.entries {
		if s.entries[i].id == id {
			s.entries[i].to = s.page.Number()
		}
	}
}

// fillContents prints the page numbers into the contents, behind a row of dots.
func (s *setter) fillContents() {
	for _, e := range s.entries {
		if e.to == 0 {
			continue
		}
		number := fmt.Sprint(e.to)
		end := pdfLeft + s.width
		start := end - figure.Width(figure.Regular, textSize, number)
		s.book.Decoration(func() {
			e.page.Path(figure.Polyline(false, figure.Point{X: e.x + 2, Y: e.y}, figure.Point{X: start - 2, Y: e.y}),
				figure.Paint{Width: 0.2, Edge: figure.Grey, Dash: []float64{0.2, 1.4}})
			e.page.Label(start, e.y, figure.Label{Text: number, Size: textSize, Shade: full})
		})
	}
}

// runningHeads prints head and foot of every page: what the document is, what
// it rests on, and which page of how many this is.
func (s *setter) runningHeads(d *doc.Document) {
	records, basis := "", ""
	if p := d.Provenance; p != nil {
		records = fmt.Sprintf("commit %s, %s", short(p.Commit, 12), short(p.Day, 20))
		basis = short(p.Basis, 90)
	}
	pages := s.book.Pages()
	end := pdfLeft + s.width
	for i, p := range pages {
		s.page = p
		say := func(x, y float64, side figure.Side, text string) {
			figure.PaintLabel(p, x, y, side, figure.Label{Text: text, Size: quietSize, Shade: quiet})
		}
		s.book.Decoration(func() {
			if i > 0 {
				say(pdfLeft, 13, figure.After, figure.Fit(figure.Regular, quietSize, s.width*0.62, short(d.Title, 90)))
				say(end, 13, figure.Before, records)
				s.rule(pdfLeft, 15, end, hairline)
			}
			if d.Notice != "" {
				s.notice(oneLine(d.Notice), i > 0)
			}
			foot := s.book.Paper().Height - 11
			s.rule(pdfLeft, foot-4, end, hairline)
			say(pdfLeft, foot, figure.After, basis)
			say(end, foot, figure.Before, fmt.Sprintf("page %d of %d", i+1, len(pages)))
		})
	}
}

// notice prints what must be known of every page, between the running head, if there is one, and the text.
func (s *setter) notice(text string, below bool) {
	y := 13.0
	if below {
		y = 19
	}
	figure.PaintLabel(s.page, pdfLeft, y, figure.After, figure.Label{Text: figure.Fit(figure.Bold, quietSize, s.width, text), Face: figure.Bold, Size: quietSize, Shade: full})
}
