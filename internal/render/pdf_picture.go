package render

import (
	"fmt"

	"boltback/internal/doc"
	"boltback/internal/figure"
	pdf "boltback/internal/page"
)

// painted is a drawing that can be put on paper as what it is, with lines and
// letters, and not as a picture of itself.
type painted interface {
	Paint(p figure.Painter, x, y float64)
}

// figure sets a drawing with its caption; one that can't be painted is told in
// words.
func (s *setter) figure(f *doc.Figure) {
	if f.ID != "" {
		s.page.Anchor(f.ID, s.y)
	}
	alt := doc.Clean(f.Alt, doc.TextLimit)
	d, ok := f.Drawing.(painted)
	if !ok {
		s.tag(pdf.Paragraph, func() { s.flow(doc.Say("[figure: {}]", doc.Plain(alt)), plainLook(textSize)) })
	} else {
		w, h := f.Drawing.Size()
		scale := min(1, s.width/w, (s.bottom()-pdfTop-4*textSize)/h)
		s.room(h*scale + 3*textSize)
		s.book.Tag(pdf.Element{Role: pdf.Figure, Alt: alt}, func() { d.Paint(scaled{s.page, scale, s.left, s.y}, 0, 0) })
		s.y += h*scale + 1
	}
	if len(f.Caption) > 0 {
		s.tag(pdf.Caption, func() { s.flow(f.Caption, look{size: cellSize, shade: full}) })
	}
}

// scaled paints a drawing smaller.
type scaled struct {
	p     figure.Painter
	scale float64
	x, y  float64
}

func (s scaled) at(p figure.Point) figure.Point {
	return figure.Point{X: s.x + p.X*s.scale, Y: s.y + p.Y*s.scale}
}

// Path implements figure.Painter.
func (s scaled) Path(path figure.Path, paint figure.Paint) {
	small := make(figure.Path, len(path))
	for i, seg := range path {
		small[i] = figure.Segment{Op: seg.Op, C1: s.at(seg.C1), C2: s.at(seg.C2), P: s.at(seg.P)}
	}
	paint.Width *= s.scale
	var dash []float64
	for _, d := range paint.Dash {
		dash = append(dash, d*s.scale)
	}
	paint.Dash = dash
	s.p.Path(small, paint)
}

// Label implements figure.Painter.
func (s scaled) Label(x, y float64, l figure.Label) {
	at := s.at(figure.Point{X: x, Y: y})
	l.Size *= s.scale
	s.p.Label(at.X, at.Y, l)
}

// photos sets photos two beside each other, each with its words below it.
func (s *setter) photos(sheet *doc.PhotoSheet) {
	s.caption(sheet.Caption)
	const gap = 6.0
	width := (s.width - gap) / 2
	for i := 0; i < len(sheet.Photos); i += 2 {
		if s.ctx.Err() != nil {
			return
		}
		pair := sheet.Photos[i:min(i+2, len(sheet.Photos))]
		height := 0.0
		for _, p := range pair {
			height = max(height, s.photoHeight(p, width))
		}
		s.room(height)
		top := s.y
		for k, p := range pair {
			s.photo(p, s.left+float64(k)*(width+gap), top, width)
		}
		s.y = top + height + pdfGap
	}
}

const (
	tallest = 70.0 // of a photo
	absence = 22.0 // height of the frame where a photo should be
)

// shape is the size at which a photo is shown, or why it is not.
func shape(p doc.Photo, width float64) (w, h float64, absent string) {
	if len(p.Image) == 0 {
		return width, absence, oneLine(p.Absent)
	}
	px, py, err := pdf.PictureSize(p.Image)
	if err != nil {
		return width, absence, "not shown: " + err.Error()
	}
	scale := min(width/float64(px), tallest/float64(py))
	return float64(px) * scale, float64(py) * scale, ""
}

func (s *setter) photoWords(p doc.Photo, width float64) []setLine {
	var lines []setLine
	if len(p.Caption) > 0 {
		lines = lay(atoms(p.Caption, plainLook(cellSize)), width)
		if last := lines[len(lines)-1]; len(last) > 0 {
			last[len(last)-1].trailing = true
		}
	}
	return append(lines, lay(atoms(photoNote(p), look{size: cellSize, shade: quiet}), width)...)
}

func (s *setter) photoHeight(p doc.Photo, width float64) float64 {
	_, h, _ := shape(p, width)
	return h + 1 + float64(len(s.photoWords(p, width)))*cellSize*leading
}

func (s *setter) photo(p doc.Photo, x, y, width float64) {
	w, h, absent := shape(p, width)
	alt := doc.CleanLine(alternative(p), doc.LineLimit)
	s.book.Tag(pdf.Element{Role: pdf.Figure, Alt: alt}, func() {
		if absent == "" {
			if err := s.page.Picture(x, y, w, h, p.Image); err != nil {
				absent = fmt.Sprintf("not shown: %v", err)
			}
		}
		if absent != "" {
			s.page.Path(figure.Box(x, y, w, h), figure.Paint{Width: hairline, Edge: figure.Black, Dash: []float64{1, 1}})
			s.cellLines(x, y+2, width, lay(atoms(doc.Text{doc.Missing(absent)}, plainLook(cellSize)), width-2*cellPad), doc.Left)
		}
	})
	s.tag(pdf.Caption, func() { s.cellLines(x-cellPad, y+h+1, width, s.photoWords(p, width), doc.Left) })
}
