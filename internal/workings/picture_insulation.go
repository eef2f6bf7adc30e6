package workings

import (
	"fmt"
	"math"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/figure"
	"boltback/internal/quantity"
)

// InsulationPicture draws readings over time on a logarithmic scale. A lower
// bound is an arrow that begins at it and points up, never a dot; what is no
// figure of insulation is named and not drawn.
func InsulationPicture(id, title string, list []InsulationReading) Picture {
	points, left := drawable(list)
	without := ""
	if len(left) > 0 {
		without = " Not drawn: " + strings.Join(left, "; ") + "."
	}
	d := figure.New(pictureWidth, 66)
	if len(points) == 0 {
		label(d, leftMargin, 20, figure.After, "no reading with a day and a number")
		return Picture{ID: id, Title: title, Alt: title + ". No reading with a day and a number." + without, Drawing: d}
	}
	first, last, low, high := extent(points)
	across := scale{0, float64(max(last.Sub(first), 1)), leftMargin + 8, pictureWidth - 24}
	up := scale{math.Floor(low), math.Floor(high) + 1, 52, 8}
	frame(d, up, first, last, across)
	var words []string
	names := beside{}
	for _, p := range points {
		x, y := across.at(float64(p.day.Sub(first))), up.at(p.power)
		mark(d, x, y, value(p.r))
		names.add(x, y, Show(value(p.r))+" "+p.r.Circuit)
		words = append(words, fmt.Sprintf("%s %s, %s", p.r.On, p.r.Name, Show(value(p.r))))
	}
	names.draw(d)
	return Picture{ID: id, Title: title, Alt: title + ". A bound is an arrow, not a point. " + strings.Join(words, "; ") + "." + without, Drawing: d}
}

// insulationPoint is a reading with its place in the picture.
type insulationPoint struct {
	r     InsulationReading
	day   edtf.Day
	power float64 // of ten, in ohms
}

// drawable gives the readings that have a day and a number, and names the others.
func drawable(list []InsulationReading) (points []insulationPoint, left []string) {
	for _, r := range list {
		day, ok := dayOf(r.On)
		v, known := ohms(value(r))
		switch {
		case r.milliohms() != "":
			left = append(left, fmt.Sprintf("%s of %s, which is no figure of insulation", r.milliohms(), orNot(r.On)))
		case !ok || !known:
			left = append(left, fmt.Sprintf("%s of %s", orNot(worstText(r)), orNot(r.On)))
		default:
			points = append(points, insulationPoint{r, day, math.Log10(v)})
		}
	}
	return points, left
}

// extent is the span of days and of powers of ten.
func extent(points []insulationPoint) (first, last edtf.Day, low, high float64) {
	first, last, low, high = points[0].day, points[0].day, points[0].power, points[0].power
	for _, p := range points[1:] {
		low, high = math.Min(low, p.power), math.Max(high, p.power)
		if p.day.Compare(first) < 0 {
			first = p.day
		}
		if p.day.Compare(last) > 0 {
			last = p.day
		}
	}
	return first, last, low, high
}

// beside are the names of points, each right of its own or, where the paper ends,
// left of it; equal names in one place are written once.
type beside struct {
	list []nameAt
}

type nameAt struct {
	x, y  float64
	text  string
	times int
}

func (b *beside) add(x, y float64, text string) {
	for i, n := range b.list {
		if n.text == text && math.Abs(n.x-x) < 1 && math.Abs(n.y-y) < 1 {
			b.list[i].times++
			return
		}
	}
	b.list = append(b.list, nameAt{x, y, text, 1})
}

func (b *beside) draw(d *figure.Drawing) {
	const size = 2.4
	for _, n := range b.list {
		if n.times > 1 {
			n.text = fmt.Sprintf("%d times %s", n.times, n.text)
		}
		x, side := n.x+2, figure.After
		if x+figure.Width(figure.Regular, size, n.text) > pictureWidth-1 {
			x, side = n.x-2, figure.Before
		}
		d.Label(x, n.y+1, side, figure.Label{Text: n.text, Size: size, Shade: figure.Black})
	}
}

// frame draws the axes: powers of ten upward, the first and last day across.
func frame(d *figure.Drawing, up scale, first, last edtf.Day, across scale) {
	d.Line(leftMargin, 52, pictureWidth-rightMargin, 52, thin)
	d.Line(leftMargin, 6, leftMargin, 52, thin)
	for e := up.low; e <= up.high; e++ {
		d.Line(leftMargin-1, up.at(e), leftMargin, up.at(e), thin)
		label(d, leftMargin-2, up.at(e)+1, figure.Before, tenPower(e))
	}
	label(d, across.from, 57, figure.Around, first.String())
	if first != last {
		label(d, across.to, 57, figure.Around, last.String())
	}
}

// tenPower writes 10ᵉ Ω with a unit of its size.
func tenPower(e float64) string {
	for _, u := range []struct {
		exponent float64
		name     string
	}{{9, "GΩ"}, {6, "MΩ"}, {3, "kΩ"}} {
		if e >= u.exponent {
			return fmt.Sprintf("%.0f %s", math.Pow(10, e-u.exponent), u.name)
		}
	}
	return fmt.Sprintf("%.0f Ω", math.Pow(10, e))
}

// mark draws a point as a dot and a bound as an arrow in its open direction.
func mark(d *figure.Drawing, x, y float64, q quantity.Quantity) {
	switch q.Bound() {
	case quantity.Point:
		d.Circle(x, y, 0.9, black)
	case quantity.Below, quantity.AtOrBelow:
		arrow(d, x, y, +1)
	default:
		arrow(d, x, y, -1)
	}
}

func arrow(d *figure.Drawing, x, y, direction float64) {
	d.Line(x-1.4, y, x+1.4, y, thin)
	d.Line(x, y, x, y+5*direction, thin)
	d.Polygon(black, figure.Point{X: x, Y: y + 6.2*direction}, figure.Point{X: x - 0.9, Y: y + 4.4*direction}, figure.Point{X: x + 0.9, Y: y + 4.4*direction})
}

// ohms is the number of a resistance, of a bound the number it begins at.
func ohms(q quantity.Quantity) (float64, bool) {
	a, err := amountOf(q)
	if err != nil || q.Dimension() != quantity.Resistance || a.v.Sign() <= 0 {
		return 0, false
	}
	v, _ := a.v.Float64()
	return v, true
}

func dayOf(text string) (edtf.Day, bool) {
	date, err := edtf.Parse(text)
	if err != nil {
		return edtf.Day{}, false
	}
	return date.First()
}
