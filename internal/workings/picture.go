package workings

import (
	"fmt"
	"math"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/figure"
	"boltback/internal/quantity"
)

// Picture is a drawing with what it shows in words.
type Picture = figure.Picture

// Sizes on paper in millimetres, and the type.
const (
	pictureWidth = 160.0
	leftMargin   = 42.0
	rightMargin  = 6.0
	textSize     = 2.8
	rowHeight    = 9.0
)

var (
	thin   = figure.Paint{Width: 0.2, Edge: figure.Black}
	dashed = figure.Paint{Width: 0.35, Edge: figure.Black, Dash: []float64{1.6, 1}}
	solid  = figure.Paint{Filled: true, Fill: 0.65, Width: 0.2, Edge: figure.Black}
	pale   = figure.Paint{Filled: true, Fill: figure.Pale, Width: 0.2, Edge: figure.Black}
	black  = figure.Paint{Filled: true, Fill: figure.Black}
)

func label(d *figure.Drawing, x, y float64, side figure.Side, text string) {
	d.Label(x, y, side, figure.Label{Text: text, Size: textSize, Shade: figure.Black})
}

// scale maps values to places on the drawing, from left to right.
type scale struct{ low, high, from, to float64 }

func (s scale) at(v float64) float64 {
	if s.high == s.low {
		return s.from
	}
	return s.from + (s.to-s.from)*(v-s.low)/(s.high-s.low)
}

// Bar is one bar of a picture of loads.
type Bar struct {
	Name                 string
	Before, After, Limit quantity.Quantity
}

// LoadPicture draws axle loads before (pale) and after (grey) with their limits
// as dashed lines. Where there is no number there is no bar, and the words say so.
func LoadPicture(id, title string, bars []Bar) Picture {
	top := 0.0
	number := func(q quantity.Quantity) (float64, bool) {
		v, err := q.Float("kg")
		if err == nil {
			top = math.Max(top, v)
		}
		return v, err == nil
	}
	for _, b := range bars {
		number(b.Before)
		number(b.After)
		number(b.Limit)
	}
	d := figure.New(pictureWidth, float64(len(bars))*rowHeight*1.6+10)
	s := scale{0, top * 1.15, leftMargin, pictureWidth - rightMargin}
	var words []string
	for i, b := range bars {
		y := 4 + float64(i)*rowHeight*1.6
		label(d, leftMargin-2, y+6, figure.Before, b.Name)
		if v, ok := number(b.Before); ok {
			d.Rect(leftMargin, y, s.at(v)-leftMargin, 4.5, pale)
			label(d, leftMargin+1.5, y+3.3, figure.After, "before "+Show(b.Before))
		}
		if v, ok := number(b.After); ok {
			d.Rect(leftMargin, y+5.5, s.at(v)-leftMargin, 4.5, solid)
			d.Label(leftMargin+1.5, y+8.8, figure.After, figure.Label{Text: "after " + Show(b.After), Face: figure.Bold, Size: textSize, Shade: figure.White})
		}
		if v, ok := number(b.Limit); ok {
			d.Line(s.at(v), y-1.5, s.at(v), y+11.5, dashed)
			label(d, s.at(v), y+13.3, figure.Around, "limit "+Show(b.Limit))
		}
		words = append(words, fmt.Sprintf("%s: before %s, after %s, limit %s", b.Name, Show(b.Before), Show(b.After), Show(b.Limit)))
	}
	d.Line(leftMargin, 2, leftMargin, float64(len(bars))*rowHeight*1.6+4, thin)
	return Picture{ID: id, Title: title, Alt: title + ". " + strings.Join(words, "; ") + ".", Drawing: d}
}

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
	for _, p := range points {
		x, y := across.at(float64(p.day.Sub(first))), up.at(p.power)
		mark(d, x, y, value(p.r))
		d.Label(x+2, y+1, figure.After, figure.Label{Text: Show(value(p.r)) + " " + p.r.Circuit, Size: 2.4, Shade: figure.Black})
		words = append(words, fmt.Sprintf("%s %s, %s", p.r.On, p.r.Name, Show(value(p.r))))
	}
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

// CellPicture is a strip of the cells that were read, each a stroke between the
// lowest and the highest; what was refused is hatched.
func CellPicture(id string, v Survey) Picture {
	low, high := math.Inf(1), math.Inf(-1)
	refused := 0
	for _, r := range v.Readings {
		if refuseCell(r.Value) != "" {
			refused++
			continue
		}
		volts, _ := r.Value.Value.Float("V")
		low, high = math.Min(low, volts), math.Max(high, volts)
	}
	d := figure.New(pictureWidth, 46)
	title := "Cells: " + v.Name
	if math.IsInf(low, 1) {
		label(d, leftMargin, 20, figure.After, "no reading that can be of a cell")
		return Picture{ID: id, Title: title, Alt: title + ". No reading that can be of a cell.", Drawing: d}
	}
	// At least 5 mV are shown, so that equal cells look equal.
	pad := math.Max(high-low, 0.005) * 0.15
	up := scale{low - pad, math.Max(high, low+0.005) + pad, 38, 6}
	label(d, leftMargin-2, up.at(high)+1, figure.Before, fmt.Sprintf("%.3f V", high))
	if high > low {
		label(d, leftMargin-2, math.Min(up.at(low)+1, 40), figure.Before, fmt.Sprintf("%.3f V", low))
	}
	d.Line(leftMargin, 38, pictureWidth-rightMargin, 38, thin)
	step := (pictureWidth - leftMargin - rightMargin) / float64(len(v.Readings))
	for i, r := range v.Readings {
		x := leftMargin + float64(i)*step
		if refuseCell(r.Value) != "" {
			d.Hatch(figure.Box(x, 6, step*0.8, 32), figure.Crossed)
			continue
		}
		volts, _ := r.Value.Value.Float("V")
		d.Rect(x, up.at(volts), step*0.8, 38-up.at(volts), pale)
		d.Line(x, up.at(volts), x+step*0.8, up.at(volts), figure.Paint{Width: 0.5, Edge: figure.Black})
	}
	label(d, leftMargin, 43, figure.After, "in the order of the survey; the scale begins just below the lowest")
	alt := fmt.Sprintf("%s. %d readings from %.3f V to %.3f V, %d refused (cross-hatched).", title, len(v.Readings)-refused, low, high, refused)
	return Picture{ID: id, Title: title, Alt: alt, Drawing: d}
}
