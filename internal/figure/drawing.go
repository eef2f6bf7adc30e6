package figure

// Shade is a share of black, from 0 for white paper to 1.
type Shade float64

// The shades that stay apart on a photocopy.
const (
	White Shade = 0
	Pale  Shade = 0.12
	Grey  Shade = 0.45
	Black Shade = 1
)

// Paint is how an outline is put on paper: its area first, then its edge.
type Paint struct {
	// Filled says that the area is painted in Fill, by the even-odd rule.
	Filled bool
	Fill   Shade
	// Width is the width of the edge; 0 leaves it out.
	Width float64
	// Edge is the shade of the edge, and Dash the lengths of strokes and gaps.
	Edge Shade
	Dash []float64
}

// Label is text as it is painted: on one line, from its left end on the baseline.
type Label struct {
	Text string
	Face Face
	// Size is the size in millimetres; see [Points].
	Size  float64
	Shade Shade
	// Upright text runs from left to right; a turned one runs upwards.
	Turned bool
}

// Painter puts outlines and text on something.
type Painter interface {
	// Path paints an outline.
	Path(Path, Paint)
	// Label paints text whose baseline begins at x, y.
	Label(x, y float64, l Label)
}

// Side is where a text lies from the point it is given.
type Side uint8

// The sides.
const (
	After  Side = iota // it begins there
	Around             // it is centred there
	Before             // it ends there
)

// Drawing is a picture under work: shapes, in the order in which they cover
// each other. Its zero value has no size; see [New].
type Drawing struct {
	width, height float64
	shapes        []func(p Painter, dx, dy float64)
}

// New returns an empty drawing of the given size in millimetres.
func New(width, height float64) *Drawing { return &Drawing{width: width, height: height} }

// Size is the drawing's width and height in millimetres.
func (d *Drawing) Size() (width, height float64) { return d.width, d.height }

// Path adds an outline.
func (d *Drawing) Path(path Path, paint Paint) {
	d.shapes = append(d.shapes, func(p Painter, dx, dy float64) { p.Path(path.Moved(dx, dy), paint) })
}

// Line adds a straight line.
func (d *Drawing) Line(x1, y1, x2, y2 float64, paint Paint) {
	d.Path(Polyline(false, Point{x1, y1}, Point{x2, y2}), paint)
}

// Rect adds a rectangle.
func (d *Drawing) Rect(x, y, w, h float64, paint Paint) { d.Path(Box(x, y, w, h), paint) }

// Polygon adds a closed polygon.
func (d *Drawing) Polygon(paint Paint, points ...Point) { d.Path(Polyline(true, points...), paint) }

// Circle adds a circle.
func (d *Drawing) Circle(x, y, r float64, paint Paint) { d.Path(Arc(x, y, r, 0, 360), paint) }

// Hatch fills a closed outline with lines; see [Hatching].
func (d *Drawing) Hatch(path Path, h Hatching) {
	d.Path(h.lines(path), Paint{Width: h.width(), Edge: Black})
}

// Label adds text at a point, on the given side of it.
func (d *Drawing) Label(x, y float64, side Side, l Label) {
	d.shapes = append(d.shapes, func(p Painter, dx, dy float64) {
		PaintLabel(p, x+dx, y+dy, side, l)
	})
}

// Put adds another drawing with its upper left corner at x, y.
func (d *Drawing) Put(x, y float64, other *Drawing) {
	d.shapes = append(d.shapes, func(p Painter, dx, dy float64) { other.Paint(p, x+dx, y+dy) })
}

// Paint paints the drawing with its upper left corner at x, y.
func (d *Drawing) Paint(p Painter, x, y float64) {
	for _, shape := range d.shapes {
		shape(p, x, y)
	}
}

// PaintLabel paints text on the given side of a point.
func PaintLabel(p Painter, x, y float64, side Side, l Label) {
	shift := Width(l.Face, l.Size, l.Text) * float64(side) / 2
	if l.Turned {
		p.Label(x, y+shift, l)
	} else {
		p.Label(x-shift, y, l)
	}
}
