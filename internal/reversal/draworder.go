package reversal

import (
	"fmt"
	"strconv"
	"strings"

	"boltback/internal/figure"
	"boltback/internal/replay"
)

// Sizes of the drawing of a work order in millimetres.
const (
	orderWidth  = 160.0
	boxWide     = 9.0
	boxHigh     = 5.5
	boxStep     = 11.0
	levelGap    = 13.0
	orderTop    = 14.0
	orderMargin = 2.0
	passWide    = 3.0 // room of a line that passes a row
	perRow      = 12
	mostOnSheet = 18 // rows of boxes on one drawing
)

// OrderPictures draws which step of a work order needs which: steps in one row wait for no other in it, lines lead down from a
// step to those that need it. A long order takes several drawings; a line from an earlier one begins at the step's number.
func OrderPictures(g Graph) []figure.Picture {
	rows := orderRows(g)
	sheets := (len(rows) + mostOnSheet - 1) / mostOnSheet
	var list []figure.Picture
	for i := range sheets {
		part := rows[i*mostOnSheet : min(len(rows), (i+1)*mostOnSheet)]
		title := "Which step needs which"
		if sheets > 1 {
			title += fmt.Sprintf(", %d of %d", i+1, sheets)
		}
		list = append(list, figure.Picture{ID: "work-order-drawing-" + strconv.Itoa(i+1), Title: title,
			Alt: orderWords(title, g, part), Drawing: drawOrder(g, part)})
	}
	return list
}

// orderRows lays the steps out by level; a level wider than the paper takes several rows.
func orderRows(g Graph) [][]Node {
	var levels [][]Node
	for _, n := range g.Nodes {
		for len(levels) <= n.Level {
			levels = append(levels, nil)
		}
		levels[n.Level] = append(levels[n.Level], n)
	}
	var rows [][]Node
	for _, level := range levels {
		for len(level) > perRow {
			rows, level = append(rows, level[:perRow]), level[perRow:]
		}
		rows = append(rows, level)
	}
	return rows
}

func drawOrder(g Graph, rows [][]Node) *figure.Drawing {
	d := figure.New(orderWidth, orderTop+float64(len(rows))*levelGap)
	l := layOut(rows, g.Edges)
	for _, e := range g.Edges {
		l.drawStub(d, e)
	}
	for i := range l.cells {
		l.drawLines(d, i)
	}
	for _, row := range rows {
		for _, n := range row {
			drawStep(d, l.top(l.first[n.Step]), n)
		}
	}
	orderKey(d)
	return d
}

// top is the middle of the upper edge of a cell.
func (l *layering) top(c int) figure.Point {
	return figure.Point{X: l.cells[c].x, Y: orderTop + float64(l.cells[c].row)*levelGap}
}

// drawLines draws the lines from a step to those that need it, each through the cells it passes.
func (l *layering) drawLines(d *figure.Drawing, from int) {
	if l.cells[from].step == 0 {
		return
	}
	for _, next := range l.cells[from].down {
		start := l.top(from)
		points := []figure.Point{{X: start.X, Y: start.Y + boxHigh}, l.top(next)}
		for l.cells[next].step == 0 {
			at := l.top(next)
			next = l.cells[next].down[0]
			points = append(points, figure.Point{X: at.X, Y: at.Y + boxHigh}, l.top(next))
		}
		d.Path(figure.Polyline(false, points...), hair)
	}
}

// drawStub draws the end of a line from a step on an earlier drawing, with its number.
func (l *layering) drawStub(d *figure.Drawing, e Edge) {
	to, needed := l.first[e.To]
	if _, here := l.first[e.From]; here || !needed {
		return
	}
	at := l.top(to)
	d.Line(at.X, at.Y-2, at.X, at.Y, hair)
	write(d, at.X, at.Y-2.4, figure.Around, strconv.Itoa(e.From))
}

// drawStep draws a step: white comes off the car, pale goes on or is done up, hatched is fluids and alterations.
func drawStep(d *figure.Drawing, at figure.Point, n Node) {
	stepBox(d, at.X-boxWide/2, at.Y, n.Kind)
	d.Rect(at.X-2.6, at.Y+1, 5.2, boxHigh-2, figure.Paint{Filled: true, Fill: figure.White})
	d.Label(at.X, at.Y+3.7, figure.Around, figure.Label{Text: strconv.Itoa(n.Step), Face: figure.Bold, Size: smallType, Shade: figure.Black})
}

func stepBox(d *figure.Drawing, x, y float64, kind StepKind) {
	switch kind {
	case TakeOff, SplitStep:
		d.Rect(x, y, boxWide, boxHigh, paper)
	case DrainStep, FillStep, UndoStep:
		d.Rect(x, y, boxWide, boxHigh, paper)
		d.Hatch(figure.Box(x, y, boxWide, boxHigh), figure.Rising)
	default:
		d.Rect(x, y, boxWide, boxHigh, figure.Paint{Filled: true, Fill: 0.3, Width: 0.3, Edge: figure.Black})
	}
}

func orderKey(d *figure.Drawing) {
	x := 4.0
	for _, k := range []struct {
		kind StepKind
		text string
	}{{TakeOff, "comes off or apart"}, {PutBack, "goes on, together or is tightened"}, {DrainStep, "fluid, or an alteration undone"}} {
		stepBox(d, x, 2, k.kind)
		write(d, x+boxWide+1.5, 5.6, figure.After, k.text)
		x += 52
	}
}

// orderWords says the same in words: what each step waits for.
func orderWords(title string, g Graph, rows [][]Node) string {
	needs := map[int][]string{}
	for _, e := range g.Edges {
		needs[e.To] = append(needs[e.To], strconv.Itoa(e.From))
	}
	var free, bound []string
	for _, row := range rows {
		for _, n := range row {
			if len(needs[n.Step]) == 0 {
				free = append(free, strconv.Itoa(n.Step))
			} else {
				bound = append(bound, strconv.Itoa(n.Step)+" after "+strings.Join(needs[n.Step], " and "))
			}
		}
	}
	text := title + ". "
	if len(free) > 0 {
		text += "Steps that wait for no other: " + strings.Join(free, ", ") + ". "
	}
	if len(bound) > 0 {
		text += "Steps that wait: " + strings.Join(bound, "; ") + "."
	}
	return strings.TrimSpace(text)
}

// Drawings is what can be drawn of a statement and the car it is about.
type Drawings struct {
	Plan  figure.Picture
	Order []figure.Picture
}

// Draw draws the car as it is on a day of a statement, and the order of the work.
func (s *Statement) Draw(w *replay.Work, opts Options) Drawings {
	_, car := w.Car()
	return Drawings{PlanPicture(PlanView(w, w.On(opts.On)), car.Wheelbase), OrderPictures(s.Dependencies(w))}
}
