package render

import (
	"fmt"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/figure"
	pdf "boltback/internal/page"
)

func plainLook(size float64) look { return look{size: size, shade: full} }

func boldLook(size float64) look { return look{face: figure.Bold, size: size, shade: full} }

func textOf(s string) doc.Text { return doc.Text{doc.Plain(oneLine(s))} }

// section sets a heading and what stands below it.
func (s *setter) section(sec *doc.Section, depth int, number string) {
	if s.ctx.Err() != nil {
		return
	}
	size := headingSize[min(depth, len(headingSize))-1]
	if sec.NewPage && s.y > pdfTop {
		s.turn()
	}
	if s.y > pdfTop {
		s.y += pdfGap * 3 / float64(depth)
	}
	s.room(size*leading + pdfGap + s.openingOf(sec.Blocks)) // a heading is never alone at the foot
	if sec.ID != "" {
		s.page.Anchor(sec.ID, s.y)
	}
	if depth <= 3 {
		s.page.Bookmark(depth, number+" "+oneLine(sec.Title), s.y)
	}
	s.found(sec.ID)
	s.tag(pdf.HeadingOf(depth+1), func() { s.flow(textOf(number+"  "+oneLine(sec.Title)), boldLook(size)) })
	if depth == 1 {
		s.rule(s.left, s.y+0.4, s.left+s.width, 0.4)
		s.y += 0.8
	}
	s.y += pdfGap * 0.7
	s.blocks(sec.Blocks, depth, number)
}

// openingOf is the height of what stands below a heading on its page: the opening of a table, otherwise a few lines.
func (s *setter) openingOf(blocks []doc.Block) float64 {
	few := 4 * textSize * leading
	if len(blocks) == 0 {
		return few
	}
	switch b := blocks[0].(type) {
	case *doc.Table:
		return max(few, s.opening(b, s.columnWidths(b)))
	case *doc.Matrix:
		t := matrixTable(b)
		return max(few, s.opening(t, s.columnWidths(t)))
	}
	return few
}

// blocks sets blocks with room between them.
func (s *setter) blocks(list []doc.Block, depth int, number string) {
	sections := 0
	for _, b := range list {
		if s.ctx.Err() != nil {
			return
		}
		if sec, ok := b.(*doc.Section); ok {
			sections++
			s.section(sec, depth+1, fmt.Sprintf("%s.%d", number, sections))
			continue
		}
		s.block(b)
		s.y += pdfGap
	}
}

func (s *setter) block(b doc.Block) {
	switch b := b.(type) {
	case *doc.Paragraph:
		size := textSize
		if b.Lead {
			size = leadSize
		}
		s.tag(pdf.Paragraph, func() { s.flow(b.Text, plainLook(size)) })
	case *doc.Facts:
		s.facts(b.Caption, b.Items)
	case *doc.Table:
		s.table(b)
	case *doc.Matrix:
		s.table(matrixTable(b))
		s.y += 0.6
		s.tag(pdf.Paragraph, func() { s.flow(legend(b), look{size: quietSize, shade: quiet}) })
	case *doc.List:
		s.list(b)
	case *doc.Figure:
		s.figure(b)
	case *doc.PhotoSheet:
		s.photos(b)
	case *doc.Caution:
		s.caution(b)
	case *doc.Signature:
		s.framed(func() { s.facts("", signatureFacts(b)) })
	case *doc.Provenance:
		s.provenance(b)
	case *doc.Findings:
		s.findings(b)
	case *doc.Verbatim:
		s.verbatim(b)
	}
}

// captionRoom is what a page must still hold for a caption and the beginning of what it is of.
func captionRoom() float64 { return 5 * textSize * leading }

func (s *setter) caption(text string) {
	if text == "" {
		return
	}
	s.room(captionRoom())
	s.tag(pdf.Paragraph, func() { s.flow(textOf(text), boldLook(textSize)) })
	s.y += 0.6
}

// facts sets pairs side by side, the labels as wide as a third of the column at
// most.
func (s *setter) facts(caption string, items []doc.Fact) {
	s.caption(caption)
	label := 0.0
	for _, f := range items {
		label = max(label, figure.Width(figure.Regular, textSize, oneLine(f.Label)))
	}
	label = min(label, s.width/3)
	const gap = 4.0
	s.tag(pdf.List, func() {
		for _, f := range items {
			s.tag(pdf.Item, func() {
				left := lay(atoms(textOf(f.Label), look{size: textSize, shade: quiet}), label)
				right := lay(atoms(f.Value, plainLook(textSize)), s.width-label-gap)
				s.beside(pdf.ItemLabel, left, pdf.ItemBody, right, label+gap)
			})
		}
	})
}

// beside sets two columns of lines that begin at the same height.
func (s *setter) beside(leftRole pdf.Role, left []setLine, rightRole pdf.Role, right []setLine, at float64) {
	s.room(float64(max(len(left), min(len(right), 3))) * textSize * leading)
	startPage, startY := s.page, s.y
	s.tag(leftRole, func() { s.lines(left, textSize) })
	endY := s.y
	if s.page != startPage { // the left column is short; it was given the room
		startY = pdfTop
	}
	s.y = startY
	s.indented(at, func() { s.tag(rightRole, func() { s.lines(right, textSize) }) })
	if s.page == startPage {
		s.y = max(s.y, endY)
	}
}

// framed puts a light frame round what do sets, if it stays on one pdf.
func (s *setter) framed(do func()) {
	const pad = 2.0
	s.room(30)
	s.indented(pad, func() {
		s.width -= pad
		top, start := s.y, s.page
		s.y += pad
		do()
		s.y += pad
		if s.page == start {
			s.book.Decoration(func() {
				s.page.Path(figure.Box(s.left-pad, top, s.width+2*pad, s.y-top), figure.Paint{Width: hairline, Edge: figure.Black})
			})
		}
		s.width += pad
	})
}

func (s *setter) provenance(p *doc.Provenance) {
	s.framed(func() {
		s.facts("", provenanceFacts(p))
		if p.Basis != "" {
			s.tag(pdf.Paragraph, func() { s.flow(textOf(p.Basis), boldLook(textSize)) })
		}
	})
}

// provenanceLine says the same in running text, where a sheet has little room.
func (s *setter) provenanceLine(p *doc.Provenance) {
	var t doc.Text
	for _, f := range provenanceFacts(p) {
		t = append(t.And("{}: ", f.Label), f.Value...).And("; ")
	}
	s.tag(pdf.Paragraph, func() { s.flow(t.And("{}", oneLine(p.Basis)), plainLook(quietSize)) })
}

func (s *setter) findings(f *doc.Findings) {
	s.caption(f.Caption)
	var l doc.List
	for _, item := range f.Items {
		var what doc.Text
		if item.Where != "" {
			what = doc.Say("{}: ", doc.Literal(oneLine(item.Where)))
		}
		what = append(what.And("{}: ", doc.Strong(oneLine(item.Level))), item.What...)
		if item.Code != "" {
			what = what.From(doc.Span{Style: doc.StyleSource, Text: item.Code})
		}
		if len(item.Right) > 0 {
			what = append(what.And("\nRight would be: "), item.Right...)
		}
		l.Items = append(l.Items, doc.Item{Text: what})
	}
	s.list(&l)
}

// verbatim keeps lines and spaces; a line that is too long goes on below.
func (s *setter) verbatim(v *doc.Verbatim) {
	s.caption(v.Caption)
	mono := look{face: figure.Mono, size: cellSize * 0.95, shade: full}
	s.indented(3, func() {
		s.tag(pdf.Code, func() {
			for l := range strings.SplitSeq(strings.TrimRight(doc.Clean(v.Text, doc.TextLimit), "\n"), "\n") {
				s.lines(lay([]atom{{text: l, look: mono, width: figure.Width(mono.face, mono.size, l), trailing: true}}, s.width), mono.size)
			}
		})
	})
}
