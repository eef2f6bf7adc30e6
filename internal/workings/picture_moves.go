package workings

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"boltback/internal/figure"
	"boltback/internal/quantity"
)

// Shift is a mass that moves along the car, comes on or goes off.
type Shift struct {
	What string
	Mass quantity.Quantity
	// From and To are behind the front axle. No From is a mass that comes on, no To
	// one that goes off.
	From, To quantity.Quantity
	// By is how far rearward a mass moves of which nobody said where it sits; then
	// there is neither From nor To.
	By quantity.Quantity
}

// mostShifts is how many masses a picture shows, the heaviest first.
const mostShifts = 8

// MovePicture draws where masses go along the car, between the two axles, and
// below it what the axles carry before (pale) and after (grey). A mass is an open
// dot where it was and a full one where it is.
func MovePicture(id, title string, wheelbase quantity.Quantity, shifts []Shift, bars []Bar) Picture {
	loads := LoadPicture(id, title, bars)
	shown := slices.Clone(shifts)
	slices.SortStableFunc(shown, func(a, b Shift) int { return -cmp.Compare(kilogramsOf(a.Mass), kilogramsOf(b.Mass)) })
	shown = shown[:min(len(shown), mostShifts)]
	along := alongTheCar(wheelbase, shown)
	top := 8 + float64(len(shown))*rowHeight
	_, below := loads.Drawing.Size()
	d := figure.New(pictureWidth, top+below+6)
	axleLines(d, along, wheelbase, top)
	var words []string
	for i, one := range shown {
		one.draw(d, along, 12+float64(i)*rowHeight)
		words = append(words, one.words())
	}
	if rest := len(shifts) - len(shown); rest > 0 {
		label(d, leftMargin, top+1, figure.After, fmt.Sprintf("and %d lighter", rest))
		words = append(words, fmt.Sprintf("and %d lighter, not drawn", rest))
	}
	d.Put(0, top+6, loads.Drawing)
	alt := strings.TrimPrefix(loads.Alt, title+". ")
	return Picture{ID: id, Title: title, Alt: title + ". " + strings.Join(words, "; ") + ". " + alt, Drawing: d}
}

func kilogramsOf(q quantity.Quantity) float64 {
	v, err := q.Float("kg")
	if err != nil {
		return 0
	}
	return v
}

// alongTheCar is the scale from the foremost to the rearmost place, in metres; the
// front of the car is on the left.
func alongTheCar(wheelbase quantity.Quantity, shifts []Shift) scale {
	low, high := 0.0, 0.0
	for _, q := range append([]quantity.Quantity{wheelbase}, placesOf(shifts)...) {
		if v, err := q.Float("m"); err == nil {
			low, high = math.Min(low, v), math.Max(high, v)
		}
	}
	room := math.Max(high-low, 0.1) * 0.06
	return scale{low - room, high + room, leftMargin, pictureWidth - rightMargin}
}

func placesOf(shifts []Shift) []quantity.Quantity {
	var list []quantity.Quantity
	for _, s := range shifts {
		list = append(list, s.From, s.To)
	}
	return list
}

// axleLines draws both axles from top to bottom, each with a wheel.
func axleLines(d *figure.Drawing, along scale, wheelbase quantity.Quantity, bottom float64) {
	back, err := wheelbase.Float("m")
	for i, at := range []float64{0, back} {
		if i == 1 && err != nil {
			return
		}
		x := along.at(at)
		d.Line(x, 6, x, bottom, dashed)
		label(d, x, 4, figure.Around, []string{"front axle", "rear axle"}[i])
	}
}

// draw is one row: the name, where the mass was, and where it goes.
func (s Shift) draw(d *figure.Drawing, along scale, y float64) {
	d.Label(leftMargin-3, y+1, figure.Before, figure.Label{Text: figure.Fit(figure.Regular, textSize, leftMargin-6, s.What), Size: textSize, Shade: figure.Black})
	from, err1 := s.From.Float("m")
	to, err2 := s.To.Float("m")
	open := figure.Paint{Filled: true, Fill: figure.White, Width: 0.35, Edge: figure.Black}
	switch {
	case err1 == nil && err2 == nil:
		arrowAlong(d, along.at(from), along.at(to), y)
		d.Circle(along.at(from), y, 1.5, open)
		d.Circle(along.at(to), y, 1.5, black)
	case err1 == nil:
		d.Circle(along.at(from), y, 1.5, open)
	case err2 == nil:
		d.Circle(along.at(to), y, 1.5, black)
	default:
		s.drawFree(d, along, y)
		return
	}
	over(d, (along.at(orOther(from, err1, to))+along.at(orOther(to, err2, from)))/2, y-2.3, s.short())
}

// over writes centred on white, so that no line runs through the words.
func over(d *figure.Drawing, x, y float64, text string) {
	const size = 2.4
	wide := figure.Width(figure.Regular, size, text)
	x = math.Max(math.Min(x, pictureWidth-1-wide/2), leftMargin+wide/2)
	d.Rect(x-wide/2-0.6, y-size*0.8, wide+1.2, size, figure.Paint{Filled: true, Fill: figure.White})
	d.Label(x, y, figure.Around, figure.Label{Text: text, Size: size, Shade: figure.Black})
}

func orOther(v float64, err error, other float64) float64 {
	if err != nil {
		return other
	}
	return v
}

// drawFree draws a distance in the middle of the car, for a mass whose place is
// not known: strokes at its ends, and no dots.
func (s Shift) drawFree(d *figure.Drawing, along scale, y float64) {
	by, err := s.By.Float("m")
	if err != nil {
		label(d, along.from+4, y+1, figure.After, s.short()+", its place is not recorded")
		return
	}
	middle := (along.from + along.to) / 2
	half := (along.at(by) - along.at(0)) / 2
	arrowAlong(d, middle-half, middle+half, y)
	for _, x := range []float64{middle - half, middle + half} {
		d.Line(x, y-1.6, x, y+1.6, thin)
	}
	over(d, middle, y-2.3, s.short()+", from a place that was not said")
}

// arrowAlong is a stroke with a head in its middle, so that the dots at its ends
// stay free.
func arrowAlong(d *figure.Drawing, from, to, y float64) {
	d.Line(from, y, to, y, figure.Paint{Width: 0.35, Edge: figure.Black})
	way := 1.0
	if to < from {
		way = -1
	}
	if math.Abs(to-from) < 7 {
		return
	}
	tip := (from+to)/2 + 1.6*way
	d.Polygon(black, figure.Point{X: tip, Y: y}, figure.Point{X: tip - 3*way, Y: y - 1.1}, figure.Point{X: tip - 3*way, Y: y + 1.1})
}

// short is the mass with a word for what happens to it.
func (s Shift) short() string {
	mass := Show(s.Mass)
	if s.Mass.IsZero() {
		mass = "mass not recorded"
	}
	switch {
	case !s.By.IsZero():
		return mass + " by " + wayOf(s.By)
	case s.From.IsZero() && !s.To.IsZero():
		return mass + " on"
	case s.To.IsZero() && !s.From.IsZero():
		return mass + " off"
	}
	return mass
}

// wayOf is a distance along the car with its way: rearward, or forward where it
// is below zero.
func wayOf(by quantity.Quantity) string {
	if forward, found := strings.CutPrefix(Show(by), "-"); found {
		return forward + " forward"
	}
	return Show(by) + " rearward"
}

// words say what the row shows.
func (s Shift) words() string {
	text := s.What + ", " + s.short()
	if !s.From.IsZero() {
		text += ", from " + Show(s.From)
	}
	if !s.To.IsZero() {
		text += ", to " + Show(s.To)
	}
	switch {
	case !s.From.IsZero() || !s.To.IsZero():
		text += " behind the front axle"
	case s.By.IsZero():
		text += ", its place is not recorded"
	}
	return text
}
