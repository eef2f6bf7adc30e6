package render

import (
	"boltback/internal/doc"
	"boltback/internal/figure"
	pdf "boltback/internal/page"
)

const cellPad = 1.4

// table sets a table. Its head is repeated on each page; a row stays together
// unless it is higher than a pdf.
func (s *setter) table(t *doc.Table) {
	widths := s.columnWidths(t)
	s.room(s.opening(t, widths))
	s.caption(t.Caption)
	if t.ID != "" {
		s.page.Anchor(t.ID, s.y)
	}
	s.tag(pdf.Table, func() {
		s.tableHead(t, widths)
		for _, g := range t.Groups {
			if g.Title != "" {
				s.row(t, widths, doc.Row{Cells: []doc.Cell{{Text: doc.Text{doc.Strong(oneLine(g.Title))}, Span: len(t.Columns)}}}, true)
			}
			for _, r := range g.Rows {
				if s.ctx.Err() != nil {
					return
				}
				s.row(t, widths, r, false)
			}
		}
	})
}

// opening is the height of what of a table must not be parted: its caption and head, and its first row with the title of the
// group, as far as that row can stand on one page; all of a small table, so that lines to sign stand below what is signed.
func (s *setter) opening(t *doc.Table, widths []float64) float64 {
	step, least := cellSize*leading, 0.0
	_, height := headCells(t, widths)
	if t.Caption != "" {
		height += float64(len(lay(atoms(textOf(t.Caption), boldLook(textSize)), s.width)))*textSize*leading + 0.6
		least = captionRoom()
	}
	for _, g := range t.Groups {
		if g.Title != "" {
			height += step + 2*cellPad
		}
		if len(g.Rows) > 0 {
			if whole := s.heightOfRows(t, widths, g.Rows); len(t.Groups) == 1 && len(g.Rows) <= fewRows && height+whole < (s.bottom()-pdfTop)*0.3 {
				return max(least, height+whole)
			}
			first := heightOf(s.cells(t, widths, g.Rows[0]))
			if first > (s.bottom()-pdfTop)*0.4 {
				first = 4 * step
			}
			return max(least, height+first)
		}
	}
	return max(least, height)
}

func (s *setter) heightOfRows(t *doc.Table, widths []float64, rows []doc.Row) float64 {
	height := 0.0
	for _, r := range rows[:min(len(rows), fewRows)] {
		height += heightOf(s.cells(t, widths, r))
	}
	return height
}

func headCells(t *doc.Table, widths []float64) (cells [][]setLine, height float64) {
	cells = make([][]setLine, len(t.Columns))
	most := 1
	for i, c := range t.Columns {
		cells[i] = lay(atoms(textOf(c.Header), boldLook(cellSize)), widths[i]-2*cellPad)
		most = max(most, len(cells[i]))
	}
	return cells, float64(most)*cellSize*leading + 2*cellPad
}

// tableHead sets the names of the columns between two rules.
func (s *setter) tableHead(t *doc.Table, widths []float64) {
	cells, height := headCells(t, widths)
	s.room(height + 3*cellSize*leading)
	s.rule(s.left, s.y, s.left+s.width, 0.4)
	s.tag(pdf.Row, func() {
		x := s.left
		for i, lines := range cells {
			s.tag(pdf.HeaderCell, func() { s.cellLines(x, s.y+cellPad, widths[i], lines, t.Columns[i].Align) })
			x += widths[i]
		}
	})
	s.y += height
	s.rule(s.left, s.y, s.left+s.width, hairline)
}

// setCell is a cell of a row that is being set.
type setCell struct {
	x, width float64
	span     int
	align    doc.Align
	lines    []setLine
}

func (s *setter) cells(t *doc.Table, widths []float64, r doc.Row) []setCell {
	var cells []setCell
	at, x := 0, s.left
	for _, c := range r.Cells {
		cell := setCell{x: x, span: c.Columns()}
		for i := at; i < at+c.Columns() && i < len(widths); i++ {
			cell.width += widths[i]
		}
		if at < len(t.Columns) && c.Columns() == 1 {
			cell.align = t.Columns[at].Align
		}
		cell.lines = lay(atoms(c.Text, plainLook(cellSize)), max(cell.width-2*cellPad, cellSize))
		at += c.Columns()
		x += cell.width
		cells = append(cells, cell)
	}
	return cells
}

// heightOf is the height of a row of such cells.
func heightOf(cells []setCell) float64 { return float64(linesOf(cells))*cellSize*leading + 2*cellPad }

func linesOf(cells []setCell) int {
	most := 1
	for _, c := range cells {
		most = max(most, len(c.lines))
	}
	return most
}

// row sets a row, in parts if no page holds it whole. The title of a group
// stays with the row below it.
func (s *setter) row(t *doc.Table, widths []float64, r doc.Row, title bool) {
	cells := s.cells(t, widths, r)
	most, step := linesOf(cells), cellSize*leading
	need := heightOf(cells)
	if title {
		need += 2 * step
	}
	if s.y+need > s.bottom() && (need < (s.bottom()-pdfTop)*0.8 || s.y+4*step > s.bottom()) {
		s.turn()
		s.book.Decoration(func() { s.tableHead(t, widths) })
	}
	s.tag(pdf.Row, func() {
		for from := 0; from < most; {
			to := min(most, from+max(int((s.bottom()-s.y-2*cellPad)/step), 1))
			for i, c := range cells {
				e := pdf.Element{Role: pdf.Cell, Columns: c.span, OfRow: true}
				if i == 0 {
					e.Role = pdf.HeaderCell
				}
				part := c.lines[min(from, len(c.lines)):min(to, len(c.lines))]
				s.book.Tag(e, func() { s.cellLines(c.x, s.y+cellPad, c.width, part, c.align) })
			}
			s.y += float64(to-from)*step + 2*cellPad
			s.rule(s.left, s.y, s.left+s.width, hairline)
			if from = to; from < most {
				s.turn()
				s.book.Decoration(func() { s.tableHead(t, widths) })
			}
		}
	})
}

// cellLines prints the lines of a cell on the side to which its column leans.
func (s *setter) cellLines(x, y, width float64, lines []setLine, align doc.Align) {
	step := cellSize * leading
	for i, l := range lines {
		at := x + cellPad
		switch align {
		case doc.Right:
			at = x + width - cellPad - lineWidth(l)
		case doc.Centre:
			at = x + (width-lineWidth(l))/2
		}
		s.printLine(at, y+float64(i)*step+cellSize*figure.Ascent+(step-cellSize)/2, l)
	}
}
