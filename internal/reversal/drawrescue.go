package reversal

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"boltback/internal/figure"
	"boltback/internal/record"
)

// Sizes of the views for first responders in millimetres: the side view above, the plan and the legend below it, the key beside
// them. The type is larger than elsewhere, for who reads it at the kerb.
const (
	rescueWidth = 232.0
	sideHigh    = 35.0
	sideSill    = 25.0
	planHigh    = 66.0
	rescueHigh  = sideHigh + planHigh + 3*legendRow
	signSide    = 5.6
	kerbType    = 3.3
	legendRow   = 7.0
	legendWide  = 54.0
	keyLeft     = planWidth + 4
	keyLine     = 4.1
)

func tell(d *figure.Drawing, x, y float64, side figure.Side, text string) {
	d.Label(x, y, side, figure.Label{Text: text, Size: kerbType, Shade: figure.Black})
}

// SignOf gives the sign by which a spot is shown to a first responder; false for what is none of his business.
func SignOf(s Spot) (figure.Pictogram, bool) {
	has := func(hazards ...string) bool {
		return slices.ContainsFunc(hazards, func(h string) bool { return slices.Contains(s.Hazards, h) })
	}
	switch {
	case s.Role == "service disconnect" || s.Role == "master switch":
		return figure.HighVoltageDisconnect, true
	case s.Role == "charge inlet":
		return figure.ChargingInlet, true
	case s.What == TractionBattery:
		return figure.HighVoltageBattery, true
	case s.What == TractionPart:
		return figure.HighVoltagePart, true
	case s.What == LowVoltage:
		return figure.LowVoltageBattery, true
	case has("fuel") || s.Role == "fuel tank" || s.Role == "fuel line":
		return figure.FuelAboard, true
	case has("pressure", "refrigerant"):
		return figure.UnderPressure, true
	}
	return 0, false
}

// rescue is the pair of views under work.
type rescue struct {
	drawing *figure.Drawing
	plan    planSheet
	signs   []figure.Pictogram
}

// RescuePicture draws for first responders, from the side and from above, what can hurt them and what cuts it off. The outlines
// are those of any car; heights are not recorded.
func RescuePicture(all []Spot, wheelbase record.Measure) figure.Picture {
	v := rescue{}
	var spots []Spot
	for _, s := range all {
		if sign, ok := SignOf(s); ok {
			spots, v.signs = append(spots, s), append(v.signs, sign)
		}
	}
	v.drawing = figure.New(rescueWidth, rescueHigh)
	v.plan = planSheet{drawing: figure.New(planWidth, planHigh), spots: spots, at: map[record.Ref]figure.Point{}}
	v.plan.scale(wheelbase)
	v.side(wheelbase)
	v.above(wheelbase)
	v.legend()
	v.key()
	return figure.Picture{ID: "rescue-views", Title: "From the side and from above", Alt: rescueWords(spots, v.signs), Drawing: v.drawing}
}

// side draws the outline of any car over the places along this one.
func (v rescue) side(wheelbase record.Measure) {
	d := v.drawing
	front, rear := v.plan.x(0), planTail-14.0
	if w, ok := metres(wheelbase); ok {
		rear = v.plan.x(w)
	}
	d.Polygon(hair, figure.Point{X: planNose, Y: sideSill}, figure.Point{X: planNose, Y: 15}, figure.Point{X: planNose + 40, Y: 12}, figure.Point{X: planNose + 56, Y: 3},
		figure.Point{X: planTail - 48, Y: 3}, figure.Point{X: planTail - 32, Y: 12}, figure.Point{X: planTail, Y: 14}, figure.Point{X: planTail, Y: sideSill})
	for _, x := range []float64{front, rear} {
		d.Circle(x, sideSill, 4.5, pale)
	}
	tell(d, planWidth/2, sideSill+8.5, figure.Around, "front on the left; heights are not recorded: signs over each other say nothing of height")
	var taken []figure.Point
	for i, s := range v.plan.spots {
		if station, ok := metres(s.Station); ok {
			at := stacked(taken, v.plan.x(station))
			taken = append(taken, at)
			signed(d, at, v.signs[i], i)
		}
	}
}

// stacked finds room above a place on the sill: upwards first, then along.
func stacked(taken []figure.Point, x float64) figure.Point {
	for _, along := range []float64{0, 8.5, -8.5, 17, -17} {
		for _, y := range []float64{20, 14, 8} {
			if !slices.ContainsFunc(taken, func(o figure.Point) bool { return math.Abs(o.X-x-along) < 8.4 && math.Abs(o.Y-y) < 5.8 }) {
				return figure.Point{X: x + along, Y: y}
			}
		}
	}
	return figure.Point{X: x, Y: 20}
}

// above draws the plan with its cables below the side view.
func (v rescue) above(wheelbase record.Measure) {
	p := &v.plan
	p.body(wheelbase)
	for _, s := range p.spots {
		p.place(s)
	}
	v.cableSpan()
	p.cables()
	for i, s := range p.spots {
		if at, ok := p.at[s.Part]; ok {
			signed(p.drawing, at, v.signs[i], i)
		}
	}
	v.drawing.Put(0, sideHigh, p.drawing)
}

// cableSpan draws how far along the car traction cables must reach: between the foremost and the last of what they join. Where a
// joint says what a cable is fastened to, that is drawn too.
func (v rescue) cableSpan() {
	low, high := math.Inf(1), math.Inf(-1)
	for _, s := range v.plan.spots {
		if at, ok := v.plan.at[s.Part]; ok && (s.What == TractionBattery || s.What == TractionPart) {
			low, high = math.Min(low, at.X), math.Max(high, at.X)
		}
	}
	if high > low {
		v.plan.drawing.Line(low, planMid, high, planMid, cable)
	}
}

func signed(d *figure.Drawing, at figure.Point, sign figure.Pictogram, i int) {
	d.Pictogram(at.X, at.Y, signSide, sign)
	d.Label(at.X+signSide/2+0.4, at.Y-0.6, figure.After, figure.Label{Text: strconv.Itoa(i + 1), Face: figure.Bold, Size: kerbType, Shade: figure.Black})
}

// legend explains the signs, three to a row.
func (v rescue) legend() {
	top := sideHigh + planHigh + 4
	place := func(i int) (x, y float64) {
		return planNose + float64(i%3)*legendWide, top + float64(i/3)*legendRow
	}
	for i, sign := range figure.Pictograms() {
		x, y := place(i)
		v.drawing.Pictogram(x, y, signSide, sign)
		tell(v.drawing, x+5, y+1.1, figure.After, sign.Meaning())
	}
	x, y := place(len(figure.Pictograms()))
	v.drawing.Line(x-3.5, y, x+3.5, y, cable)
	tell(v.drawing, x+5, y+1.1, figure.After, "cables; their route is not recorded")
}

// key names the numbers beside the views, on two lines where there is room for it: that all are named goes before.
func (v rescue) key() {
	y, foot := 4.0, rescueHigh-2*keyLine
	if len(v.plan.spots) > 0 {
		tell(v.drawing, keyLeft, y, figure.After, "lengths: behind the front axle line")
		y += 1.3 * keyLine
	}
	spare := int((foot-y)/keyLine) + 1 - len(v.plan.spots) // second lines that there is room for
	for i, s := range v.plan.spots {
		if y > foot {
			tell(v.drawing, keyLeft, y, figure.After, fmt.Sprintf("and %d more, not named here", len(v.plan.spots)-i))
			return
		}
		v.drawing.Label(keyLeft+5, y, figure.Before, figure.Label{Text: strconv.Itoa(i + 1), Face: figure.Bold, Size: kerbType, Shade: figure.Black})
		lines := keyLines(s.Name+": "+s.placeText(), spare > 0)
		spare -= len(lines) - 1
		for _, l := range lines {
			tell(v.drawing, keyLeft+6.5, y, figure.After, l)
			y += keyLine
		}
	}
}

// keyLines is what stands beside a number, on one line or two; what does not fit is marked as cut.
func keyLines(words string, two bool) []string {
	const width = rescueWidth - keyLeft - 6.5
	if !two {
		return []string{figure.Fit(figure.Regular, kerbType, width, words)}
	}
	lines := figure.Lines(figure.Regular, kerbType, width, words)
	if len(lines) > 2 {
		lines = []string{lines[0], figure.Fit(figure.Regular, kerbType, width, strings.Join(lines[1:], ""))}
	}
	return lines
}

// rescueWords is the pair of views for those who cannot see it.
func rescueWords(spots []Spot, signs []figure.Pictogram) string {
	if len(spots) == 0 {
		return "A side view and a plan view of a car. No part that can hurt a first responder is on record as on it."
	}
	var parts []string
	for i, s := range spots {
		parts = append(parts, fmt.Sprintf("%d %s (%s): %s", i+1, s.Name, signs[i].Meaning(), s.placeText()))
	}
	return "A side view and a plan view of a car, front on the left. Lengths are behind the front axle line as recorded; heights and the routes of cables are not recorded. " +
		strings.Join(parts, "; ") + "."
}
