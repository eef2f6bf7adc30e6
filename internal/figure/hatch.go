package figure

import (
	"math"
	"slices"
)

// Hatching is a set of parallel lines by which areas are told apart without colour.
type Hatching struct {
	// Angle is the direction of the lines in degrees, rising from the right.
	Angle float64
	// Gap is the distance between lines in millimetres; 0 stands for 1.2.
	Gap float64
	// Crossed adds lines at right angles.
	Crossed bool
}

// The hatchings that stay apart when printed small.
var (
	Rising  = Hatching{Angle: 45}
	Falling = Hatching{Angle: 135}
	Level   = Hatching{Angle: 0, Gap: 0.9}
	Crossed = Hatching{Angle: 45, Gap: 1.6, Crossed: true}
)

const (
	defaultGap = 1.2
	leastGap   = 0.1    // millimetres; below it a hatch is a fill
	mostLines  = 10_000 // of one hatch
)

func (h Hatching) width() float64 { return 0.18 }

// lines cuts parallel lines at the outline: what lies inside by the even-odd
// rule stays. So no painter has to clip, and all show the same.
func (h Hatching) lines(path Path) Path {
	gap := h.Gap
	if gap == 0 {
		gap = defaultGap
	}
	gap = max(gap, leastGap)
	loops := path.flat()
	out := hatchOnce(loops, h.Angle, gap)
	if h.Crossed {
		out = append(out, hatchOnce(loops, h.Angle+90, gap)...)
	}
	return out
}

// hatchOnce turns the loops until the lines lie level, and cuts each line where
// it crosses an edge.
func hatchOnce(loops [][]Point, angle, gap float64) Path {
	sin, cos := math.Sincos(angle * math.Pi / 180)
	turn := func(p Point) Point { return Point{p.X*cos - p.Y*sin, p.X*sin + p.Y*cos} }
	back := func(p Point) Point { return Point{p.X*cos + p.Y*sin, -p.X*sin + p.Y*cos} }
	low, high := math.Inf(1), math.Inf(-1)
	var turned [][]Point
	for _, l := range loops {
		t := make([]Point, len(l))
		for i, p := range l {
			t[i] = turn(p)
			low, high = min(low, t[i].Y), max(high, t[i].Y)
		}
		turned = append(turned, t)
	}
	if !(high > low) || (high-low)/gap > mostLines {
		return nil
	}
	var out Path
	// Lines lie on a grid of the whole drawing, so that hatches of neighbours meet.
	for k := math.Ceil(low / gap); k*gap < high; k++ {
		xs := crossingsAt(turned, k*gap)
		for i := 0; i+1 < len(xs); i += 2 {
			if xs[i+1]-xs[i] < 1e-6 {
				continue
			}
			a, b := back(Point{xs[i], k * gap}), back(Point{xs[i+1], k * gap})
			out = out.MoveTo(a.X, a.Y).LineTo(b.X, b.Y)
		}
	}
	return out
}

// crossingsAt lists where the edges of the loops cross the height y, from left to right.
func crossingsAt(loops [][]Point, y float64) []float64 {
	var xs []float64
	for _, l := range loops {
		for i, a := range l {
			b := l[(i+1)%len(l)]
			if (a.Y <= y) != (b.Y <= y) {
				xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
			}
		}
	}
	slices.Sort(xs)
	return xs
}
