package figure

// Pictogram is a sign on a sheet for first responders. Its meaning is one for which ISO 17840 has a sign; the shapes are
// plain geometry of our own, in black and white, so that a photocopy loses nothing.
type Pictogram uint8

// The pictograms.
const (
	HighVoltageBattery Pictogram = iota
	HighVoltagePart
	HighVoltageDisconnect
	LowVoltageBattery
	ChargingInlet
	FuelAboard
	UnderPressure
)

// Pictograms lists them in the order of a legend.
func Pictograms() []Pictogram {
	return []Pictogram{HighVoltageBattery, HighVoltagePart, HighVoltageDisconnect, LowVoltageBattery, ChargingInlet, FuelAboard, UnderPressure}
}

// Meaning says in words what the sign stands for.
func (p Pictogram) Meaning() string {
	return [...]string{"high-voltage battery", "high-voltage part", "cuts the high voltage off", "12 V battery", "charging inlet", "fuel", "under pressure"}[p]
}

// sign draws in a square around a point; lengths are shares of its side.
type sign struct {
	d          *Drawing
	x, y, side float64
}

func (s sign) at(x, y float64) Point { return Point{s.x + x*s.side, s.y + y*s.side} }

func (s sign) box(x, y, w, h float64, paint Paint) {
	at := s.at(x, y)
	s.d.Rect(at.X, at.Y, w*s.side, h*s.side, paint)
}

func (s sign) disc(x, y, r float64, paint Paint) {
	at := s.at(x, y)
	s.d.Circle(at.X, at.Y, r*s.side, paint)
}

func (s sign) stroke(x1, y1, x2, y2 float64, paint Paint) {
	a, b := s.at(x1, y1), s.at(x2, y2)
	s.d.Line(a.X, a.Y, b.X, b.Y, paint)
}

func (s sign) edge() Paint { return Paint{Width: 0.09 * s.side, Edge: Black} }

func (s sign) empty() Paint {
	return Paint{Filled: true, Fill: White, Width: 0.09 * s.side, Edge: Black}
}

var solid = Paint{Filled: true, Fill: Black}

// Pictogram draws a sign in a square with its middle at x, y.
func (d *Drawing) Pictogram(x, y, side float64, p Pictogram) {
	s := sign{d, x, y, side}
	switch p {
	case HighVoltageBattery:
		s.terminals()
		s.box(-0.5, -0.38, 1, 0.88, solid)
		s.bolt(0.06)
	case HighVoltagePart:
		s.disc(0, 0, 0.5, solid)
		s.bolt(0)
	case HighVoltageDisconnect:
		s.disconnect()
	case LowVoltageBattery:
		s.terminals()
		s.box(-0.45, -0.34, 0.9, 0.78, s.empty())
		s.stroke(-0.32, 0.05, -0.08, 0.05, s.edge())
		s.stroke(0.08, 0.05, 0.32, 0.05, s.edge())
		s.stroke(0.2, -0.07, 0.2, 0.17, s.edge())
	case ChargingInlet:
		s.disc(0, 0, 0.45, s.empty())
		s.disc(-0.18, -0.12, 0.09, solid)
		s.disc(0.18, -0.12, 0.09, solid)
		s.disc(0, 0.2, 0.09, solid)
	case FuelAboard:
		s.drop()
	case UnderPressure:
		s.cylinder()
	}
}

func (s sign) terminals() {
	s.box(-0.36, -0.5, 0.22, 0.16, solid)
	s.box(0.14, -0.5, 0.22, 0.16, solid)
}

// bolt is white, on what is black.
func (s sign) bolt(down float64) {
	s.d.Polygon(Paint{Filled: true, Fill: White}, s.at(0.1, -0.36+down), s.at(-0.22, 0.06+down), s.at(-0.03, 0.06+down),
		s.at(-0.1, 0.36+down), s.at(0.22, -0.08+down), s.at(0.03, -0.08+down))
}

// disconnect is an open switch between two poles.
func (s sign) disconnect() {
	s.box(-0.46, -0.46, 0.92, 0.92, s.empty())
	s.disc(-0.25, 0.14, 0.09, solid)
	s.disc(0.25, 0.14, 0.09, solid)
	s.stroke(-0.46, 0.14, -0.25, 0.14, s.edge())
	s.stroke(0.25, 0.14, 0.46, 0.14, s.edge())
	s.stroke(-0.25, 0.14, 0.2, -0.26, s.edge())
}

func (s sign) drop() {
	top, bottom := s.at(0, -0.48), s.at(0, 0.48)
	s.d.Path(Path{}.MoveTo(top.X, top.Y).CurveTo(s.at(0.12, -0.2), s.at(0.38, 0), s.at(0.38, 0.16)).
		CurveTo(s.at(0.38, 0.36), s.at(0.2, 0.48), bottom).CurveTo(s.at(-0.2, 0.48), s.at(-0.38, 0.36), s.at(-0.38, 0.16)).
		CurveTo(s.at(-0.38, 0), s.at(-0.12, -0.2), top).Close(), solid)
}

// cylinder is a bottle whose pressure pushes outwards.
func (s sign) cylinder() {
	s.box(-0.07, -0.48, 0.14, 0.18, solid)
	s.box(-0.2, -0.32, 0.4, 0.76, s.empty())
	for _, y := range []float64{-0.14, 0.06, 0.26} {
		s.stroke(-0.48, y, -0.28, y, s.edge())
		s.stroke(0.28, y, 0.48, y, s.edge())
	}
}
