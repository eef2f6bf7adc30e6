package sheet

import (
	"boltback/internal/figure"
	"boltback/internal/page"
)

// NewWeighing makes the sheet for weighing a car wheel by wheel, three times.
// Unit is that of the boxes, "kg" or "lb".
func NewWeighing(h Head, unit string) (*Printout, error) {
	f := newForm(Weighing, h)
	w := f.width()
	f.steps([][]field{
		{{label: "Scales, number", width: w * 0.34}, {label: "Calibrated until", width: w * 0.2}, {label: "Smallest division", unit: unit, width: w * 0.2}, {label: "Figure read by", width: w * 0.26}},
		{{label: "Dry, kerb, or running order", width: w * 0.34}, {label: "Fuel aboard", unit: "l", width: w * 0.2}, {label: "Driver aboard", unit: unit, width: w * 0.2}, {label: "Ballast, where", unit: unit, width: w * 0.26}},
		{{label: "Not on the car today (seats, spare wheel, tools ...)", width: w}},
	})
	f.plan(unit)
	f.head.Blank = 3
	f.rows("Each time: roll off, zero, roll on, let it settle, hands off", []column{
		{head: "Front left", share: 1, unit: unit}, {head: "Front right", share: 1, unit: unit}, {head: "Rear left", share: 1, unit: unit},
		{head: "Rear right", share: 1, unit: unit}, {head: "Whole car, if shown", share: 1.1, unit: unit},
	}, nil, 0)
	f.fields([]field{{label: "Tyre pressures front, rear", width: w * 0.34}, {label: "Ride height front, rear", unit: "mm", width: w * 0.33}, {label: "Wheelbase as measured", unit: "mm", width: w * 0.33}})
	return f.finish()
}

// plan draws the car from above, so that left is the driver's left for everyone.
func (f *form) plan(unit string) {
	const height = 44.0
	if f.room(height) {
		f.y += 1
	}
	d := figure.New(f.width(), height)
	ink := figure.Paint{Width: 0.4, Edge: figure.Black}
	middle := f.width() / 2
	body := figure.Path{}.MoveTo(middle-34, 14).LineTo(middle+26, 14).
		CurveTo(figure.Point{X: middle + 40, Y: 14}, figure.Point{X: middle + 40, Y: 30}, figure.Point{X: middle + 26, Y: 30}).
		LineTo(middle-34, 30).CurveTo(figure.Point{X: middle - 40, Y: 30}, figure.Point{X: middle - 40, Y: 14}, figure.Point{X: middle - 34, Y: 14}).Close()
	d.Path(body, ink)
	d.Label(middle+52, 23.2, figure.Around, figure.Label{Text: "front →", Face: figure.Bold, Size: tightSize, Shade: figure.Black})
	for _, wheel := range []struct {
		x, y   float64
		label  string
		across float64
	}{{middle + 20, 10.5, "front left", 0}, {middle - 28, 10.5, "rear left", 0}, {middle + 20, 30.5, "front right", 33}, {middle - 28, 30.5, "rear right", 33}} {
		d.Rect(wheel.x-5, wheel.y, 10, 3, figure.Paint{Filled: true, Fill: figure.Grey, Width: 0.3, Edge: figure.Black})
		y := wheel.y - 2
		if wheel.across > 0 {
			y = wheel.y + 7
		}
		d.Label(wheel.x, y, figure.Around, figure.Label{Text: wheel.label, Size: tightSize, Shade: figure.Black})
	}
	f.book.Tag(page.Element{Role: page.Figure, Alt: "the car from above, its front to the right: left wheels above, right wheels below; readings in " + unit}, func() {
		f.page.Drawing(side, f.y, d)
	})
	f.y += height
}
