package render

import (
	"strings"

	"boltback/internal/doc"
)

// gutter is the space between two columns.
const gutter = 2

// leastColumn is the narrowest column that can still be read; a table whose
// columns would be narrower is written row by row instead.
const leastColumn = 7

func (t texter) matrix(m *doc.Matrix, width int) []line {
	lines := t.table(matrixTable(m), width)
	return append(lines, t.flow(legend(m), width)...)
}

func (t texter) table(tb *doc.Table, width int) []line {
	lines := t.caption(tb.Caption, width)
	widths, ok := columnWidths(tb, width)
	if !ok {
		return append(lines, t.rowByRow(tb, width)...)
	}
	rule := chars(strings.Repeat("─", total(widths)))
	head := doc.Row{}
	for _, c := range tb.Columns {
		head.Cells = append(head.Cells, doc.Cell{Text: doc.Text{doc.Strong(doc.CleanLine(c.Header, doc.LineLimit))}})
	}
	lines = append(lines, rule)
	lines = append(lines, t.row(tb, head, widths)...)
	lines = append(lines, rule)
	for _, g := range tb.Groups {
		lines = append(lines, t.caption(g.Title, width)...)
		for _, r := range g.Rows {
			lines = append(lines, t.row(tb, r, widths)...)
		}
	}
	return append(lines, rule)
}

func total(widths []int) int {
	n := -gutter
	for _, w := range widths {
		n += w + gutter
	}
	return max(n, 0)
}

// row lays one row; a cell that spans columns takes their gutters too.
func (t texter) row(tb *doc.Table, r doc.Row, widths []int) []line {
	var lines []line
	at, column := 0, 0
	for _, c := range r.Cells {
		if at >= len(widths) {
			break
		}
		end := min(at+c.Columns(), len(widths))
		w := total(widths[at:end])
		cell := wrap(words(c.Text), w)
		for i, l := range cell {
			cell[i] = l.after(strings.Repeat(" ", lean(tb.Columns[at].Align, w-l.columns)))
		}
		lines = beside(lines, cell, column)
		column += w + gutter
		at = end
	}
	return lines
}

// lean is how many of the free columns stand before the text.
func lean(a doc.Align, free int) int {
	switch a {
	case doc.Right:
		return max(free, 0)
	case doc.Centre:
		return max(free/2, 0)
	}
	return 0
}

// columnWidths shares the line between the columns: as wide as their longest
// cell if that fits, else by their weights, none wider than it needs. It reports
// whether all columns can be read.
func columnWidths(tb *doc.Table, width int) ([]int, bool) {
	need := needs(tb)
	n := len(need)
	room := width - gutter*(n-1)
	if n == 0 {
		return nil, false
	}
	if total(need) <= width {
		return need, true
	}
	if room < n*leastColumn {
		return nil, false
	}
	return share(tb.Columns, need, room), true
}

// needs returns the width of each column's widest cell, spanning ones apart.
func needs(tb *doc.Table) []int {
	need := make([]int, len(tb.Columns))
	for i, c := range tb.Columns {
		need[i] = max(columns(doc.CleanLine(c.Header, doc.LineLimit)), 1)
	}
	for _, g := range tb.Groups {
		for _, r := range g.Rows {
			at := 0
			for _, c := range r.Cells {
				if c.Columns() == 1 && at < len(need) {
					need[at] = max(need[at], widest(c.Text))
				}
				at += c.Columns()
			}
		}
	}
	return need
}

// widest is the width of the text's longest line when none is wrapped.
func widest(t doc.Text) int {
	const endless = 1 << 30
	n := 0
	for _, l := range wrap(words(t), endless) {
		n = max(n, l.columns)
	}
	return n
}

// share gives each column its least, then hands out the rest by weight until
// the room or the need is used up.
func share(cols []doc.Column, need []int, room int) []int {
	widths := make([]int, len(need))
	for i := range widths {
		widths[i] = min(need[i], leastColumn)
		room -= widths[i]
	}
	for room > 0 {
		weight := 0
		for i, c := range cols {
			if widths[i] < need[i] {
				weight += max(c.Width, 1)
			}
		}
		if weight == 0 {
			break
		}
		before := room
		for i, c := range cols {
			more := min(need[i]-widths[i], max(before*max(c.Width, 1)/weight, 1), room)
			if more > 0 {
				widths[i] += more
				room -= more
			}
		}
	}
	return widths
}

// rowByRow writes each row as pairs of column head and cell.
func (t texter) rowByRow(tb *doc.Table, width int) []line {
	var parts [][]line
	for _, g := range tb.Groups {
		if g.Title != "" {
			parts = append(parts, t.caption(g.Title, width))
		}
		for _, r := range g.Rows {
			var facts []doc.Fact
			at := 0
			for _, c := range r.Cells {
				if at < len(tb.Columns) {
					facts = append(facts, doc.Fact{Label: tb.Columns[at].Header, Value: c.Text})
				}
				at += c.Columns()
			}
			parts = append(parts, t.facts("", facts, width))
		}
	}
	return join(parts)
}
