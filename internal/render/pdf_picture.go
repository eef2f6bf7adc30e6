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
		var pair []photoPrint
		height := 0.0
		for _, p := range sheet.Photos[i:min(i+2, len(sheet.Photos))] {
			pair = append(pair, newPhotoPrint(p, width))
			height = max(height, pair[len(pair)-1].height())
		}
		s.room(height)
		top := s.y
		for k, p := range pair {
			s.photo(p, s.left+float64(k)*(width+gap), top)
		}
		s.y = top + height + pdfGap
	}
}

const (
	tallest = 70.0 // of a photo
	absence = 22.0 // height of the frame where a photo should be
)

// photoPrint is a photo at the size at which it is shown, or why it is not, with its words.
type photoPrint struct {
	photo       pdf.Photo
	absent, alt string
	w, h        float64
	words       []setLine
	width       float64 // of the words
}

func newPhotoPrint(p doc.Photo, width float64) photoPrint {
	made := photoPrint{w: width, h: absence, alt: doc.CleanLine(alternative(p), doc.LineLimit), words: photoWords(p, width), width: width}
	if len(p.Image) == 0 {
		made.absent = oneLine(p.Absent)
		return made
	}
	photo, err := pdf.BarePhoto(p.Image)
	if err != nil {
		made.absent = "not shown: " + err.Error()
		return made
	}
	scale := min(width/float64(photo.Width), tallest/float64(photo.Height))
	made.photo, made.w, made.h = photo, float64(photo.Width)*scale, float64(photo.Height)*scale
	return made
}

func photoWords(p doc.Photo, width float64) []setLine {
	var lines []setLine
	if len(p.Caption) > 0 {
		lines = lay(atoms(p.Caption, plainLook(cellSize)), width)
		if last := lines[len(lines)-1]; len(last) > 0 {
			last[len(last)-1].trailing = true
		}
	}
	return append(lines, lay(atoms(photoNote(p), look{size: cellSize, shade: quiet}), width)...)
}

func (p photoPrint) height() float64 { return p.h + 1 + float64(len(p.words))*cellSize*leading }

func (s *setter) photo(p photoPrint, x, y float64) {
	s.book.Tag(pdf.Element{Role: pdf.Figure, Alt: p.alt}, func() {
		if p.absent == "" {
			if err := s.page.Picture(x, y, p.w, p.h, p.photo); err != nil {
				p.absent = fmt.Sprintf("not shown: %v", err)
			}
		}
		if p.absent != "" {
			s.page.Path(figure.Box(x, y, p.w, p.h), figure.Paint{Width: hairline, Edge: figure.Black, Dash: []float64{1, 1}})
			s.cellLines(x, y+2, p.width, lay(atoms(doc.Text{doc.Missing(p.absent)}, plainLook(cellSize)), p.width-2*cellPad), doc.Left)
		}
	})
	s.tag(pdf.Caption, func() { s.cellLines(x-cellPad, y+p.h+1, p.width, p.words, doc.Left) })
}
