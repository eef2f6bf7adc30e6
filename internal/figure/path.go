package figure

import "math"

// Point is a place on the drawing.
type Point struct{ X, Y float64 }

// Op is what a segment of a path does.
type Op uint8

// The operations.
const (
	Move  Op = iota // begin anew at P
	Line            // straight to P
	Curve           // to P, drawn towards C1 and then C2 (a cubic Bézier curve)
	Close           // straight back to where the last Move led
)

// Segment is one step of a path.
type Segment struct {
	Op        Op
	C1, C2, P Point
}

// Path is an outline of straight lines and curves, possibly of several loops.
type Path []Segment

// MoveTo begins a new loop.
func (p Path) MoveTo(x, y float64) Path { return append(p, Segment{Op: Move, P: Point{x, y}}) }

// LineTo adds a straight line.
func (p Path) LineTo(x, y float64) Path { return append(p, Segment{Op: Line, P: Point{x, y}}) }

// CurveTo adds a curve.
func (p Path) CurveTo(c1, c2, to Point) Path { return append(p, Segment{Curve, c1, c2, to}) }

// Close closes the loop.
func (p Path) Close() Path { return append(p, Segment{Op: Close}) }

// Moved returns the path shifted.
func (p Path) Moved(dx, dy float64) Path {
	moved := make(Path, len(p))
	shift := func(q Point) Point { return Point{q.X + dx, q.Y + dy} }
	for i, s := range p {
		moved[i] = Segment{s.Op, shift(s.C1), shift(s.C2), shift(s.P)}
	}
	return moved
}

// Polyline is a path through points; a closed one comes back to the first.
func Polyline(closed bool, points ...Point) Path {
	var p Path
	for i, q := range points {
		if i == 0 {
			p = p.MoveTo(q.X, q.Y)
		} else {
			p = p.LineTo(q.X, q.Y)
		}
	}
	if closed && len(points) > 0 {
		p = p.Close()
	}
	return p
}

// Box is a rectangle.
func Box(x, y, w, h float64) Path {
	return Polyline(true, Point{x, y}, Point{x + w, y}, Point{x + w, y + h}, Point{x, y + h})
}

// Arc is a part of a circle, from one angle to another in degrees, clockwise
// from the right. A turn or more is the closed circle.
func Arc(x, y, r, from, to float64) Path {
	if to-from >= 360 {
		return arc(x, y, r, 0, 360).Close()
	}
	return arc(x, y, r, from, to)
}

// arc draws quarter turns or less, each by the curve whose middle lies on the
// circle: handles of 4/3 tan(angle/4) radii, which is off by 0.03 % at most.
func arc(x, y, r, from, to float64) Path {
	steps := int(math.Ceil(math.Abs(to-from)/90 - 1e-9))
	if steps < 1 {
		steps = 1
	}
	step := (to - from) / float64(steps) * math.Pi / 180
	handle := 4.0 / 3 * math.Tan(step/4) * r
	at := func(a float64) (on, along Point) {
		sin, cos := math.Sincos(a)
		return Point{x + r*cos, y + r*sin}, Point{-sin * handle, cos * handle}
	}
	a := from * math.Pi / 180
	on, along := at(a)
	p := Path{}.MoveTo(on.X, on.Y)
	for range steps {
		a += step
		next, onward := at(a)
		p = p.CurveTo(Point{on.X + along.X, on.Y + along.Y}, Point{next.X - onward.X, next.Y - onward.Y}, next)
		on, along = next, onward
	}
	return p
}

// flat is the path's loops with curves as short straight lines.
func (p Path) flat() [][]Point {
	const parts = 8 // of a quarter circle, off by less than a hundredth of its radius
	var loops [][]Point
	for _, s := range p {
		n := len(loops) - 1
		switch {
		case s.Op == Move || n < 0:
			loops = append(loops, []Point{s.P})
		case s.Op == Line:
			loops[n] = append(loops[n], s.P)
		case s.Op == Curve:
			a := loops[n][len(loops[n])-1]
			for i := 1; i <= parts; i++ {
				loops[n] = append(loops[n], bezier(a, s.C1, s.C2, s.P, float64(i)/parts))
			}
		}
	}
	return loops
}

func bezier(a, b, c, d Point, t float64) Point {
	u := 1 - t
	k0, k1, k2, k3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
	return Point{k0*a.X + k1*b.X + k2*c.X + k3*d.X, k0*a.Y + k1*b.Y + k2*c.Y + k3*d.Y}
}
