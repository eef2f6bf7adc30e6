package render

import (
	"unicode"

	"boltback/internal/doc"
)

type tableView struct {
	ID, Caption string
	// Wide tables slide within themselves on a narrow screen.
	Wide bool
	// Dense tables may break any word, since their words don't fit otherwise.
	Dense bool
	// Short tables stay on one page.
	Short   bool
	Columns []columnView
	Groups  []groupView
	Legend  []spanView
}

type columnView struct {
	Header, Lean string
	Percent      int
}

type groupView struct {
	Title string
	Rows  [][]cellView
}

type cellView struct {
	// Span is 0 for a cell of one column.
	Span int
	Lean string
	Text []spanView
}

const (
	fewColumns  = 3  // fit a telephone without sliding
	fewRows     = 10 // fit a page, unless a cell tells a long story
	wholeFigure = 14 // characters of a figure that is not parted from its unit

	phoneLine  = 40 // small letters of a table's row on a telephone
	paperLine  = 84 // small letters of a table's row on paper
	betweenTwo = 2  // small letters of the space between two columns
)

func (v *viewer) table(t *doc.Table) tableView {
	view := tableView{ID: t.ID, Caption: oneLine(t.Caption), Wide: len(t.Columns) > fewColumns, Short: t.Rows() <= fewRows}
	view.Dense = unbroken(t) > phoneLine
	if view.Wide {
		view.Dense = unbroken(t) > paperLine
	}
	sum := 0
	for _, c := range t.Columns {
		sum += max(c.Width, 1)
	}
	for _, c := range t.Columns {
		percent := max(c.Width, 1) * 100 / sum
		v.percents[percent] = true
		view.Columns = append(view.Columns, columnView{oneLine(c.Header), leanName(c.Align), percent})
	}
	for _, g := range t.Groups {
		group := groupView{Title: oneLine(g.Title)}
		for _, r := range g.Rows {
			group.Rows = append(group.Rows, viewRow(t.Columns, r))
		}
		view.Groups = append(view.Groups, group)
	}
	return view
}

// unbroken is how long a row is at least when no word is broken, in small
// letters: the sum of each column's longest run without a break.
func unbroken(t *doc.Table) int {
	longest := make([]int, len(t.Columns))
	note := func(at int, text doc.Text) {
		for _, w := range words(text) {
			for _, f := range w.fragments {
				longest[at] = max(longest[at], letters(f.text))
			}
		}
	}
	for at, c := range t.Columns {
		note(at, doc.Text{doc.Plain(oneLine(c.Header))})
	}
	for _, g := range t.Groups {
		for _, r := range g.Rows {
			at := 0
			for _, c := range r.Cells {
				if c.Columns() == 1 && at < len(longest) {
					note(at, c.Text)
				}
				at += c.Columns()
			}
		}
	}
	sum := 0
	for _, n := range longest {
		sum += n + betweenTwo
	}
	return sum
}

// letters estimates how long a word is in print, in small letters. Capitals
// are taken for one and three quarters, as W is.
func letters(s string) int {
	quarters := 0
	for _, r := range s {
		if unicode.IsUpper(r) {
			quarters += 7
		} else {
			quarters += 4 * runeColumns(r)
		}
	}
	return quarters / 4
}

func viewRow(columns []doc.Column, r doc.Row) []cellView {
	var cells []cellView
	at := 0
	for _, c := range r.Cells {
		cell := cellView{Text: viewText(c.Text)}
		if c.Columns() > 1 {
			cell.Span = c.Columns()
		} else if at < len(columns) {
			cell.Lean = leanName(columns[at].Align)
			if columns[at].Align == doc.Right && len([]rune(c.Text.String())) <= wholeFigure {
				cell.Lean += " whole"
			}
		}
		at += c.Columns()
		cells = append(cells, cell)
	}
	return cells
}

func (v *viewer) matrix(m *doc.Matrix) tableView {
	view := v.table(matrixTable(m))
	view.Legend = viewText(legend(m))
	return view
}

func leanName(a doc.Align) string {
	switch a {
	case doc.Right:
		return "right"
	case doc.Centre:
		return "centre"
	}
	return ""
}
