package records

import (
	"image"
	"image/color"
	"math/bits"
)

// The pictures of the sample are drawn with whole numbers only, so that they come out the same on every machine.

const (
	wide = 1280
	high = 960
	// sub is the number of steps across a pixel in which shapes are measured, rows the number of scan lines in a pixel.
	sub  = 16
	rows = 4
)

// canvas is a picture being drawn.
type canvas struct{ *image.RGBA }

func newCanvas() canvas { return canvas{image.NewRGBA(image.Rect(0, 0, wide, high))} }

// span is a piece of a scan line, in steps of 1/sub pixel.
type span struct{ from, to int }

// shape gives its spans on scan line y, counted in steps of 1/rows pixel.
type shape interface{ spans(y int) []span }

// paint gives the colour of a pixel; its alpha is not premultiplied.
type paint func(x, y int) color.NRGBA

// fill lays a shape down in a paint, with smooth edges.
func (c canvas) fill(s shape, p paint) {
	var cover [wide]int
	for y := range high {
		drawn := false
		for r := range rows {
			for _, sp := range s.spans(y*rows + r) {
				drawn = addSpan(&cover, sp) || drawn
			}
		}
		if !drawn {
			continue
		}
		for x := range wide {
			if cover[x] > 0 {
				c.blend(x, y, p(x, y), cover[x])
				cover[x] = 0
			}
		}
	}
}

// addSpan adds the share of each pixel that a span covers.
func addSpan(cover *[wide]int, sp span) bool {
	from, to := max(sp.from, 0), min(sp.to, wide*sub)
	if from >= to {
		return false
	}
	first, last := from/sub, (to-1)/sub
	for x := first; x <= last; x++ {
		cover[x] += sub
	}
	cover[first] -= from - first*sub
	cover[last] -= (last+1)*sub - to
	return true
}

// blend mixes a colour into a pixel; share is out of sub*rows.
func (c canvas) blend(x, y int, n color.NRGBA, share int) {
	a := int(n.A) * min(share, sub*rows) / (sub * rows)
	i := y*c.Stride + x*4
	if a == 255 {
		c.Pix[i], c.Pix[i+1], c.Pix[i+2], c.Pix[i+3] = n.R, n.G, n.B, 255
		return
	}
	for k, v := range [3]uint8{n.R, n.G, n.B} {
		old := int(c.Pix[i+k])
		c.Pix[i+k] = uint8(old + (int(v)-old)*a/255)
	}
	c.Pix[i+3] = 255
}

// box is an upright rectangle with rounded corners, in pixels.
type box struct{ x, y, w, h, round int }

func (b box) spans(line int) []span {
	top, bottom := b.y*rows, (b.y+b.h)*rows
	if line < top || line >= bottom {
		return nil
	}
	in := 0
	r := b.round * rows
	near := min(line-top, bottom-1-line)
	if near < r {
		d := r - near
		in = (r - root(r*r-d*d)) * sub / rows
	}
	return []span{{b.x*sub + in, (b.x+b.w)*sub - in}}
}

// oval is an ellipse about a centre, in pixels.
type oval struct{ x, y, rx, ry int }

func (o oval) spans(line int) []span {
	d, ry := line-o.y*rows, o.ry*rows
	if d <= -ry || d >= ry {
		return nil
	}
	half := root(ry*ry-d*d) * o.rx * sub / ry
	return []span{{o.x*sub - half, o.x*sub + half}}
}

// point is a place in pixels.
type point struct{ x, y int }

// polygon is a closed outline, filled by the even-odd rule.
type polygon []point

func (p polygon) spans(line int) []span {
	var cross []int
	for i, a := range p {
		b := p[(i+1)%len(p)]
		ay, by := a.y*rows, b.y*rows
		if (ay <= line) == (by <= line) {
			continue
		}
		cross = insertSorted(cross, a.x*sub+(b.x-a.x)*sub*(line-ay)/(by-ay))
	}
	var spans []span
	for i := 0; i+1 < len(cross); i += 2 {
		spans = append(spans, span{cross[i], cross[i+1]})
	}
	return spans
}

func insertSorted(list []int, v int) []int {
	list = append(list, v)
	for i := len(list) - 1; i > 0 && list[i] < list[i-1]; i-- {
		list[i], list[i-1] = list[i-1], list[i]
	}
	return list
}

// stroke is the outline of a line of some width between two points, as a polygon with square ends.
func stroke(a, b point, width int) polygon {
	dx, dy := b.x-a.x, b.y-a.y
	length := max(root(dx*dx+dy*dy), 1)
	nx, ny := -dy*width/(2*length), dx*width/(2*length)
	return polygon{{a.x + nx, a.y + ny}, {b.x + nx, b.y + ny}, {b.x - nx, b.y - ny}, {a.x - nx, a.y - ny}}
}

// moved is a shape somewhere else.
type moved struct {
	shape
	dx, dy int
}

func (m moved) spans(line int) []span {
	list := m.shape.spans(line - m.dy*rows)
	for i := range list {
		list[i].from += m.dx * sub
		list[i].to += m.dx * sub
	}
	return list
}

// root is the whole part of a square root.
func root(n int) int {
	if n <= 0 {
		return 0
	}
	x := 1 << ((bits.Len(uint(n)) + 1) / 2)
	for {
		y := (x + n/x) / 2
		if y >= x {
			return x
		}
		x = y
	}
}
