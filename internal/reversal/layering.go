package reversal

import (
	"cmp"
	"slices"
)

// layering lays the steps of one drawing out in rows so that few lines cross: a line that passes a row has a cell of its own in it,
// and the cells of each row are put in the order of the middle of what they are joined to, in sweeps down and up, the best of which
// is kept. The number of sweeps is fixed and ties keep their order, so that the same work order is always drawn alike.
type layering struct {
	cells []cell
	rows  [][]int // by row, its cells from left to right
	at    []int   // by cell, its place in its row
	first map[int]int
}

// cell is a place in a row: of a step, or of a line on its way to a later row.
type cell struct {
	step     int // 0 for a passing line
	row      int
	up, down []int // the cells that it is joined to in the rows next to it
	x        float64
}

// sweeps is how often the rows are put in order; more changes little.
const sweeps = 8

// layOut lays out rows of steps and the edges between them; edges that lead off the drawing are left to whoever draws them.
func layOut(rows [][]Node, edges []Edge) *layering {
	l := &layering{rows: make([][]int, len(rows)), first: map[int]int{}}
	for r, row := range rows {
		for _, n := range row {
			l.first[n.Step] = l.add(n.Step, r)
		}
	}
	for _, e := range edges {
		from, ok1 := l.first[e.From]
		to, ok2 := l.first[e.To]
		if ok1 && ok2 && l.cells[from].row < l.cells[to].row {
			l.join(from, to)
		}
	}
	l.untangle()
	l.align()
	return l
}

func (l *layering) add(step, row int) int {
	l.cells = append(l.cells, cell{step: step, row: row})
	l.at = append(l.at, len(l.rows[row]))
	l.rows[row] = append(l.rows[row], len(l.cells)-1)
	return len(l.cells) - 1
}

// join leads a line from a cell to one in a later row, through a cell in every row between.
func (l *layering) join(from, to int) {
	for at := from; at != to; {
		next := to
		if row := l.cells[at].row + 1; row < l.cells[to].row {
			next = l.add(0, row)
		}
		l.cells[at].down = append(l.cells[at].down, next)
		l.cells[next].up = append(l.cells[next].up, at)
		at = next
	}
}

// untangle puts the cells of the rows in order.
func (l *layering) untangle() {
	best, least := l.order(), l.crossings()
	for i := range sweeps {
		for k := range l.rows {
			if i%2 == 0 {
				l.arrange(k, func(c cell) []int { return c.up })
			} else {
				l.arrange(len(l.rows)-1-k, func(c cell) []int { return c.down })
			}
		}
		l.exchange()
		if n := l.crossings(); n < least {
			best, least = l.order(), n
		}
	}
	for r, row := range best {
		l.set(r, row)
	}
}

func (l *layering) order() [][]int {
	rows := make([][]int, len(l.rows))
	for i, row := range l.rows {
		rows[i] = slices.Clone(row)
	}
	return rows
}

func (l *layering) set(r int, row []int) {
	l.rows[r] = row
	for i, c := range row {
		l.at[c] = i
	}
}

// arrange sorts a row by the middle of the places of what its cells are joined to; a cell that is joined to nothing stays.
func (l *layering) arrange(r int, joined func(cell) []int) {
	middle := map[int]float64{}
	for i, c := range l.rows[r] {
		middle[c] = float64(i)
		if near := joined(l.cells[c]); len(near) > 0 {
			sum := 0
			for _, n := range near {
				sum += l.at[n]
			}
			middle[c] = float64(sum) / float64(len(near))
		}
	}
	row := slices.Clone(l.rows[r])
	slices.SortStableFunc(row, func(a, b int) int { return cmp.Compare(middle[a], middle[b]) })
	l.set(r, row)
}

// exchange lets neighbours change places where that takes crossings away.
func (l *layering) exchange() {
	for r, row := range l.rows {
		for i := 0; i+1 < len(row); i++ {
			a, b := l.cells[row[i]], l.cells[row[i+1]]
			if l.inverted(b.up, a.up)+l.inverted(b.down, a.down) < l.inverted(a.up, b.up)+l.inverted(a.down, b.down) {
				row[i], row[i+1] = row[i+1], row[i]
				l.set(r, row)
			}
		}
	}
}

// inverted counts the pairs of a left and a right cell's neighbours that stand the other way round.
func (l *layering) inverted(left, right []int) int {
	n := 0
	for _, a := range left {
		for _, b := range right {
			if l.at[a] > l.at[b] {
				n++
			}
		}
	}
	return n
}

// crossings counts the pairs of lines that cross.
func (l *layering) crossings() int {
	n := 0
	for _, row := range l.rows {
		for i, a := range row {
			for _, b := range row[i+1:] {
				n += l.inverted(l.cells[a].down, l.cells[b].down)
			}
		}
	}
	return n
}

// align moves the cells of each row towards the middle of what they are joined to, as far as their neighbours and the paper let them.
func (l *layering) align() {
	for r := range l.rows {
		l.spread(r, func(cell) []int { return nil })
	}
	for i := range sweeps {
		for k := range l.rows {
			if i%2 == 0 {
				l.spread(k, func(c cell) []int { return c.up })
			} else {
				l.spread(len(l.rows)-1-k, func(c cell) []int { return c.down })
			}
		}
	}
}

// spread gives the cells of a row their places: between the outermost to the left and to the right that keep them apart.
func (l *layering) spread(r int, joined func(cell) []int) {
	row := l.rows[r]
	n := len(row)
	if n == 0 {
		return
	}
	wide := l.widths(row)
	wanted, left, right := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, c := range row {
		wanted[i] = orderWidth / 2
		if near := joined(l.cells[c]); len(near) > 0 {
			wanted[i] = 0
			for _, o := range near {
				wanted[i] += l.cells[o].x / float64(len(near))
			}
		} else if l.cells[c].x > 0 {
			wanted[i] = l.cells[c].x
		}
	}
	room, used := orderWidth-orderMargin, orderMargin
	for i := range row {
		left[i] = max(wanted[i], used+wide[i]/2)
		used = left[i] + wide[i]/2
	}
	for i := n - 1; i >= 0; i-- {
		left[i], right[i] = min(left[i], room-wide[i]/2), min(wanted[i], room-wide[i]/2)
		room = left[i] - wide[i]/2
	}
	for i, free := n-1, orderWidth-orderMargin; i >= 0; i-- {
		right[i] = min(wanted[i], free-wide[i]/2)
		free = right[i] - wide[i]/2
	}
	for i, free := 0, orderMargin; i < n; i++ {
		right[i] = max(right[i], free+wide[i]/2)
		free = right[i] + wide[i]/2
	}
	for i, c := range row {
		l.cells[c].x = (left[i] + right[i]) / 2
	}
}

// widths gives each cell of a row its room: a step its box, a passing line what is left, and never more than it needs.
func (l *layering) widths(row []int) []float64 {
	wide, passing, room := make([]float64, len(row)), 0, orderWidth-2*orderMargin
	for i, c := range row {
		if l.cells[c].step == 0 {
			passing++
		} else {
			wide[i] = boxStep
			room -= boxStep
		}
	}
	for i, c := range row {
		if l.cells[c].step == 0 {
			wide[i] = min(passWide, room/float64(passing))
		}
	}
	return wide
}
