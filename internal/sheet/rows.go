package sheet

import (
	"fmt"

	"boltback/internal/figure"
	"boltback/internal/page"
)

// column is a column of a sheet's table of rows.
type column struct {
	head string
	// share of the width, relative to the other columns.
	share float64
	// unit is printed in each box.
	unit string
	// choices divide each box into one for each; the value named is ticked.
	choices []string
	// number is a box for a tag number, with a comb of marks for its digits.
	number bool
}

// row holds a value for each column; missing ones are left for the pen.
type row []string

const (
	numberWidth = 9.0
	headHeight  = 8.0
	fewest      = 2 // empty rows that a sheet has at least
)

// rows prints a table of numbered rows: the known ones, then empty ones to the
// end of the page or as many as the head of the sheet asks for.
func (f *form) rows(caption string, columns []column, known []row, numbered int) {
	f.room(headHeight + 3*boxHeight)
	widths := f.widths(columns)
	f.book.Tag(page.Element{Role: page.Table}, func() {
		if caption != "" {
			f.book.Tag(page.Element{Role: page.Caption}, func() {
				f.text(side, f.y+printSize, figure.Bold, printSize, caption)
			})
			f.y += printSize + 2.2
		}
		f.tableHead(columns, widths)
		n := 0
		print := func(r row) {
			height := f.height(columns, widths, r)
			if f.room(height) {
				f.tableHead(columns, widths)
			}
			n++
			f.row(numbered+n, columns, widths, r, height)
		}
		for _, r := range known {
			print(r)
		}
		blank := f.head.Blank
		if blank == 0 {
			if f.left() < fewest {
				f.turn()
				f.tableHead(columns, widths)
			}
			blank = f.left()
		}
		for range blank {
			print(make(row, len(columns)))
		}
	})
	f.y += 3
}

// left is how many empty rows fit on the page.
func (f *form) left() int { return max(int((f.bottom()-f.y)/boxHeight), 0) }

func (f *form) widths(columns []column) []float64 {
	sum := 0.0
	for _, c := range columns {
		sum += c.share
	}
	widths := make([]float64, len(columns))
	for i, c := range columns {
		widths[i] = (f.width() - numberWidth) * c.share / sum
	}
	return widths
}

// tableHead names the columns. On later pages it is only repeated, so a reader
// that speaks does not say it again.
func (f *form) tableHead(columns []column, widths []float64) {
	paint := func() {
		x := side + numberWidth
		f.book.Tag(page.Element{Role: page.HeaderCell}, func() { f.text(side+inset, f.y+headHeight-1.8, figure.Bold, tightSize, "No.") })
		for i, c := range columns {
			f.book.Tag(page.Element{Role: page.HeaderCell}, func() {
				lines := figure.Lines(figure.Bold, tightSize, widths[i]-inset, c.head)
				for k, l := range lines {
					up := float64(len(lines)-1-k) * tightSize * 1.1
					f.text(x+inset, f.y+headHeight-1.8-up, figure.Bold, tightSize, l)
				}
			})
			x += widths[i]
		}
	}
	f.book.Tag(page.Element{Role: page.Row}, paint)
	f.y += headHeight
	f.line(side, f.y, side+f.width(), f.y, rule)
}

// height is how high a row must be for its longest value, and at least as high
// as a box for the pen.
func (f *form) height(columns []column, widths []float64, r row) float64 {
	height := boxHeight
	for i, c := range columns {
		if i < len(r) && len(c.choices) == 0 && !c.number {
			n := float64(len(valueLines(widths[i], r[i])))
			height = max(height, n*tightSize*1.2+2.4)
		}
	}
	return height
}

func valueLines(width float64, value string) []string {
	return figure.Lines(figure.Regular, tightSize, width-2*inset, value)
}

// row prints one row. The number is its name on paper and in what is entered.
func (f *form) row(number int, columns []column, widths []float64, r row, height float64) {
	f.book.Tag(page.Element{Role: page.Row}, func() {
		f.frame(side, f.y, numberWidth, height)
		f.book.Tag(page.Element{Role: page.HeaderCell, OfRow: true}, func() {
			s := fmt.Sprint(number)
			figure.PaintLabel(f.page, side+numberWidth/2, f.y+height/2+nameSize*0.36, figure.Around,
				figure.Label{Text: s, Face: figure.Bold, Size: nameSize, Shade: figure.Black})
		})
		x := side + numberWidth
		for i, c := range columns {
			value := ""
			if i < len(r) {
				value = r[i]
			}
			f.book.Tag(page.Element{Role: page.Cell}, func() { f.cell(x, widths[i], height, c, value) })
			x += widths[i]
		}
	})
	f.y += height
}

func (f *form) cell(x, width, height float64, c column, value string) {
	if len(c.choices) > 0 {
		f.choice(x, width, height, c.choices, value)
		return
	}
	f.frame(x, f.y, width, height)
	if c.number {
		f.comb(x, width, height, value)
		return
	}
	if value == "" { // a printed value has its own unit
		f.unit(x+width-inset, f.y+height-inset, c.unit)
		return
	}
	lines := valueLines(width, value)
	y := f.y + (height-float64(len(lines))*tightSize*1.2)/2 + tightSize*0.95
	for i, l := range lines {
		f.text(x+inset, y+float64(i)*tightSize*1.2, figure.Regular, tightSize, l)
	}
}

// choice divides a box into one for each word; a cross in one picks it.
func (f *form) choice(x, width, height float64, words []string, picked string) {
	w := width / float64(len(words))
	for i, word := range words {
		f.frame(x+float64(i)*w, f.y, w, height)
		f.page.Label(x+float64(i)*w+0.6, f.y+smallSize+0.4, figure.Label{Text: word + " ", Size: smallSize, Shade: 0.75})
		if word == picked {
			figure.PaintLabel(f.page, x+(float64(i)+0.5)*w, f.y+height-2, figure.Around,
				figure.Label{Text: "✗", Face: figure.Bold, Size: nameSize * 1.2, Shade: figure.Black})
		}
	}
}

// comb marks the places of the digits of a tag number and its check character,
// or prints the number where it is known.
func (f *form) comb(x, width, height float64, value string) {
	if value != "" {
		size := nameSize
		for figure.Width(figure.Bold, size, value) > width-2*inset && size > smallSize {
			size = max(size*0.95, smallSize)
		}
		figure.PaintLabel(f.page, x+width/2, f.y+height/2+size*0.36, figure.Around,
			figure.Label{Text: figure.Fit(figure.Bold, size, width-2*inset, value), Face: figure.Bold, Size: size, Shade: figure.Black})
		return
	}
	const places = 5
	step := width / places
	for i := 1; i < places; i++ {
		from := f.y + height - 3
		if i == places-1 {
			from = f.y + height/2 // before the check character
		}
		f.line(x+float64(i)*step, from, x+float64(i)*step, f.y+height, hair)
	}
}
