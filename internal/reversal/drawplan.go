package reversal

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"boltback/internal/figure"
	"boltback/internal/record"
)

// Sizes of the plan view in millimetres on paper. The front of the car is on the left, so its left side is below.
const (
	planWidth = 160.0
	planNose  = 6.0
	planTail  = planWidth - 6
	planMid   = 34.0
	planHalf  = 25.0
	planKey   = 70.0
	keyRow    = 3.9
	keyRows   = 50
	disc      = 2.6
	smallType = 2.4
)

var (
	hair  = figure.Paint{Width: 0.2, Edge: figure.Black}
	cable = figure.Paint{Width: 0.6, Edge: figure.Black, Dash: []float64{2, 1}}
	inked = figure.Paint{Filled: true, Fill: figure.Black}
	paper = figure.Paint{Filled: true, Fill: figure.White, Width: 0.3, Edge: figure.Black}
	pale  = figure.Paint{Filled: true, Fill: figure.Pale, Width: 0.3, Edge: figure.Black}
)

func write(d *figure.Drawing, x, y float64, side figure.Side, text string) {
	d.Label(x, y, side, figure.Label{Text: text, Size: smallType, Shade: figure.Black})
}

// PlanPicture draws the car from above with what sits where: the place along the car as recorded, the side as recorded, and in
// the middle what states no side. wheelbase draws the rear axle; it may be empty. What has no place on record is listed beneath.
func PlanPicture(spots []Spot, wheelbase record.Measure) figure.Picture {
	p := planSheet{spots: spots, at: map[record.Ref]figure.Point{}, rows: min((len(spots)+1)/2, keyRows)}
	p.drawing = figure.New(planWidth, planKey+float64(p.rows+2)*keyRow)
	p.scale(wheelbase)
	p.body(wheelbase)
	for _, s := range spots {
		p.place(s)
	}
	p.cables()
	for i, s := range spots {
		p.mark(i, s)
	}
	p.key()
	return figure.Picture{ID: "plan-view", Title: "What sits where on the car, from above", Alt: planWords(spots), Drawing: p.drawing}
}

type planSheet struct {
	drawing   *figure.Drawing
	spots     []Spot
	at        map[record.Ref]figure.Point
	taken     []figure.Point
	low, high float64
	rows      int
}

// scale makes room for every recorded place, and for a car around its axles where there is little.
func (p *planSheet) scale(wheelbase record.Measure) {
	rear, ok := metres(wheelbase)
	if !ok {
		rear = 2.3
	}
	p.low, p.high = -0.7, rear+0.8
	for _, s := range p.spots {
		if x, ok := metres(s.Station); ok {
			p.low, p.high = math.Min(p.low, x-0.2), math.Max(p.high, x+0.2)
		}
	}
}

func (p *planSheet) x(station float64) float64 {
	return planNose + (planTail-planNose)*(station-p.low)/(p.high-p.low)
}

// body draws the outline of a car, its axles and which way it looks.
func (p *planSheet) body(wheelbase record.Measure) {
	d := p.drawing
	top, bottom := planMid-planHalf, planMid+planHalf
	d.Polygon(hair, figure.Point{X: planNose + 8, Y: top}, figure.Point{X: planTail - 5, Y: top}, figure.Point{X: planTail, Y: top + 6},
		figure.Point{X: planTail, Y: bottom - 6}, figure.Point{X: planTail - 5, Y: bottom}, figure.Point{X: planNose + 8, Y: bottom},
		figure.Point{X: planNose, Y: bottom - 10}, figure.Point{X: planNose, Y: top + 10})
	p.axle(0, "front axle")
	if rear, ok := metres(wheelbase); ok {
		p.axle(rear, "rear axle")
	}
	write(d, planNose, 4, figure.After, "front of the car")
	write(d, planWidth/2, 4, figure.Around, "right side, seen from the driver's seat")
	write(d, planWidth/2, bottom+6, figure.Around, "left side")
}

func (p *planSheet) axle(station float64, name string) {
	x := p.x(station)
	p.drawing.Line(x, planMid-planHalf, x, planMid+planHalf, figure.Paint{Width: 0.2, Edge: figure.Grey, Dash: []float64{1, 1}})
	for _, y := range []float64{planMid - planHalf - 1.5, planMid + planHalf - 1.5} {
		p.drawing.Rect(x-6, y, 12, 3, pale)
	}
	write(p.drawing, x, planMid+planHalf+6, figure.Around, name)
}

// place finds room for a spot next to where it belongs, in the lane of its side.
func (p *planSheet) place(s Spot) {
	station, ok := metres(s.Station)
	if !ok {
		return
	}
	lane := planMid
	switch s.Side {
	case "left":
		lane += 15
	case "right":
		lane -= 15
	}
	where := p.room(figure.Point{X: p.x(station), Y: lane})
	p.taken = append(p.taken, where)
	p.at[s.Part] = where
}

// room is the first free place near a point: up and down first, so that the place along the car stays true.
func (p *planSheet) room(want figure.Point) figure.Point {
	for _, along := range []float64{0, 6, -6, 12, -12} {
		for _, across := range []float64{0, 6, -6, 12, -12, 18, -18} {
			try := figure.Point{X: want.X + along, Y: want.Y + across}
			if math.Abs(try.Y-planMid) < planHalf-disc && !slices.ContainsFunc(p.taken, func(o figure.Point) bool {
				return math.Hypot(o.X-try.X, o.Y-try.Y) < 2*disc+0.4
			}) {
				return try
			}
		}
	}
	return want
}

// cables draws each loom of the traction circuit straight from itself to what it is fastened to.
func (p *planSheet) cables() {
	for _, s := range p.spots {
		if s.What != TractionPart && s.What != TractionBattery {
			continue
		}
		var ends []figure.Point
		if own, ok := p.at[s.Part]; ok {
			ends = append(ends, own)
		}
		for _, other := range s.Joins {
			if at, ok := p.at[other]; ok {
				ends = append(ends, at)
			}
		}
		slices.SortFunc(ends, func(a, b figure.Point) int { return cmp.Compare(a.X, b.X) })
		for i := 1; i < len(ends); i++ {
			p.drawing.Line(ends[i-1].X, ends[i-1].Y, ends[i].X, ends[i].Y, cable)
		}
	}
}

// mark draws a spot by what it is: black is what carries traction voltage, square is a battery.
func (p *planSheet) mark(i int, s Spot) {
	if at, ok := p.at[s.Part]; ok {
		symbol(p.drawing, at, s.What, strconv.Itoa(i+1))
	}
}

func symbol(d *figure.Drawing, at figure.Point, what SpotKind, text string) {
	paint, shade := paper, figure.Black
	switch what {
	case TractionBattery, TractionPart:
		paint, shade = inked, figure.White
	case FittedPart:
		paint = pale
	}
	if what == TractionBattery || what == LowVoltage {
		d.Rect(at.X-disc, at.Y-disc, 2*disc, 2*disc, paint)
	} else {
		d.Circle(at.X, at.Y, disc, paint)
	}
	d.Label(at.X, at.Y+0.9, figure.Around, figure.Label{Text: text, Face: figure.Bold, Size: smallType, Shade: shade})
}

// key names the numbers in two columns; what does not fit is in the words beside the drawing.
func (p *planSheet) key() {
	d := p.drawing
	x := planNose
	for _, k := range []SpotKind{TractionBattery, TractionPart, LowVoltage, FittedPart, FoundPart} {
		symbol(d, figure.Point{X: x + disc, Y: planKey - 1}, k, "")
		write(d, x+2*disc+1.2, planKey, figure.After, string(k))
		x += 30
	}
	for i, s := range p.spots {
		column, row := i/max(p.rows, 1), i%max(p.rows, 1)
		if column > 1 {
			write(d, planNose, planKey+float64(p.rows+1)*keyRow, figure.After, fmt.Sprintf("and %d more, named in the words beside this drawing", len(p.spots)-i))
			return
		}
		left := planNose + float64(column)*76
		y := planKey + float64(row+1)*keyRow + 2
		write(d, left+5, y, figure.Before, strconv.Itoa(i+1))
		write(d, left+6.5, y, figure.After, figure.Fit(figure.Regular, smallType, 67, s.Name+", "+s.placeText()))
	}
}

// placeText says where a spot is, and what of that is not recorded.
func (s Spot) placeText() string {
	var where []string
	if _, ok := metres(s.Station); ok {
		where = append(where, string(s.Station))
	} else {
		where = append(where, "place along the car not recorded")
	}
	if s.Side != "" && s.Side != "not stated" {
		where = append(where, s.Side)
	}
	if s.Position != "" {
		where = append(where, s.Position)
	} else if s.Zone != "" {
		where = append(where, s.Zone)
	}
	return strings.Join(where, ", ")
}

// planWords is the plan view for those who cannot see it.
func planWords(spots []Spot) string {
	if len(spots) == 0 {
		return "A plan view of the car. No part is on record as on it."
	}
	text := "A plan view of the car, front on the left. Lengths are behind the front axle line as recorded; cables are drawn straight between what they are fastened to, and their route is not shown. "
	var parts []string
	for i, s := range spots {
		parts = append(parts, fmt.Sprintf("%d %s (%s): %s", i+1, s.Name, s.What, s.placeText()))
	}
	return text + strings.Join(parts, "; ") + "."
}
