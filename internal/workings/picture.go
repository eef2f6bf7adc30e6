package workings

import (
	"fmt"
	"math"
	"strings"

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
	halo   = figure.Paint{Width: 1, Edge: figure.White} // under a stroke that crosses a dark area
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
			d.Line(s.at(v), y-0.4, s.at(v), y+10.6, halo)
			d.Line(s.at(v), y-0.4, s.at(v), y+10.6, dashed)
			label(d, s.at(v), y+13, figure.Around, "limit "+alsoInKilograms(b.Limit))
		}
		words = append(words, fmt.Sprintf("%s: before %s, after %s, limit %s", b.Name, Show(b.Before), Show(b.After), alsoInKilograms(b.Limit)))
	}
	d.Line(leftMargin, 2, leftMargin, float64(len(bars))*rowHeight*1.6+4, thin)
	return Picture{ID: id, Title: title, Alt: title + ". " + strings.Join(words, "; ") + ".", Drawing: d}
}

// alsoInKilograms writes a mass with its kilograms where it is in another unit.
func alsoInKilograms(q quantity.Quantity) string {
	kg, err := q.In("kg")
	if err != nil || q.Unit() == "kg" {
		return Show(q)
	}
	return Show(q) + " (" + Show(kg) + ")"
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
