package figure

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// SVG is the drawing as one svg element that refers to nothing outside itself.
// Text is drawn with the outlines of its letters, each kept once, since the
// browser need not have the typeface; what it says stands in its label.
func (d *Drawing) SVG() string {
	s := svg{glyphs: map[glyph]bool{}}
	d.Paint(&s, 0, 0)
	var out strings.Builder
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s">`,
		number(d.width), number(d.height), number(d.width), number(d.height))
	s.definitions(&out)
	out.WriteString(s.body.String())
	out.WriteString("</svg>")
	return out.String()
}

// glyph is a letter's outline in a face.
type glyph struct {
	face  Face
	index sfnt.GlyphIndex
}

func (g glyph) id() string { return fmt.Sprintf("g%d-%d", g.face, g.index) }

// svg paints into the body of an svg element.
type svg struct {
	body   strings.Builder
	glyphs map[glyph]bool
}

// Path implements Painter.
func (s *svg) Path(p Path, paint Paint) {
	if len(p) == 0 || !paint.Filled && paint.Width <= 0 {
		return
	}
	fmt.Fprintf(&s.body, `<path d="%s"`, pathData(p, number))
	if paint.Filled {
		fmt.Fprintf(&s.body, ` fill="%s" fill-rule="evenodd"`, tone(paint.Fill))
	} else {
		s.body.WriteString(` fill="none"`)
	}
	if paint.Width > 0 {
		fmt.Fprintf(&s.body, ` stroke="%s" stroke-width="%s"`, tone(paint.Edge), number(paint.Width))
		if len(paint.Dash) > 0 {
			s.body.WriteString(` stroke-dasharray="`)
			for i, n := range paint.Dash {
				if i > 0 {
					s.body.WriteByte(' ')
				}
				s.body.WriteString(number(n))
			}
			s.body.WriteByte('"')
		}
	}
	s.body.WriteString("/>")
}

// Label implements Painter.
func (s *svg) Label(x, y float64, l Label) {
	face := l.Face.load()
	var b sfnt.Buffer
	turn := ""
	if l.Turned {
		turn = " rotate(-90)"
	}
	fmt.Fprintf(&s.body, `<g role="img" aria-label="%s" fill="%s" transform="translate(%s %s)%s scale(%s)">`,
		attribute.Replace(Spell(l.Face, l.Text)), tone(l.Shade), number(x), number(y), turn, strconv.FormatFloat(l.Size/UnitsPerEm, 'g', 6, 64))
	at := 0.0
	for _, r := range Spell(l.Face, l.Text) {
		g := glyph{l.Face, face.glyph(&b, r)}
		if r != ' ' {
			s.glyphs[g] = true
			fmt.Fprintf(&s.body, `<use href="#%s" x="%s"/>`, g.id(), strconv.Itoa(int(at+0.5)))
		}
		at += face.width(&b, r) * UnitsPerEm
	}
	s.body.WriteString("</g>")
}

// definitions writes the outline of each letter that was used, in a fixed order.
func (s *svg) definitions(out *strings.Builder) {
	if len(s.glyphs) == 0 {
		return
	}
	used := make([]glyph, 0, len(s.glyphs))
	for g := range s.glyphs {
		used = append(used, g)
	}
	slices.SortFunc(used, func(a, b glyph) int { return int(a.face)<<16 + int(a.index) - int(b.face)<<16 - int(b.index) })
	out.WriteString("<defs>")
	for _, g := range used {
		fmt.Fprintf(out, `<path id="%s" d="%s"/>`, g.id(), pathData(g.outline(), unit))
	}
	out.WriteString("</defs>")
}

// outline is a letter's outline in the face's units, y downwards. TrueType
// curves have one handle, which lies two thirds of the way to both of ours.
func (g glyph) outline() Path {
	var b sfnt.Buffer
	segments, err := g.face.load().font.LoadGlyph(&b, g.index, fixed.I(UnitsPerEm), nil)
	if err != nil {
		return nil
	}
	var p Path
	var last Point
	for _, s := range segments {
		a, c, d := point(s.Args[0]), point(s.Args[1]), point(s.Args[2])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if len(p) > 0 {
				p = p.Close()
			}
			p, last = p.MoveTo(a.X, a.Y), a
		case sfnt.SegmentOpLineTo:
			p, last = p.LineTo(a.X, a.Y), a
		case sfnt.SegmentOpQuadTo:
			p = p.CurveTo(towards(last, a), towards(c, a), c)
			last = c
		case sfnt.SegmentOpCubeTo:
			p, last = p.CurveTo(a, c, d), d
		}
	}
	if len(p) > 0 {
		p = p.Close()
	}
	return p
}

func point(p fixed.Point26_6) Point { return Point{float64(p.X) / 64, float64(p.Y) / 64} }

func towards(from, handle Point) Point {
	return Point{from.X + (handle.X-from.X)*2/3, from.Y + (handle.Y-from.Y)*2/3}
}

func pathData(p Path, write func(float64) string) string {
	var b strings.Builder
	pair := func(q Point) { b.WriteString(write(q.X) + " " + write(q.Y)) }
	for _, s := range p {
		switch s.Op {
		case Move:
			b.WriteByte('M')
			pair(s.P)
		case Line:
			b.WriteByte('L')
			pair(s.P)
		case Curve:
			b.WriteByte('C')
			pair(s.C1)
			b.WriteByte(' ')
			pair(s.C2)
			b.WriteByte(' ')
			pair(s.P)
		case Close:
			b.WriteByte('Z')
		}
	}
	return b.String()
}

// number writes millimetres to the thousandth.
func number(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > 1e6 {
		return "0" // one bad number must not spoil the picture
	}
	return trimmed(strconv.FormatFloat(v, 'f', 3, 64))
}

// unit writes a face's units to the tenth.
func unit(v float64) string { return trimmed(strconv.FormatFloat(v, 'f', 1, 64)) }

func trimmed(s string) string {
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}

// tone writes a shade as a grey of sRGB, dark enough for its share of black.
func tone(s Shade) string {
	v := int(255*(1-min(max(float64(s), 0), 1)) + 0.5)
	return fmt.Sprintf("#%02x%02x%02x", v, v, v)
}

var attribute = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")
