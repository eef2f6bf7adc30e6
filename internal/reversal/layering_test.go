package reversal_test

import (
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/figure"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

// lines keeps the thin straight lines of a drawing.
type lines struct{ list [][2]figure.Point }

func (l *lines) Path(p figure.Path, paint figure.Paint) {
	if paint.Filled || paint.Width != 0.2 || len(paint.Dash) > 0 {
		return
	}
	for i := 1; i < len(p); i++ {
		if p[i].Op == figure.Line {
			l.list = append(l.list, [2]figure.Point{p[i-1].P, p[i].P})
		}
	}
}

func (l *lines) Label(_, _ float64, _ figure.Label) {}

// crossing says that two lines cross each other between their ends.
func crossing(a, b [2]figure.Point) bool {
	side := func(p, q, r figure.Point) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	const touch = 1e-6
	return side(a[0], a[1], b[0])*side(a[0], a[1], b[1]) < -touch && side(b[0], b[1], a[0])*side(b[0], b[1], a[1]) < -touch
}

// crossings counts, in what is painted, the pairs of lines that cross.
func crossings(d *figure.Drawing) int {
	var l lines
	d.Paint(&l, 0, 0)
	n := 0
	for i, a := range l.list {
		for _, b := range l.list[i+1:] {
			if crossing(a, b) {
				n++
			}
		}
	}
	return n
}

func TestTheDrawingOfTheSamplesWorkOrderHasFewCrossings(t *testing.T) {
	w := replay.Of(sampleCar(t).load())
	s := make_(t, w, reversal.Options{On: inspected})
	n := 0
	for _, p := range s.Draw(w, reversal.Options{On: inspected}).Order {
		n += crossings(p.Drawing)
	}
	if len(s.Steps) < 60 || n > 2 {
		t.Errorf("%d crossings between the lines of %d steps", n, len(s.Steps))
	}
}

// Ten chains of steps, numbered so that each row has them in another order.
func TestChainsThatShareNothingAreDrawnWithoutACrossing(t *testing.T) {
	const chains, long = 10, 6
	var g reversal.Graph
	step := func(chain, level int) int { return level*chains + (chain*(2*level+1)+3*level)%chains + 1 }
	for level := range long {
		for chain := range chains {
			g.Nodes = append(g.Nodes, reversal.Node{Step: level*chains + chain + 1, Kind: reversal.TakeOff, Level: level})
			if level > 0 && level != 2 { // the step at level 2 is passed by a line
				g.Edges = append(g.Edges, reversal.Edge{From: step(chain, map[bool]int{true: 1, false: level - 1}[level == 3]), To: step(chain, level)})
			}
		}
	}
	first := reversal.OrderPictures(g)[0].Drawing
	if n := crossings(first); n > 0 || first.SVG() != reversal.OrderPictures(g)[0].Drawing.SVG() {
		t.Errorf("%d crossings, or drawn twice in two ways", n)
	}
	d := figure.New(10, 10)
	d.Line(0, 0, 9, 9, figure.Paint{Width: 0.2})
	d.Line(0, 9, 9, 0, figure.Paint{Width: 0.2})
	if crossings(d) != 1 {
		t.Error("a crossing is not counted")
	}
}

func TestALayoutKeepsEveryStepOnThePaperAndApartFromItsNeighbours(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var g reversal.Graph
		level := map[int]int{}
		for i := range rapid.IntRange(1, 60).Draw(t, "steps") {
			node := reversal.Node{Step: i + 1, Kind: reversal.TakeOff}
			for range rapid.IntRange(0, 3).Draw(t, "needs") {
				if i > 0 {
					from := rapid.IntRange(1, i).Draw(t, "after")
					node.Level = max(node.Level, level[from]+1)
					g.Edges = append(g.Edges, reversal.Edge{From: from, To: i + 1})
				}
			}
			level[i+1] = node.Level
			g.Nodes = append(g.Nodes, node)
		}
		for _, p := range reversal.OrderPictures(g) {
			b := boxes{}
			p.Drawing.Paint(&b, 0, 0)
			b = b[:len(b)-3] // the key stands last
			for i, one := range b {
				if one[0].X < 0 || one[1].X > 160 {
					t.Fatalf("off the paper: %v", one)
				}
				for _, other := range b[i+1:] {
					if one[0].Y == other[0].Y && one[0].X < other[1].X-1e-6 && other[0].X < one[1].X-1e-6 {
						t.Fatalf("%v lies over %v", one, other)
					}
				}
			}
		}
	})
}

// boxes keeps the corners of the boxes of steps.
type boxes [][2]figure.Point

func (b *boxes) Path(p figure.Path, paint figure.Paint) {
	if paint.Filled && paint.Width > 0 && len(p) >= 4 {
		box := [2]figure.Point{p[0].P, p[0].P}
		for _, s := range p {
			if s.Op != figure.Close {
				box[0].X, box[0].Y = min(box[0].X, s.P.X), min(box[0].Y, s.P.Y)
				box[1].X, box[1].Y = max(box[1].X, s.P.X), max(box[1].Y, s.P.Y)
			}
		}
		*b = append(*b, box)
	}
}

func (b *boxes) Label(_, _ float64, _ figure.Label) {}
