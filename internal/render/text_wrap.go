package render

import (
	"strings"

	"boltback/internal/doc"
)

// fragment is a run of characters without a place to break a line in.
type fragment struct {
	text string
	bold bool
	// span is the number of the span it was cut from, so that a line can put
	// it together again; layout's own characters belong to none.
	span int
}

// ours is the span of characters that no span holds: spaces, rules, marks.
const ours = -1

// word is what stands between two spaces. A line may be broken between its
// fragments, if it fits on no line whole.
type word struct {
	fragments []fragment
	columns   int
	// newline says that the word begins a line of its own.
	newline bool
}

// line is a finished line of a paragraph, a cell or the page. It becomes
// characters only when it is written, so that its columns can be counted.
type line struct {
	fragments []fragment
	columns   int
}

// spoken returns the span's text as it reads in plain characters: whatever a
// printed page shows by its face is said in words or signs.
func spoken(s doc.Span, limit int) string {
	text := doc.Clean(s.Text, limit)
	switch s.Style {
	case doc.StyleSource:
		return "[" + text + "]"
	case doc.StyleStruck:
		return "[struck out: " + text + "]"
	case doc.StyleMissing, doc.StyleWithheld:
		return "(" + text + ")"
	case doc.StyleTranscribed:
		return text + " (transcribed)"
	}
	return text
}

// words splits a text at its spaces and line feeds.
func words(t doc.Text) []word {
	var b wordBuilder
	for i, s := range t {
		if s.Style == doc.StyleSource && i > 0 {
			b.space()
		}
		for _, piece := range doc.Pieces(spoken(s, doc.TextLimit)) {
			b.add(piece, s.Style, i)
		}
	}
	b.space()
	return b.words
}

type wordBuilder struct {
	words   []word
	current word
}

// add appends a piece of a span. In a literal span spaces belong to the word.
func (b *wordBuilder) add(piece string, style doc.Style, span int) {
	bold := style == doc.StyleStrong
	for piece != "" {
		end := strings.IndexAny(piece, " \n")
		if style == doc.StyleLiteral {
			end = strings.IndexByte(piece, '\n')
		}
		if end < 0 {
			b.fragment(fragment{piece, bold, span})
			return
		}
		b.fragment(fragment{piece[:end], bold, span})
		b.space()
		if piece[end] == '\n' {
			b.newline()
		}
		piece = piece[end+1:]
	}
}

func (b *wordBuilder) fragment(f fragment) {
	if f.text != "" {
		b.current.fragments = append(b.current.fragments, f)
		b.current.columns += columns(f.text)
	}
}

// space ends the word.
func (b *wordBuilder) space() {
	if len(b.current.fragments) > 0 {
		b.words = append(b.words, b.current)
		b.current = word{}
	}
}

// newline makes the next word begin a line; several in a row leave one line
// blank, as a word of nothing.
func (b *wordBuilder) newline() {
	if b.current.newline && len(b.words) > 0 && b.words[len(b.words)-1].columns > 0 {
		b.words = append(b.words, word{newline: true})
	}
	b.current.newline = true
}

// wrap lays words into lines of at most width columns. A word that is longer
// than a line begins where the last one ended, if a third of the line is left.
func wrap(ws []word, width int) []line {
	var p para
	p.width = width
	for i, w := range ws {
		room := width - p.now.columns - 1
		switch {
		case i == 0:
		case w.newline, w.columns > room && (w.columns <= width || room < width/3):
			p.end()
		default:
			p.now.put(space(p.now, w))
		}
		for _, f := range w.fragments {
			p.put(f)
		}
	}
	p.end()
	return p.lines
}

// para is a paragraph that is being laid into lines.
type para struct {
	width int
	lines []line
	now   line
}

func (p *para) end() {
	p.lines = append(p.lines, p.now)
	p.now = line{}
}

func (p *para) put(f fragment) {
	if p.now.columns > 0 && p.now.columns+columns(f.text) > p.width {
		p.end()
	}
	for columns(f.text) > p.width {
		head, tail := cut(f.text, p.width)
		if tail == "" {
			break
		}
		p.now.put(fragment{head, f.bold, f.span})
		p.end()
		f.text = tail
	}
	p.now.put(f)
}

// space is the space before a word: part of a span if it lies inside one.
func space(l line, w word) fragment {
	f := fragment{text: " ", span: ours}
	if n := len(l.fragments); n > 0 && len(w.fragments) > 0 && l.fragments[n-1].span == w.fragments[0].span {
		f.span, f.bold = w.fragments[0].span, w.fragments[0].bold
	}
	return f
}

// put appends a fragment, to the last one if both come from one span.
func (l *line) put(f fragment) {
	l.columns += columns(f.text)
	if n := len(l.fragments); n > 0 && l.fragments[n-1].span == f.span && l.fragments[n-1].bold == f.bold {
		l.fragments[n-1].text += f.text
		return
	}
	l.fragments = append(l.fragments, f)
}

// chars returns a line of layout's own characters.
func chars(s string) line {
	return line{[]fragment{{text: s, span: ours}}, columns(s)}
}

// pad returns the line with spaces up to a column.
func (l line) pad(column int) line {
	if l.columns < column {
		l.put(fragment{text: strings.Repeat(" ", column-l.columns), span: ours})
	}
	return l
}

// after returns the line behind a prefix of layout's own characters.
func (l line) after(prefix string) line {
	out := chars(prefix)
	out.join(l)
	return out
}

// join appends another line.
func (l *line) join(more line) {
	l.fragments = append(l.fragments, more.fragments...)
	l.columns += more.columns
}

// The first strong isolate and its end keep letters that run from right to left
// from reordering what stands around them (Unicode Standard Annex 9).
const (
	isolate    = "\u2068"
	endIsolate = "\u2069"
)

// render returns the line as characters, without spaces at its end.
func (l line) render(bold bool) string {
	var b strings.Builder
	for _, f := range l.fragments {
		text := f.text
		if doc.Directional(text) {
			text = isolate + text + endIsolate
		}
		if f.bold && bold {
			text = "\x1b[1m" + text + "\x1b[22m"
		}
		b.WriteString(text)
	}
	return strings.TrimRight(b.String(), " ")
}
