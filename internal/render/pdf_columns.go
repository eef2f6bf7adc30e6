package render

import (
	"boltback/internal/doc"
)

// columnWidths shares the line out as the columns ask, gives to those whose longest word does not fit from those with room to
// spare, and then moves room to where it makes the table lower. None gets less than half of what it asks for.
func (s *setter) columnWidths(t *doc.Table) []float64 {
	needs := s.columnNeeds(t)
	widths := s.askedWidths(t, needs)
	for i := range needs {
		needs[i] = max(needs[i], widths[i]/2)
	}
	return lowest(widths, needs, textWidths(t))
}

// askedWidths is the line shared out, before it is looked at how much stands in the cells.
func (s *setter) askedWidths(t *doc.Table, needs []float64) []float64 {
	sum := 0.0
	for _, c := range t.Columns {
		sum += float64(max(c.Width, 1))
	}
	widths := make([]float64, len(t.Columns))
	short, spare := 0.0, 0.0
	for i, c := range t.Columns {
		widths[i] = s.width * float64(max(c.Width, 1)) / sum
		if needs[i] > widths[i] {
			short += needs[i] - widths[i]
		} else {
			spare += widths[i] - needs[i]
		}
	}
	if short == 0 || spare == 0 {
		return widths
	}
	given := min(short, spare)
	for i := range widths {
		if needs[i] > widths[i] {
			widths[i] += (needs[i] - widths[i]) * given / short
		} else {
			widths[i] -= (widths[i] - needs[i]) * given / spare
		}
	}
	return widths
}

// columnNeeds is how wide each column's longest word is, up to a third of the line.
func (s *setter) columnNeeds(t *doc.Table) []float64 {
	needs := make([]float64, len(t.Columns))
	note := func(at int, list []atom) {
		for _, a := range list {
			needs[at] = max(needs[at], min(a.width+2*cellPad+0.01, s.width/3))
		}
	}
	for i, c := range t.Columns {
		note(i, atoms(textOf(c.Header), boldLook(cellSize)))
	}
	for _, g := range t.Groups {
		for _, r := range g.Rows {
			at := 0
			for _, c := range r.Cells {
				if c.Columns() == 1 && at < len(needs) {
					note(at, atoms(c.Text, plainLook(cellSize)))
				}
				at += c.Columns()
			}
		}
	}
	return needs
}

// mostWeighed is how many rows of a table say how wide its columns had better be; of a longer one every so many is taken.
const mostWeighed = 200

// textWidths is how wide the text of each cell would be in one line, row by row, for cells of one column.
func textWidths(t *doc.Table) [][]float64 {
	var widths [][]float64
	every, n := t.Rows()/mostWeighed+1, 0
	for _, g := range t.Groups {
		for _, r := range g.Rows {
			if n++; (n-1)%every != 0 || len(r.Cells) != len(t.Columns) {
				continue
			}
			row := make([]float64, len(r.Cells))
			for i, c := range r.Cells {
				for _, a := range atoms(c.Text, plainLook(cellSize)) {
					row[i] += a.width
				}
			}
			widths = append(widths, row)
		}
	}
	return widths
}

// lowest moves room from one column to another, a little at a time, as long as that saves lines; no column becomes narrower
// than it needs to be.
func lowest(widths, needs []float64, text [][]float64) []float64 {
	step := 0.0
	for _, w := range widths {
		step += w / 40
	}
	lines := linesAt(widths, text)
	for range 40 {
		from, to := -1, -1
		for i := range widths {
			for j := range widths {
				if i == j || widths[i]-step < needs[i] {
					continue
				}
				widths[i] -= step
				widths[j] += step
				if n := linesAt(widths, text); n < lines {
					from, to, lines = i, j, n
				}
				widths[i] += step
				widths[j] -= step
			}
		}
		if from < 0 {
			break
		}
		widths[from] -= step
		widths[to] += step
	}
	return widths
}

// linesAt is about how many lines the rows of a table take.
func linesAt(widths []float64, text [][]float64) float64 {
	lines := 0.0
	for _, row := range text {
		most := 1.0
		for i, w := range row {
			most = max(most, 0.35+w/(widths[i]-2*cellPad))
		}
		lines += most
	}
	return lines
}
