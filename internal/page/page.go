package page

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"boltback/internal/figure"
)

// Page is one sheet. It implements [figure.Painter].
type Page struct {
	book    *Book
	number  int
	content bytes.Buffer
	state   state
	marked  *element // whose content is being written; see mark
	inMark  bool
	marks   []*element // by their number on this page
	links   []link
}

// state is what the page's reader has in its hand; what does not change is not
// said again.
type state struct {
	fill, edge float64
	width      float64
	dash       string
}

// begin sets the units to millimetres from the upper left corner. Round ends
// would lengthen dashes, so lines end flat; corners are mitred.
func (p *Page) begin() {
	pt := p.book.pt
	fmt.Fprintf(&p.content, "%s 0 0 -%s 0 %s cm\n", num(pt), num(pt), num(p.book.paper.Height*pt))
	p.state = state{width: 1}
}

// Number is the sheet's number, from 1.
func (p *Page) Number() int { return p.number + 1 }

// Path implements [figure.Painter].
func (p *Page) Path(path figure.Path, paint figure.Paint) {
	if len(path) == 0 || !paint.Filled && paint.Width <= 0 {
		return
	}
	p.mark()
	if paint.Filled {
		p.fill(paint.Fill)
	}
	if paint.Width > 0 {
		p.pen(paint)
	}
	for _, s := range path {
		switch s.Op {
		case figure.Move:
			fmt.Fprintf(&p.content, "%s m\n", pair(s.P))
		case figure.Line:
			fmt.Fprintf(&p.content, "%s l\n", pair(s.P))
		case figure.Curve:
			fmt.Fprintf(&p.content, "%s %s %s c\n", pair(s.C1), pair(s.C2), pair(s.P))
		case figure.Close:
			p.content.WriteString("h\n")
		}
	}
	switch {
	case paint.Filled && paint.Width > 0:
		p.content.WriteString("B*\n")
	case paint.Filled:
		p.content.WriteString("f*\n")
	default:
		p.content.WriteString("S\n")
	}
}

func (p *Page) fill(s figure.Shade) {
	if g := grey(s); g != p.state.fill {
		p.state.fill = g
		fmt.Fprintf(&p.content, "%s g\n", num(g))
	}
}

func (p *Page) pen(paint figure.Paint) {
	if g := grey(paint.Edge); g != p.state.edge {
		p.state.edge = g
		fmt.Fprintf(&p.content, "%s G\n", num(g))
	}
	if paint.Width != p.state.width {
		p.state.width = paint.Width
		fmt.Fprintf(&p.content, "%s w\n", num(paint.Width))
	}
	var dash strings.Builder
	for i, n := range paint.Dash {
		if i > 0 {
			dash.WriteByte(' ')
		}
		dash.WriteString(num(n))
	}
	if d := dash.String(); d != p.state.dash {
		p.state.dash = d
		fmt.Fprintf(&p.content, "[%s] 0 d\n", d)
	}
}

// Label implements [figure.Painter].
func (p *Page) Label(x, y float64, l figure.Label) {
	if l.Text == "" {
		return
	}
	p.mark()
	p.fill(l.Shade)
	p.book.note(figure.Lacking(l.Face, l.Text))
	codes := p.book.fonts[l.Face].encode(l.Face, figure.Spell(l.Face, l.Text))
	s := num(l.Size)
	matrix := s + " 0 0 -" + s
	if l.Turned {
		matrix = "0 -" + s + " -" + s + " 0"
	}
	fmt.Fprintf(&p.content, "BT %s 1 Tf %s %s Tm <%x> Tj ET\n", "/"+faceNames[l.Face], matrix, pair(figure.Point{X: x, Y: y}), codes)
}

// grey turns a share of black into what PDF calls grey: a share of white.
func grey(s figure.Shade) float64 { return 1 - min(max(float64(s), 0), 1) }

func pair(p figure.Point) string { return num(p.X) + " " + num(p.Y) }

// num writes a number to the ten-thousandth. What is not finite becomes 0, for
// it would spoil the page.
func num(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > 1e6 {
		return "0"
	}
	s := strconv.FormatFloat(v, 'f', 4, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}
