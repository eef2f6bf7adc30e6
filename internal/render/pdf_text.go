package render

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"boltback/internal/doc"
	"boltback/internal/figure"
	pdf "boltback/internal/page"
)

// look is how a run of text is printed.
type look struct {
	face   figure.Face
	size   float64
	shade  figure.Shade
	struck bool
	target string
}

// atom is a run of text without a place to break a line in.
type atom struct {
	text  string
	look  look
	width float64
	// spaced says that a space comes before it, newline that it begins a line.
	spaced, newline bool
	// glued says that no line is broken before it: a comma behind a reference.
	glued bool
	// trailing says that the line was broken at a space behind it, which is
	// printed for those who copy or listen.
	trailing bool
}

// setLine is a finished line.
type setLine []atom

const (
	quiet = figure.Shade(0.68) // print that steps back and still copies well
	full  = figure.Black
)

// looks turns spans into runs of text with their looks. What a page shows by
// its face alone is said in words as well, where losing it would change what is
// said.
func looks(t doc.Text, base look) (texts []string, list []look) {
	add := func(s string, l look) {
		texts, list = append(texts, s), append(list, l)
	}
	for i, span := range t {
		l := base
		l.target = span.Target
		text := doc.Clean(span.Text, doc.TextLimit)
		small := l
		small.size, small.shade = base.size*0.84, quiet
		switch span.Style {
		case doc.StyleStrong:
			l.face = figure.Bold
		case doc.StyleLiteral:
			l.face, l.size = figure.Mono, base.size*0.93
		case doc.StyleSource:
			l = small
			text = "[" + text + "]"
			if i > 0 {
				text = " " + text
			}
		case doc.StyleStruck:
			add("struck out: ", small)
			l.struck = true
		case doc.StyleMissing, doc.StyleWithheld:
			l.shade = quiet
			text = "(" + text + ")"
		}
		add(text, l)
		if span.Style == doc.StyleTranscribed {
			add(" (transcribed)", small)
		}
	}
	return texts, list
}

// atoms cuts a text where lines may be broken: at spaces, and inside long words.
func atoms(t doc.Text, base look) []atom {
	var b atomBuilder
	texts, list := looks(t, base)
	for i, text := range texts {
		for j, piece := range doc.Pieces(text) {
			b.add(piece, list[i], j > 0)
		}
	}
	return b.atoms
}

type atomBuilder struct {
	atoms           []atom
	spaced, newline bool
}

// add appends a piece; soft says that a line may be broken before it. In print
// of one width, which is kept as it was read, spaces belong to the word.
func (b *atomBuilder) add(piece string, l look, soft bool) {
	for piece != "" {
		end := strings.IndexAny(piece, " \n")
		if l.face == figure.Mono {
			end = strings.IndexByte(piece, '\n')
		}
		text, rest := piece, ""
		if end >= 0 {
			text, rest = piece[:end], piece[end+1:]
		}
		if text != "" || b.newline && end >= 0 {
			glued := !b.spaced && !b.newline && !soft && len(b.atoms) > 0
			b.atoms = append(b.atoms, atom{text, l, figure.Width(l.face, l.size, text), b.spaced, b.newline, glued, false})
			b.spaced, b.newline, soft = false, false, false
		}
		if end >= 0 {
			b.spaced = true
			b.newline = b.newline || piece[end] == '\n'
		}
		piece = rest
	}
}

// lay breaks atoms into lines no wider than width.
func lay(list []atom, width float64) []setLine {
	l := layer{width: width}
	for i := 0; i < len(list); {
		j := i + 1
		for j < len(list) && list[j].glued {
			j++
		}
		l.word(list[i:j])
		i = j
	}
	l.end()
	return l.lines
}

// layer is a paragraph that is being laid into lines.
type layer struct {
	width, used float64
	lines       []setLine
	now         setLine
}

func (l *layer) end() {
	l.lines = append(l.lines, l.now)
	l.now, l.used = nil, 0
}

// word places atoms that belong together. They are parted only if no line
// holds them whole.
func (l *layer) word(atoms []atom) {
	whole, first := 0.0, atoms[0]
	for _, a := range atoms {
		whole += a.width
	}
	gap := 0.0
	if first.spaced && len(l.now) > 0 {
		gap = figure.Width(first.look.face, first.look.size, " ")
	}
	if first.newline && len(l.lines)+len(l.now) > 0 || len(l.now) > 0 && l.used+gap+whole > l.width {
		if n := len(l.now); n > 0 {
			l.now[n-1].trailing = first.spaced
		}
		l.end()
		gap = 0
	}
	l.used += gap
	for _, a := range atoms {
		l.atom(a)
	}
}

func (l *layer) atom(a atom) {
	if len(l.now) > 0 && l.used+a.width > l.width {
		l.end()
	}
	if len(l.now) == 0 {
		a.spaced = false
	}
	for a.width > l.width {
		head, tail := divide(a, l.width)
		if tail.text == "" {
			break
		}
		l.now = append(l.now, head)
		l.end()
		a = tail
	}
	l.now = append(l.now, a)
	l.used += a.width
}

// divide cuts an atom behind as many characters as fit, at least one.
func divide(a atom, width float64) (head, tail atom) {
	used := 0.0
	for i, r := range a.text {
		used += figure.Width(a.look.face, a.look.size, string(r))
		if used > width && i > 0 {
			head, tail = a, a
			head.text, tail.text = a.text[:i], a.text[i:]
			head.width = figure.Width(a.look.face, a.look.size, head.text)
			tail.width = figure.Width(a.look.face, a.look.size, tail.text)
			tail.spaced, tail.newline, tail.glued = false, false, false
			return head, tail
		}
	}
	return a, atom{look: a.look}
}

// lineWidth is how wide a line is.
func lineWidth(l setLine) float64 {
	sum := 0.0
	for _, a := range l {
		if a.spaced {
			sum += figure.Width(a.look.face, a.look.size, " ")
		}
		sum += a.width
	}
	return sum
}

// printLine prints a line with its baseline at y. Neighbours that look the same
// are printed as one, so that what is copied has its spaces.
func (s *setter) printLine(x, y float64, l setLine) {
	for i := 0; i < len(l); {
		var text strings.Builder
		text.WriteString(l[i].text)
		if l[i].spaced && i > 0 {
			x += figure.Width(l[i].look.face, l[i].look.size, " ")
		}
		j := i + 1
		for ; j < len(l) && l[j].look == l[i].look; j++ {
			if l[j].spaced {
				text.WriteByte(' ')
			}
			text.WriteString(l[j].text)
		}
		if j < len(l) && l[j].spaced || l[j-1].trailing {
			text.WriteByte(' ') // seen by nobody, but copied
		}
		s.printRun(x, y, text.String(), l[i].look)
		x += figure.Width(l[i].look.face, l[i].look.size, strings.TrimSuffix(text.String(), " "))
		i = j
	}
}

func (s *setter) printRun(x, y float64, text string, l look) {
	text = visual(text)
	paint := func() {
		s.page.Label(x, y, figure.Label{Text: text, Face: l.face, Size: l.size, Shade: l.shade})
	}
	w := figure.Width(l.face, l.size, strings.TrimRight(text, " "))
	if l.target != "" && s.anchors[l.target] && utf8.RuneCountInString(text) > 0 {
		s.tag(pdf.LinkText, func() {
			paint()
			s.page.Link(x, y-l.size, w, l.size*1.25, l.target)
		})
		s.book.Decoration(func() {
			s.page.Path(figure.Polyline(false, figure.Point{X: x, Y: y + l.size*0.16}, figure.Point{X: x + w, Y: y + l.size*0.16}),
				figure.Paint{Width: 0.12, Edge: figure.Grey})
		})
	} else {
		paint()
	}
	if l.struck {
		s.rule(x, y-l.size*0.27, x+w, 0.25)
	}
}

// rule prints a level line; it is no content.
func (s *setter) rule(x, y, toX, width float64) {
	s.book.Decoration(func() {
		s.page.Path(figure.Polyline(false, figure.Point{X: x, Y: y}, figure.Point{X: toX, Y: y}), figure.Paint{Width: width, Edge: figure.Black})
	})
}

// lines prints lines one below the other, over pages if need be.
func (s *setter) lines(list []setLine, size float64) {
	step := size * leading
	if n := float64(min(len(list), 2)); n > 0 {
		s.room(n * step) // no first line alone at the foot
	}
	for _, l := range list {
		if s.y+step > s.bottom() {
			s.turn()
		}
		s.printLine(s.left, s.y+size*figure.Ascent+(step-size)/2, l)
		s.y += step
	}
}

// flow sets a text as wide as the column.
func (s *setter) flow(t doc.Text, base look) {
	if len(t) > 0 {
		s.lines(lay(atoms(t, base), s.width), base.size)
	}
}

// visual puts letters that are written from right to left into the order in
// which they are seen, since a page is printed from left to right. Each stretch
// of them is turned round where it stands, with the spaces, signs and figures
// inside it, as if it were isolated (Unicode Standard Annex 9, FSI); figures
// and marks on letters keep their order.
func visual(text string) string {
	if !doc.Directional(text) {
		return text
	}
	runes := []rune(text)
	for from := 0; from < len(runes); from++ {
		if !rightToLeft(runes[from]) {
			continue
		}
		to := from + 1
		for i := to; i < len(runes); i++ {
			switch {
			case rightToLeft(runes[i]) || unicode.Is(unicode.Mn, runes[i]) && i == to:
				to = i + 1
			case unicode.IsLetter(runes[i]):
				i = len(runes)
			}
		}
		turnRound(runes[from:to])
		from = to - 1
	}
	return string(runes)
}

func rightToLeft(r rune) bool { return doc.Directional(string(r)) }

// turnRound reverses the order of characters, and then that of each figure of
// several digits and of each letter with its marks back again.
func turnRound(runes []rune) {
	slices.Reverse(runes)
	for i := 0; i < len(runes); i++ {
		from := i
		for i < len(runes) && unicode.IsDigit(runes[i]) {
			i++
		}
		slices.Reverse(runes[from:i])
		for from = i; i < len(runes) && unicode.Is(unicode.Mn, runes[i]); {
			i++
		}
		slices.Reverse(runes[from:min(i+1, len(runes))])
	}
}
