package render

import (
	"strings"

	"boltback/internal/doc"
)

type spanView struct {
	// Simple is the whole span where nothing but its characters is to be
	// written, as is most often so; the other fields are then empty.
	Simple        string
	Style, Target string
	Parts         []partView
	// Isolate asks for an element that keeps letters written from right to
	// left from reordering their neighbours.
	Isolate bool
}

// partView is a run of text in a span, and what comes before it: a new line, a
// place where the line may be broken, or nothing.
type partView struct {
	Line, Soft bool
	Text       string
}

func viewText(t doc.Text) []spanView {
	views := make([]spanView, len(t))
	for i, s := range t {
		views[i] = viewSpan(s)
	}
	return views
}

func viewSpan(s doc.Span) spanView {
	text := doc.Clean(s.Text, doc.TextLimit)
	pieces := doc.Pieces(text)
	v := spanView{Style: styleName(s.Style), Target: s.Target, Isolate: doc.Directional(text)}
	if s.Style == doc.StylePlain && s.Target == "" && !v.Isolate && len(pieces) == 1 && !strings.Contains(text, "\n") {
		return spanView{Simple: text}
	}
	for i, piece := range pieces {
		for j, l := range strings.Split(piece, "\n") {
			v.Parts = append(v.Parts, partView{Line: j > 0, Soft: i > 0 && j == 0, Text: l})
		}
	}
	return v
}

func styleName(s doc.Style) string {
	switch s {
	case doc.StyleStrong:
		return "strong"
	case doc.StyleLiteral:
		return "literal"
	case doc.StyleSource:
		return "source"
	case doc.StyleStruck:
		return "struck"
	case doc.StyleMissing:
		return "missing"
	case doc.StyleWithheld:
		return "withheld"
	case doc.StyleTranscribed:
		return "transcribed"
	}
	return "plain"
}
