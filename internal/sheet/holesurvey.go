package sheet

import (
	"strconv"

	"boltback/internal/figure"
	"boltback/internal/page"
)

// Feature is a hole, dent, weld or repair that is on record already.
type Feature struct {
	// What is "hole", "dent", "weld", "repair", or another word.
	What, Where, Size string
	Count             int
}

// NewHoleSurvey makes the sheet for looking over one zone, hole by hole, before
// the first work on it or after the last.
func NewHoleSurvey(h Head, known []Feature) (*Printout, error) {
	f := newForm(HoleSurvey, h)
	w := f.width()
	f.fields([]field{
		{label: "Before the first work", width: w * 0.2}, {label: "After the last work", width: w * 0.2},
		{label: "Coating: off, on, underseal", width: w * 0.25}, {label: "What could not be seen", width: w * 0.35},
	})
	f.y += 2.5
	f.sketch()
	rows := make([]row, len(known))
	for i, k := range known {
		what, where := k.What, k.Where
		if what != "hole" && what != "dent" && what != "weld" && what != "repair" {
			what, where = "", k.What+": "+k.Where
		}
		rows[i] = row{where, k.Size, what, countWord(k.Count), "", ""}
	}
	f.rows("", []column{
		{head: "Where: from two edges, measured", share: 52}, {head: "Size", share: 22, unit: "mm"},
		{head: "What it is", share: 48, choices: []string{"hole", "dent", "weld", "repair"}}, {head: "How many", share: 16, unit: "pcs"},
		{head: "Edge is", share: 39, choices: []string{"painted", "rusty", "bright"}}, {head: "Photo", share: 16},
	}, rows, 0)
	return f.finish()
}

func countWord(n int) string {
	if n <= 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// sketch is squared paper for a drawing of the zone, five millimetres a square.
func (f *form) sketch() {
	const height, square = 45.0, 5.0
	f.room(height + 4)
	w := f.width()
	d := figure.New(w, height)
	for x := square; x < w; x += square {
		d.Line(x, 0, x, height, figure.Paint{Width: 0.1, Edge: figure.Grey})
	}
	for y := square; y < height; y += square {
		d.Line(0, y, w, y, figure.Paint{Width: 0.1, Edge: figure.Grey})
	}
	d.Rect(0, 0, w, height, figure.Paint{Width: hair, Edge: figure.Black})
	f.book.Tag(page.Element{Role: page.Figure, Alt: "squared paper for a sketch of the zone"}, func() { f.page.Drawing(side, f.y, d) })
	f.book.Tag(page.Element{Role: page.Paragraph}, func() {
		f.text(side+inset, f.y+height+smallSize+0.4, figure.Regular, smallSize, "Sketch of the zone, with row numbers at the holes. One square is            mm on the car. Mark the front of the car.")
	})
	f.y += height + smallSize + 2.5
}
