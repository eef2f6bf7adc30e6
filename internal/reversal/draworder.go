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
	perRow      = 14
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
	at := map[int]figure.Point{}
	for r, row := range rows {
		left := (orderWidth - float64(len(row))*boxStep) / 2
		for i, n := range row {
			at[n.Step] = figure.Point{X: left + float64(i)*boxStep + boxStep/2, Y: orderTop + float64(r)*levelGap}
		}
	}
	for _, e := range g.Edges {
		drawNeed(d, at, e)
	}
	for _, row := range rows {
		for _, n := range row {
			drawStep(d, at[n.Step], n)
		}
	}
	orderKey(d)
	return d
}

// drawNeed draws a line from a step to one that needs it; from a step on an earlier drawing only its end is drawn.
func drawNeed(d *figure.Drawing, at map[int]figure.Point, e Edge) {
	from, here := at[e.From]
	to, needed := at[e.To]
	switch {
	case !needed:
	case here:
		d.Line(from.X, from.Y+boxHigh, to.X, to.Y, hair)
	default:
		d.Line(to.X, to.Y-2, to.X, to.Y, hair)
		write(d, to.X, to.Y-2.4, figure.Around, strconv.Itoa(e.From))
	}
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
