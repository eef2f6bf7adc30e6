package render

import (
	"fmt"

	"boltback/internal/doc"
	"boltback/internal/figure"
	pdf "boltback/internal/page"
)

func (s *setter) list(l *doc.List) {
	start := max(l.Start, 1)
	hang := 4.5
	if l.Ordered {
		hang = figure.Width(figure.Regular, textSize, fmt.Sprintf("%d.", start+len(l.Items)-1)) + 2
	}
	s.tag(pdf.List, func() {
		for i, item := range l.Items {
			if s.ctx.Err() != nil {
				return
			}
			mark := "–"
			if l.Ordered {
				mark = fmt.Sprintf("%d.", start+i)
			}
			s.tag(pdf.Item, func() { s.item(item, mark, hang, l.Boxes) })
			s.y += 0.7
		}
	})
}

// tickSide is the side of a box to tick, with room for a pen; the room beside it is as wide.
const tickSide = 3.4

func (s *setter) item(item doc.Item, mark string, hang float64, box bool) {
	label := lay(atoms(doc.Text{doc.Plain(mark)}, plainLook(textSize)), hang)
	if box {
		hang += 2 * tickSide
	}
	body := lay(atoms(item.Text, plainLook(textSize)), s.width-hang)
	s.room(s.roomFor(item, len(body), hang))
	if box {
		s.tickBox(s.left + hang - 1.6*tickSide)
	}
	s.beside(pdf.ItemLabel, label, pdf.ItemBody, body, hang)
	if len(item.Blocks) > 0 {
		s.indented(min(hang, s.width/4), func() {
			s.y += 0.8
			s.blocks(item.Blocks, 3, "")
		})
	}
}

// roomFor is the room that an item needs to begin: it is never at the foot of the page before its caution, nor a step without
// any of its details.
func (s *setter) roomFor(item doc.Item, lines int, hang float64) float64 {
	switch b := first(item.Blocks).(type) {
	case *doc.Caution:
		return float64(lines)*textSize*leading + 0.8 + s.cautionHeight(b, s.width-min(hang, s.width/4))
	case *doc.List:
		return float64(lines+2) * textSize * leading
	}
	return float64(min(lines, 3)) * textSize * leading
}

// tickBox draws an empty box on the line that is set next.
func (s *setter) tickBox(x float64) {
	y := s.y + (textSize*leading-tickSide)/2
	s.book.Decoration(func() {
		s.page.Path(figure.Box(x, y, tickSide, tickSide), figure.Paint{Width: 0.3, Edge: figure.Black})
	})
}

func first(blocks []doc.Block) doc.Block {
	if len(blocks) == 0 {
		return nil
	}
	return blocks[0]
}

// Room around and within the frame of a caution.
const cautionEdge, cautionPad = 4.0, 2.0

func (s *setter) cautionHeight(c *doc.Caution, width float64) float64 {
	lines := lay(atoms(c.Text, plainLook(textSize)), width-cautionEdge-2*cautionPad)
	return float64(len(lines)+1)*textSize*leading + 2*cautionPad
}

// caution sets a warning in a frame with a hatched edge, which is seen in black
// and white too. It stays on one page if it fits on one.
func (s *setter) caution(c *doc.Caution) {
	const edge, pad = cautionEdge, cautionPad
	s.room(s.cautionHeight(c, s.width))
	s.indented(edge+pad, func() {
		s.width -= pad
		body := lay(atoms(c.Text, plainLook(textSize)), s.width)
		top, start := s.y, s.page
		s.y += pad
		s.tag(pdf.Aside, func() {
			s.tag(pdf.Paragraph, func() { s.flow(textOf("Caution: "+oneLine(c.Kind)), boldLook(textSize)) })
			s.tag(pdf.Paragraph, func() { s.lines(body, textSize) })
		})
		s.y += pad
		if s.page == start {
			s.warningFrame(s.left-edge-pad, top, s.width+edge+2*pad, s.y-top, edge)
		}
		s.width += pad
	})
}

func (s *setter) warningFrame(x, y, w, h, edge float64) {
	d := figure.New(w, h)
	d.Hatch(figure.Box(0, 0, edge, h), figure.Hatching{Angle: 45, Gap: 0.8})
	d.Line(edge, 0, edge, h, figure.Paint{Width: 0.3, Edge: figure.Black})
	d.Rect(0, 0, w, h, figure.Paint{Width: 0.5, Edge: figure.Black})
	s.book.Decoration(func() { s.page.Drawing(x, y, d) })
}
